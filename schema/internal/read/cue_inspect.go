package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/ast/astutil"
	"cuelang.org/go/cue/token"

	"example.org/headroom/schema/internal/source"
)

// spanOf returns where a node stands.
func (r *cueReader) spanOf(n ast.Node) source.Span {
	from, to := n.Pos(), n.End()
	t := r.texts[from.Filename()]
	if t == nil || !from.HasAbsPos() {
		return source.Span{}
	}
	end := 0
	if to.HasAbsPos() {
		end = to.Offset()
	}
	return t.Span(from.Offset(), end)
}

// depthOf returns how deep the values of a file are nested.
func depthOf(f *ast.File) int {
	depth, deepest := 0, 0
	nests := func(n ast.Node) bool {
		switch n.(type) {
		case *ast.StructLit, *ast.ListLit, *ast.Field:
			return true
		}
		return false
	}
	ast.Walk(f, func(n ast.Node) bool {
		if nests(n) {
			depth++
			deepest = max(deepest, depth)
		}
		return true
	}, func(n ast.Node) {
		if nests(n) {
			depth--
		}
	})
	return deepest / 2 // a field and its struct are one level
}

// inspect looks through a file for what a specification may not use, and for
// what computes.
func (r *cueReader) inspect(f *ast.File) {
	for spec := range f.ImportSpecs() {
		if path, err := strconv.Unquote(spec.Path.Value); err == nil && isBuiltin(path) && !r.ownPath(path) && !slices.Contains(harmless(), path) {
			r.unsafe(spec.Path, fmt.Sprintf("the package %s may not be used in a specification", source.Quote(path)))
		}
	}
	ast.Walk(f, func(n ast.Node) bool {
		if a, ok := n.(*ast.Attribute); ok {
			switch name, _ := a.Split(); name {
			case "embed", "extern", "if", "ignore", "tag", "inject":
				r.unsafe(a, fmt.Sprintf("@%s may not be used: a specification depends only on its own text", name))
			}
		}
		if r.computed == nil && computes(n) {
			r.computed = n
		}
		return true
	}, nil)
}

// ownPath reports whether an import path lies in the module.
func (r *cueReader) ownPath(path string) bool {
	_, inside := r.inModule(path)
	return inside
}

// harmless lists the packages of the language that a specification may use.
func harmless() []string {
	return []string{"list", "math", "regexp", "strconv", "strings", "struct"}
}

func (r *cueReader) unsafe(n ast.Node, message string) {
	r.failed = true
	r.Report(source.Problem{Rule: source.RuleUnsafeConstruct, Message: message, Fix: "write out the values"}, r.spanOf(n), source.Span{}, "")
}

// computes reports whether a node is more than data: evaluating it could take
// any time.
func computes(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.Comprehension, *ast.CallExpr, *ast.Interpolation, *ast.SliceExpr:
		return true
	case *ast.BinaryExpr:
		switch n.Op {
		case token.AND:
			return false
		case token.OR:
			return !isSimple(n)
		}
		return true
	}
	return false
}

// isSimple reports whether alternatives are literals, bounds and names, which
// do not multiply.
func isSimple(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.BasicLit, *ast.Ident, *ast.SelectorExpr:
		return true
	case *ast.ParenExpr:
		return isSimple(x.X)
	case *ast.UnaryExpr:
		return isSimple(x.X)
	case *ast.BinaryExpr:
		return (x.Op == token.OR || x.Op == token.AND) && isSimple(x.X) && isSimple(x.Y)
	}
	return false
}

// takeOut replaces what an import brings by something unknown, so that the
// rest of the specification can still be judged.
func (r *cueReader) takeOut(f *ast.File, spec *ast.ImportSpec, path string) {
	name := path[strings.LastIndexAny(path, "/:")+1:]
	if spec.Name != nil {
		name = spec.Name.Name
	}
	r.replace(f, func(id *ast.Ident) bool { return id.Name == name && id.Node == ast.Node(spec) })
	removeImport(f, spec)
}

// removeImport takes an import out of a file.
func removeImport(f *ast.File, spec *ast.ImportSpec) {
	for _, d := range f.Decls {
		if imports, ok := d.(*ast.ImportDecl); ok {
			imports.Specs = slices.DeleteFunc(imports.Specs, func(s *ast.ImportSpec) bool { return s == spec })
		}
	}
	f.Decls = slices.DeleteFunc(f.Decls, func(d ast.Decl) bool {
		imports, ok := d.(*ast.ImportDecl)
		return ok && len(imports.Specs) == 0
	})
}

