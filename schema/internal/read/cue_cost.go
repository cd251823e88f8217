package read

import (
	"maps"
	"math"
	"slices"
	"strconv"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/token"
)

// What may be evaluated within the process, which can't be stopped there. A vehicle with
// its library is some ten thousand values without alternatives that multiply.
const (
	cheapSize = 200_000 // values, each use of a name counted as what it stands for
	cheapWays = 1000    // combinations of alternatives
	costOfLet = 20      // values that a let takes as long as: each looks at those before it
)

// costly is the first node of the vehicle's own files whose evaluation could take long,
// nil if none does: one that computes, that stands for very many values, or whose
// alternatives multiply. It errs to the side of cost.
func (r *cueReader) costly() ast.Node {
	if r.computed != nil {
		return r.computed
	}
	e := r.newEstimate()
	total := 0.0
	for _, f := range r.files {
		for _, d := range f.Decls {
			c := e.ofDecls([]ast.Decl{d})
			if total += c.size; total > cheapSize || c.ways > cheapWays {
				return d
			}
		}
	}
	return nil
}

// cost is what an expression costs to evaluate.
type cost struct {
	size float64 // values
	ways float64 // combinations of alternatives, at least 1
}

// both is the cost of two expressions that are unified.
func (c cost) both(d cost) cost { return cost{c.size + d.size, c.ways * d.ways} }

// estimate finds the cost of expressions, of each node once.
type estimate struct {
	imports map[string]*build.Instance
	known   map[ast.Node]cost
	top     map[string]map[string][]*ast.Field // the top fields of the package of a file, by their names
}

func (r *cueReader) newEstimate() *estimate {
	e := &estimate{imports: r.imports, known: map[ast.Node]cost{}, top: map[string]map[string][]*ast.Field{}}
	e.addPackage(r.own)
	for _, inst := range r.imports {
		if inst != nil {
			e.addPackage(inst.Files)
		}
	}
	return e
}

// addPackage notes the top fields of a package's files.
func (e *estimate) addPackage(files []*ast.File) {
	fields := map[string][]*ast.Field{}
	for _, f := range files {
		e.top[f.Filename] = fields
		for _, d := range f.Decls {
			if field, ok := d.(*ast.Field); ok {
				if name, _, err := ast.LabelName(field.Label); err == nil {
					fields[name] = append(fields[name], field)
				}
			}
		}
	}
}

// of is the cost of an expression. What is within itself could cost anything, but for a
// name that in the end stands for itself.
func (e *estimate) of(x ast.Node) cost {
	if c, ok := e.known[x]; ok {
		return c
	}
	e.known[x] = cost{2 * cheapSize, 1}
	switch x.(type) {
	case *ast.Ident, *ast.SelectorExpr:
		e.known[x] = cost{1, 1}
	}
	c := e.work(x)
	c.size, c.ways = math.Min(c.size, math.MaxFloat32), math.Min(c.ways, math.MaxFloat32)
	e.known[x] = c
	return c
}

func (e *estimate) work(x ast.Node) cost {
	switch x := x.(type) {
	case *ast.StructLit:
		return e.ofDecls(x.Elts)
	case *ast.ListLit:
		c := cost{1, 1}
		for _, item := range x.Elts {
			one := e.of(item)
			c.size += one.size * one.ways
		}
		return c
	case *ast.Ellipsis:
		if x.Type != nil {
			return e.of(x.Type)
		}
	case *ast.ParenExpr:
		return e.of(x.X)
	case *ast.UnaryExpr:
		return e.of(x.X)
	case *ast.Alias:
		return e.of(x.Expr)
	case *ast.LetClause:
		return e.of(x.Expr)
	case *ast.Field:
		return e.of(x.Value)
	case *ast.BinaryExpr:
		a, b := e.of(x.X), e.of(x.Y)
		if x.Op == token.OR {
			return cost{a.size + b.size, a.ways + b.ways}
		}
		return a.both(b)
	case *ast.IndexExpr:
		return e.of(x.X).both(e.of(x.Index))
	case *ast.SelectorExpr:
		if values, ok := e.selected(x); ok {
			return e.all(values)
		}
		return e.of(x.X)
	case *ast.Ident:
		return e.named(x)
	}
	return cost{1, 1}
}

