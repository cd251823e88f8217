package schema

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"
)

// definitionReader turns the syntax of the CUE definitions into definitions.
// It knows just the constructs that they use and refuses any other, so that
// the two can't drift apart unseen.
type definitionReader struct {
	named map[string]ast.Expr
	done  map[string]*definition
	err   error // the first
}

func (r *definitionReader) fail(n ast.Node, format string, args ...any) *definition {
	if r.err == nil {
		r.err = fmt.Errorf("definitions: %v: %s", n.Pos(), fmt.Sprintf(format, args...))
	}
	return unlimited(&definition{})
}

// reference reads a definition by name.
func (r *definitionReader) reference(name string) *definition {
	if d, ok := r.done[name]; ok {
		return d
	}
	e, ok := r.named[name]
	if !ok {
		if r.err == nil {
			r.err = fmt.Errorf("definitions: no %s", name)
		}
		return unlimited(&definition{})
	}
	d := r.read(e)
	d.name = name
	r.done[name] = d
	return d
}

// read reads an expression that stands for a value.
func (r *definitionReader) read(e ast.Expr) *definition {
	switch x := e.(type) {
	case *ast.Ident:
		return r.ident(x)
	case *ast.ParenExpr:
		return r.read(x.X)
	case *ast.BasicLit, *ast.UnaryExpr:
		return r.single(e)
	case *ast.StructLit:
		return r.group(x)
	case *ast.ListLit:
		if len(x.Elts) == 1 {
			if more, ok := x.Elts[0].(*ast.Ellipsis); ok {
				return unlimited(&definition{kinds: kindsOf(listKind), element: r.read(more.Type)})
			}
		}
	case *ast.BinaryExpr:
		switch x.Op {
		case token.AND:
			return r.both(r.read(x.X), r.read(x.Y))
		case token.OR:
			return r.either(x)
		}
	}
	return r.fail(e, "cannot read this construct (%T)", e)
}

func (r *definitionReader) ident(x *ast.Ident) *definition {
	switch x.Name {
	case "string":
		return unlimited(&definition{kinds: kindsOf(textKind)})
	case "number":
		return unlimited(&definition{kinds: kindsOf(numberKind)})
	case "int":
		return unlimited(&definition{kinds: kindsOf(numberKind), integer: true})
	case "bool":
		return unlimited(&definition{kinds: kindsOf(boolKind)})
	}
	if strings.HasPrefix(x.Name, "#") {
		return r.reference(x.Name)
	}
	return r.fail(x, "unknown name %s", x.Name)
}

// single reads a literal or a bound.
func (r *definitionReader) single(e ast.Expr) *definition {
	if v := constant(e); v != nil {
		d := unlimited(&definition{})
		switch v := v.(type) {
		case string:
			d.kinds, d.allowed = kindsOf(textKind), []string{v}
		case float64:
			d.kinds, d.counts = kindsOf(numberKind), []float64{v}
		case bool:
			d.kinds = kindsOf(boolKind)
		}
		return d
	}
	x, ok := e.(*ast.UnaryExpr)
	if !ok {
		return r.fail(e, "unknown literal")
	}
	d := unlimited(&definition{kinds: kindsOf(numberKind)})
	v := constant(x.X)
	limit, isNumber := v.(float64)
	expression, isText := v.(string)
	switch {
	case x.Op == token.MAT && isText:
		form, err := regexp.Compile(expression)
		if err != nil {
			return r.fail(e, "%v", err)
		}
		d.kinds, d.form = kindsOf(textKind), form
	case x.Op == token.NEQ && isText && expression == "":
		d.kinds, d.filled = kindsOf(textKind), true
	case isNumber && (x.Op == token.GTR || x.Op == token.GEQ):
		d.low = bound{limit, x.Op == token.GTR, true}
	case isNumber && (x.Op == token.LSS || x.Op == token.LEQ):
		d.high = bound{limit, x.Op == token.LSS, true}
	default:
		return r.fail(e, "unknown bound")
	}
	return d
}

// constant returns the value of a literal: a string, a float64, a bool or nil.
func constant(e ast.Expr) any {
	switch x := e.(type) {
	case *ast.UnaryExpr:
		if v, ok := constant(x.X).(float64); ok && x.Op == token.SUB {
			return -v
		}
	case *ast.BasicLit:
		switch x.Kind {
		case token.STRING:
			if s, err := literal.Unquote(x.Value); err == nil {
				return s
			}
		case token.INT, token.FLOAT:
			if v, err := strconv.ParseFloat(x.Value, 64); err == nil {
				return v
			}
		case token.TRUE, token.FALSE:
			return x.Kind == token.TRUE
		}
	}
	return nil
}

