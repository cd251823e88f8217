package read

import (
	"cmp"
	"fmt"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"

	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/source"

	cueerrors "cuelang.org/go/cue/errors"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"
)

// cueReader reads the files of a CUE specification and of the packages it
// imports. It finds the imports itself, in the folders of the module and
// nowhere else, so that no registry, network, cache or environment can take
// part.
type cueReader struct {
	*loader
	module   cueModule
	builder  *build.Context
	texts    map[string]*source.Text    // by the name that positions carry
	files    []*ast.File                // all that were parsed
	own      []*ast.File                // those of the vehicle itself
	imports  map[string]*build.Instance // by import path; nil while it is being read
	holes    map[token.Pos]bool         // expressions that were taken out
	unused   int                        // imports that were taken out
	failed   bool                       // something cannot be read at all
	computed ast.Node                   // the first construct that computes
}

// cueModule is the CUE module that a specification lies in.
type cueModule struct {
	root    string // folder; "" without a module
	path    string // without its major version
	version string // of the language
}

// readCUE reads a CUE package, a CUE file or CUE from standard input.
func (l *loader) readCUE(target, format, name string, content []byte) (*source.Value, error) {
	r := &cueReader{loader: l, texts: map[string]*source.Text{}, imports: map[string]*build.Instance{}, holes: map[token.Pos]bool{}}
	folder := target
	switch {
	case target == input.Stdin:
		folder = filepath.Dir(l.opts.StdinName)
	case format == input.FormatCUE:
		folder = filepath.Dir(target)
	}
	if err := r.findModule(folder); err != nil {
		return nil, err
	}
	r.builder = build.NewContext()
	if format == input.FormatPackage {
		if err := r.ownPackage(folder); err != nil {
			return nil, err
		}
	} else {
		if content == nil {
			var err error
			if content, err = l.readFile(target); err != nil || content == nil {
				return nil, err
			}
		}
		if f := r.parse(name, content, true); f != nil {
			r.own = append(r.own, f)
		}
	}
	if r.failed || len(r.own) == 0 {
		return nil, nil
	}
	return r.evaluate(folder)
}

// findModule looks for the module that a folder lies in.
func (r *cueReader) findModule(folder string) error {
	dir, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	for {
		file := filepath.Join(dir, "cue.mod", "module.cue")
		_, err := r.opts.FileSystem().Stat(file)
		if err == nil {
			content, err := r.readFile(file)
			if err != nil || content == nil {
				return err
			}
			return r.readModule(dir, file, content)
		}
		if !input.IsAbsent(err) {
			return r.unreadable(file, err)
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return nil
		}
		dir = parent
	}
}

// readModule reads the two fields of a module file that matter here.
func (r *cueReader) readModule(dir, file string, content []byte) error {
	f, err := parser.ParseFile(r.display(file), content)
	if err != nil {
		return fmt.Errorf("%s: the module file cannot be read: %v", r.display(file), err)
	}
	r.module.root = dir
	for _, d := range f.Decls {
		field, ok := d.(*ast.Field)
		if !ok {
			continue
		}
		switch name, _, _ := ast.LabelName(field.Label); name {
		case "module":
			r.module.path = textOf(field.Value)
			r.module.path, _, _ = strings.Cut(r.module.path, "@")
		case "language":
			if s, ok := field.Value.(*ast.StructLit); ok {
				for _, e := range s.Elts {
					if v, ok := e.(*ast.Field); ok {
						r.module.version = textOf(v.Value)
					}
				}
			}
		}
	}
	if v := r.module.version; v != "" && !languageVersion.MatchString(v) {
		return fmt.Errorf("%s: the language version %q is not of the form v0.14.0", r.display(file), v)
	}
	return nil
}

// textOf is the text of a literal, "" for anything else.
func textOf(e ast.Expr) string {
	if x, ok := e.(*ast.BasicLit); ok && x.Kind == token.STRING {
		if s, err := literal.Unquote(x.Value); err == nil {
			return s
		}
	}
	return ""
}

var languageVersion = regexp.MustCompile(`^v[0-9]+[.][0-9]+[.][0-9]+(-[-.A-Za-z0-9]+)?$`)

