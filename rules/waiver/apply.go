package waiver

import (
	"strings"
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Apply returns the results with the findings that the spec's waivers accept
// turned into rules.Waived, and with what there is to say of the waivers
// themselves. Catalogue is the rules that were run; today is the day that
// decides which waivers hold, in any time zone and at any hour.
func Apply(spec *schema.Spec, results []rules.Result, catalogue []*rules.Rule, today time.Time) []rules.Result {
	if len(spec.Waivers) == 0 {
		return results
	}
	d := newMatcher(spec, results, catalogue, today)
	for i := range spec.Waivers {
		d.eval(&spec.Waivers[i])
	}
	reattach(d.results)
	all := append(d.results, d.findings...)
	rules.Sort(all)
	return all
}

// matcher compares waivers with results.
type matcher struct {
	spec      *schema.Spec
	results   []rules.Result // of the checks; those accepted are changed here
	findings  []rules.Result // about the waivers
	today     time.Time      // midnight UTC
	catalogue map[string]*rules.Rule
	ids       []string                 // of the catalogue, in its order
	own       map[string]bool          // the rules of this package
	named     map[string]*rules.Result // by key, of which each has one
	subjects  map[string]bool          // of all results
	broken    string                   // something that holds a mistake, "" if nothing does
}

func newMatcher(spec *schema.Spec, results []rules.Result, catalogue []*rules.Rule, today time.Time) *matcher {
	d := &matcher{
		spec: spec, results: append([]rules.Result{}, results...),
		today:     time.Date(today.Year(), today.Month(), today.Day(), 0, 0, 0, 0, time.UTC),
		catalogue: map[string]*rules.Rule{}, own: map[string]bool{},
		named: map[string]*rules.Result{}, subjects: map[string]bool{},
	}
	for _, r := range catalogue {
		d.catalogue[r.ID] = r
		d.ids = append(d.ids, r.ID)
	}
	for _, r := range Rules() {
		d.catalogue[r.ID], d.own[r.ID] = r, true
	}
	for i := range d.results {
		r := &d.results[i]
		d.named[r.Key()] = r
		d.subjects[r.Subject] = true
	}
	for _, path := range spec.Broken() {
		if !strings.HasPrefix(path, "waivers.") { // no check rests on a waiver
			d.broken = path
			break
		}
	}
	return d
}

// eval compares one waiver with the results. Each question is asked only if
// the one before it leaves something to decide, so that one mistake in a
// waiver is one finding.
func (d *matcher) eval(w *schema.Waiver) {
	named := d.named[w.Rule+"/"+w.Subject]
	if !d.evalRule(w) || !d.evalSubject(w) || !d.evalUse(w, named) || !d.evalDay(w, named) || !d.evalBound(w, named) {
		return
	}
	named.Verdict = rules.Waived
	named.Waiver = &rules.Waiver{Reason: w.Reason, ApprovedBy: w.ApprovedBy, Expires: w.Expires, DownTo: w.DownTo, At: d.spec.At(w.Path())}
	d.evalNotice(w)
}

// check starts the result of a rule on a waiver, at one of its fields. Its
// subject is the finding that the waiver is for: it stays the same wherever in
// the list the waiver is.
func (d *matcher) check(rule *rules.Rule, w *schema.Waiver, field string) *rules.Check {
	path := w.Path()
	if field != "" {
		path += "." + field
	}
	pass := rules.NewPass(rule, d.spec, func(r rules.Result) { d.findings = append(d.findings, r) })
	return pass.Subject(w.Rule+"/"+w.Subject, path)
}

// name is how messages call a waiver.
func name(w *schema.Waiver) string { return "the waiver of " + w.Rule + " for " + w.Subject }

// reattach makes what follows from an accepted finding follow from the next one
// up its chain that stands, or from none, and says what was accepted.
func reattach(results []rules.Result) {
	accepted := map[string]rules.Result{}
	for _, r := range results {
		if r.Verdict == rules.Waived {
			accepted[r.Key()] = r
		}
	}
	for i := range results {
		r := &results[i]
		seen := map[string]bool{}
		for r.IsFinding() {
			above, ok := accepted[r.Primary]
			if !ok {
				break
			}
			if !seen[r.Primary] {
				seen[r.Primary] = true
				// A new list: the old one may be shared with the results as they came.
				r.Related = append(append([]schema.Place{}, r.Related...), schema.Place{Position: above.At,
					Note: "it is a consequence of a finding that is waived: " + above.Rule + " of " + above.Subject})
				r.Primary = above.Primary
			} else {
				r.Primary = "" // the chain leads back to where it was
			}
		}
	}
}
