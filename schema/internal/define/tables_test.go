package define

import (
	"flag"
	"fmt"
	"go/format"
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema/internal/source"
)

var update = flag.Bool("update", false, "rewrite the tables")

// TestTables checks that the tables say what the CUE definitions say, and rewrites
// them with -update: one for each CUE file, beside it.
func TestTables(t *testing.T) {
	spec, r := readDefinitions(t)
	tables := map[string]*strings.Builder{}
	for _, file := range definitionOrder() {
		tables[file] = &strings.Builder{}
		fmt.Fprintf(tables[file], "// Code generated from %s by go test ./schema/internal/define -update; DO NOT EDIT.\n\npackage define\n\nimport \"example.org/headroom/schema/internal/source\"\n", file)
	}
	w := &tableWriter{shared: r.sharedFields()}
	for _, name := range slices.Sorted(maps.Keys(r.done)) {
		b := tables[r.files[name]]
		fmt.Fprintf(b, "\nvar %s = %s\n", variable(name), w.definition(r.done[name], true))
		for _, f := range r.done[name].Fields {
			if w.shared[f] == name {
				fmt.Fprintf(b, "\nvar %s = Field%s\n", strings.TrimPrefix(w.field(f), "&"), w.fieldItself(f))
			}
		}
	}
	for file, b := range tables {
		text, err := format.Source([]byte(strings.Replace(b.String(), "import \"example.org/headroom/schema/internal/source\"\n", imports(b.String()), 1)))
		if err != nil {
			t.Fatal(err)
		}
		table := strings.TrimSuffix(file, ".cue") + "_table.go"
		if *update {
			if err := os.WriteFile(table, text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		there, err := os.ReadFile(table)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(there), string(text)); diff != "" {
			t.Errorf("%s is not what %s says; run this test with -update (-table +definitions):\n%s", table, file, diff)
		}
	}
	sameForm := cmp.Comparer(func(a, b *Form) bool { return a == b || a != nil && b != nil && a.expression == b.expression })
	if diff := cmp.Diff(spec, Spec(), sameForm, cmp.AllowUnexported(Definition{}, bound{}, meaning{})); diff != "" && !*update {
		t.Errorf("the tables are not the definitions (-definitions +tables):\n%s", diff)
	}
}

// imports is what a table imports.
func imports(text string) string {
	if strings.Contains(text, "source.") {
		return "import \"example.org/headroom/schema/internal/source\"\n"
	}
	return ""
}

// sharedFields finds the fields that several definitions have, because all but one
// embed that one, and the definition that they stand in.
func (r *definitionReader) sharedFields() map[*Field]string {
	seen, shared := map[*Field]bool{}, map[*Field]string{}
	for _, name := range slices.Sorted(maps.Keys(r.done)) {
		for _, f := range r.done[name].Fields {
			if seen[f] {
				shared[f] = ""
			}
			seen[f] = true
		}
	}
	// The definition with the fewest fields is the one embedded.
	for f := range shared {
		least := 0
		for _, name := range slices.Sorted(maps.Keys(r.done)) {
			if d := r.done[name]; slices.Contains(d.Fields, f) && (least == 0 || len(d.Fields) < least) {
				shared[f], least = name, len(d.Fields)
			}
		}
	}
	return shared
}

// tableWriter writes definitions as Go.
type tableWriter struct{ shared map[*Field]string }

func variable(name string) string { return "definition" + strings.TrimPrefix(name, "#") }

// definition writes a definition: itself, or a reference to it if it has a name.
func (w *tableWriter) definition(d *Definition, itself bool) string {
	if d.Name != "" && !itself {
		return "&" + variable(d.Name)
	}
	var b strings.Builder
	if !itself {
		b.WriteByte('&')
	}
	b.WriteString("Definition{")
	say := func(there bool, name, value string) {
		if there {
			b.WriteString(name + ": " + value + ", ")
		}
	}
	say(d.Name != "", "Name", strconv.Quote(d.Name))
	say(true, "Kinds", kindsInGo(d.Kinds))
	say(d.Integer, "Integer", "true")
	say(d.Low.set, "Low", boundInGo(d.Low))
	say(d.High.set, "High", boundInGo(d.High))
	say(d.Allowed != nil, "Allowed", fmt.Sprintf("%#v", d.Allowed))
	say(d.Counts != nil, "Counts", fmt.Sprintf("%#v", d.Counts))
	if d.Form != nil {
		say(true, "Form", fmt.Sprintf("&Form{expression: `%s`}", d.Form.expression))
	}
	say(d.Filled, "Filled", "true")
	say(d.Fallback != nil, "Fallback", constantInGo(d.Fallback))
	if d.meanings != nil {
		b.WriteString("meanings: []meaning{\n")
		for _, m := range d.meanings {
			fmt.Fprintf(&b, "{%q, %q},\n", m.value, m.is)
		}
		b.WriteString("}, ")
	}
	if d.Keys != nil {
		say(true, "Keys", w.definition(d.Keys, false))
	}
	if d.Element != nil {
		say(true, "Element", w.definition(d.Element, false))
	}
	if d.Fields != nil {
		b.WriteString("Fields: []*Field{\n")
		for _, f := range d.Fields {
			b.WriteString(w.field(f) + ",\n")
		}
		b.WriteString("}")
	}
	return strings.TrimSuffix(b.String(), ", ") + "}"
}

// field writes a field: itself, or a reference to it if several definitions have it.
func (w *tableWriter) field(f *Field) string {
	if owner, ok := w.shared[f]; ok {
		return "&field" + strings.TrimPrefix(variable(owner), "definition") + "_" + f.Name
	}
	return w.fieldItself(f)
}

func (w *tableWriter) fieldItself(f *Field) string {
	text := fmt.Sprintf("Name: %q, Need: %s", f.Name, []string{"MayGive", "MustGive", "HasDefault"}[f.Need])
	if f.Misleading != "" {
		text += fmt.Sprintf(", Misleading: %q", f.Misleading)
	}
	return fmt.Sprintf("{%s, Doc: %q, Value: %s}", text, f.Doc, w.definition(f.Value, false))
}

func constantInGo(v any) string {
	switch v := v.(type) {
	case float64:
		return fmt.Sprintf("float64(%v)", v)
	case nil:
		return ""
	}
	return fmt.Sprintf("%#v", v)
}

func boundInGo(b bound) string {
	if b.open {
		return fmt.Sprintf("bound{value: %v, open: true, set: true}", b.value)
	}
	return fmt.Sprintf("bound{value: %v, set: true}", b.value)
}

// kindsInGo writes a set of kinds as a constant, for tables that need no start-up.
func kindsInGo(s kindSet) string {
	names := map[source.Kind]string{
		source.NullKind: "Null", source.TextKind: "Text", source.NumberKind: "Number", source.BoolKind: "Bool", source.ListKind: "List", source.ObjectKind: "Object",
	}
	if s == anyKind {
		return "anyKind"
	}
	var parts []string
	for k := source.OpenKind; k <= source.ObjectKind; k++ {
		if s.Has(k) {
			parts = append(parts, "1<<source."+names[k]+"Kind")
		}
	}
	return strings.Join(parts, " | ")
}
