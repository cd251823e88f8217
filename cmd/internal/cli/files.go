package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/transaction"
	"example.org/headroom/schema"
)

// pendingFile is an output that is rendered but not yet written.
type pendingFile struct {
	name string
	data []byte
}

// writeFiles writes all files or none. None takes the place of a specification, of
// one of the inputs, or of another output.
func (c *Command) writeFiles(pending []pendingFile, inputs []string) error {
	var files []transaction.File
	for _, p := range pending {
		f, err := withPlace(p)
		if err == nil {
			err = replacesNothing(f, files, inputs)
		}
		if err != nil {
			return fmt.Errorf("cannot write %q, so no output file was written: %w", p.name, transaction.Reason(err))
		}
		files = append(files, f)
	}
	if len(files) == 0 {
		return nil
	}
	return transaction.Write(files, replaceable, func(text string) {
		c.say("headroom: note: %s\n", text)
	})
}

// withPlace finds the place of an output.
func withPlace(p pendingFile) (transaction.File, error) {
	f := transaction.File{Name: p.name, Data: p.data, Mode: 0o666}
	var err error
	if strings.HasSuffix(filepath.ToSlash(p.name), "/") {
		return f, errors.New("it names a folder; add the name of the file")
	}
	if f.Place, err = engine.PlaceOf(p.name); err != nil { // replace what a link points to, not the link
		return f, err
	}
	if err := insideRepository(p.name, f.Place); err != nil {
		return f, err
	}
	info, err := os.Stat(f.Place)
	link, linkErr := os.Lstat(f.Place)
	switch {
	case err != nil && linkErr == nil && link.Mode()&fs.ModeSymlink != 0:
		return f, errors.New("it is a link to nothing")
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return f, err
	case err == nil && info.IsDir():
		return f, errors.New("it is a directory")
	case err == nil && (!info.Mode().IsRegular() || isStream(p.name)):
		f.Place, f.Stream = p.name, true
	case err == nil:
		f.Mode = info.Mode().Perm()
	}
	return f, nil
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

// replacesNothing is an error if a file would take the place of another output, of
// an input, or of a specification that happens not to be one.
func replacesNothing(f transaction.File, others []transaction.File, inputs []string) error {
	if f.Stream {
		return nil
	}
	for _, other := range others {
		if !other.Stream && oneFile(f.Place, other.Place) {
			return fmt.Errorf("the output %q goes to the same file", other.Name)
		}
	}
	for _, input := range inputs {
		if sameFile(f.Place, input) {
			return fmt.Errorf("it is the specification %q, which was read", input)
		}
	}
	return replaceable(f.Place)
}

// replaceable is an error if what is at a place is a specification. An earlier output
// has many of the words of one, and may be replaced.
func replaceable(place string) error {
	if _, err := os.Lstat(place); err == nil && schema.IsSpecification(place) && !isOutput(place) {
		return errors.New("a specification has that name, and an output must not replace it")
	}
	return nil
}

// isOutput reports whether a file is an earlier output of this program.
func isOutput(place string) bool {
	f, err := schema.Machine{}.Open(place)
	if err != nil {
		return false
	}
	defer f.Close() //nolint:errcheck // nothing was written
	return output.IsOwn(f)
}

// oneFile reports whether two places are one file, or would be one on some systems:
// where case does not count in names, or how letters with marks are composed.
func oneFile(a, b string) bool {
	folderA, nameA := filepath.Split(a)
	folderB, nameB := filepath.Split(b)
	return a == b || sameFile(a, b) ||
		sameFile(folderA, folderB) && strings.EqualFold(norm.NFC.String(nameA), norm.NFC.String(nameB))
}

// sameFile reports whether two paths lead to one file or folder that is there.
func sameFile(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}

// isStream reports whether a name stands for something that is open already,
// whatever that leads to.
func isStream(name string) bool {
	return strings.HasPrefix(name, "/dev/") || strings.HasPrefix(name, "/proc/")
}
