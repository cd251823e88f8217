package record

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

const policyWeakenedID = "policy-weakened"

// trifling is the required headroom below which a rule is as good as switched off:
// demand may be a ninth above what the part is rated for.
const trifling = 0.9

func policyWeakened(known []*rules.Rule) *rules.Rule {
	return &rules.Rule{
		ID:     policyWeakenedID,
		Family: family,
		Title:  "the policy asks for less than the rules do by default",
		Why: "A requirement lowered for one part of one vehicle is lowered for every part of every vehicle, and no finding tells of it: " +
			"with the distance of a fuse set to 10 m no conductor is unprotected. A change that hides its own mistake in this way must not pass unseen.",
		Relation: "no value of the policy is laxer than its default: limits, distances, times, factors, required headrooms and levels. " +
			"One switches checks off if it lowers the level of a rule to a note, requires a headroom below 0.9, or lies beyond what such a value can be, which the working names. " +
			"The policy has no effect on this rule; a waiver accepts one finding and leaves the rules unchanged",
		Source:  "common practice",
		Level:   rules.Error,
		Varies:  "warning if nothing is switched off, note if only rules that give notes are concerned",
		Untuned: true,
		Fix:     "remove the value from the policy, and waive the one finding that it is meant for",
		Example: rules.Example{Vehicle: "heron", Subject: "policy", Edits: []rules.Edit{
			{Path: "policy.required.fuse-voltage-low", Value: "0.5"}}},
		Check: func(p *rules.Pass) { checkWeakened(p, known) },
	}
}

// weakening is one value of the policy that asks for less than its default.
type weakening struct {
	path, text string
	level      rules.Level
	off        bool
}

func checkWeakened(p *rules.Pass, known []*rules.Rule) {
	found, tuned := weakenings(p.Spec, known)
	if tuned == 0 {
		return
	}
	path := "policy"
	if len(found) > 0 {
		path = found[0].path
	}
	c := p.Subject("policy", path)
	level := rules.Note
	var off, lax []string
	for _, w := range found {
		if w.level.Rank() > level.Rank() {
			level = w.level
		}
		c.GivenText("", strings.TrimPrefix(w.path, "policy."), w.text, w.path)
		c.Related(w.path, w.text)
		if w.off {
			off = append(off, w.text)
		} else {
			lax = append(lax, w.text)
		}
	}
	if len(found) == 0 {
		c.Holds(true, "nothing in the policy asks for less than its default")
		return
	}
	var said []string
	if len(off) > 0 {
		said = append(said, "switches checks off: "+strings.Join(off, "; "))
	}
	if len(lax) > 0 {
		said = append(said, "asks for less than the defaults: "+strings.Join(lax, "; "))
	}
	c.Level(level)
	c.Fail("the policy %s", strings.Join(said, "; and "))
}

// weakenings lists the values of the policy that ask for less than their defaults,
// the gravest first, and counts those that differ from their defaults.
func weakenings(s *schema.Spec, known []*rules.Rule) (found []weakening, tuned int) {
	fallback := schema.DefaultPolicy()
	note := func(path string, level rules.Level, off bool, format string, args ...any) {
		tuned++
		if level != "" {
			found = append(found, weakening{path, fmt.Sprintf(format, args...), level, off})
		}
	}
	for _, l := range limits() {
		value, standard := l.value(s.Policy), l.value(fallback)
		if value == standard {
			continue
		}
		level, off := l.judge(value, standard)
		why := ""
		if off {
			why = fmt.Sprintf(", sensible %s: %s", l.bound(), l.protects)
		}
		note("policy."+l.name, level, off, "%s is %s (default %s%s)", l.name, figure(value, l.unit), rules.Figure(standard), why)
	}
	if s.Policy.Ampacity != fallback.Ampacity {
		level := rules.Note
		if s.Vehicle.Use == "boat" {
			level = "" // the table is for boats
		}
		note("policy.ampacity", level, false, "ampacity is %s (default %s), a table for boats", s.Policy.Ampacity, fallback.Ampacity)
	}
	if group := s.Policy.MaterialGroup; group != fallback.MaterialGroup {
		note("policy.material_group", rules.Note, false, "material_group is %s (default %s): name the plastic and its tracking index", group, fallback.MaterialGroup)
	}
	for _, r := range known {
		if asked, ok := s.Policy.Required[r.ID]; ok {
			level, off := judgeRequired(r, asked)
			note("policy.required."+r.ID, level, off, "required.%s is %s (default %s)", r.ID, rules.Figure(asked), rules.Figure(leastHeadroom(r)))
		}
		if asked, ok := s.Policy.Levels[r.ID]; ok {
			level, off := judgeLevel(r, rules.Level(asked))
			note("policy.levels."+r.ID, level, off, "levels.%s is %s (default %s)", r.ID, asked, highest(r))
		}
	}
	if _, ok := s.Policy.Levels[policyWeakenedID]; ok {
		note("policy.levels."+policyWeakenedID, rules.Note, false, "levels.%s has no effect", policyWeakenedID)
	}
	slices.SortStableFunc(found, func(a, b weakening) int { return cmp.Compare(b.level.Rank(), a.level.Rank()) })
	return found, tuned
}

func figure(v float64, unit string) string {
	return strings.TrimSpace(rules.Figure(v) + " " + unit)
}

// leastHeadroom is the headroom that a rule requires by itself; what a yes-or-no
// rule measures must at least be met.
func leastHeadroom(r *rules.Rule) float64 {
	if r.Required == 0 {
		return 1
	}
	return r.Required
}

func judgeRequired(r *rules.Rule, asked float64) (rules.Level, bool) {
	switch {
	case asked >= leastHeadroom(r):
		return "", false
	case asked < trifling:
		return highest(r), true
	}
	return atMost(highest(r), rules.Warning), false
}

func judgeLevel(r *rules.Rule, asked rules.Level) (rules.Level, bool) {
	switch standard := highest(r); {
	case asked.Rank() >= standard.Rank():
		return "", false
	case asked == rules.Note:
		return standard, true
	default:
		return rules.Warning, false
	}
}

// highest is the gravest level that findings of a rule have by default.
func highest(r *rules.Rule) rules.Level {
	for _, level := range []rules.Level{rules.Error, rules.Warning} {
		if r.Level == level || strings.HasPrefix(r.Varies, string(level)) || strings.Contains(r.Varies, " "+string(level)) {
			return level
		}
	}
	return r.Level
}
