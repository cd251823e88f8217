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

	"example.org/headroom/schema"
)

// mostOfObject is the size up to which the content of a file is read, bytes: above
// that of any specification.
const mostOfObject = 64 << 20

// objects reads the content of files as they are stored, through one git
// process for all. Line ends and encodings stay as stored: git stores text as
// UTF-8, and no specification depends on its line ends.
type objects struct {
	repository *Repository
	mu         sync.Mutex
	batch      *batch
}

// batch is a running "git cat-file --batch".
type batch struct {
	cmd       *exec.Cmd
	in        io.WriteCloser
	out       *bufio.Reader
	complaint bytes.Buffer
}

// read returns the content of an object.
func (o *objects) read(ctx context.Context, hash string) ([]byte, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.batch == nil {
		b, err := o.repository.startBatch(ctx)
		if err != nil {
			return nil, err
		}
		o.batch = b
	}
	stop := watch(o.batch.cmd)
	content, found, err := o.batch.ask(hash)
	if stop() {
		err = silentError{patience}
	}
	if large := (schema.TooLargeError{}); err == nil && found || errors.As(err, &large) {
		return content, err
	}
	if err != nil { // what is left of the process is of no use
		err = o.batch.end(err)
		o.batch = nil
	} else {
		err = fmt.Errorf("git does not have its object %s: the repository is damaged", hash)
	}
	return nil, o.repository.withoutFetch(ctx, err)
}

// withoutFetch says of an error that a partial clone is the likely reason.
func (r *Repository) withoutFetch(ctx context.Context, err error) error {
	if err == nil || !r.partial(ctx) {
		return err
	}
	return errors.New("not in this partial clone, and nothing is fetched here; " + refetch)
}

const refetch = "fetch it first: \"git fetch --refetch --no-filter\", or leave filter out of the workflow's checkout step"

// partial reports whether the repository may lack objects on purpose.
func (r *Repository) partial(ctx context.Context) bool {
	_, err := r.git(ctx, "config", "--get-regexp", `^(extensions\.partialclone|remote\..*\.(promisor|partialclonefilter))$`)
	return err == nil
}

func (r *Repository) startBatch(ctx context.Context) (*batch, error) {
	b := &batch{cmd: r.command(ctx, "cat-file", "--batch")}
	b.cmd.Stderr = &b.complaint
	in, err := b.cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := b.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := b.cmd.Start(); err != nil {
		return nil, fmt.Errorf("git cannot be started: %w", err)
	}
	b.in, b.out = in, bufio.NewReader(out)
	return b, nil
}

// ask requests one object: a line "hash type size", the content, a newline; or
// "hash missing".
func (b *batch) ask(hash string) (content []byte, found bool, err error) {
	if _, err := io.WriteString(b.in, hash+"\n"); err != nil {
		return nil, false, fmt.Errorf("git stopped reading: %w", err)
	}
	head, err := b.out.ReadString('\n')
	if err != nil {
		return nil, false, fmt.Errorf("git stopped answering: %w", err)
	}
	fields := strings.Fields(head)
	if len(fields) == 2 && fields[1] == "missing" {
		return nil, false, nil
	}
	if len(fields) != 3 {
		return nil, false, fmt.Errorf("git answered out of turn: %s", strings.TrimSpace(head))
	}
	size, err := strconv.Atoi(fields[2])
	if err != nil {
		return nil, false, fmt.Errorf("git answered out of turn: %s", strings.TrimSpace(head))
	}
	if size > mostOfObject {
		if _, err := io.CopyN(io.Discard, b.out, int64(size)+1); err != nil {
			return nil, false, fmt.Errorf("git stopped answering: %w", err)
		}
		return nil, true, schema.TooLargeError{Limit: mostOfObject, Size: int64(size)}
	}
	content = make([]byte, size+1)
	if _, err := io.ReadFull(b.out, content); err != nil {
		return nil, false, fmt.Errorf("git stopped answering: %w", err)
	}
	return content[:size], true, nil
}

// end ends a process that failed; the error is what it complained of.
func (b *batch) end(err error) error {
	_ = b.cmd.Process.Kill() // it may be about to print what nobody reads
	_ = b.in.Close()
	_ = b.cmd.Wait()
	return complaintOf(b.complaint.String(), err)
}

// close ends the process.
func (o *objects) close() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.batch == nil {
		return nil
	}
	if err := o.batch.in.Close(); err != nil {
		return o.batch.end(err)
	}
	err := o.batch.cmd.Wait()
	o.batch = nil
	return err
}
