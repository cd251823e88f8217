package transaction

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"syscall"
	"time"
)

// File is an output.
type File struct {
	Name  string // as the user wrote it
	Place string // the file to replace: absolute, without symbolic links
	Data  []byte
	Mode  fs.FileMode // subject to the user's umask
	// Stream is something that is open already or that cannot be replaced, such as a
	// pipe or /dev/stdout: it is written to, before any file is replaced.
	Stream bool
}

// Error says which file could not be written.
type Error struct {
	Name    string
	Partly  bool // others took their places already; the next run finishes it
	problem error
}

func (e *Error) Unwrap() error { return e.problem }

func (e *Error) Error() string {
	if e.Partly {
		return fmt.Sprintf("cannot write %q, but other outputs are new: %v; the next run that writes there finishes it", e.Name, Reason(e.problem))
	}
	return fmt.Sprintf("cannot write %q, so no output file was written: %v", e.Name, Reason(e.problem))
}

// Guard is an error if an output must not replace what is at a place.
type Guard func(place string) error

// Write writes all files or none. What it repairs of an earlier run is told to say,
// one line. A signal that asks the program to end is obeyed when nothing is left
// half-done: then the error is an [Interrupted].
func Write(files []File, guard Guard, say func(string)) error {
	ctx, stop := untilInterrupted()
	err := write(ctx, files, guard, say)
	stop()
	if cause := (Interrupted{}); errors.As(context.Cause(ctx), &cause) {
		return cause
	}
	return err
}

func write(ctx context.Context, files []File, guard Guard, say func(string)) error {
	w := &writing{id: newID(), locks: locks{}}
	defer w.locks.release()
	for _, f := range files {
		if !f.Stream {
			w.files = append(w.files, staged{File: f})
		}
	}
	for _, folder := range w.folders() {
		if err := w.locks.take(ctx, folder); err != nil {
			return &Error{Name: w.in(folder).Name, problem: err}
		}
	}
	repair(w.locks, w.folders(), guard, say)
	if err := w.prepare(ctx, files); err != nil {
		return errors.Join(err, w.discard())
	}
	return w.replace()
}

// staged is a file that waits beside its place.
type staged struct {
	File
	temporary string
}

// writing is one transaction.
type writing struct {
	id       string
	files    []staged
	journals []string // the last one decides
	locks    locks
}

// newID tells the names of one transaction from those of others.
func newID() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

// folders are those of all places, sorted.
func (w *writing) folders() (list []string) {
	for _, f := range w.files {
		list = append(list, filepath.Dir(f.Place))
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// in is the first file of a folder.
func (w *writing) in(folder string) File {
	return w.files[slices.IndexFunc(w.files, func(s staged) bool { return filepath.Dir(s.Place) == folder })].File
}

// prepare does all that may fail, and replaces nothing.
func (w *writing) prepare(ctx context.Context, files []File) error {
	for i := range w.files {
		if err := w.stage(ctx, i); err != nil {
			return &Error{Name: w.files[i].Name, problem: err}
		}
	}
	for _, f := range files {
		if f.Stream {
			if err := stream(ctx, f); err != nil {
				return &Error{Name: f.Name, problem: err}
			}
		}
	}
	if len(w.files) < 2 { // one file is renamed or it is not
		return context.Cause(ctx)
	}
	if err := w.decide(); err != nil {
		return &Error{Name: w.files[0].Name, problem: fmt.Errorf("the journal of the outputs cannot be written: %w", Reason(err))}
	}
	return nil
}

// temporary is the name of a file in a folder that is to take another one's place.
// It is short, whatever the other name is.
func (w *writing) temporary(folder string, what string) string {
	return filepath.Join(folder, prefix+w.id+"-"+what+temporaryEnd)
}

// stage puts the data on disk beside its place.
func (w *writing) stage(ctx context.Context, i int) error {
	f := &w.files[i]
	name := w.temporary(filepath.Dir(f.Place), strconv.Itoa(i))
	out, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, f.Mode)
	if err != nil {
		return err
	}
	f.temporary = name
	return errors.Join(fill(ctx, out, f.Data), out.Close())
}

// fill writes data to a file and puts it on disk, unless the program is to end.
func fill(ctx context.Context, out *os.File, data []byte) error {
	const step = 1 << 20
	for chunk := range slices.Chunk(data, step) {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if _, err := out.Write(chunk); err != nil {
			return err
		}
	}
	return out.Sync()
}

// replace gives the files their places. Nothing stops it but an error of the file
// system: a signal waits.
func (w *writing) replace() error {
	for i, f := range w.files {
		err := os.Rename(f.temporary, f.Place)
		switch {
		case err == nil:
			continue
		case i == 0:
			return errors.Join(&Error{Name: f.Name, problem: err}, w.discard())
		}
		return &Error{Name: f.Name, Partly: true, problem: err}
	}
	for _, folder := range w.folders() {
		syncFolder(folder)
	}
	// Places are on disk before the journal is gone; the one that decides goes last.
	return removeAll(w.journals)
}

// discard removes what was prepared: first the journal that decides.
func (w *writing) discard() error {
	names := slices.Clone(w.journals)
	slices.Reverse(names)
	for _, f := range w.files {
		if f.temporary != "" {
			names = append(names, f.temporary)
		}
	}
	return removeAll(names)
}

func removeAll(names []string) (err error) {
	for _, name := range names {
		if e := os.Remove(name); e != nil && !errors.Is(e, fs.ErrNotExist) && !errors.Is(e, syscall.ENOTDIR) {
			err = errors.Join(err, fmt.Errorf("and %s could not be removed: %w", name, Reason(e)))
		}
	}
	return err
}

// stream writes to what cannot be replaced. A pipe that nobody reads is waited for
// some seconds.
func stream(ctx context.Context, f File) error {
	const wait, pause = 5 * time.Second, 20 * time.Millisecond
	ended := make(chan error, 1)
	go func() {
		out, err := os.OpenFile(f.Place, os.O_WRONLY|os.O_APPEND|withoutWaiting, 0)
		for start := time.Now(); hasNoReader(err) && time.Since(start) < wait; time.Sleep(pause) {
			out, err = os.OpenFile(f.Place, os.O_WRONLY|os.O_APPEND|withoutWaiting, 0)
		}
		if hasNoReader(err) {
			err = fmt.Errorf("it is a pipe or a socket that nobody reads from")
		}
		if err == nil {
			_, err = out.Write(f.Data)
			err = errors.Join(err, out.Close())
		}
		ended <- err
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

// Reason cuts the names of our own files off an error.
func Reason(err error) error {
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
