package transaction

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// Interrupted is the error of a transaction during which a signal asked the program
// to end. All is as it was, or all is written.
type Interrupted struct{ Signal os.Signal }

func (i Interrupted) Error() string { return "stopped: " + i.Signal.String() }

// Raise ends the program as the signal would have; it returns where that is not
// possible.
func (i Interrupted) Raise() {
	signal.Reset(i.Signal)
	if self, err := os.FindProcess(os.Getpid()); err == nil && self.Signal(i.Signal) == nil {
		time.Sleep(time.Second) // it is on its way
	}
}

// untilInterrupted gives a context that ends with a signal to end the program. A
// signal that the program was started to ignore stays ignored, and a second one ends
// it at once.
func untilInterrupted() (context.Context, func()) {
	ctx, cancel := context.WithCancelCause(context.Background())
	arrived := make(chan os.Signal, 1)
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(s) {
			signal.Notify(arrived, s)
		}
	}
	ended := make(chan struct{})
	go func() {
		select {
		case s := <-arrived:
			signal.Stop(arrived)
			cancel(Interrupted{s})
		case <-ended:
		}
	}()
	return ctx, func() {
		signal.Stop(arrived)
		close(ended)
		// One that came last counts too.
		select {
		case s := <-arrived:
			cancel(Interrupted{s})
		default:
		}
	}
}
