package read

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/cuecontext"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"
	"example.org/headroom/schema/internal/spell"

	cueerrors "cuelang.org/go/cue/errors"
)

// evaluate turns the parsed files into values: literal files as they stand,
// others through the evaluator.
func (r *cueReader) evaluate(folder string) (*source.Value, error) {
	layout := &written{}
	if root := r.literal(); root != nil {
		return root, nil
	}
	value, err := r.build(folder)
	if err != nil || r.failed {
		return nil, err
	}
	for _, f := range r.own {
		r.layOut(layout, f.Decls)
	}
	c := &converter{cueReader: r, unsure: len(r.holes) > 0 && !layout.isUnsure()}
	c.values, c.expressions = r.catalogue()
	start := r.texts[r.own[0].Filename].Span(0, 0)
	root := c.convert(value, define.Spec(), layout, nil, start)
	c.hidden(value, start)
	return root, nil
}

// isUnsure reports whether something was taken out of a value that is laid
// out. If not, it was taken out of a definition, and may be missing anywhere.
func (w *written) isUnsure() bool {
	if w.unsure {
		return true
	}
	for _, c := range w.members {
		if c.isUnsure() {
			return true
		}
	}
	return false
}

// build compiles the package. A name that nothing defines is reported and
// taken out, and the rest compiled again.
func (r *cueReader) build(folder string) (cue.Value, error) {
	for {
		value, err := r.buildOnce(folder)
		var unknown cueerrors.Error
		if err == nil || r.failed || !errors.As(err, &unknown) {
			return value, err
		}
		before := len(r.holes) + r.unused
		for _, e := range cueerrors.Errors(err) {
			r.unknownName(e)
			r.unusedImport(e)
		}
		if len(r.holes)+r.unused == before {
			// Nothing more can be taken out: report what there is and give up.
			r.giveUp(err)
			return cue.Value{}, nil
		}
	}
}

func (r *cueReader) buildOnce(folder string) (cue.Value, error) {
	clear(r.imports)
	inst, err := r.instance(folder, r.own)
	if err != nil || r.failed {
		return cue.Value{}, err
	}
	if costly := r.costly(); costly != nil {
		if err := r.probe(costly); err != nil || r.failed {
			return cue.Value{}, err
		}
	}
	// The environment must not decide what is checked: CUE_DEBUG=opendef, for
	// one, would let every unknown field of a shared definition pass.
	value := cuecontext.New(cuecontext.CUE_DEBUG(""), cuecontext.EvaluatorVersion(cuecontext.EvalV3)).BuildInstance(inst)
	if inst.Err != nil {
		return value, inst.Err
	}
	if err := value.Err(); err != nil && !value.Exists() {
		return value, err
	}
	return value, nil
}

// probe has a package that is costly evaluated where it can be stopped.
func (r *cueReader) probe(costly ast.Node) error {
	at := r.spanOf(costly)
	switch {
	case r.target.Path == input.Stdin:
		r.failed = true
		r.Report(source.Problem{Rule: source.RuleUnsafeConstruct, Message: "CUE with computed values cannot be checked from standard input", Fix: "save it in a file and check that, or write out the values"}, at, source.Span{}, "")
		return nil
	case r.opts.Probe == nil:
		r.failed = true
		r.Report(source.Problem{Rule: source.RuleUnsafeConstruct, Message: "this specification has computed values; only plain values are evaluated here", Fix: "write out the values"}, at, source.Span{}, "")
		return nil
	}
	return r.opts.Probe(r.ctx, r.target)
}

// unknownName reports a name that nothing defines, and takes it out.
func (r *cueReader) unknownName(e cueerrors.Error) {
	for _, p := range cueerrors.Positions(e) {
		for _, f := range r.files {
			if f.Filename != p.Filename() {
				continue
			}
			name := ""
			r.replace(f, func(id *ast.Ident) bool {
				if id.Pos() == p && id.Name != "_" {
					name = id.Name
					return true
				}
				return false
			})
			if name != "" {
				t := r.texts[f.Filename]
				once := r.texts[r.own[0].Filename].Span(0, 0) // however often it is used
				r.Report(r.undefined(name), t.Span(p.Offset(), p.Offset()+len(name)), once, name)
			}
		}
	}
}

