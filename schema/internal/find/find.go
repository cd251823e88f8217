package find

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"

	"cuelang.org/go/cue/parser"

	"example.org/headroom/schema/internal/input"
)

// ErrNoSpecification says that a folder holds none.
var ErrNoSpecification = errors.New("no specification")

// Find lists the specifications that paths stand for, in order: a folder
// stands for the CUE package in it and each YAML and JSON specification in it,
// folder/... for those of the whole tree, "-" for standard input. A file
// without a top-level field headroom is passed over, unless it is named itself,
// has the fields of a specification otherwise, or is empty and stands beside a
// specification: a misspelt headroom must not take a vehicle out of sight.
//
// What looks like a specification and is passed over is told to opts.PassedOver.
//
// A tree is looked at up to a budget, [input.TreeBudget], and not beyond the file
// system that it is on; of one that has more, nothing is a target.
//
// An error says what cannot be read, has too much in it, or holds no specification,
// one line each; the targets are those of all else.
func Find(paths []string, opts input.Options) ([]input.Target, error) {
	f := &finder{opts: opts, files: opts.FileSystem(), limits: opts.Limits.OrDefault(), seen: map[string]bool{}}
	var errs []error
	for _, path := range paths {
		f.walker = input.NewWalker(f.files, cmp.Or(opts.Budget, input.TreeBudget()))
		f.passed = input.NewWalker(f.files, cmp.Or(opts.Budget, input.PassedOverBudget()))
		errs = append(errs, f.path(path))
	}
	return f.targets, errors.Join(errs...)
}

type finder struct {
	root    string // of the tree that is walked
	opts    input.Options
	files   input.Files
	limits  input.Limits
	targets []input.Target
	seen    map[string]bool
	walker  *input.Walker // through the tree of a path
	passed  *input.Walker // through what is passed over in it
	cut     bool          // more was passed over than is looked at, and that was said
}

func (f *finder) add(path, format string) {
	if key := keyOf(path); !f.seen[key] {
		f.seen[key] = true
		f.targets = append(f.targets, input.Target{Path: path, Format: format})
	}
}

// keyOf is the same for two ways to write a path.
func keyOf(path string) string {
	if a, err := filepath.Abs(path); err == nil && path != input.Stdin {
		return a
	}
	return path
}

func (f *finder) path(path string) error {
	if path == input.Stdin {
		f.add(input.Stdin, input.FormatOfName(f.opts.StdinName))
		return nil
	}
	if root, tree := strings.CutSuffix(filepath.ToSlash(path), "..."); tree && (root == "" || strings.HasSuffix(root, "/")) {
		root = filepath.Clean(filepath.FromSlash(cmp.Or(strings.TrimSuffix(root, "/"), rootOf(root))))
		return f.tree(root)
	}
	info, err := f.files.Stat(path)
	if folder, tree := strings.CutSuffix(path, "..."); err != nil && tree && folder != "" {
		return input.AbsentError{Text: fmt.Sprintf("%s: there is no such file or folder; %s/... means the folder and everything below it", input.DisplayPath(f.opts.Root, path), input.DisplayPath(f.opts.Root, folder))}
	}
	switch {
	case err != nil:
		return f.unreadable(path, err)
	case info.IsDir():
		return f.folder(path)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%s: %w; give - to read standard input", input.DisplayPath(f.opts.Root, path), input.ErrSpecial)
	case input.FormatOfName(path) == "":
		return fmt.Errorf("%s: a specification is a .cue, .yaml, .yml or .json file", input.DisplayPath(f.opts.Root, path))
	}
	f.add(path, input.FormatOfName(path))
	return nil
}

// rootOf is what an empty folder name before "..." means.
func rootOf(prefix string) string {
	if prefix == "/" {
		return "/"
	}
	return "."
}

func (f *finder) unreadable(path string, err error) error {
	return input.CannotRead(input.DisplayPath(f.opts.Root, path), err)
}

