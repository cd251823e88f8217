package record

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func vitalDataMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "vital-data-missing",
		Family: family,
		Title:  "nobody can vouch for a part: data are missing on which its safety rests",
		Why: "A fuse of unknown breaking capacity is not one that interrupts, and a check that cannot be made finds nothing. A run " +
			"without findings would read as if the part were sound.",
		Relation: "of every part in use, everything is given that a check of it, or of what rests on it, cannot do without; " +
			"what only refines a check is left to the list of what was not checked",
		Source: "common practice: what is not known is not safe",
		Level:  rules.Error,
		Varies: "warning for a part that neither is connected to the traction battery nor interrupts or isolates, and for all parts of a vehicle with draft: true",
		Fix:    "fill in what is missing from the datasheet; while the vehicle is being designed, vehicle.draft: true makes these findings warnings",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.breaking_A_dc"}}},
		Review: reviewVitalData,
	}
}

// gap is what is missing of one part.
type gap struct {
	id     string
	fields []string // paths of what is missing, in the order in which it was met
	rules  []string // that lack it, likewise
	checks int
	// because is the error that each of the checks follows from, "" if one follows from
	// none: what is wrong with its subject is to be corrected first.
	because string
}

// add notes a check that was not made.
func (g *gap) add(missing, rule, because string) {
	if g.checks == 0 {
		g.because = because
	} else if because == "" {
		g.because = ""
	}
	g.checks++
	if !slices.Contains(g.fields, missing) {
		g.fields = append(g.fields, missing)
	}
	if !slices.Contains(g.rules, rule) {
		g.rules = append(g.rules, rule)
	}
}

// reviewVitalData has one finding for all that is missing of a part, and turns each check
// that lacks it into one for which nobody can vouch: one to which it is vital, and one that
// it would only refine, so that no field is asked for in two places.
func reviewVitalData(p *rules.Pass, results []rules.Result) {
	inUse := usedParts(p.Spec)
	vital := vitalPaths(p, results, inUse)
	gaps := map[string]*gap{} // by path of the part
	wrong := errorsOf(results)
	for i := range results {
		r := &results[i]
		if r.Verdict != rules.NotChecked || !vital[r.Missing] {
			continue
		}
		id, path := partOf(r.Missing)
		if gaps[path] == nil {
			gaps[path] = &gap{id: id}
		}
		gaps[path].add(r.Missing, r.Rule, wrong.because(r))
		r.Verdict, r.Primary = rules.CannotVouch, p.Rule.ID+"/"+id
	}
	for path := range schema.Sorted(inUse) {
		id, _ := partOf(path)
		c := p.Subject(id, path)
		c.Level(levelOf(p, id, path))
		g := gaps[path]
		if g == nil {
			c.Holds(true, "%s: nothing vital is missing", id)
			continue
		}
		if rule, subject, follows := strings.Cut(g.because, "/"); follows {
			c.Because(rule, subject)
		}
		c.Fix("%s", g.fix())
		c.Fail("%s: %s missing; %s: %s", id, rules.And(g.words()), notMade(g.checks), ruleList(g.rules))
	}
}

// errors are the keys of the errors that were found: all of them, and the first of each
// subject.
type errors struct {
	all     map[string]bool
	subject map[string]string
}

func errorsOf(results []rules.Result) errors {
	e := errors{map[string]bool{}, map[string]string{}}
	for i := range results {
		if r := &results[i]; r.IsFinding() && r.Level == rules.Error {
			e.all[r.Key()] = true
			e.subject[r.Subject] = cmp.Or(e.subject[r.Subject], r.Key())
		}
	}
	return e
}

// because is the error that a check which was not made follows from, "" if it follows
// from none.
func (e errors) because(r *rules.Result) string {
	if e.all[r.Primary] {
		return r.Primary
	}
	if ac := "contact-voltage-ac-only/" + contactOf(r.Missing); e.all[ac] {
		return ac
	}
	return e.subject[r.Subject]
}

// contactOf is the id of what a field belongs to: of a pole with that of its switch, as
// findings of poles have it.
func contactOf(field string) string {
	id, path := partOf(field)
	if rest, isPole := strings.CutPrefix(field, path+".poles."); isPole {
		pole, _, _ := strings.Cut(rest, ".")
		return id + "." + pole
	}
	return id
}

