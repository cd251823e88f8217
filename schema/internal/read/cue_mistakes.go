package read

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"cuelang.org/go/cue"

	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"

	cueerrors "cuelang.org/go/cue/errors"
)

// mistake records what the evaluator found wrong with a value.
func (c *converter) mistake(d *source.Value, e cueerrors.Error, path []string, near source.Span, w *written) {
	d.Kind, d.Broken = source.OpenKind, true
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
	if p.Rule == source.RuleUnknownField && d.Key.Valid() {
		c.Later(d, p, d.Key, d.Key)
		return
	}
	at, from := near, source.Span{}
	if d.Value.Valid() {
		at, from = d.Value, d.Value
	}
	for _, s := range places {
		if s.Text.Own && !d.Value.Valid() && !from.Valid() {
			at, from = s, s
		}
	}
	for _, s := range places {
		if !from.Valid() {
			from = s
		}
		if s != at {
			p.Related = append(p.Related, source.Place{Position: s.Position(), Note: "the other is here"})
		}
	}
	c.Later(d, p, at, from)
}

// explainMistake words an error of the evaluator. It is the one place that
// looks at the wording of those errors, and only to choose ours: a wording
// that it doesn't know gets a general message.
func (c *converter) explainMistake(e cueerrors.Error, path []string, places []source.Span) source.Problem {
	format, args := e.Msg()
	name := pathOf(path)
	p := source.Problem{Path: name}
	switch {
	case strings.HasPrefix(format, "field not allowed"):
		p.Rule = source.RuleUnknownField
		p.Message = fmt.Sprintf("%s has no field %s in the shared part that it is made from", parentOr(name, "the specification"), source.Quote(path[len(path)-1]))
		p.Fix = "correct the name, or add the field to the shared part"
	case strings.HasPrefix(format, "conflicting values"), strings.HasPrefix(format, "incompatible list lengths"):
		p.Rule = source.RuleConflictingValues
		p.Message = name + " has values that contradict each other" + c.listed(places)
		p.Fix = "keep one of them"
		if slices.ContainsFunc(places, func(s source.Span) bool { return !s.Text.Own }) {
			p.Fix += "; to override a value of a shared part, give it there as a default: *250 | number"
		}
	case strings.HasPrefix(format, "invalid value"):
		p.Rule = source.RuleOutOfRange
		p.Message = name + " does not meet the condition of the shared part" + c.listed(places)
		p.Fix = "correct the value, or the condition"
	case strings.HasPrefix(format, "undefined field"), strings.HasPrefix(format, "reference %q not found"):
		p.Rule = source.RuleUnknownName
		missing := strings.Trim(fmt.Sprint(args...), `"`)
		p.Message = fmt.Sprintf("%s refers to %s, which is not defined", name, missing)
		p.Fix = "correct the name, or define it"
		if s := spell.Closest(missing, c.defined()); s != "" {
			p.Message += fmt.Sprintf("; did you mean %s?", s)
			p.Fix = "write " + s
		}
	case strings.Contains(format, "cycle"):
		p.Rule = source.RuleNotConcrete
		p.Message = name + " is defined by itself"
		p.Fix = "give the value"
	case strings.Contains(format, "empty disjunction"):
		p.Rule = source.RuleConflictingValues
		p.Message = name + " is not one of the values that the shared part permits" + c.listed(places)
		p.Fix = "use one of the permitted values"
	default:
		p.Rule = source.RuleNotConcrete
		p.Message = name + " has no value that can be computed" + c.listed(places)
		p.Fix = "give the value"
	}
	return p
}

// places returns where the values of an error stand, without the references
// that merely lead there.
func (c *converter) places(e cueerrors.Error) []source.Span {
	var places []source.Span
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

func sortSpans(s []source.Span) {
	slices.SortFunc(s, func(a, b source.Span) int {
		return cmp.Or(cmp.Compare(a.Text.Name, b.Text.Name), cmp.Compare(a.From, b.From))
	})
}

// listed quotes the values at places.
func (c *converter) listed(places []source.Span) string {
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
func (c *converter) hidden(v cue.Value, start source.Span) {
	for _, e := range cueerrors.Errors(v.Validate()) {
		path := e.Path()
		if len(path) == 0 || !strings.HasPrefix(path[0], "_") && !strings.HasPrefix(path[0], "#") {
			continue
		}
		d := &source.Value{}
		c.mistake(d, e, path, start, nil)
		c.SettleAside(d)
	}
}

func pathOf(path []string) string {
	var b strings.Builder
	for i, name := range path {
		if i > 0 {
			b.WriteByte('.')
		}
		b.WriteString(source.PathElement(name))
	}
	return b.String()
}

func parentOr(path, top string) string {
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		return path[:i]
	}
	return top
}
