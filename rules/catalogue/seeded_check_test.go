package catalogue_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/oracle"
	"example.org/headroom/rules/waiver"
)

// seededDay is the day of the runs, on which waivers hold or not.
var seededDay = time.Date(2030, 6, 1, 0, 0, 0, 0, time.UTC)

// outcome is what the rules said of a mutant.
type outcome struct {
	broken    string // why it could not be checked
	caught    bool
	missed    string   // what the rule said instead
	followers int      // findings that follow from the expected one
	agreed    int      // extra findings that the oracle expects as well
	argued    []string // extra findings justified by an entry of the table, with its reason
	defects   []string // misses and findings that are known to be wrong
	open      []string // extra findings that nothing justifies
	reworded  []string // what the rule says otherwise of the same vehicle in other words
	halved    string   // why it is missed with two batteries in series for each
}

// check runs all rules over a mutant, and the one that must see the fault over
// the same vehicle in other words and with halved batteries. It does so once.
func (s *seeding) check(t *testing.T, m *mutant) outcome {
	m.checking.Do(func() { m.outcome = s.outcome(t, m) })
	return m.outcome
}

func (s *seeding) outcome(t *testing.T, m *mutant) (o outcome) {
	source, err := m.spec.JSON()
	if err != nil {
		return outcome{broken: err.Error()}
	}
	spec, err := parse(t.Context(), m.vehicle, source)
	if err != nil {
		return outcome{broken: err.Error()}
	}
	results, err := rules.Run(context.Background(), spec, s.list)
	if err != nil {
		return outcome{broken: err.Error()}
	}
	series, err := seriesOf(spec)
	if err != nil {
		return outcome{broken: err.Error()}
	}
	for _, r := range series {
		if r.IsFinding() {
			return outcome{broken: r.Message}
		}
	}
	if rule := s.byID[m.rule]; rule != nil && rule.Check != nil {
		var own []rules.Result
		for _, r := range results {
			if r.Rule == m.rule {
				if r.Verdict == rules.CannotVouch { // which a rule by itself cannot tell
					r.Verdict = rules.NotChecked
				}
				own = append(own, r)
			}
		}
		o.reworded = rewordedDifferently(t, source, own, []*rules.Rule{rule})
		o.halved = s.missedHalved(t, m, source, rule)
	}
	s.sort(&o, m, waiver.Apply(spec, results, s.list, seededDay))
	return o
}

// sort tells the expected finding from those that follow from it, that the
// oracle expects as well, that are argued for, and the rest.
func (s *seeding) sort(o *outcome, m *mutant, results []rules.Result) {
	expected := m.rule + "/" + m.subject
	primary := map[string]string{}
	o.missed = "no result"
	for _, r := range results {
		if r.IsFinding() && r.Primary != "" {
			primary[r.Key()] = r.Primary
		}
		if r.Key() == expected {
			o.missed = fmt.Sprintf("%s, %.4g of %.4g %s %s", r.Verdict, r.Demand.Value, r.Capability.Value, r.Missing, r.Message)
			o.caught = o.caught || r.IsFinding()
		}
	}
	if known, ok := knownDefect(m.vehicle, m.rule, ""); ok && (!o.caught || o.halved != "") {
		o.missed, o.halved, o.defects = "", "", append(o.defects, known)
	}
	// A finding follows from the expected one, or from another that is true.
	severe := m.spec.Severe()
	sure, argues := map[string]bool{expected: true}, map[string]string{}
	for _, r := range results {
		if !r.IsFinding() || r.Level == rules.Note {
			continue
		}
		if s.agrees(m, severe, r) {
			sure[r.Key()] = true
		} else if reason, ok := argued(m.kind, m.rule, r.Rule); ok && r.Key() != expected {
			argues[r.Key()] = reason
		}
	}
	follows := func(key string) bool {
		for range 8 {
			if key = primary[key]; sure[key] || argues[key] != "" {
				return true
			}
		}
		return false
	}
	for _, r := range results {
		if !r.IsFinding() || r.Level == rules.Note || r.Key() == expected {
			continue
		}
		switch {
		case sure[r.Key()]:
			o.agreed++
		case follows(r.Key()):
			o.followers++
		case argues[r.Key()] != "":
			o.argued = append(o.argued, argues[r.Key()])
		default:
			if known, ok := knownDefect(m.vehicle, m.rule, r.Rule); ok {
				o.defects = append(o.defects, known)
				continue
			}
			o.open = append(o.open, fmt.Sprintf("%s %s %s (oracle %.3g, primary %q): %s", r.Level, r.Rule, r.Subject,
				s.excess(severe, r.Rule, r.Subject), r.Primary, r.Message))
		}
	}
}

// agrees reports whether the oracle, computing to the severe side, expects what a
// rule found: beyond the limit, and farther than before the change, so that
// what the change does not touch is never true because of it.
func (s *seeding) agrees(m *mutant, after *oracle.Vehicle, r rules.Result) bool {
	now := s.excess(after, r.Rule, r.Subject)
	if !(now > 1) {
		return false
	}
	part, _, _ := strings.Cut(r.Subject, ".")
	if m.sound.Kind(part) == "" {
		return true
	}
	key := m.vehicle + " " + r.Key()
	was, known := s.before.Load(key)
	if !known {
		was = s.excess(s.severe[m.vehicle], r.Rule, r.Subject)
		s.before.Store(key, was)
	}
	return !(was.(float64) > 1) || now > 1.0001*was.(float64)
}
