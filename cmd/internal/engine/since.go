package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/schema"
)

// movedThreshold is how much less headroom makes a standing finding a worse one.
const movedThreshold = 0.01

// checkSince checks the paths and says of every finding how it stands against
// a revision. A revision that cannot be read ends the run: nothing would gate.
func (c *Command) checkSince(ctx context.Context, q request, since string) (*report.Report, error) {
	repository, err := revision.Open(ctx, ".")
	if err != nil {
		return nil, fmt.Errorf("--since %s: %w", since, err)
	}
	commit, err := repository.Commit(ctx, since)
	if err != nil {
		return nil, fmt.Errorf("--since: %w", err)
	}
	for _, path := range q.paths {
		if _, inside := repository.Path(filepath.FromSlash(strings.TrimSuffix(path, "..."))); !inside && path != schema.Stdin {
			return nil, fmt.Errorf("--since %s: %s is not in the repository that this is a revision of; run the check there", since, path)
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
	r, now, err := c.runAll(ctx, q)
	if err != nil {
		return nil, err
	}
	r.Since = since
	// A path that the revision does not have holds new vehicles.
	old := c.load(ctx, side{name: since, files: tree, rev: commit, paths: withoutStdin(now.paths)})
	if old.incomplete != nil {
		return nil, fmt.Errorf("--since %s: %w", since, old.incomplete)
	}
	all := match(old.vehicles, now.vehicles)
	became, err := inRepository(ctx, repository, old, now, all)
	if err != nil {
		return nil, fmt.Errorf("--since %s: %w", since, err)
	}
	r.Errors = append(textsOf(accounted(now.errs, old)), became.errs...)
	r.Remarks = slices.Concat(became.remarks, old.remarks(), r.Remarks)
	pairs := slices.DeleteFunc(all, func(p pair) bool { return p.now == nil || p.now.unwanted })
	errs := make([]error, len(pairs))
	parallel.Each(len(pairs), func(i int) {
		pairs[i].now.States, errs[i] = c.statesSince(ctx, pairs[i])
	})
	for i, p := range pairs {
		if errs[i] != nil {
			r.Errors = append(r.Errors, fmt.Sprintf("%s: %v", p.now.Path, errs[i]))
		}
		r.Vehicles = append(r.Vehicles, p.now.Vehicle)
	}
	r.Sort()
	return r, nil
}

func withoutStdin(paths []string) []string {
	return slices.DeleteFunc(slices.Clone(paths), func(p string) bool { return p == schema.Stdin })
}

// statesSince compares a vehicle with its older self. The place of a new
// finding becomes that of the one edit that caused it, if there is one:
// code hosts show a finding in a pull request only on a line that it changes.
func (c *Command) statesSince(ctx context.Context, p pair) (map[string]review.State, error) {
	if p.now.Err != nil {
		return nil, nil
	}
	compared, err := c.comparePair(ctx, p, movedThreshold)
	if err != nil {
		return nil, err
	}
	states := map[string]review.State{}
	for _, m := range compared.Lost() {
		states[m.Key()] = review.Worse
	}
	for _, f := range compared.Findings {
		if f.State == review.Fixed {
			continue
		}
		states[f.Key()] = f.State
		edit, ok := f.Cause.Edit()
		if !ok || f.State == review.Standing {
			continue
		}
		for i := range p.now.Results {
			r := &p.now.Results[i]
			if r.Key() == f.Key() && edit.NewAt.IsValid() && edit.NewAt != r.At {
				r.Related = append([]schema.Place{{Position: r.At, Note: "what it is about: " + r.Subject}}, r.Related...)
				r.At = edit.NewAt
			}
		}
	}
	return states, nil
}
