package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/schema"
)

// pendingFile is an output that is rendered but not yet written.
type pendingFile struct {
	name string
	data []byte
}

// writeFiles writes all files or none: each goes to a temporary file beside
// its place first, and only when all of them are on disk do they take their
// places. None takes the place of a specification, of one of the inputs, or of
// another output.
func writeFiles(files []pendingFile, inputs []string) (err error) {
	var staged []stagedFile
	defer func() {
		if err != nil {
			for _, s := range staged {
				err = errors.Join(err, s.discard())
			}
		}
	}()
	for _, f := range files {
		s, err := stage(f)
		if err != nil {
			return fmt.Errorf("cannot write %q, so no output file was written: %w", f.name, reason(err))
		}
		staged = append(staged, s)
	}
	for i, s := range staged {
		if err := s.replacesNothing(staged[:i], inputs); err != nil {
			return fmt.Errorf("cannot write %q, so no output file was written: %w", s.file.name, err)
		}
	}
	for _, s := range staged {
		if err := s.commit(); err != nil {
			return fmt.Errorf("cannot write %q: %w", s.file.name, reason(err))
		}
	}
	return nil
}

// stagedFile is a file that waits beside its place. Without a temporary file
// it is something that is written to and not replaced, such as a pipe, /dev/null,
// or what standard output goes to.
type stagedFile struct {
	file      pendingFile
	temporary string
	place     string
}

// stage writes the data to a new file in the directory of its place.
func stage(f pendingFile) (stagedFile, error) {
	place, err := engine.PlaceOf(f.name) // replace what a link points to, not the link
	if err != nil {
		return stagedFile{}, err
	}
	mode := fs.FileMode(0o666)
	if err := insideRepository(f.name, place); err != nil {
		return stagedFile{}, err
	}
	info, err := os.Stat(place)
	link, linkErr := os.Lstat(place)
	switch {
	case err != nil && linkErr == nil && link.Mode()&fs.ModeSymlink != 0:
		return stagedFile{}, errors.New("it is a link to nothing")
	case err == nil && info.IsDir():
		return stagedFile{}, errors.New("it is a directory")
	case err == nil && (!info.Mode().IsRegular() || isStream(f.name)):
		return stagedFile{file: f, place: f.name}, nil
	case err == nil:
		mode = info.Mode().Perm()
	}
	out, err := createBeside(place, mode)
	if err != nil {
		return stagedFile{}, err
	}
	_, err = out.Write(f.data)
	if err = errors.Join(err, out.Close()); err != nil {
		return stagedFile{}, errors.Join(err, os.Remove(out.Name()))
	}
	return stagedFile{file: f, temporary: out.Name(), place: place}, nil
}

// insideRepository is an error if an output in a repository is led out of it, or
// into git's own files, by a link: the link may be a stranger's.
func insideRepository(name, place string) error {
	gits := errors.New("git's own files are there")
	if isStream(name) {
		return nil
	}
	for folder := filepath.Dir(place); ; folder = filepath.Dir(folder) {
		if exists(filepath.Join(folder, "HEAD")) && exists(filepath.Join(folder, "objects")) && exists(filepath.Join(folder, "refs")) {
			return gits
		}
		if folder == filepath.Dir(folder) {
			break
		}
	}
	root := schema.RootOf(filepath.Dir(name))
	if !exists(filepath.Join(root, ".git")) {
		return nil
	}
	relative, err := filepath.Rel(root, place)
	switch {
	case err != nil || !filepath.IsLocal(relative):
		return errors.New("a link leads from there out of the repository")
	case slices.ContainsFunc(strings.Split(filepath.ToSlash(relative), "/"), func(s string) bool { return strings.EqualFold(s, ".git") }):
		return gits
	}
	return nil
}

// replacesNothing is an error if the file would take the place of another output,
// of an input, or of a specification that happens not to be one.
func (s stagedFile) replacesNothing(others []stagedFile, inputs []string) error {
	info, err := os.Stat(s.place)
	same := func(name string) bool {
		other, otherErr := os.Stat(name)
		return err == nil && otherErr == nil && os.SameFile(info, other)
	}
	for _, o := range others {
		if s.temporary != "" && (o.place == s.place || same(o.place)) {
			return fmt.Errorf("the output %q goes to the same file", o.file.name)
		}
	}
	if err != nil || s.temporary == "" {
		return nil
	}
	for _, input := range inputs {
		if same(input) {
			return fmt.Errorf("it is the specification %q, which was read", input)
		}
	}
	if schema.IsSpecification(s.place) {
		return errors.New("a specification has that name, and an output must not replace it")
	}
	return nil
}

// createBeside creates a hidden file next to place. The mode is subject to
// the user's umask, as for a file that is written directly.
func createBeside(place string, mode fs.FileMode) (*os.File, error) {
	dir, base := filepath.Split(place)
	for n := 0; ; n++ {
		name := filepath.Join(dir, "."+base+"."+strconv.Itoa(os.Getpid())+"."+strconv.Itoa(n)+".tmp")
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, fs.ErrExist) || n > 100 {
			return f, err
		}
	}
}

func (s stagedFile) commit() error {
	if s.temporary != "" {
		return os.Rename(s.temporary, s.place)
	}
	out, err := os.OpenFile(s.place, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	_, err = out.Write(s.file.data)
	return errors.Join(err, out.Close())
}

// isStream reports whether a name stands for something that is open already,
// whatever that leads to.
func isStream(name string) bool {
	return strings.HasPrefix(name, "/dev/") || strings.HasPrefix(name, "/proc/")
}

func (s stagedFile) discard() error {
	if s.temporary == "" {
		return nil
	}
	if err := os.Remove(s.temporary); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// reason cuts the name of the temporary file off an error.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
