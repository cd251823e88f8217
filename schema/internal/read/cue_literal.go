package read

import (
	"math"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/token"

	"example.org/headroom/schema/internal/source"
)

// literal reads files that hold nothing but literal fields without the
// evaluator, which takes most of the time of a run. It returns nil for
// anything that needs evaluating, a field written twice included.
func (r *cueReader) literal() *source.Value {
	root := &source.Value{Kind: source.ObjectKind, Value: r.texts[r.own[0].Filename].Span(0, 0)}
	for _, f := range r.own {
		for _, d := range f.Decls {
			if _, isClause := d.(*ast.Package); isClause {
				continue
			}
			if !r.literalField(root, d) {
				r.Forget()
				return nil
			}
		}
	}
	return root
}

func (r *cueReader) literalField(into *source.Value, d ast.Decl) bool {
	switch d := d.(type) {
	case *ast.CommentGroup:
		return true
	case *ast.Field:
		name, isIdent, err := ast.LabelName(d.Label)
		if err != nil || d.Constraint != token.ILLEGAL || d.Alias != nil || isIdent && strings.ContainsAny(name[:min(1, len(name))], "#_") {
			return false
		}
		if _, plain := d.Label.(*ast.Ident); !plain {
			if lit, ok := d.Label.(*ast.BasicLit); !ok || lit.Kind != token.STRING {
				return false
			}
		}
		if there := into.Get(name); there != nil {
			inner, ok := d.Value.(*ast.StructLit)
			return ok && there.Kind == source.ObjectKind && r.literalFields(there, inner.Elts)
		}
		value := r.literalValue(d.Value)
		if value == nil {
			return false
		}
		value.Key = r.spanOf(d.Label)
		into.Add(name, value)
		return true
	}
	return false
}

func (r *cueReader) literalFields(into *source.Value, decls []ast.Decl) bool {
	for _, d := range decls {
		if !r.literalField(into, d) {
			return false
		}
	}
	return true
}

func (r *cueReader) literalValue(e ast.Expr) *source.Value {
	at := r.spanOf(e)
	d := &source.Value{Value: at, At: at}
	switch x := e.(type) {
	case *ast.StructLit:
		d.Kind = source.ObjectKind
		if !r.literalFields(d, x.Elts) {
			return nil
		}
		return d
	case *ast.ListLit:
		d.Kind = source.ListKind
		for _, item := range x.Elts {
			v := r.literalValue(item)
			if v == nil {
				return nil
			}
			d.Items = append(d.Items, v)
		}
		return d
	case *ast.UnaryExpr:
		if lit, ok := x.X.(*ast.BasicLit); ok && (x.Op == token.SUB || x.Op == token.ADD) && r.literalScalar(d, lit) && d.Kind == source.NumberKind {
			if x.Op == token.SUB {
				d.Number = -d.Number
			}
			return d
		}
	case *ast.BasicLit:
		if r.literalScalar(d, x) {
			return d
		}
	}
	return nil
}

// literalScalar reads a number, a text, true, false or null.
func (r *cueReader) literalScalar(d *source.Value, x *ast.BasicLit) bool {
	switch x.Kind {
	case token.NULL:
		d.Kind = source.NullKind
	case token.TRUE, token.FALSE:
		d.Kind, d.Flag = source.BoolKind, x.Kind == token.TRUE
	case token.STRING:
		s, err := literal.Unquote(x.Value)
		if err != nil || strings.HasPrefix(strings.TrimLeft(x.Value, "#"), "'") {
			return false
		}
		d.Kind, d.Text = source.TextKind, s
	case token.INT, token.FLOAT:
		var n literal.NumInfo
		if literal.ParseNum(x.Value, &n) != nil {
			return false
		}
		d.Kind = source.NumberKind
		var err error
		if d.Number, err = strconv.ParseFloat(n.String(), 64); err != nil || math.IsInf(d.Number, 0) {
			r.TooLarge(d, x.Value)
		}
	default:
		return false
	}
	return true
}

// fieldName returns the name of a declaration that is a field, or "".
func fieldName(d ast.Decl) string {
	if f, ok := d.(*ast.Field); ok {
		if name, _, err := ast.LabelName(f.Label); err == nil {
			return name
		}
	}
	return ""
}