// folder adds what is in a folder that was named itself.
func (f *finder) folder(path string) error {
	entries, err := f.files.ReadDir(path)
	if err != nil {
		return f.unreadable(path, err)
	}
	before := len(f.targets)
	hasCUE, err := f.entries(path, entries, true)
	switch {
	case err != nil:
		return f.overBudget(path, before, err)
	case len(f.targets) > before:
		return nil
	case hasCUE:
		f.add(path, input.FormatPackage) // Load says what it lacks
		return nil
	}
	name := input.DisplayPath(f.opts.Root, path)
	return fmt.Errorf("%s: %w in this folder; to look in the folders below it too, write %s", name, ErrNoSpecification, strings.TrimSuffix(name, "/")+"/...")
}

// tree adds what is in a folder and all below it. A folder that cannot be read
// keeps no other one from being looked into.
func (f *finder) tree(root string) error {
	before := len(f.targets)
	f.root = root
	var errs []error
	f.walker.Skip = func(folder, name string) bool {
		if !skipped(name) {
			return false
		}
		folder = filepath.Join(folder, name)
		f.passOverFolder(folder, "folders of this name are skipped; to check them too, name the folder: "+filepath.ToSlash(folder)+"/...")
		return true
	}
	f.walker.Mounted = func(folder string) {
		f.say(input.PassedOver{Path: folder, Why: "it is on another file system; to check it too, name the folder: " + filepath.ToSlash(folder) + "/..."})
	}
	over := f.walker.Walk(root, func(folder string, entries []fs.DirEntry, err error) error {
		if err != nil {
			errs = append(errs, f.unreadable(folder, err))
			return nil
		}
		_, err = f.entries(folder, entries, false)
		return err
	})
	if over != nil {
		return errors.Join(append(errs, f.overBudget(root, before, over))...)
	}
	err := errors.Join(errs...)
	if err == nil && len(f.targets) == before {
		err = fmt.Errorf("%s: %w in this folder or below it: there is no CUE, YAML or JSON file with a top-level field headroom",
			input.DisplayPath(f.opts.Root, root), ErrNoSpecification)
	}
	return err
}

// overBudget says that a path has more than is looked at, and takes back what was
// found of it: a part of a fleet must not look like all of it.
func (f *finder) overBudget(path string, before int, err error) error {
	for _, t := range f.targets[before:] {
		delete(f.seen, keyOf(t.Path))
	}
	f.targets = f.targets[:before]
	where := ""
	if over := (input.OverBudgetError{}); errors.As(err, &over) {
		where = " (it ended at " + input.DisplayPath(f.opts.Root, over.Path) + ")"
	}
	return fmt.Errorf("%s: the search for specifications was stopped, and nothing of it is checked: it has %w%s; name the folders that hold vehicles",
		input.DisplayPath(f.opts.Root, path), err, where)
}

// entries adds the specifications among the entries of one folder, with files of
// data beside them, or in a folder that was named itself, that hold nothing, and
// files that cannot be read: either may be a vehicle that is not checked. It
// reports whether there are CUE files.
func (f *finder) entries(folder string, entries []fs.DirEntry, named bool) (hasCUE bool, err error) {
	inPackage := false
	var lost, empty []input.Target
	before := len(f.targets)
	for _, entry := range entries {
		name := entry.Name()
		format := input.FormatOfName(name)
		path := filepath.Join(folder, name)
		if entry.IsDir() || f.linkedFolder(path, entry) {
			continue
		}
		if why := whyPassedOver(name); why != "" {
			f.passOver(path, why)
			continue
		}
		if format == "" {
			continue
		}
		hasCUE = hasCUE || format == input.FormatCUE
		if err := f.walker.Look(path); err != nil {
			return hasCUE, err
		}
		switch what := f.likenessOf(path, format); {
		case what == outside:
			f.say(input.PassedOver{Path: path, Why: "it is a link out of the repository or the named folder, or to git's own files"})
		case what == special:
			f.say(input.PassedOver{Path: path, Why: input.ErrSpecial.Error()})
		case what == packaged:
			inPackage = true
		case what == unreadable && format == input.FormatCUE:
			lost = append(lost, input.Target{Path: path, Format: format})
		case what == hollow:
			empty = append(empty, input.Target{Path: path, Format: format})
		case what != foreign:
			f.add(path, format)
		}
	}
	if inPackage {
		f.add(folder, input.FormatPackage) // and Read says what of it cannot be read
	} else {
		f.addAll(lost)
	}
	if named || len(f.targets) > before {
		f.addAll(empty)
	}
	return hasCUE, nil
}

