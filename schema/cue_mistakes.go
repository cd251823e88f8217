package schema

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"cuelang.org/go/cue"
	cueerrors "cuelang.org/go/cue/errors"
)

// mistake records what the evaluator found wrong with a value.
func (c *converter) mistake(d *datum, e cueerrors.Error, path []string, near span, w *written) {
	d.kind, d.broken = openKind, true
	places := c.places(e)
	if w != nil {
		for _, s := range w.literals {
			if !slices.Contains(places, s) {
				places = append(places, s)
			}
		}
		sortSpans(places)
	}
	p := c.explainMistake(e, path, places)
	if p.Rule == RuleUnknownField && d.key.valid() {
		c.later(d, p, d.key, d.key)
		return
	}
	at, from := near, span{}
	if d.value.valid() {
		at, from = d.value, d.value
	}
	for _, s := range places {
		if s.text.own && !d.value.valid() && !from.valid() {
			at, from = s, s
		}
	}
	for _, s := range places {
		if !from.valid() {
			from = s
		}
		if s != at {
			p.Related = append(p.Related, Place{s.position(), "the other is here"})
		}
	}
	c.later(d, p, at, from)
}

// explainMistake words an error of the evaluator. It is the one place that
// looks at the wording of those errors, and only to choose ours: a wording
// that it doesn't know gets a general message.
func (c *converter) explainMistake(e cueerrors.Error, path []string, places []span) Problem {
	format, args := e.Msg()
	name := pathOf(path)
	p := Problem{Path: name}
	switch {
	case strings.HasPrefix(format, "field not allowed"):
		p.Rule = RuleUnknownField
		p.Message = fmt.Sprintf("%s has no field %s in the shared part that it is made from", parentOr(name, "the specification"), quote(path[len(path)-1]))
		p.Fix = "correct the name, or add the field to the shared part"
	case strings.HasPrefix(format, "conflicting values"), strings.HasPrefix(format, "incompatible list lengths"):
		p.Rule = RuleConflictingValues
		p.Message = name + " is given values that do not agree" + c.listed(places)
		p.Fix = "keep one of them"
		if slices.ContainsFunc(places, func(s span) bool { return !s.text.own }) {
			p.Fix += "; a shared part that may be overridden gives its value as a default, *250 | number"
		}
	case strings.HasPrefix(format, "invalid value"):
		p.Rule = RuleOutOfRange
		p.Message = name + " is outside what the shared part allows" + c.listed(places)
		p.Fix = "correct the value, or the condition"
	case strings.HasPrefix(format, "undefined field"), strings.HasPrefix(format, "reference %q not found"):
		p.Rule = RuleUnknownName
		missing := strings.Trim(fmt.Sprint(args...), `"`)
		p.Message = fmt.Sprintf("%s refers to %s, which nothing defines", name, missing)
		p.Fix = "correct the name, or define it"
		if s := closest(missing, c.defined()); s != "" {
			p.Message += fmt.Sprintf("; did you mean %s?", s)
			p.Fix = "write " + s
		}
	case strings.Contains(format, "cycle"):
		p.Rule = RuleNotConcrete
		p.Message = name + " is defined by itself"
		p.Fix = "give the value"
	case strings.Contains(format, "empty disjunction"):
		p.Rule = RuleConflictingValues
		p.Message = name + " is none of the values that the shared part allows" + c.listed(places)
		p.Fix = "use one of the values allowed"
	default:
		p.Rule = RuleNotConcrete
		p.Message = name + " has no value that can be worked out" + c.listed(places)
		p.Fix = "give the value"
	}
	return p
}

// places returns where the values of an error stand, without the references
// that merely lead there.
func (c *converter) places(e cueerrors.Error) []span {
	var places []span
	for _, p := range append(e.InputPositions(), e.Position()) {
		if s, ok := c.expressions[placeOf(p)]; ok && !slices.Contains(places, s) {
			places = append(places, s)
		} else if s, ok := c.values[placeOf(p)]; ok && !slices.Contains(places, s) {
			places = append(places, s)
		}
	}
	sortSpans(places)
	return places
}

func sortSpans(s []span) {
	slices.SortFunc(s, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.text.name, b.text.name), cmp.Compare(a.from, b.from))
	})
}

// listed quotes the values at places.
func (c *converter) listed(places []span) string {
	var values []string
	for _, s := range places {
		text := s.String()
		if len(text) > 40 || strings.Contains(text, "\n") {
			text = "a group of fields"
		}
		if text != "" {
			values = append(values, text)
		}
	}
	if len(values) == 0 {
		return ""
	}
	return ": " + strings.Join(values, " and ")
}

// defined lists the names of the fields at the top of every file.
func (r *cueReader) defined() []string {
	var names []string
	for _, f := range r.files {
		for _, d := range f.Decls {
			if name := fieldName(d); name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	slices.Sort(names)
	return names
}

// hidden reports mistakes in definitions and hidden fields, which are not part
// of the specification's values but of the file.
func (c *converter) hidden(v cue.Value, start span) {
	for _, e := range cueerrors.Errors(v.Validate()) {
		path := e.Path()
		if len(path) == 0 || !strings.HasPrefix(path[0], "_") && !strings.HasPrefix(path[0], "#") {
			continue
		}
		d := &datum{}
		c.mistake(d, e, path, start, nil)
		c.settleAside(d)
	}
}

func pathOf(path []string) string {
	var b strings.Builder
	for i, name := range path {
		if i > 0 {
			b.WriteByte('.')
		}
		b.WriteString(pathElement(name))
	}
	return b.String()
}

func parentOr(path, top string) string {
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		return path[:i]
	}
	return top
}
