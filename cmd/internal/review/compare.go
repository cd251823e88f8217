package review

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Revision is one vehicle at one revision: its specification and its results.
// Spec is nil where it could not be read.
type Revision struct {
	Spec    *schema.Spec
	Results []rules.Result
}

// Compare finds out what differs between two revisions of a vehicle, and why.
// Threshold is the relative change of a headroom from which on it counts, such
// as 0.01.
func Compare(ctx context.Context, old, now Revision, catalogue []*rules.Rule, threshold float64) (*report.Comparison, error) {
	c := &report.Comparison{}
	if old.Spec != nil && now.Spec != nil {
		c.Edits = Edits(old.Spec, now.Spec)
		c.Changes = Changes(old.Spec, now.Spec, c.Edits)
	}
	if now.Spec != nil {
		c.Paths = PowerPaths(now.Spec)
	}
	before, after := byKey(old.Results), byKey(now.Results)
	c.Moves = moves(before, after, threshold)
	c.Findings = findings(old.Results, now, before, after, threshold)
	if len(c.Edits) == 0 {
		return c, nil
	}
	keys := unexplained(c)
	if c.TooMany = len(c.Changes) > greatestChanges && len(keys) > 0; c.TooMany {
		return c, nil
	}
	l := &laboratory{ctx: ctx, before: old.Spec, after: now.Spec, rules: concerned(catalogue, keys, before, after)}
	found, err := causes(l, c.Changes, before, after, keys)
	if err != nil {
		return nil, err
	}
	for i := range c.Moves {
		c.Moves[i].Cause = found[c.Moves[i].Key()]
	}
	for i := range c.Findings {
		if s := c.Findings[i].State; s == report.New || s == report.Worse {
			c.Findings[i].Cause = found[c.Findings[i].Key()]
		}
	}
	return c, nil
}

// unexplained lists the keys of the checks whose cause is asked for.
func unexplained(c *report.Comparison) []string {
	keys := map[string]bool{}
	for _, m := range c.Moves {
		keys[m.Key()] = true
	}
	for _, f := range c.Findings {
		if f.State == report.New || f.State == report.Worse {
			keys[f.Key()] = true
		}
	}
	var list []string
	for key := range schema.Sorted(keys) {
		list = append(list, key)
	}
	return list
}

// concerned is the rules that the keys belong to.
func concerned(catalogue []*rules.Rule, keys []string, before, after map[string]rules.Result) []*rules.Rule {
	ids := map[string]bool{}
	for _, key := range keys {
		ids[cmp.Or(after[key].Rule, before[key].Rule)] = true
	}
	reviews := slices.ContainsFunc(catalogue, func(r *rules.Rule) bool { return ids[r.ID] && r.Review != nil })
	return slices.DeleteFunc(slices.Clone(catalogue), func(r *rules.Rule) bool {
		return !ids[r.ID] && !(reviews && len(r.Vital) > 0) // it is about their results
	})
}

func measured(r rules.Result) bool {
	return r.Required > 0 && r.Headroom > 0 && (r.Verdict.Passes() || r.Verdict == rules.Failed || r.Verdict == rules.Waived)
}

// boundless is the headroom from which on nothing is asked of the subject.
const boundless = 1e6

// MoveOf compares one check at two revisions, and reports whether its headroom
// moved by more than the threshold or its verdict changed. The cause is not
// looked for.
func MoveOf(old, now rules.Result, threshold float64) (report.Move, bool) {
	m := report.Move{Old: old, New: now}
	if measured(old) && measured(now) {
		m.Factor = now.Headroom / old.Headroom
		if min(old.Headroom, now.Headroom) >= boundless {
			m.Factor = 1
		}
	}
	return m, judged(old) != judged(now) || m.Factor > 0 && math.Abs(m.Factor-1) > threshold
}

// moves lists the checks of which the headroom moved by more than the
// threshold or the verdict changed, the worst loss first.
func moves(before, after map[string]rules.Result, threshold float64) []report.Move {
	var out []report.Move
	for key := range schema.Sorted(union(before, after)) {
		// A check that is there or not because its subject is, is told by the
		// edits and the findings.
		if m, changed := MoveOf(before[key], after[key], threshold); changed && m.Old.Rule != "" && m.New.Rule != "" {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b report.Move) int { return cmp.Compare(loss(a), loss(b)) })
	return out
}

// loss orders moves: those that turn into findings first, then by how much
// headroom went.
func loss(m report.Move) float64 {
	factor := cmp.Or(m.Factor, 1)
	switch {
	case m.New.Verdict == rules.Failed && m.Old.Verdict != rules.Failed:
		return factor - 3
	case m.New.Verdict.Unmade() && !m.Old.Verdict.Unmade():
		return factor - 2
	}
	return factor
}

// findings lists the findings of the new revision with their state, and the
// fixed ones of the old. Where the new revision could not be read as a whole, a
// finding that is not in it is not fixed by that.
func findings(old []rules.Result, revision Revision, before, after map[string]rules.Result, threshold float64) []report.Compared {
	now := revision.Results
	var out []report.Compared
	for _, r := range now {
		last, known := before[r.Key()]
		switch {
		case r.Verdict == rules.Waived:
			out = append(out, report.Compared{Result: r, State: report.Waived})
		case r.Verdict != rules.Failed:
		case !known || last.Verdict != rules.Failed && last.Verdict != rules.Waived:
			out = append(out, report.Compared{Result: r, State: report.New})
		case r.Level.Rank() > last.Level.Rank(), measured(r) && measured(last) && r.Headroom < last.Headroom*(1-threshold):
			out = append(out, report.Compared{Result: r, State: report.Worse})
		default:
			out = append(out, report.Compared{Result: r, State: report.Standing})
		}
	}
	for _, r := range old {
		if r.Verdict != rules.Failed {
			continue
		}
		if later := after[r.Key()]; later.Verdict.Passes() || later.Rule == "" && revision.Spec != nil {
			out = append(out, report.Compared{Result: r, State: report.Fixed})
		}
	}
	return out
}
