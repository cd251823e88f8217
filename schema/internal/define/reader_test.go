package define

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cuelang.org/go/cue/parser"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"

	"example.org/headroom/schema/internal/source"
)

// definitionReader turns the syntax of the CUE definitions into definitions.
// It knows just the constructs that they use and refuses any other, so that
// the two can't drift apart unseen.
type definitionReader struct {
	files map[string]string // by definition, the file that it stands in
	named map[string]ast.Expr
	done  map[string]*Definition
	err   error // the first
}

func (r *definitionReader) fail(n ast.Node, format string, args ...any) *Definition {
	if r.err == nil {
		r.err = fmt.Errorf("definitions: %v: %s", n.Pos(), fmt.Sprintf(format, args...))
	}
	return &Definition{}
}

// readDefinitions reads #Spec and all that it is made of.
func readDefinitions(t *testing.T) (*Definition, *definitionReader) {
	t.Helper()
	r := &definitionReader{files: map[string]string{}, named: map[string]ast.Expr{}, done: map[string]*Definition{}}
	for _, name := range definitionOrder() {
		content, err := definitionFiles.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		file, err := parser.ParseFile(name, content, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.Field); ok {
				label, _, err := ast.LabelName(f.Label)
				if err != nil {
					t.Fatal(err)
				}
				r.named[label], r.files[label] = f.Value, name
			}
		}
	}
	spec := r.reference("#Spec")
	if r.err != nil {
		t.Fatal(r.err)
	}
	return spec, r
}

// reference reads a definition by name.
func (r *definitionReader) reference(name string) *Definition {
	if d, ok := r.done[name]; ok {
		return d
	}
	e, ok := r.named[name]
	if !ok {
		if r.err == nil {
			r.err = fmt.Errorf("definitions: no %s", name)
		}
		return &Definition{}
	}
	d := r.read(e)
	d.Name = name
	r.done[name] = d
	return d
}