// replace puts something unknown in place of every expression that begins with
// one of the names.
func (r *cueReader) replace(f *ast.File, bad func(*ast.Ident) bool) {
	astutil.Apply(f, func(c astutil.Cursor) bool {
		e, ok := c.Node().(ast.Expr)
		if !ok {
			return true
		}
		if f, ok := c.Parent().Node().(*ast.Field); ok && f.Label == c.Node() {
			return false
		}
		if id := beginning(e); id != nil && bad(id) {
			r.holes[e.Pos()] = true
			c.Replace(&ast.Ident{NamePos: e.Pos(), Name: "_"})
			return false
		}
		return true
	}, nil)
}

// beginning returns the name that an expression such as a.b[1] begins with.
func beginning(e ast.Expr) *ast.Ident {
	switch x := e.(type) {
	case *ast.Ident:
		return x
	case *ast.SelectorExpr:
		return beginning(x.X)
	case *ast.IndexExpr:
		return beginning(x.X)
	}
	return nil
}

// written is where the vehicle's own files write a value: the syntax laid out
// by path. A value may be written in several places.
type written struct {
	key, value source.Span
	literals   []source.Span // the values that are literals, not conditions
	unsure     bool          // part of it was taken out
	members    map[string]*written
}

func (w *written) child(name string) *written {
	if w == nil {
		return nil
	}
	return w.members[name]
}

func (w *written) childOrNew(name string) *written {
	c := w.members[name]
	if c == nil {
		if w.members == nil {
			w.members = map[string]*written{}
		}
		c = &written{}
		w.members[name] = c
	}
	return c
}

// layOut adds declarations to the layout.
func (r *cueReader) layOut(w *written, decls []ast.Decl) {
	for _, d := range decls {
		switch d := d.(type) {
		case *ast.EmbedDecl:
			r.layOutExpr(w, d.Expr)
		case *ast.Comprehension:
			r.layOutExpr(w, d.Value)
		case *ast.Field:
			name, isIdent, err := ast.LabelName(d.Label)
			if err != nil || d.Constraint != token.ILLEGAL || isIdent && strings.HasPrefix(name, "#") || isIdent && strings.HasPrefix(name, "_") {
				continue
			}
			c := w.childOrNew(name)
			literal := isLiteral(d.Value)
			if !c.key.Valid() || literal && len(c.literals) == 0 {
				c.key, c.value = r.spanOf(d.Label), r.spanOf(d.Value)
			}
			if literal {
				c.literals = append(c.literals, r.spanOf(d.Value))
			}
			r.layOutExpr(c, d.Value)
		}
	}
}

func (r *cueReader) layOutExpr(w *written, e ast.Expr) {
	switch x := e.(type) {
	case *ast.ParenExpr:
		r.layOutExpr(w, x.X)
	case *ast.Alias:
		r.layOutExpr(w, x.Expr)
	case *ast.BinaryExpr:
		if x.Op == token.AND {
			r.layOutExpr(w, x.X)
			r.layOutExpr(w, x.Y)
		}
	case *ast.StructLit:
		r.layOut(w, x.Elts)
	case *ast.ListLit:
		for i, item := range x.Elts {
			if _, open := item.(*ast.Ellipsis); open {
				continue
			}
			c := w.childOrNew(strconv.Itoa(i))
			if !c.value.Valid() {
				c.value = r.spanOf(item)
			}
			r.layOutExpr(c, item)
		}
	case *ast.Ident:
		w.unsure = w.unsure || r.holes[x.NamePos]
	}
}

// isLiteral reports whether an expression is a value and not a condition.
func isLiteral(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.BasicLit, *ast.StructLit, *ast.ListLit, *ast.Interpolation:
		return true
	case *ast.UnaryExpr:
		return (x.Op == token.SUB || x.Op == token.ADD) && isLiteral(x.X)
	}
	return false
}

// place identifies a place in the files by where positions point.
type place struct {
	name string
	from int
}

func placeOf(p token.Pos) place { return place{p.Filename(), p.Offset()} }

// catalogue records, for every field of every file, the span of its value by
// the place of its label, and the span of every expression by its own place.
func (r *cueReader) catalogue() (values, expressions map[place]source.Span) {
	values, expressions = map[place]source.Span{}, map[place]source.Span{}
	for _, f := range r.files {
		ast.Walk(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.Field:
				values[placeOf(n.Label.Pos())] = r.spanOf(n.Value)
			case *ast.BasicLit, *ast.UnaryExpr, *ast.StructLit, *ast.ListLit:
				expressions[placeOf(n.Pos())] = r.spanOf(n)
			case *ast.Ident:
				if slices.Contains([]string{"string", "number", "int", "float", "bool", "null", "bytes"}, n.Name) {
					expressions[placeOf(n.Pos())] = r.spanOf(n)
				}
			}
			return true
		}, nil)
	}
	return values, expressions
}
