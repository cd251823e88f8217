package transaction

import (
	"context"
	"errors"
	"io"
	"time"
)

// locks are the folders in which no other run writes. Where a file system has no
// locks, a folder is written to without one, and nothing in it is repaired.
type locks map[string]io.Closer

var (
	errBusy    = errors.New("another run is writing there")
	errNoLocks = errors.New("this file system has no locks")
)

// take locks a folder, and waits some seconds if another run is at work there.
func (l locks) take(ctx context.Context, folder string) error {
	const wait, pause = 20 * time.Second, 10 * time.Millisecond
	for start := time.Now(); ; time.Sleep(pause) {
		lock, err := tryLock(folder)
		switch {
		case err == nil:
			l[folder] = lock
			return nil
		case errors.Is(err, errNoLocks):
			return nil
		case !errors.Is(err, errBusy) || time.Since(start) > wait:
			return err
		case ctx.Err() != nil:
			return context.Cause(ctx)
		}
	}
}

// more locks further folders if they are free.
func (l locks) more(folders []string) bool {
	for _, folder := range folders {
		if l.has(folder) {
			continue
		}
		lock, err := tryLock(folder)
		if err != nil {
			return false
		}
		l[folder] = lock
	}
	return true
}

func (l locks) has(folder string) bool { return l[folder] != nil }

func (l locks) release() {
	for _, lock := range l {
		_ = lock.Close()
	}
}
