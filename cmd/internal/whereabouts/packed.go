package whereabouts

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/bzip2"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"strings"
)

// mostUnpacked bounds what one compressed file may hold, allUnpacked what all of
// them may that are looked through.
const (
	mostUnpacked = 64 << 20
	allUnpacked  = 256 << 20
)

var errBudget = fmt.Errorf("more is packed in files that came than is looked through, %d MiB", allUnpacked>>20)

// unpacked reads a compressed file as what it holds, which may be compressed again
// but in an archive; anything else as it is.
func unpacked(r io.Reader, size int64, budget *int64) (text io.Reader, packed bool, err error) {
	const layers = 4
	for range layers {
		b := bufio.NewReader(r)
		r = b
		head, err := b.Peek(4)
		if ended(packed, err) != nil {
			return r, packed, err
		}
		switch {
		case bytes.HasPrefix(head, []byte("\x1f\x8b\x08")):
			inner, err := gzip.NewReader(b)
			if err != nil {
				return r, packed, nil // it only looks like it; its bytes count as they are
			}
			r = inner
		case bytes.HasPrefix(head, []byte("BZh")):
			r = bzip2.NewReader(b)
		case bytes.HasPrefix(head, []byte("PK\x03\x04")) && size <= mostUnpacked:
			content, err := io.ReadAll(io.LimitReader(b, mostUnpacked))
			if err != nil {
				return r, packed, err
			}
			return &limited{zipped(content), mostUnpacked, budget}, true, nil
		default:
			return r, packed, nil
		}
		r, packed = &limited{r, mostUnpacked, budget}, true
	}
	return r, packed, nil
}

// limited reads up to a limit, and as long as there is a budget.
type limited struct {
	r      io.Reader
	left   int64
	budget *int64
}

func (l *limited) Read(p []byte) (int, error) {
	switch {
	case l.left <= 0:
		return 0, io.EOF
	case *l.budget <= 0:
		return 0, errBudget
	}
	n, err := l.r.Read(p[:min(int64(len(p)), l.left)])
	l.left -= int64(n)
	*l.budget -= int64(n)
	return n, err
}

// zipped reads the files of an archive one after the other; of a damaged one, what
// can be read of it.
func zipped(content []byte) io.Reader {
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return bytes.NewReader(nil)
	}
	var files []io.Reader
	for _, file := range archive.File {
		if r, err := file.Open(); err == nil {
			files = append(files, forgiving{r}, strings.NewReader("\n"))
		}
	}
	return io.MultiReader(files...)
}

// forgiving ends where it is damaged.
type forgiving struct{ io.Reader }

func (f forgiving) Read(p []byte) (int, error) {
	n, err := f.Reader.Read(p)
	if err != nil {
		err = io.EOF
	}
	return n, err
}

// ended is the error of a file that was read to its end. A compressed one may be
// damaged, and what came before that counts.
func ended(packed bool, err error) error {
	if errors.Is(err, errBudget) {
		return err
	}
	if packed || err == nil || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return nil
	}
	return err
}