// read reads an expression that stands for a value.
func (r *definitionReader) read(e ast.Expr) *Definition {
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
		// [...#Item], or [#Item, ...#Item] for a list of at least one.
		if n := len(x.Elts); n == 1 || n == 2 {
			if more, ok := x.Elts[n-1].(*ast.Ellipsis); ok {
				return &Definition{Kinds: KindsOf(source.ListKind), Element: r.read(more.Type), Filled: n == 2}
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

func (r *definitionReader) ident(x *ast.Ident) *Definition {
	switch x.Name {
	case "string":
		return &Definition{Kinds: KindsOf(source.TextKind)}
	case "number":
		return &Definition{Kinds: KindsOf(source.NumberKind)}
	case "int":
		return &Definition{Kinds: KindsOf(source.NumberKind), Integer: true}
	case "bool":
		return &Definition{Kinds: KindsOf(source.BoolKind)}
	}
	if strings.HasPrefix(x.Name, "#") {
		return r.reference(x.Name)
	}
	return r.fail(x, "unknown name %s", x.Name)
}

// single reads a literal or a bound.
func (r *definitionReader) single(e ast.Expr) *Definition {
	if v := constant(e); v != nil {
		d := &Definition{}
		switch v := v.(type) {
		case string:
			d.Kinds, d.Allowed = KindsOf(source.TextKind), []string{v}
		case float64:
			d.Kinds, d.Counts = KindsOf(source.NumberKind), []float64{v}
		case bool:
			d.Kinds = KindsOf(source.BoolKind)
		}
		return d
	}
	x, ok := e.(*ast.UnaryExpr)
	if !ok {
		return r.fail(e, "unknown literal")
	}
	d := &Definition{Kinds: KindsOf(source.NumberKind)}
	v := constant(x.X)
	limit, isNumber := v.(float64)
	expression, isText := v.(string)
	switch {
	case x.Op == token.MAT && isText:
		if _, err := regexp.Compile(expression); err != nil {
			return r.fail(e, "%v", err)
		}
		d.Kinds, d.Form = KindsOf(source.TextKind), &Form{expression: expression}
	case x.Op == token.NEQ && isText && expression == "":
		d.Kinds, d.Filled = KindsOf(source.TextKind), true
	case isNumber && (x.Op == token.GTR || x.Op == token.GEQ):
		d.Low = bound{limit, x.Op == token.GTR, true}
	case isNumber && (x.Op == token.LSS || x.Op == token.LEQ):
		d.High = bound{limit, x.Op == token.LSS, true}
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
func (r *definitionReader) both(a, b *Definition) *Definition {
	d := *a
	d.Name = ""
	d.Kinds &= b.Kinds
	d.Integer = a.Integer || b.Integer
	d.Filled = a.Filled || b.Filled
	if b.Low.set {
		d.Low = b.Low
	}
	if b.High.set {
		d.High = b.High
	}
	if b.Form != nil {
		d.Form = b.Form
	}
	return &d
}

// either reads alternatives, one of which may be marked as the default.
func (r *definitionReader) either(x *ast.BinaryExpr) *Definition {
	d := &Definition{}
	var alternatives []*Definition
	for _, e := range operands(x) {
		if mark, ok := e.(*ast.UnaryExpr); ok && mark.Op == token.MUL {
			e = mark.X
			if d.Fallback = constant(e); d.Fallback == nil {
				return r.fail(e, "a default must be a literal")
			}
		}
		alternatives = append(alternatives, r.read(e))
	}
	var open kindSet // kinds that are not limited to the literals listed
	for _, a := range alternatives {
		if a.Allowed == nil && a.Counts == nil {
			open |= a.Kinds
		}
	}
	for _, a := range alternatives {
		d.Kinds |= a.Kinds
		if !open.Has(source.TextKind) {
			d.Allowed = append(d.Allowed, a.Allowed...)
		}
		if !open.Has(source.NumberKind) {
			d.Counts = append(d.Counts, a.Counts...)
		}
		if a.Allowed != nil || a.Counts != nil {
			continue
		}
		d.Integer = d.Integer || a.Integer
		if a.Low.set {
			d.Low = a.Low
		}
		if a.High.set {
			d.High = a.High
		}
		if a.Form != nil {
			d.Form = a.Form
		}
		if a.Fields != nil {
			d.Fields = a.Fields
		}
		if a.Element != nil {
			d.Element = a.Element
		}
	}
	slices.Sort(d.Allowed)
	return d
}

func operands(e ast.Expr) []ast.Expr {
	if x, ok := e.(*ast.BinaryExpr); ok && x.Op == token.OR {
		return append(operands(x.X), operands(x.Y)...)
	}
	return []ast.Expr{e}
}

// group reads the fields of a struct, those of the definitions it embeds last.
func (r *definitionReader) group(x *ast.StructLit) *Definition {
	d := &Definition{Kinds: KindsOf(source.ObjectKind)}
	var shared []*Field
	for _, decl := range x.Elts {
		switch decl := decl.(type) {
		case *ast.EmbedDecl:
			embedded := r.read(decl.Expr)
			shared = append(shared, embedded.Fields...)
		case *ast.Field:
			r.member(d, decl)
		default:
			return r.fail(decl, "cannot read this construct (%T)", decl)
		}
	}
	d.Fields = append(d.Fields, shared...)
	return d
}

func (r *definitionReader) member(d *Definition, decl *ast.Field) {
	if pattern, ok := decl.Label.(*ast.ListLit); ok {
		d.Keys, d.Element = r.read(pattern.Elts[0]), r.read(decl.Value)
		return
	}
	name, _, err := ast.LabelName(decl.Label)
	if err != nil {
		r.fail(decl, "%v", err)
		return
	}
	f := &Field{Name: name, Doc: docComment(decl)}
	if call, ok := decl.Value.(*ast.CallExpr); ok {
		if f.Misleading, ok = constant(call.Args[0]).(string); !ok {
			r.fail(decl, "the reason must be a text")
		}
		f.Value = &Definition{Kinds: anyKind}
	} else {
		f.Value = r.read(decl.Value)
		if f.Value.Name == "" {
			f.Value.meanings = meanings(f.Doc, f.Value.Allowed)
		}
	}
	switch decl.Constraint {
	case token.NOT:
		f.Need = MustGive
	case token.OPTION:
		f.Need = MayGive
	default:
		f.Need = HasDefault
	}
	d.Fields = append(d.Fields, f)
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
