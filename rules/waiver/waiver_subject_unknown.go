package waiver

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func subjectUnknown() *rules.Rule {
	return &rules.Rule{
		ID:     "waiver-subject-unknown",
		Family: family,
		Title:  "a waiver is for a subject that does not exist",
		Why: "A part was renamed or removed and its waiver stayed. It does nothing today, but it will silently accept a finding on the next part of " +
			"that name.",
		Relation: "the waiver's subject is the subject of a result: a part, a conductor, or part.terminal, as in the finding",
		Source:   "consistency of the record",
		Level:    rules.Error,
		Fix:      "write the subject as in the finding, or remove the waiver",
		Example: rules.Example{Vehicle: "heron", Subject: "load-drop-high/headlmap", Edits: []rules.Edit{
			{Path: "waivers", Value: `[{"rule": "load-drop-high", "subject": "headlmap", "reason": "It is bright enough.", "approved_by": "workshop lead", "expires": "2031-03-31"}]`}}},
	}
}

// evalSubject reports whether there is such a subject.
func (d *matcher) evalSubject(w *schema.Waiver) bool {
	c := d.check(subjectUnknown(), w, "subject")
	if d.subjects[w.Subject] || d.exists(w.Subject) {
		c.Holds(true, "%s is for a subject that exists", name(w))
		return true
	}
	if d.broken != "" {
		c.NotChecked(d.broken, "whether %s exists is not known: %s holds a mistake", w.Subject, d.broken)
		return false
	}
	known := d.subjectsOf(w.Rule)
	message := fmt.Sprintf("%s accepts nothing: this vehicle has no %s", name(w), w.Subject)
	if s := schema.Closest(w.Subject, known); s != "" {
		message += fmt.Sprintf("; did you mean %q?", s)
		c.Fix("write %q", s)
	} else if len(known) > 0 {
		message += "; the rule's subjects are " + listed(known)
	}
	c.Fail("%s", message)
	return false
}

// exists reports whether something of the spec has the name, whether a rule
// has something to say of it or not.
func (d *matcher) exists(subject string) bool {
	id, terminal, isTerminal := strings.Cut(subject, ".")
	if part := d.spec.Part(id); part != nil {
		return !isTerminal || slices.ContainsFunc(part.Terminals(), func(t schema.Terminal) bool { return t.Name == terminal })
	}
	if isTerminal {
		return false
	}
	has := d.spec.Wires[id] != nil || d.spec.Busbars[id] != nil || d.spec.Bonds[id] != nil || d.spec.Panels[id] != nil || d.spec.Modes[id] != nil
	return has || slices.ContainsFunc(d.spec.Broken(), func(path string) bool { return strings.HasSuffix(path, "."+id) })
}

// subjectsOf lists the subjects of a rule's results.
func (d *matcher) subjectsOf(rule string) []string {
	var subjects []string
	for _, r := range d.results {
		if r.Rule == rule {
			subjects = append(subjects, r.Subject)
		}
	}
	slices.Sort(subjects)
	return slices.Compact(subjects)
}

// listed joins names, the first dozen of them.
func listed(names []string) string {
	const few = 12
	if len(names) > few {
		return strings.Join(names[:few], ", ") + fmt.Sprintf(" (and %d more)", len(names)-few)
	}
	return strings.Join(names, ", ")
}
