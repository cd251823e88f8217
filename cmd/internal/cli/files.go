package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// pendingFile is an output that is rendered but not yet written.
type pendingFile struct {
	name string
	data []byte
}

// writeFiles writes all files or none: each goes to a temporary file beside
// its place first, and only when all of them are on disk do they take their
// places.
func writeFiles(files []pendingFile) (err error) {
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
	for _, s := range staged {
		if err := s.commit(); err != nil {
			return fmt.Errorf("cannot write %q: %w", s.file.name, reason(err))
		}
	}
	return nil
}

// stagedFile is a file that waits beside its place. Without a temporary file
// it is something that cannot be replaced, such as a pipe or /dev/null.
type stagedFile struct {
	file      pendingFile
	temporary string
	place     string
}

// stage writes the data to a new file in the directory of its place.
func stage(f pendingFile) (stagedFile, error) {
	place, mode := f.name, fs.FileMode(0o666)
	if resolved, err := filepath.EvalSymlinks(place); err == nil {
		place = resolved // replace what a link points to, not the link
	}
	info, err := os.Stat(place)
	switch {
	case err == nil && info.IsDir():
		return stagedFile{}, errors.New("it is a directory")
	case err == nil && !info.Mode().IsRegular():
		return stagedFile{file: f, place: place}, nil
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
	if s.temporary == "" {
		return os.WriteFile(s.place, s.file.data, 0)
	}
	return os.Rename(s.temporary, s.place)
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
