package cli

import (
	"context"
	"errors"
	"fmt"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/rules"
)

// walker follows one check of one vehicle back through the commits. What the
// vehicle is at a commit is read once for each content of its module.
type walker struct {
	command    *Command // with the one rule
	repository *revision.Repository
	entries    []revision.Entry // newest first
	key        string           // of the check
	threshold  float64
	limit      int

	unexplained []unexplained

	last     stop              // where the vehicle was last readable
	lost     bool              // it is nowhere in the commits after that
	at       string            // where the vehicle is
	contents []string          // by commit, what the vehicle depends on; nil where not known
	links    bool              // what is read depends on more than the hashes of folders tell
	known    map[string]moment // by content
	changed  map[int][]string  // by commit, the files that it changed against the next older one
}

// moment is the check at one commit.
type moment struct {
	vehicle *engine.Vehicle // nil where there is none
	result  rules.Result    // of no rule where the vehicle has no such check
	why     string          // why the vehicle does not load
	links   bool            // it was read through a symbolic link
	reads   *revision.Reads
}

const (
	ahead      = 8   // how many contents are read at a time
	remembered = 200 // how many are kept, for reverts
	atOnce     = 256 // of how many commits git is asked at a time what they changed
)

// stop is a commit at which the vehicle was readable.
type stop struct {
	moment
	commit int // index of the oldest commit so far at which it stands like that
}

// walk fills the history.
func (w *walker) walk(ctx context.Context, h *report.History) error {
	newer := stop{commit: -1}
	var unreadable []report.Commit // between newer and the commit looked at
	before := ""                   // content of the newer neighbour
	for i := range w.entries {
		m, err := w.moment(ctx, i)
		if err == nil && m.vehicle == nil && !w.lost {
			m, err = w.elsewhere(ctx, i)
		}
		if err != nil {
			return err
		}
		h.Looked = i + 1
		content := w.contents[i]
		if m.why != "" {
			if content == "" || content != before {
				unreadable = append(unreadable, w.commit(i, m, report.Unloadable))
			}
			before = content
			continue
		}
		before = content
		older := stop{m, i}
		w.compare(h, newer, older)
		if len(w.unexplained) >= ahead {
			if err := w.explain(ctx, h); err != nil {
				return err
			}
		}
		h.Commits = append(h.Commits, unreadable...)
		unreadable, newer = nil, older
		if w.lost = m.vehicle == nil; !w.lost {
			w.last = older
		}
		if w.limit > 0 && len(h.Commits) >= w.limit && i < len(w.entries)-1 {
			break
		}
	}
	if err := w.explain(ctx, h); err != nil {
		return err
	}
	w.end(ctx, h, newer, unreadable)
	return nil
}

// end adds how the history begins, or cuts it to its limit.
func (w *walker) end(ctx context.Context, h *report.History, newer stop, unreadable []report.Commit) {
	if h.Looked < len(w.entries) {
		h.Commits, h.End = h.Commits[:w.limit], report.AtLimit
		return
	}
	remedy, cut := w.repository.CutOff(ctx, w.entries[len(w.entries)-1].Hash)
	h.End = report.AtFirst
	state := report.Began
	if cut {
		h.End, h.Remedy, state = report.AtShallow, remedy, report.Oldest
	}
	if newer.result.Rule != "" {
		c := w.commit(newer.commit, newer.moment, state)
		c.What = "the vehicle"
		h.Commits = append(h.Commits, c)
	}
	h.Commits = append(h.Commits, unreadable...)
	if w.limit > 0 && len(h.Commits) > w.limit {
		h.Commits, h.End = h.Commits[:w.limit], report.AtLimit
	}
}

func (w *walker) commit(i int, m moment, state report.CommitState) report.Commit {
	e := w.entries[i]
	c := report.Commit{Hash: e.Hash, Date: e.Date, Message: e.Subject, State: state, Result: m.result, Why: m.why}
	if m.vehicle != nil {
		c.Path = m.vehicle.Path
	}
	return c
}

// compare adds what the newer commit did to the check, if that is worth a line.
func (w *walker) compare(h *report.History, newer, older stop) {
	is, was := newer.result.Rule != "", older.result.Rule != ""
	if newer.commit < 0 || !is && !was {
		return
	}
	c := w.commit(newer.commit, newer.moment, report.Moved)
	if older.commit > newer.commit+1 {
		c.Against = w.entries[older.commit].Hash
	}
	if newer.vehicle != nil && older.vehicle != nil && newer.vehicle.Path != older.vehicle.Path {
		c.OldPath = older.vehicle.Path
	}
	switch {
	case !was:
		c.State, c.What = report.Began, missing(older)
	case !is:
		c.State, c.What, c.Result, c.Path = report.Ended, missing(newer), older.result, older.vehicle.Path
	default:
		var moved bool
		if c.Move, moved = review.MoveOf(older.result, newer.result, w.threshold); moved {
			w.unexplained = append(w.unexplained, unexplained{len(h.Commits), newer, older})
			break
		}
		if c.State = report.Relocated; c.OldPath == "" {
			return
		}
	}
	h.Commits = append(h.Commits, c)
}

// unexplained is a commit of a history of which it is not yet known what moved
// the check.
type unexplained struct {
	commit       int // index in the history
	newer, older stop
}

// explain finds out what moved the check at the commits that are left to
// explain, side by side.
func (w *walker) explain(ctx context.Context, h *report.History) error {
	errs := make([]error, len(w.unexplained))
	parallel.Each(len(errs), func(k int) {
		u := w.unexplained[k]
		c := &h.Commits[u.commit]
		compared, err := review.Compare(ctx, u.older.revision(), u.newer.revision(), w.command.Rules, w.threshold)
		if err != nil {
			errs[k] = fmt.Errorf("%s at %s: %w", c.Path, c.Short(), err)
			return
		}
		for _, found := range compared.Moves {
			c.Move = found
		}
		c.Edits, c.TooMany = compared.Edits, compared.TooMany
		c.Inputs = review.Inputs(compared.Edits, u.older.result, u.newer.result)
	})
	w.unexplained = nil
	return errors.Join(errs...)
}

// missing names what a stop without the check does not have.
func missing(s stop) string {
	if s.vehicle == nil {
		return "the vehicle"
	}
	return "the check"
}

// revision is the vehicle with the one check that is followed.
func (s stop) revision() review.Revision {
	return review.Revision{Spec: s.vehicle.Loaded.Spec, Results: []rules.Result{s.result}}
}