// unusedImport reports an import that nothing uses, which CUE refuses, and
// takes it out.
func (r *cueReader) unusedImport(e cueerrors.Error) {
	for _, f := range r.files {
		for _, spec := range slices.Collect(f.ImportSpecs()) {
			if spec.Pos() != e.Position() {
				continue
			}
			r.unused++
			r.Report(source.Problem{Rule: source.RuleSyntax, Message: "the import " + spec.Path.Value + " is not used", Fix: "remove it"}, r.spanOf(spec), source.Span{}, "")
			removeImport(f, spec)
		}
	}
}

// undefined words the problem of a name that nothing defines.
func (r *cueReader) undefined(name string) source.Problem {
	p := source.Problem{Rule: source.RuleUnknownName, Message: "the name " + name + " is not defined"}
	switch s := spell.Closest(name, r.defined()); {
	case s != "":
		p.Message += fmt.Sprintf("; did you mean %s?", s)
		p.Fix = "write " + s
	case strings.ContainsAny(name[:1], "_#"):
		p.Fix = fmt.Sprintf("define %s, or correct it", name)
	default:
		p.Message += "; a text needs quotation marks"
		p.Fix = fmt.Sprintf("write %q for a text; for a name define %s, or correct it", name, name)
	}
	return p
}

// giveUp reports why a package cannot be compiled.
func (r *cueReader) giveUp(err error) {
	r.failed = true
	for _, e := range cueerrors.Errors(err) {
		at := r.texts[r.own[0].Filename].Line(1)
		for _, p := range cueerrors.Positions(e) {
			if t := r.texts[p.Filename()]; t != nil {
				at = t.Span(p.Offset(), 0)
				break
			}
		}
		format, args := e.Msg()
		p := source.Problem{Rule: source.RuleSyntax, Message: "this CUE cannot be used: " + fmt.Sprintf(format, args...), Fix: "correct it here"}
		if strings.HasPrefix(format, "reference %q not found") && len(args) > 0 {
			p = r.undefined(fmt.Sprint(args[0]))
		}
		r.Report(p, at, at, "")
	}
}

// converter turns the evaluator's values into ours, as far as the definitions
// know them: what they don't know is reported and not looked into.
type converter struct {
	*cueReader
	values, expressions map[place]source.Span
	unsure              bool
}

// convert converts one value. Near is the closest place around it in the
// vehicle's own files.
func (c *converter) convert(v cue.Value, def *define.Definition, w *written, path []string, near source.Span) *source.Value {
	d := &source.Value{Unsure: c.unsure}
	if w != nil {
		d.Key, d.Value, d.Unsure = w.key, w.value, d.Unsure || w.unsure
	}
	c.locate(d, v)
	switch {
	case d.Key.Valid():
		near = d.Key
	case d.Value.Valid():
		near = d.Value
	}
	if v.Kind() == cue.BottomKind { // what has a kind has no error, and to ask for one takes long
		if err := v.Err(); err == nil {
			if chosen, ok := v.Default(); ok {
				v = chosen
			}
		} else if own := ownError(err, path); own != nil {
			if def == nil {
				return d // not part of the format; that is what will be reported
			}
			c.mistake(d, own, path, near, w)
			return d
		}
	}
	if def == nil {
		d.Kind = kindOf(v)
		return d
	}
	c.fill(d, v, def, w, path, near)
	return d
}

