package engine

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// movedThreshold is how much less headroom makes a standing finding a worse one.
const movedThreshold = 0.01

// CheckSince checks the paths and says of every finding how it stands against
// a revision. A revision that cannot be read ends the run: nothing would gate.
func (e *Engine) CheckSince(ctx context.Context, q Request, since string) (*report.Report, error) {
	repository, err := revision.Open(ctx, ".")
	if err != nil {
		return nil, fmt.Errorf("--since %s: %w", since, err)
	}
	commit, err := repository.Commit(ctx, since)
	if err != nil {
		return nil, fmt.Errorf("--since: %w", err)
	}
	for _, path := range q.Paths {
		if _, inside := repository.Path(filepath.FromSlash(strings.TrimSuffix(path, "..."))); !inside && path != schema.Stdin {
			return nil, fmt.Errorf("--since %s: %s is not in the repository of that revision; run the check in its own repository", since, path)
		}
	}
	if !repository.HasWorkTree() {
		return nil, fmt.Errorf("--since %s: this is a bare repository, which has no files to compare with its revisions", since)
	}
	tree, err := repository.Tree(ctx, commit)
	if err != nil {
		return nil, fmt.Errorf("--since %s: %w", since, err)
	}
	defer tree.Close() //nolint:errcheck // what was read is read
	r, err := e.Report()
	if err != nil {
		return nil, err
	}
	r.Since = since
	read, done := func(context.Context, *Vehicle) {}, func(*Vehicle) {}
	now := e.read(ctx, q.side(), read, done)
	// A path that the revision does not have holds new vehicles.
	old := e.read(ctx, Side{Name: since, Files: tree, Rev: commit, Paths: withoutStdin(now.Paths)}, read, done)
	if old.Incomplete != nil {
		return nil, fmt.Errorf("--since %s: %w", since, old.Incomplete)
	}
	ctx, cancel := e.inTime(ctx, 0)
	defer cancel()
	all := Match(old.Vehicles, now.Vehicles)
	became, err := e.inRepository(ctx, repository, old, now, all)
	if err != nil {
		return nil, fmt.Errorf("--since %s: %w", since, err)
	}
	r.Errors = append(texts(accounted(now.Errors, old)), became.errs...)
	r.Remarks = slices.Concat(became.remarks, old.remarks(), now.remarks())
	// What became of the vehicles of the revision is a question to the whole run, and
	// each shard answers it.
	pairs := slices.DeleteFunc(all, func(p Pair) bool {
		return p.Now == nil || p.Now.unwanted || q.Shard != nil && !q.Shard.Has(p.Now.Path)
	})
	parallel.InOrder(len(pairs), func(i int) {
		p := pairs[i]
		e.checkPair(ctx, p)
		p.Now.States, p.Now.Uncompared = e.statesSince(ctx, p)
		e.finish(p.Now)
		if p.Old != nil {
			p.Old.Results = nil
			p.Old.release()
		}
	}, func(i int) { q.done(pairs[i].Now) })
	q.Asked = append(slices.Clone(q.Asked), commit)
	vehicles := make([]*Vehicle, len(pairs))
	for i, p := range pairs {
		vehicles[i] = p.Now
	}
	q.fill(r, now, vehicles)
	return r, nil
}

// checkPair checks a vehicle and its older self. What says the same at both sides
// has the same results.
func (e *Engine) checkPair(ctx context.Context, p Pair) {
	e.check(ctx, p.Now, e.Reading.Of())
	switch data := dataOf(p.Now); {
	case p.Old == nil || p.Old.checked:
	case data != nil && bytes.Equal(data, dataOf(p.Old)):
		p.Old.Results, p.Old.Err, p.Old.checked = slices.Clone(p.Now.Results), p.Now.Err, true
	default:
		e.check(ctx, p.Old, rules.Reading{})
	}
}

func withoutStdin(paths []string) []string {
	return slices.DeleteFunc(slices.Clone(paths), func(p string) bool { return p == schema.Stdin })
}

// statesSince compares a vehicle with its older self. The place of a new
// finding becomes that of the one edit that caused it, if there is one:
// code hosts show a finding in a pull request only on a line that it changes.
func (e *Engine) statesSince(ctx context.Context, p Pair) (map[string]report.State, error) {
	if p.Now.Err != nil {
		return nil, nil
	}
	compared, err := e.comparePair(ctx, p, movedThreshold)
	if err != nil {
		return nil, err
	}
	states := map[string]report.State{}
	for _, m := range compared.Lost() {
		states[m.Key()] = report.Worse
	}
	for _, f := range compared.Findings {
		if f.State == report.Fixed {
			continue
		}
		states[f.Key()] = f.State
		edit, ok := f.Cause.Edit()
		if !ok || f.State == report.Standing {
			continue
		}
		for i := range p.Now.Results {
			r := &p.Now.Results[i]
			if r.Key() == f.Key() && edit.NewAt.IsValid() && edit.NewAt != r.At {
				r.Related = append([]schema.Place{{Position: r.At, Note: "the subject of the finding: " + r.Subject}}, r.Related...)
				r.At = edit.NewAt
			}
		}
	}
	return states, nil
}
