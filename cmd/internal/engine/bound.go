package engine

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"runtime/metrics"
	"slices"
	"sync"
	"time"
)

// Bound is what a run may cost. A vehicle that costs more is given up and reported;
// the others are checked. Zero is no bound.
type Bound struct {
	Time   time.Duration // of the processor for one vehicle: read, checked and compared
	Memory uint64        // in use while vehicles are checked, bytes; a process of its own (see ofProbe) has its own
	Run    time.Duration // of the processor for all vehicles; 0 for what goes by their number
}

// DefaultBound is far above what a vehicle needs: one of two hundred parts takes a tenth
// of a second, one of ten thousand conductors some seconds and 500 MiB.
func DefaultBound() Bound { return Bound{Time: 8 * time.Second, Memory: 768 << 20} }

// runTime is what a run over some vehicles may take of the processor: what is set, else
// a quarter more than one vehicle, so that one that is given up leaves room for
// others, and a quarter of a second for each, several times what one takes.
func (b Bound) runTime(vehicles int) time.Duration {
	if b.Run > 0 || b.Time == 0 {
		return b.Run
	}
	return b.Time*5/4 + time.Duration(vehicles)*time.Second/4
}

// ended is why a vehicle was given up.
type ended struct {
	what string // it took more than this
	fix  string
	flag string // that raises the bound
}

func (e *ended) Error() string {
	return fmt.Sprintf("it took more than %s and was given up; %s, or allow more with %s", e.what, e.fix, e.flag)
}

func (b Bound) outOfTime() error {
	return &ended{seconds(b.Time) + " of processor time", "look for what is there a thousand times, such as parts, modes or a comprehension over a long list", "--vehicle-time"}
}

func (b Bound) outOfMemory() error {
	return &ended{fmt.Sprintf("%d MiB of memory", b.Memory>>20), "look for what is there a thousand times, such as parts, modes or a comprehension over a long list", "--vehicle-memory"}
}

// outOfRun is why what is left of a run is given up.
func outOfRun(limit time.Duration) error {
	return fmt.Errorf("the whole run took more than %s of processor time, so that this vehicle was not checked; name fewer vehicles at once (--shard), or allow more with --run-time", seconds(limit))
}

func seconds(d time.Duration) string { return fmt.Sprintf("%g s", d.Seconds()) }

// errCrowded says that memory ran out while several vehicles were worked on: each is
// tried again by itself. Where that is no help, the evaluation of another one goes on and
// cannot be stopped.
var errCrowded = errors.New("it was not checked: memory ran out beside a vehicle that was given up; check it by itself")

// watch bounds what is done for vehicles. The zero value is ready for use.
type watch struct {
	alone    sync.RWMutex // held for writing by who must be alone
	lock     sync.Mutex
	began    time.Time
	total    time.Duration // of the processor, from when the work began
	vehicles int           // that were found so far
	active   []*job
	sampled  time.Duration // processor time of the process at the last sample
	sampling bool
}

// job is what is being done for one vehicle.
type job struct {
	spent time.Duration // processor time of the vehicle
	stop  context.CancelCauseFunc
}

// chargeKey is that of a function in a context, which charges the work with processor
// time that a process of its own has taken.
type chargeKey struct{}

// charge adds processor time that another process took for a job.
func (w *watch) charge(j *job, d time.Duration) {
	w.lock.Lock()
	defer w.lock.Unlock()
	j.spent += d
	w.total += d
}

// spentBy is the processor time of a job so far.
func (w *watch) spentBy(j *job) time.Duration {
	w.lock.Lock()
	defer w.lock.Unlock()
	w.account()
	return j.spent
}

// inTime is a context for work on some more vehicles that were found: it ends when the
// run has waited too long for the processor. What it takes of it is for sample.
func (e *Engine) inTime(ctx context.Context, more int) (context.Context, context.CancelFunc) {
	e.watch.lock.Lock()
	defer e.watch.lock.Unlock()
	if e.watch.began.IsZero() {
		e.watch.began = time.Now()
	}
	e.watch.vehicles += more
	limit := e.Bound.runTime(e.watch.vehicles)
	if limit == 0 {
		return ctx, func() {}
	}
	return context.WithDeadlineCause(ctx, e.watch.began.Add(waits*limit), outOfRun(limit))
}

// graceTime is what work has to notice that it was stopped. The rules notice within
// milliseconds; the evaluator of CUE can't be stopped, and is handed small things only.
const graceTime = time.Second / 2

// waits is how many times as long as it may take a vehicle may wait for the processor
// beside other programs.
const waits = 8