// locate notes where the evaluator found the value.
func (c *converter) locate(d *source.Value, v cue.Value) {
	p := v.Pos()
	t := c.texts[p.Filename()]
	if t == nil || !p.HasAbsPos() {
		return
	}
	at, ok := c.values[placeOf(p)]
	if !ok {
		at = c.expressions[placeOf(p)]
	}
	if !at.Valid() {
		at = t.Span(p.Offset(), 0)
	}
	if t.Own {
		d.At = at
	} else {
		d.Shared = at
	}
}

// kindOf returns the kind of a concrete value.
func kindOf(v cue.Value) source.Kind {
	switch v.Kind() {
	case cue.NullKind:
		return source.NullKind
	case cue.StringKind:
		return source.TextKind
	case cue.IntKind, cue.FloatKind, cue.NumberKind:
		return source.NumberKind
	case cue.BoolKind:
		return source.BoolKind
	case cue.ListKind:
		return source.ListKind
	case cue.StructKind:
		return source.ObjectKind
	}
	return source.OpenKind
}

// fill converts what a value holds. A value that holds a mistake further down
// has no kind in the evaluator's eyes; it is taken for what its entries say.
func (c *converter) fill(d *source.Value, v cue.Value, def *define.Definition, w *written, path []string, near source.Span) {
	d.Kind = kindOf(v)
	switch d.Kind {
	case source.TextKind:
		d.Text, _ = v.String()
	case source.BoolKind:
		d.Flag, _ = v.Bool()
	case source.NumberKind:
		var err error
		if d.Number, err = v.Float64(); math.IsInf(d.Number, 0) || err != nil && !errors.Is(err, cue.ErrBelow) && !errors.Is(err, cue.ErrAbove) {
			c.TooLarge(d, fmt.Sprint(v))
		}
	case source.ObjectKind, source.ListKind:
		c.entries(d, v, def, w, path, near)
	case source.OpenKind:
		if v.Err() != nil {
			c.entries(d, v, def, w, path, near)
		}
	}
}

// entries converts the fields of a struct or the items of a list.
func (c *converter) entries(d *source.Value, v cue.Value, def *define.Definition, w *written, path []string, near source.Span) {
	it, err := v.Fields(cue.Optional(true))
	if err != nil && d.Kind == source.ListKind {
		c.items(d, v, def, w, path, near)
		return
	}
	if err != nil {
		return
	}
	if d.Kind == source.OpenKind {
		d.Kind = source.ObjectKind
	}
	for it.Next() {
		sel := it.Selector()
		if sel.Type()&cue.IndexLabel != 0 {
			d.Kind = source.ListKind
			i := sel.Index()
			d.Items = append(d.Items, c.convert(it.Value(), def.Element, w.child(strconv.Itoa(i)), append(path, strconv.Itoa(i)), near))
			continue
		}
		name := sel.Unquoted()
		switch {
		case it.FieldType()&cue.RequiredConstraint != 0:
			at := &source.Value{}
			c.locate(at, it.Value())
			d.Required = append(d.Required, source.Requirement{Name: name, At: at.Origin()})
			continue
		case it.IsOptional():
			continue
		}
		child := def.Element
		if f := def.Field(name); f != nil {
			child = f.Value
		}
		d.Add(name, c.convert(it.Value(), child, w.child(name), append(path, name), near))
	}
}

func (c *converter) items(d *source.Value, v cue.Value, def *define.Definition, w *written, path []string, near source.Span) {
	it, err := v.List()
	if err != nil {
		return
	}
	for i := 0; it.Next(); i++ {
		index := strconv.Itoa(i)
		d.Items = append(d.Items, c.convert(it.Value(), def.Element, w.child(index), append(path, index), near))
	}
}

// ownError returns the error of a value itself, rather than of what it holds.
func ownError(err error, path []string) cueerrors.Error {
	for _, e := range cueerrors.Errors(err) {
		if samePath(e.Path(), path) {
			return e
		}
	}
	return nil
}

func samePath(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if strings.Trim(a[i], `"`) != b[i] {
			return false
		}
	}
	return true
}