// ownPackage reads the vehicle's own package: the files of its folder, and
// those of the same package in the folders above up to the module's root, as
// CUE has it.
func (r *cueReader) ownPackage(folder string) error {
	files, err := r.folder(folder, true)
	if err != nil || r.failed {
		return err
	}
	name := ""
	for _, f := range files {
		if !input.TopLevel(f, "headroom") {
			continue
		}
		if name != "" && name != f.PackageName() {
			r.Add(source.Problem{Rule: source.RuleSyntax, Message: fmt.Sprintf("the folder has two packages that are specifications, %s and %s", name, f.PackageName()),
				Fix: "give each vehicle a folder of its own", At: source.Position{File: f.Filename, Line: 1}})
			r.failed = true
			return nil
		}
		name = f.PackageName()
	}
	for _, f := range files {
		if name == "" || f.PackageName() == name {
			r.own = append(r.own, f)
		}
	}
	if name == "" || r.module.root == "" {
		return nil
	}
	dir, err := filepath.Abs(folder)
	if err != nil {
		return err
	}
	for dir != r.module.root {
		dir = filepath.Dir(dir)
		above, err := r.folder(dir, false, name)
		if err != nil {
			return err
		}
		r.own = append(r.own, above...)
	}
	return nil
}

// folder parses the CUE files of a folder, of the packages named if any are.
func (r *cueReader) folder(folder string, own bool, packages ...string) ([]*ast.File, error) {
	entries, err := r.opts.FileSystem().ReadDir(folder)
	if err != nil {
		return nil, r.unreadable(folder, err)
	}
	var files []*ast.File
	for _, entry := range entries {
		if entry.IsDir() || !input.IsPackageFile(entry.Name()) {
			continue
		}
		file := filepath.Join(folder, entry.Name())
		content, err := r.readFile(file)
		if err != nil {
			return nil, err
		}
		if content == nil {
			r.failed = true
			continue
		}
		if len(packages) > 0 && clauseOf(content) != packages[0] {
			continue
		}
		if f := r.parse(r.display(file), content, own); f != nil {
			files = append(files, f)
		}
	}
	return files, nil
}

// clauseOf returns the name in a file's package clause.
func clauseOf(content []byte) string {
	f, _ := parser.ParseFile("", content, parser.PackageClauseOnly)
	if f == nil {
		return ""
	}
	return f.PackageName()
}

// parse parses a file and looks for what a specification may not use. It
// returns nil, and leaves problems, when nothing of it can be used.
func (r *cueReader) parse(name string, content []byte, own bool) *ast.File {
	t := r.newText(name, content, own)
	r.texts[name] = t
	if !r.fits(t, input.FormatCUE) {
		r.failed = true
		return nil
	}
	var options []parser.Option
	if r.module.version != "" {
		options = append(options, parser.Version(r.module.version))
	}
	f, err := parser.ParseFile(name, t.Bytes, options...)
	if err != nil {
		r.failed = true
		r.Syntax(t, r.explain(t, err))
		return nil
	}
	if depthOf(f) > r.limits.Depth {
		r.failed = true
		r.Syntax(t, tooDeep(t.Line(1), r.limits.Depth))
		return nil
	}
	r.files = append(r.files, f)
	r.inspect(f)
	return f
}

// explain puts the first syntax error of a file into words; the ones after it
// mostly follow from it.
func (r *cueReader) explain(t *source.Text, err error) error {
	all := cueerrors.Errors(err)
	if len(all) == 0 {
		return &source.SyntaxError{At: t.Line(1), Message: err.Error(), Fix: ""}
	}
	first := all[0]
	for _, e := range all {
		if p := e.Position(); p.IsValid() && p.Compare(first.Position()) < 0 {
			first = e
		}
	}
	at := t.Line(1)
	if p := first.Position(); p.HasAbsPos() {
		at = t.Span(p.Offset(), min(p.Offset()+1, len(t.Bytes)))
	}
	format, args := first.Msg()
	words := fmt.Sprintf(format, args...)
	e := &source.SyntaxError{At: at, Message: "this is not valid CUE: " + words, Fix: "check the brackets, colons, commas and quotation marks here and just before"}
	if m := expectedFound.FindStringSubmatch(words); m != nil {
		e.Message = fmt.Sprintf("found %s instead of %s", tokenInWords(m[2]), tokenInWords(m[1]))
	}
	switch {
	case strings.Contains(words, "missing ','"):
		e.Message = "two things that must be separated are next to each other"
		e.Fix = "put a comma or a new line between the fields, or quotation marks around a text"
	case strings.Contains(words, "string literal not terminated"):
		e.Message, e.Fix = "a quotation mark is not closed", "close it on the same line"
	case strings.Contains(words, "expected '}'"), strings.Contains(words, "expected ']'"), strings.Contains(words, "found 'EOF'"):
		e.At, e.Message, e.Fix = source.Unclosed(t, at), "a bracket is not closed", "close it, or remove it"
	case strings.Contains(words, "illegal UTF-8"), strings.Contains(words, "illegal character NUL"):
		return notText(t)
	case strings.Contains(words, "illegal character"):
		e.Message, e.Fix = "this character is not allowed here", "remove it, or put the text in quotation marks"
	}
	return e
}