// vitalPaths are the paths of what is missing and vital to a check.
func vitalPaths(p *rules.Pass, results []rules.Result, inUse map[string]bool) map[string]bool {
	fields := map[string][]string{}
	for _, r := range p.Rules {
		fields[r.ID] = r.Vital
	}
	broken := p.Spec.Broken()
	vital := map[string]bool{}
	for i := range results {
		r := &results[i]
		if r.Verdict != rules.NotChecked || vital[r.Missing] || !isVital(fields[r.Rule], r.Missing) || mistaken(broken, r.Missing) {
			continue
		}
		if _, path := partOf(r.Missing); inUse[path] {
			vital[r.Missing] = true
		}
	}
	return vital
}

// mistaken reports whether what is missing is there, but holds a mistake: that is another
// finding.
func mistaken(broken []string, missing string) bool {
	return slices.ContainsFunc(broken, func(path string) bool {
		return path == missing || strings.HasPrefix(path, missing+".") || strings.HasPrefix(missing, path+".")
	})
}

// notMade says how many checks could not be made.
func notMade(n int) string {
	if n == 1 {
		return "1 check cannot be made"
	}
	return fmt.Sprintf("%d checks cannot be made", n)
}

// ruleList names the rules of which checks were not made.
func ruleList(ids []string) string {
	const named = 6
	if len(ids) > named {
		return strings.Join(ids[:named-1], ", ") + fmt.Sprintf(" and %d other rules", len(ids)-named+1)
	}
	return strings.Join(ids, ", ")
}

// words says what the fields are, each once.
func (g *gap) words() (list []string) {
	for _, path := range g.fields {
		if _, words, _ := schema.FieldOf(path); !slices.Contains(list, words) {
			list = append(list, words)
		}
	}
	return list
}

// fix says what to fill in, and where a datasheet has it.
func (g *gap) fix() string {
	names := make([]string, len(g.fields))
	for i, path := range g.fields {
		_, part := partOf(path)
		names[i] = strings.TrimPrefix(path, part+".")
	}
	text := "fill in " + rules.And(names) + " of " + g.id
	if len(g.fields) == 1 {
		if _, _, where := schema.FieldOf(g.fields[0]); where != "" {
			text += "; where to find it: " + where
		}
	}
	return text
}

// partOf is the id and the path of the part, conductor or mode that a field belongs to.
// A mode has its path for an id, since a part may be called as it is.
func partOf(field string) (id, path string) {
	kind, rest, _ := strings.Cut(field, ".")
	id, _, _ = strings.Cut(rest, ".")
	path = kind + "." + id
	if kind == "modes" {
		id = path
	}
	return id, path
}

// isVital reports whether a path that is missing is one of some fields, a group that
// holds one, or a part of one.
func isVital(fields []string, missing string) bool {
	if len(fields) == 0 {
		return false
	}
	name, _, _ := schema.FieldOf(missing)
	if !strings.Contains(name, ".") { // a fact about the vehicle, or a part as a whole
		return false
	}
	return slices.ContainsFunc(fields, func(field string) bool {
		return field == name || strings.HasPrefix(field, name+".") || strings.HasPrefix(name, field+".")
	})
}

// usedParts are the paths of what can be in use: parts that are wired and no spares,
// conductors and modes.
func usedParts(s *schema.Spec) map[string]bool {
	u := usage(s)
	used := map[string]bool{}
	for id, part := range s.Parts() {
		if base := part.Common(); !base.Spare && u.joined[id] > 0 {
			used[base.Path()] = true
		}
	}
	for _, c := range s.Conductors() {
		if !c.Spare {
			used[c.Path()] = true
		}
	}
	for _, m := range s.Modes {
		used[m.Path()] = true
	}
	return used
}

// levelOf is how grave it is that nobody can vouch for a part. How long a current flows
// that a conductor does not carry for long is asked of the mode.
func levelOf(p *rules.Pass, id, path string) rules.Level {
	if p.Spec.Vehicle.Draft {
		return rules.Warning
	}
	kind, _, _ := strings.Cut(path, ".")
	if kind == "fuses" || kind == "breakers" || kind == "disconnects" || kind == "contactors" || kind == "modes" ||
		p.Circuit.CutsOff(id) || p.Circuit.OnTraction(id) {
		return rules.Error
	}
	return rules.Warning
}
