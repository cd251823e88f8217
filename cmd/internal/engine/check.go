package engine

import (
	"context"
	"fmt"
	"os"
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/schema"
)

// Request is what a run is asked to check.
type Request struct {
	Paths     []string // none for the working folder
	Stdin     []byte   // the specification on standard input, where one of the paths is "-"
	StdinName string   // of that
	// Reads leaves out the vehicles that read none of some files; nil for all.
	Reads func(*schema.Loaded) bool
	// Shard is which of the vehicles are checked; nil for all. Asked says what else
	// makes a difference to the report: parts of one run were asked the same.
	Shard *report.Shard
	Asked []string
	// Done is called with each vehicle in the order of the report, as soon as it and
	// all before it are done, one at a time; nil for nobody who waits for that.
	Done func(*report.Vehicle)
}

func (q Request) side() Side {
	paths := q.Paths
	if len(paths) == 0 {
		paths = []string{"."}
	}
	return Side{Paths: paths, Stdin: q.Stdin, StdinName: q.StdinName, Reads: q.Reads}
}

// done hands a vehicle to whoever waits for it.
func (q Request) done(v *Vehicle) {
	if q.Done != nil && !v.unwanted {
		q.Done(&v.Vehicle)
	}
}

// Check finds the vehicles of a request and checks them, several at a time.
// What cannot be done for one path or vehicle is in the report beside the
// results of the others.
func (e *Engine) Check(ctx context.Context, q Request) (*report.Report, error) {
	r, err := e.Report()
	if err != nil {
		return nil, err
	}
	side := q.side()
	side.Shard = q.Shard
	now := e.read(ctx, side, func(ctx context.Context, v *Vehicle) {
		e.check(ctx, v, e.Reading.Of())
		e.finish(v)
	}, q.done)
	r.Remarks = now.remarks()
	r.Errors = append(r.Errors, texts(now.Errors)...)
	q.fill(r, now, now.wanted())
	return r, nil
}

// fill puts vehicles into a report, and which part of the whole they are.
func (q Request) fill(r *report.Report, now *Fleet, vehicles []*Vehicle) {
	places := []int{}
	for _, v := range vehicles {
		r.Vehicles = append(r.Vehicles, v.Vehicle)
		places = append(places, v.place)
	}
	if q.Shard != nil {
		r.Part = &report.Part{Shard: *q.Shard, Split: report.Digest(append(slices.Clone(now.found), q.Asked...)...), Places: places}
	}
}

// Report is the report of a run that has not begun.
func (e *Engine) Report() (*report.Report, error) {
	dir, err := os.Getwd()
	if err != nil {
		return nil, fmt.Errorf("cannot tell the working directory: %w", err)
	}
	return &report.Report{Version: e.Version, Home: e.Home, Rules: e.Rules, Prefix: RepositoryPrefix(dir)}, nil
}