// ofDecls is the cost of the declarations of a struct. Those of one name, and what is
// embedded, are unified; fields of different names cost each by itself; what is said of
// all names of a pattern is unified with each field.
func (e *estimate) ofDecls(decls []ast.Decl) cost {
	whole, pattern, byName, fields := cost{1, 1}, cost{0, 1}, map[string]cost{}, 0.0
	for _, d := range decls {
		switch d := d.(type) {
		case *ast.EmbedDecl:
			whole = whole.both(e.of(d.Expr))
		case *ast.LetClause:
			whole.size += costOfLet + e.of(d.Expr).size
		case *ast.Field:
			fields++
			one := e.of(d.Value)
			name, _, err := ast.LabelName(d.Label)
			if err != nil {
				pattern = pattern.both(one)
				continue
			}
			before, again := byName[name]
			if !again {
				before = cost{0, 1}
			}
			byName[name] = before.both(one)
		}
	}
	for _, c := range byName {
		c = c.both(cost{pattern.size, pattern.ways})
		whole.size += 1 + c.size*c.ways
		whole.ways = max(whole.ways, c.ways)
	}
	return whole
}

// named is the cost of what a name stands for.
func (e *estimate) named(id *ast.Ident) cost {
	if spec, ok := id.Node.(*ast.ImportSpec); ok {
		return e.allOf(spec)
	}
	return e.all(e.values(id))
}

// values are the expressions that a name stands for: all that fields of it are given in
// the struct or the package around it, or what a let or an alias is. None for a name of
// the language.
func (e *estimate) values(id *ast.Ident) (all []ast.Node) {
	switch scope := id.Scope.(type) {
	case *ast.StructLit:
		all = fieldsOf(scope.Elts, id.Name)
	case *ast.File, nil:
		for _, f := range e.top[id.Pos().Filename()][id.Name] {
			all = append(all, f.Value)
		}
	}
	if len(all) == 0 && id.Node != nil { // a let or an alias
		all = append(all, id.Node)
	}
	return all
}

// selected are the values of a field of what is known to be a struct or a package; false
// if that is not known.
func (e *estimate) selected(x *ast.SelectorExpr) (all []ast.Node, known bool) {
	name, _, err := ast.LabelName(x.Sel)
	if err != nil {
		return nil, false
	}
	var from []ast.Node
	switch y := x.X.(type) {
	case *ast.Ident:
		if spec, ok := y.Node.(*ast.ImportSpec); ok {
			fields := e.packageOf(spec)
			for _, f := range fields[name] {
				all = append(all, f.Value)
			}
			return all, fields != nil
		}
		from = e.values(y)
	case *ast.SelectorExpr:
		if from, known = e.selected(y); !known {
			return nil, false
		}
	default:
		return nil, false
	}
	for _, v := range from {
		s, ok := v.(*ast.StructLit)
		if !ok || !isPlain(s.Elts) {
			return nil, false
		}
		all = append(all, fieldsOf(s.Elts, name)...)
	}
	return all, len(from) > 0
}

// fieldsOf are the values of the fields of a name.
func fieldsOf(decls []ast.Decl, name string) (values []ast.Node) {
	for _, d := range decls {
		if f, ok := d.(*ast.Field); ok {
			if label, _, err := ast.LabelName(f.Label); err == nil && label == name {
				values = append(values, f.Value)
			}
		}
	}
	return values
}

// isPlain reports whether a struct holds nothing but fields with names of their own, so
// that no other declaration adds to one.
func isPlain(decls []ast.Decl) bool {
	return !slices.ContainsFunc(decls, func(d ast.Decl) bool {
		switch d := d.(type) {
		case *ast.Field:
			_, _, err := ast.LabelName(d.Label)
			return err != nil
		case *ast.EmbedDecl, *ast.Comprehension:
			return true
		}
		return false
	})
}

// packageOf are the top fields of an imported package by name; nil for one of the language.
func (e *estimate) packageOf(spec *ast.ImportSpec) map[string][]*ast.Field {
	path, err := strconv.Unquote(spec.Path.Value)
	inst := e.imports[path]
	if err != nil || inst == nil || len(inst.Files) == 0 {
		return nil
	}
	return e.top[inst.Files[0].Filename]
}

// allOf is the cost of all of an imported package.
func (e *estimate) allOf(spec *ast.ImportSpec) cost {
	c, fields := cost{1, 1}, e.packageOf(spec)
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		for _, f := range fields[name] {
			c.size += e.of(f.Value).size
		}
	}
	return c
}

// all is the cost of values that are unified.
func (e *estimate) all(values []ast.Node) cost {
	c := cost{1, 1}
	for _, v := range values {
		c = c.both(e.of(v))
	}
	return c
}
