package revision

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"strconv"
	"strings"
	"sync"
)

// objects reads the content of files: as stored, through one git process for
// all; or, for the few whose attributes say that a work tree holds something
// else (another encoding, large-file pointers), as git would write it there.
type objects struct {
	repository *Repository
	paths      []string // of all files of the tree that may be asked for
	mu         sync.Mutex
	batch      *batch
	filtered   func() map[string]bool // paths that a filter changes
}

// batch is a running "git cat-file --batch".
type batch struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Reader
}

// read returns the content of an object; with a path, as the file of that path
// is in a work tree. Line ends stay as stored, since no specification depends
// on them.
func (o *objects) read(ctx context.Context, hash, path string) ([]byte, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if path != "" && o.filtered == nil {
		o.filtered = sync.OnceValue(func() map[string]bool { return o.repository.filtered(ctx, o.paths) })
	}
	if path != "" && o.filtered()[path] {
		// In a batch the sizes announced are those before the filter, so each is
		// asked for by itself.
		return o.repository.git(ctx, "cat-file", "--filters", "--path="+path, hash)
	}
	if o.batch == nil {
		b, err := o.start(ctx)
		if err != nil {
			return nil, err
		}
		o.batch = b
	}
	return o.batch.ask(hash)
}

// filtered lists the paths whose attributes name a filter or an encoding. Where
// git cannot tell, nothing is filtered.
func (r *Repository) filtered(ctx context.Context, paths []string) map[string]bool {
	cmd := r.command(ctx, "check-attr", "-z", "--stdin", "filter", "working-tree-encoding")
	cmd.Dir = r.top
	cmd.Args[2] = r.top // attributes are asked for by path from the root
	cmd.Stdin = strings.NewReader(strings.Join(paths, "\x00"))
	out, err := cmd.Output()
	if err != nil {
		return nil
	}
	found := map[string]bool{}
	fields := bytes.Split(out, []byte{0})
	for i := 0; i+2 < len(fields); i += 3 {
		if value := string(fields[i+2]); value != "unspecified" && value != "unset" {
			found[string(fields[i])] = true
		}
	}
	return found
}

func (o *objects) start(ctx context.Context) (*batch, error) {
	cmd := o.repository.command(ctx, "cat-file", "--batch")
	in, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("git cannot be started: %w", err)
	}
	return &batch{cmd, in, bufio.NewReader(out)}, nil
}

// ask requests one object: a line "hash type size", the content, a newline.
func (b *batch) ask(hash string) ([]byte, error) {
	if _, err := io.WriteString(b.in, hash+"\n"); err != nil {
		return nil, fmt.Errorf("git stopped reading: %w", err)
	}
	head, err := b.out.ReadString('\n')
	if err != nil {
		return nil, fmt.Errorf("git stopped answering: %w", err)
	}
	fields := strings.Fields(head)
	if len(fields) != 3 {
		return nil, errors.New("git does not have the object: " + strings.TrimSpace(head))
	}
	size, err := strconv.Atoi(fields[2])
	if err != nil {
		return nil, errors.New("git answered out of turn: " + strings.TrimSpace(head))
	}
	content := make([]byte, size+1)
	if _, err := io.ReadFull(b.out, content); err != nil {
		return nil, fmt.Errorf("git stopped answering: %w", err)
	}
	return content[:size], nil
}

// close ends the process.
func (o *objects) close() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.batch == nil {
		return nil
	}
	err := errors.Join(o.batch.in.Close(), o.batch.cmd.Wait())
	o.batch = nil
	return err
}
