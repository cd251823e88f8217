package engine

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"
)

func TestWatchStopsWhatIsTooMuch(t *testing.T) {
	const MiB = 1 << 20
	bound := Bound{Time: 2 * time.Second, Memory: 100 * MiB}
	tests := []struct {
		name     string
		spent    []time.Duration // of each vehicle at work
		total    time.Duration   // of the run
		vehicles int             // found
		memory   uint64
		want     []string // in the cause of each, "" for none
	}{
		{"within", []time.Duration{time.Second, time.Second}, 2 * time.Second, 2, 90 * MiB, []string{"", ""}},
		{"one too long", []time.Duration{2500 * time.Millisecond, time.Second}, 3500 * time.Millisecond, 5, 0, []string{"more than 2 s of processor time", ""}},
		{"too much alone", []time.Duration{time.Second}, time.Second, 1, 101 * MiB, []string{"more than 100 MiB of memory"}},
		{"too much together", []time.Duration{time.Second, time.Second}, 2 * time.Second, 2, 101 * MiB, []string{errCrowded.Error(), errCrowded.Error()}},
		{"the whole run", []time.Duration{time.Second}, 13 * time.Second, 40, 0, []string{"the whole run took more than 12.5 s"}},
		{"a run of more vehicles", []time.Duration{time.Second}, 14 * time.Second, 60, 0, []string{""}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := watch{vehicles: tt.vehicles, total: tt.total, sampled: processTime()}
			var contexts []context.Context
			for _, spent := range tt.spent {
				ctx, stop := context.WithCancelCause(t.Context())
				defer stop(nil)
				contexts = append(contexts, ctx)
				w.active = append(w.active, &job{spent, stop})
			}
			if !w.look(bound, tt.memory) {
				t.Error("the watch ended before the work")
			}
			for i, ctx := range contexts {
				cause := context.Cause(ctx)
				if tt.want[i] == "" && cause != nil || tt.want[i] != "" && (cause == nil || !strings.Contains(cause.Error(), tt.want[i])) {
					t.Errorf("vehicle %d: stopped by %v, want %q", i, cause, tt.want[i])
				}
			}
		})
	}
	if w := (watch{}); w.look(bound, 0) {
		t.Error("the watch goes on without work")
	}
}

func TestWithin(t *testing.T) {
	e := &Engine{Bound: Bound{Time: 100 * time.Millisecond}}
	spin := func(ctx context.Context) (int, error) {
		for ctx.Err() == nil {
		}
		return 1, nil
	}
	var spent time.Duration
	if _, err := within(t.Context(), e, &spent, spin); err == nil || !strings.Contains(err.Error(), "more than 0.1 s of processor time") {
		t.Errorf("work without end: error %v", err)
	}
	if got, err := within(t.Context(), e, new(time.Duration), func(context.Context) (int, error) { return 7, nil }); got != 7 || err != nil {
		t.Errorf("quick work: %d, %v", got, err)
	}
	ended, cancel := context.WithCancelCause(t.Context())
	cancel(errors.New("no more"))
	if _, err := within(ended, e, new(time.Duration), spin); err == nil || err.Error() != "no more" {
		t.Errorf("after the end: error %v", err)
	}
	if _, err := within(t.Context(), e, new(time.Duration), func(context.Context) (int, error) { panic("slip") }); err == nil || !strings.Contains(err.Error(), "internal error (slip)") {
		t.Errorf("a fault of the program: error %v", err)
	}
	deaf, release := &Engine{Bound: Bound{Time: 50 * time.Millisecond}}, make(chan struct{})
	if _, err := within(t.Context(), deaf, new(time.Duration), func(context.Context) (int, error) {
		for begin := time.Now(); ; { // takes no notice of its context
			select {
			case <-release:
				return 1, nil
			default:
				if time.Since(begin) > time.Minute {
					return 1, nil
				}
			}
		}
	}); err == nil || !strings.Contains(err.Error(), "processor time") {
		t.Errorf("work that cannot be stopped: error %v", err)
	}
	deaf.watch.lock.Lock()
	still := len(deaf.watch.active)
	deaf.watch.lock.Unlock()
	if close(release); still != 1 { // else its time and memory would be laid to others
		t.Errorf("work that goes on: %d at work, want 1", still)
	}
	tries := 0
	got, err := within(t.Context(), &Engine{}, new(time.Duration), func(context.Context) (int, error) {
		if tries++; tries == 1 {
			return 0, errCrowded
		}
		return 7, nil
	})
	if got != 7 || err != nil || tries != 2 {
		t.Errorf("stopped for the sake of others: %d, %v after %d tries", got, err, tries)
	}
}
