package find

import (
	"io/fs"
	"path/filepath"

	"example.org/headroom/schema/internal/input"
)

func (f *finder) say(p input.PassedOver) {
	if f.opts.PassedOver != nil {
		f.opts.PassedOver(p)
	}
}

// passOver says that a file is passed over, if it looks like a specification. When
// more was passed over than is looked at, that is said once.
func (f *finder) passOver(path, why string) {
	switch {
	case f.opts.PassedOver == nil || f.cut:
	case f.passed.Look(path) != nil:
		f.cut = true
		f.say(input.PassedOver{Path: filepath.Dir(path), Why: "files are passed over for their names", Cut: true})
	case f.seemsSpecified(path):
		f.say(input.PassedOver{Path: path, Why: why + "; rename it, or delete it if it is a copy"})
	}
}

// passOverFolder says that a folder is passed over, if files in it or below look
// like specifications.
func (f *finder) passOverFolder(folder, why string) {
	if f.opts.PassedOver == nil {
		return
	}
	p := input.PassedOver{Path: folder, Why: why}
	f.passed.Skip = func(_, name string) bool { return name == ".git" }
	err := f.passed.Walk(folder, func(folder string, entries []fs.DirEntry, _ error) error {
		for _, entry := range entries {
			name := entry.Name()
			if entry.IsDir() || input.FormatOfName(name) == "" && whyPassedOver(name) == "" {
				continue
			}
			path := filepath.Join(folder, name)
			if err := f.passed.Look(path); err != nil {
				return err
			}
			if f.seemsSpecified(path) {
				if p.Count++; p.Count == 1 {
					p.First = path
				}
			}
		}
		return nil
	})
	p.Cut = err != nil
	if p.Count > 0 || p.Cut {
		f.say(p)
	}
}

// linkedFolder reports whether an entry is a link to a folder. Such links are not
// followed; where what is behind one is not met by its own name, that is said.
func (f *finder) linkedFolder(path string, entry fs.DirEntry) bool {
	if entry.Type()&fs.ModeSymlink == 0 {
		return false
	}
	if info, err := f.files.Stat(path); err != nil || !info.IsDir() {
		return false
	}
	if f.opts.PassedOver != nil && !f.walks(path) {
		f.passOverFolder(path, "links to folders are not followed; to check them too, name the target folder")
	}
	return true
}

// walks reports whether what a path leads to is in the tree that is walked.
func (f *finder) walks(path string) bool {
	d, ok := f.files.(*input.Disk)
	if !ok || f.root == "" {
		return false
	}
	target, err := d.Locate("stat", path)
	root, rootErr := d.Locate("stat", f.root)
	if err != nil || rootErr != nil {
		return false
	}
	inner, err := filepath.Rel(root, target)
	return err == nil && filepath.IsLocal(inner)
}