// within does work for a vehicle with what is left to it of its bound; spent is what is
// used up. The work is done again where it was stopped for the sake of others, and goes
// on by itself, its outcome unused, where it can't be stopped.
func within[T any](ctx context.Context, e *Engine, spent *time.Duration, do func(context.Context) (T, error)) (T, error) {
	e.watch.alone.RLock()
	before := *spent
	out, err := attempt(ctx, e, spent, do)
	e.watch.alone.RUnlock()
	if errors.Is(err, errCrowded) {
		e.watch.alone.Lock()
		defer e.watch.alone.Unlock()
		*spent = before
		return attempt(ctx, e, spent, do)
	}
	return out, err
}

func attempt[T any](ctx context.Context, e *Engine, spent *time.Duration, do func(context.Context) (T, error)) (none T, err error) {
	if ctx.Err() != nil {
		return none, context.Cause(ctx)
	}
	if e.Bound.Time > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeoutCause(ctx, waits*e.Bound.Time, e.Bound.outOfTime())
		defer cancel()
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	j := &job{spent: *spent, stop: stop}
	leave := e.watch.enter(e.Bound, j)
	defer func() { *spent = e.watch.spentBy(j) }()
	ctx = context.WithValue(ctx, chargeKey{}, func(d time.Duration) { e.watch.charge(j, d) })

	type outcome struct {
		value T
		err   error
	}
	done := make(chan outcome, 1)
	go func() {
		defer leave() // not before it has ended, whoever waits for it
		defer func() {
			// Nobody further out can recover what happens here.
			if fault := recover(); fault != nil {
				done <- outcome{err: fmt.Errorf("internal error (%v); please report this with the file", fault)}
			}
		}()
		value, err := do(ctx)
		done <- outcome{value, err}
	}()
	select {
	case o := <-done:
		return o.value, o.err
	case <-ctx.Done():
	}
	select {
	case <-done: // what it says of its end is less than the cause
	case <-time.After(graceTime):
	}
	return none, context.Cause(ctx)
}

// enter notes that a vehicle is worked on, and watches time and memory as long as any
// is. It returns what takes the note back.
func (w *watch) enter(b Bound, j *job) (leave func()) {
	w.lock.Lock()
	defer w.lock.Unlock()
	w.account()
	w.active = append(w.active, j)
	if !w.sampling && b != (Bound{}) {
		w.sampling = true
		go w.sample(b)
	}
	return func() {
		w.lock.Lock()
		defer w.lock.Unlock()
		w.account()
		w.active = slices.DeleteFunc(w.active, func(other *job) bool { return other == j })
	}
}

// account adds the processor time since the last time to what is worked on, to each as
// much: what the process does for which of them nobody knows.
func (w *watch) account() {
	now := processTime()
	if len(w.active) > 0 {
		w.total += now - w.sampled
	}
	for _, j := range w.active {
		j.spent += (now - w.sampled) / time.Duration(len(w.active))
	}
	w.sampled = now
}

// sample stops what has taken its time, and whatever is worked on when memory runs out.
// It ends with the work.
func (w *watch) sample(b Bound) {
	for range time.Tick(20 * time.Millisecond) {
		used := memoryInUse()
		if b.Memory > 0 && used > b.Memory { // garbage is no reason
			runtime.GC()
			used = memoryInUse()
		}
		if !w.look(b, used) {
			return
		}
	}
}

// look is one sample; false once nothing is worked on.
func (w *watch) look(b Bound, memory uint64) bool {
	w.lock.Lock()
	defer w.lock.Unlock()
	w.sampling = len(w.active) > 0
	w.account()
	cause := b.outOfMemory()
	if len(w.active) > 1 {
		cause = errCrowded
	}
	for _, j := range w.active {
		switch limit := b.runTime(w.vehicles); {
		case limit > 0 && w.total > limit:
			j.stop(outOfRun(limit))
		case b.Time > 0 && j.spent > b.Time:
			j.stop(b.outOfTime())
		case b.Memory > 0 && memory > b.Memory:
			j.stop(cause)
		}
	}
	return w.sampling
}

// memoryInUse is how many bytes the heap and the stacks hold, garbage that was not
// collected yet among them.
func memoryInUse() (bytes uint64) {
	samples := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/heap/stacks:bytes"}}
	metrics.Read(samples)
	for _, s := range samples {
		if s.Value.Kind() == metrics.KindUint64 {
			bytes += s.Value.Uint64()
		}
	}
	return bytes
}
