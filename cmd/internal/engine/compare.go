package engine

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/cmd/internal/revision"
)

// Sides are two revisions of a repository, or two places on the disk.
type Sides struct {
	Old, New   Side
	Repository *revision.Repository // that the revisions are of; nil for two places
}

// Compare checks both sides and compares vehicle by vehicle. It returns what was
// read, from the disk or by the same name from a revision.
func (e *Engine) Compare(ctx context.Context, s Sides, d *report.Difference) (inputs []string, err error) {
	old, now := e.Load(ctx, s.Old), e.Load(ctx, s.New)
	if err := cmp.Or(old.Incomplete, now.Incomplete); err != nil {
		return nil, err
	}
	ctx, cancel := e.inTime(ctx, 0)
	defer cancel()
	pairs := Match(old.Vehicles, now.Vehicles)
	became, err := e.outcome(ctx, s, old, now, pairs)
	if err != nil {
		return nil, err
	}
	// A path that one side does not have is what a difference is about.
	d.Errors = append(both(texts(old.Errors), texts(now.Errors)), became.errs...)
	d.Remarks = append(old.remarks(), now.remarks()...)
	d.Pairs = make([]report.Pair, len(pairs))
	errs := make([]error, len(pairs))
	parallel.Each(len(pairs), func(i int) {
		d.Pairs[i], errs[i] = e.comparePair(ctx, pairs[i], d.Threshold)
	})
	for i := range d.Pairs {
		if why := became.hidden[pairs[i].Old]; why != "" && pairs[i].Now == nil {
			d.Pairs[i].State, d.Pairs[i].Why = report.Hidden, why
		}
		if v := d.Pairs[i].Vehicle; v != nil {
			d.Vehicles = append(d.Vehicles, *v)
		}
		if errs[i] != nil {
			d.Errors = append(d.Errors, fmt.Sprintf("%s: %v", d.Pairs[i].Path, errs[i]))
		}
	}
	d.Sort()
	for _, v := range slices.Concat(old.Vehicles, now.Vehicles) {
		inputs = append(append(inputs, v.Loaded.Target.Path), v.Loaded.Files...)
	}
	return inputs, nil
}

// outcome tells what became of the vehicles of the older side. Those that are
// gone or moved are in the difference anyway.
func (e *Engine) outcome(ctx context.Context, s Sides, old, now *Fleet, pairs []Pair) (outcome, error) {
	switch {
	case s.Repository != nil:
		return e.inRepository(ctx, s.Repository, old, now, pairs)
	case IsFolder(old.Root) && IsFolder(now.Root):
		return standing{engine: e, old: old, now: now, pairs: pairs, oldRoot: absolute(old.Root), newRoot: absolute(now.Root)}.outcome(ctx)
	}
	return outcome{}, nil // two files, each of which was named
}

// both lists the errors that the two sides have in common.
func both(a, b []string) (out []string) {
	for _, e := range a {
		if slices.Contains(b, e) {
			out = append(out, e)
		}
	}
	return out
}

// comparePair compares one vehicle.
func (e *Engine) comparePair(ctx context.Context, p Pair, threshold float64) (report.Pair, error) {
	switch {
	case p.Now == nil:
		return report.Pair{State: report.Gone, Name: p.Old.Name, Path: p.Old.Path}, nil
	case p.Old == nil:
		out := report.Pair{State: report.Appeared, Name: p.Now.Name, Path: p.Now.Path, Vehicle: &p.Now.Vehicle}
		comparison, err := e.review(ctx, p.Now, review.Revision{}, review.Revision{Spec: p.Now.Loaded.Spec, Results: p.Now.Results}, threshold)
		out.Comparison = comparison
		return out, err
	}
	if p.Now.Loaded.Spec == nil { // its name cannot be read
		p.Now.Name = p.Old.Name
	}
	out := report.Pair{State: report.Changed, Name: p.Now.Name, Path: p.Now.Path, Vehicle: &p.Now.Vehicle}
	if p.Old.key != p.Now.key && !converted(p.Old, p.Now) {
		out.State, out.OldPath = report.Renamed, p.Old.Path
	}
	before := review.Revision{Spec: p.Old.Loaded.Spec, Results: p.Old.Results}
	if n := len(p.Old.Loaded.Problems); n > 0 || p.Old.Err != nil {
		out.State, out.Why = report.Unreadable, "it cannot be compared: its specification there has a mistake: "+p.Old.firstProblem()
		if n > 1 {
			out.Why = fmt.Sprintf("it cannot be compared: its specification there has %d mistakes, the first %s", n, p.Old.firstProblem())
		}
		if p.Old.Err != nil {
			out.Why = "it cannot be compared: " + p.Old.Err.Error()
		}
		before = review.Revision{}
	}
	now := review.Revision{Spec: p.Now.Loaded.Spec, Results: p.Now.Results}
	if len(p.Now.Loaded.Problems) > 0 {
		now.Spec = nil // what it holds is not known; its findings say so
	}
	comparison, err := e.review(ctx, p.Now, before, now, threshold)
	if err != nil {
		return out, err
	}
	out.Comparison = comparison
	if out.State == report.Changed && len(comparison.Edits)+len(comparison.Moves) == 0 && now.Spec != nil {
		out.State = report.Same
	}
	return out, nil
}

// review compares two revisions of a vehicle within its bound.
func (e *Engine) review(ctx context.Context, v *Vehicle, before, now review.Revision, threshold float64) (*report.Comparison, error) {
	return within(ctx, e, &v.spent, func(ctx context.Context) (*report.Comparison, error) {
		return review.Compare(ctx, before, now, e.Rules, threshold)
	})
}

func absolute(path string) string {
	if a, err := filepath.Abs(path); err == nil {
		return a
	}
	return path
}