// both joins two demands on the same value.
func (r *definitionReader) both(a, b *definition) *definition {
	d := *a
	d.name = ""
	d.kinds &= b.kinds
	d.integer = a.integer || b.integer
	d.filled = a.filled || b.filled
	if b.low.set {
		d.low = b.low
	}
	if b.high.set {
		d.high = b.high
	}
	if b.form != nil {
		d.form = b.form
	}
	return &d
}

// either reads alternatives, one of which may be marked as the default.
func (r *definitionReader) either(x *ast.BinaryExpr) *definition {
	d := unlimited(&definition{})
	var alternatives []*definition
	for _, e := range operands(x) {
		if mark, ok := e.(*ast.UnaryExpr); ok && mark.Op == token.MUL {
			e = mark.X
			if d.fallback = constant(e); d.fallback == nil {
				return r.fail(e, "a default must be a literal")
			}
		}
		alternatives = append(alternatives, r.read(e))
	}
	var open kindSet // kinds that are not limited to the literals listed
	for _, a := range alternatives {
		if a.allowed == nil && a.counts == nil {
			open |= a.kinds
		}
	}
	for _, a := range alternatives {
		d.kinds |= a.kinds
		if !open.has(textKind) {
			d.allowed = append(d.allowed, a.allowed...)
		}
		if !open.has(numberKind) {
			d.counts = append(d.counts, a.counts...)
		}
		if a.allowed != nil || a.counts != nil {
			continue
		}
		d.integer = d.integer || a.integer
		if a.low.set {
			d.low = a.low
		}
		if a.high.set {
			d.high = a.high
		}
		if a.form != nil {
			d.form = a.form
		}
		if a.fields != nil {
			d.fields, d.byName = a.fields, a.byName
		}
	}
	slices.Sort(d.allowed)
	return d
}

func operands(e ast.Expr) []ast.Expr {
	if x, ok := e.(*ast.BinaryExpr); ok && x.Op == token.OR {
		return append(operands(x.X), operands(x.Y)...)
	}
	return []ast.Expr{e}
}

// group reads the fields of a struct, those of the definitions it embeds last.
func (r *definitionReader) group(x *ast.StructLit) *definition {
	d := unlimited(&definition{kinds: kindsOf(objectKind), byName: map[string]*field{}})
	var shared []*field
	for _, decl := range x.Elts {
		switch decl := decl.(type) {
		case *ast.EmbedDecl:
			embedded := r.read(decl.Expr)
			shared = append(shared, embedded.fields...)
			maps.Copy(d.byName, embedded.byName)
		case *ast.Field:
			r.member(d, decl)
		default:
			return r.fail(decl, "cannot read this construct (%T)", decl)
		}
	}
	d.fields = append(d.fields, shared...)
	return d
}

func (r *definitionReader) member(d *definition, decl *ast.Field) {
	if pattern, ok := decl.Label.(*ast.ListLit); ok {
		d.keys, d.element = r.read(pattern.Elts[0]), r.read(decl.Value)
		return
	}
	name, _, err := ast.LabelName(decl.Label)
	if err != nil {
		r.fail(decl, "%v", err)
		return
	}
	f := &field{name: name, doc: docComment(decl)}
	if call, ok := decl.Value.(*ast.CallExpr); ok {
		if f.misleading, ok = constant(call.Args[0]).(string); !ok {
			r.fail(decl, "the reason must be a text")
		}
		f.value = unlimited(&definition{kinds: math.MaxUint8})
	} else {
		f.value = r.read(decl.Value)
		if f.value.name == "" {
			f.value.meanings = meanings(f.doc, f.value.allowed)
		}
	}
	switch decl.Constraint {
	case token.NOT:
		f.need = mustGive
	case token.OPTION:
		f.need = mayGive
	default:
		f.need = hasDefault
	}
	d.fields = append(d.fields, f)
	d.byName[name] = f
}

var explained = regexp.MustCompile(`"([^"]+)" \(([^()]+)\)`)

// meanings reads what a doc comment says of the texts that a field allows:
// "blade" (what it is).
func meanings(doc string, allowed []string) (list []meaning) {
	for _, m := range explained.FindAllStringSubmatch(doc, -1) {
		if slices.Contains(allowed, m[1]) {
			list = append(list, meaning{m[1], m[2]})
		}
	}
	return list
}

// docComment returns the comment above a field, on one line.
func docComment(n *ast.Field) string {
	var words []string
	for _, group := range ast.Comments(n) {
		if group.Doc {
			for _, c := range group.List {
				words = append(words, strings.Fields(strings.TrimPrefix(c.Text, "//"))...)
			}
		}
	}
	return strings.Join(words, " ")
}