var expectedFound = regexp.MustCompile(`^expected (.*), found (.*)$`)

// tokenInWords puts the parser's name of a piece of text into words.
func tokenInWords(token string) string {
	name, value, _ := strings.Cut(token, " ")
	switch strings.Trim(name, "'") {
	case "EOF":
		return "the end of the file"
	case "operand":
		return "a value"
	case "label":
		return "a field's name or a colon"
	case "newline":
		return "the end of the line"
	case "IDENT":
		return cmp.Or(value, "a name")
	case "STRING", "INT", "FLOAT":
		return cmp.Or(value, "a value")
	case "ATTRIBUTE":
		return "an attribute"
	}
	return token
}

// instance builds an instance of parsed files, with what they import.
func (r *cueReader) instance(folder string, files []*ast.File) (*build.Instance, error) {
	for _, f := range files {
		for _, spec := range slices.Collect(f.ImportSpecs()) { // importPackage may take some out
			if err := r.importPackage(f, spec); err != nil {
				return nil, err
			}
		}
	}
	inst := r.builder.NewInstance(folder, func(_ token.Pos, path string) *build.Instance { return r.imports[path] })
	inst.PkgName = files[0].PackageName()
	for _, f := range files {
		if err := inst.AddSyntax(f); err != nil {
			return nil, err
		}
	}
	return inst, inst.Complete()
}

// importPackage reads one imported package of the module.
func (r *cueReader) importPackage(f *ast.File, spec *ast.ImportSpec) error {
	imported, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		return err
	}
	inner, inside := r.inModule(imported)
	if _, known := r.imports[imported]; known || !inside && isBuiltin(imported) {
		return nil
	}
	at := r.spanOf(spec.Path)
	if !inside {
		p := source.Problem{Rule: source.RuleForeignImport, Message: fmt.Sprintf("%s is not a package of this specification's own module", source.Quote(imported)),
			Fix: "copy what is needed into the module and import it from there; nothing is ever fetched"}
		if r.module.root == "" {
			p.Fix = "to share files between vehicles, make a module: a file cue.mod/module.cue with module: \"example.org/fleet\" above both; outside of a repository, run the check where the module is"
		}
		r.Report(p, at, source.Span{}, "")
		r.takeOut(f, spec, imported)
		return nil
	}
	folder, name := inner, path.Base(inner)
	if i := strings.LastIndexByte(inner, ':'); i >= 0 {
		folder, name = inner[:i], inner[i+1:]
	} else if inner == "" {
		name = path.Base(r.module.path)
	}
	r.imports[imported] = nil
	dir := filepath.Join(r.module.root, filepath.FromSlash(folder))
	var files []*ast.File
	info, err := r.opts.FileSystem().Stat(dir)
	switch {
	case input.IsOutside(err):
		return r.unreadable(dir, err)
	case err == nil && info.IsDir():
		if files, err = r.folder(dir, false, name); err != nil {
			return err
		}
	}
	if r.failed {
		return nil
	}
	if len(files) == 0 {
		r.Report(source.Problem{Rule: source.RuleUnknownName, Message: fmt.Sprintf("%s names no package: the folder %s holds no file with the clause package %s", source.Quote(imported), r.display(dir), name),
			Fix: "correct the import path, or the package clause of the files"}, at, source.Span{}, "")
		r.takeOut(f, spec, imported)
		return nil
	}
	inst, err := r.instance(dir, files)
	if err != nil {
		return err
	}
	r.imports[imported] = inst
	return nil
}

// inModule cuts the module's path off an import path.
func (r *cueReader) inModule(imported string) (string, bool) {
	if r.module.path == "" {
		return "", false
	}
	base, rest := imported, ""
	if base == r.module.path || strings.HasPrefix(base, r.module.path+":") {
		return strings.TrimPrefix(base, r.module.path), true
	}
	rest, ok := strings.CutPrefix(base, r.module.path+"/")
	if at := strings.IndexByte(rest, '@'); at >= 0 { // a major version at the end
		_, name, qualified := strings.Cut(rest[at:], ":")
		if rest = rest[:at]; qualified {
			rest += ":" + name
		}
	}
	return rest, ok && !strings.Contains("/"+rest+"/", "/../")
}

// isBuiltin reports whether an import is part of the language: its first
// element has no dot.
func isBuiltin(imported string) bool {
	first, _, _ := strings.Cut(imported, "/")
	return !strings.Contains(first, ".")
}