func (f *finder) addAll(targets []input.Target) {
	for _, t := range targets {
		f.add(t.Path, t.Format)
	}
}

// skipped reports whether folders of a name are not looked into.
func skipped(name string) bool {
	return strings.HasPrefix(name, ".") || name == "cue.mod" || name == "testdata" || name == "node_modules"
}

var (
	firstContent    = regexp.MustCompile(`(?m)^( *)[^ \t\r\n#%-]`)
	versionAtMargin = atMargin("headroom")
)

// atMargin matches a field that begins its line.
func atMargin(names string) *regexp.Regexp {
	return regexp.MustCompile(`(?m)^(?:\x{FEFF})?["']?(?:` + names + `)["']?[ \t]*[:!]`)
}

// A specification is known by its vehicle beside parts or conductors.
var (
	vehicleAtMargin = atMargin("(?i:vehicle)")
	partsAtMargin   = atMargin("(?i:batteries|fuses|contactors|wires|controllers|converters|loads)")
)

// hasVersion reports whether a file has a top-level field headroom. It must
// find it in files with broken syntax too, or those would pass unseen.
func hasVersion(content []byte, format string) bool {
	if vehicleAtMargin.Match(content) && partsAtMargin.Match(content) || format == input.FormatJSON && isVehicle(content) {
		return true
	}
	if !bytes.Contains(content, []byte("headroom")) {
		return false
	}
	switch format {
	case input.FormatCUE:
		if input.TooChained(content) != nil || input.TooMany(content, input.DefaultLimits().Values) != nil {
			return versionAtMargin.Match(content) // no parser may see it; whoever reads it says so
		}
		if f, err := parser.ParseFile("", content); err == nil {
			return input.TopLevel(f, "headroom")
		}
		return versionAtMargin.Match(content)
	case input.FormatYAML:
		if versionAtMargin.Match(outdent(content)) {
			return true
		}
	}
	return hasVersionInBraces(content)
}

// isVehicle reports whether a JSON file has a vehicle beside parts.
func isVehicle(content []byte) bool {
	var fields map[string]json.RawMessage
	if json.Unmarshal(content, &fields) != nil || fields["vehicle"] == nil {
		return false
	}
	for name := range fields {
		if partsAtMargin.MatchString(name + ":") {
			return true
		}
	}
	return false
}

// outdent takes off each line the indentation that the first line with content
// has, for YAML may begin its first level anywhere.
func outdent(content []byte) []byte {
	first := firstContent.FindSubmatch(content)
	if first == nil || len(first[1]) == 0 {
		return content
	}
	return bytes.ReplaceAll(append([]byte("\n"), content...), append([]byte("\n"), first[1]...), []byte("\n"))
}

// hasVersionInBraces looks for the field at the first level of braces.
func hasVersionInBraces(content []byte) bool {
	depth := 0
	for i := 0; i < len(content); i++ {
		switch c := content[i]; c {
		case '{', '[':
			depth++
		case '}', ']':
			depth--
		case '#':
			if end := bytes.IndexByte(content[i:], '\n'); end > 0 {
				i += end
			}
		case '"', '\'':
			end := i + 1
			for end < len(content) && content[end] != c {
				if content[end] == '\\' {
					end++
				}
				end++
			}
			if depth == 1 && end < len(content) && string(content[i+1:end]) == "headroom" && followedByColon(content[end+1:]) {
				return true
			}
			i = end
		case 'h':
			word := []byte("headroom")
			if depth == 1 && bytes.HasPrefix(content[i:], word) && followedByColon(content[i+len(word):]) {
				return true
			}
		}
	}
	return false
}

func followedByColon(b []byte) bool {
	b = bytes.TrimLeft(b, " \t\r\n")
	return len(b) > 0 && b[0] == ':'
}
