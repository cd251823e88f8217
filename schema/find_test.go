package schema_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

func TestFind(t *testing.T) {
	dir := write(t, map[string]string{
		"cart/cart.cue":             "package cart\nheadroom: 1\n",
		"cart/more.cue":             "package cart\nx: 1\n",
		"parts/parts.cue":           "package parts\nx: headroom\n",
		"van.yaml":                  "# a van\nheadroom: 1\n",
		"broken.yaml":               "headroom: 1\nvehicle: {\n",
		"broken.json":               "{\"x\": [1, {\"headroom\": 2}], \"headroom\": 1, ",
		"nested.json":               `{"x": {"headroom": 1}}`,
		"values.yml":                "x:\n  headroom: 1\n",
		"indent/i.yaml":             "---\n# indented\n  headroom: 1\n  vehicle: {}\n",
		"indent/n.yaml":             "  x:\n    headroom: 1\n",
		"inner/x.cue":               "x: {\nheadroom: 1\n}\n",
		"inner/broken.cue":          "headroom: 1\nvehicle: {\n",
		"flow.yml":                  "{vehicle: {name: 'it''s'}, headroom: 1}\n",
		"bom.yaml":                  "\ufeffheadroom: 1\n",
		"report.json":               `{"runs": []}`,
		"loose/one.cue":             "headroom: 1\n",
		"loose/two.cue":             "headroom: 1\n",
		"notes.txt":                 "headroom: 1\n",
		"testdata/t.yaml":           "headroom: 1\n",
		"deep/testdata/t.yaml":      "headroom: 1\n",
		".hidden/h.yaml":            "headroom: 1\n",
		"deep/down/cue.mod/m.cue":   "headroom: 1\n",
		"deep/down/d.yaml":          "headroom: 1\n",
		"empty/readme.txt":          "",
		"empty/other.yaml":          "x: 1\n",
		"node_modules/x/y/spec.yml": "headroom: 1\n",
		"slip/capital.yaml":         "Headroom: 1\nvehicle: {name: x}\nbatteries: {}\n",
		"slip/gone.json":            `{"headrom": 1, "vehicle": {}, "wires": {}}`,
		"slip/other.yaml":           "vehicle: truck\ncargo: {}\n",
		"slip/void.yaml":            "# later\n---\n\n",
		"void/v.yml":                "\ufeff\n",
		"lost/parts.yaml":           "batteries: {}\nwires: {}\n",
		"lost/parts.json":           `{"fuses": {}, "busbars": {}}`,
		"lost/other.yaml":           "fuses: 3\nname: x\n",
		"lost/parts.cue":            "package parts\nbatteries: {}\nwires: {}\n",
		"slip/lost.cue":             "package slip\nhedroom: 1\nvehicle: name: \"x\"\nfuses: {}\n",
	})
	t.Chdir(dir)
	for _, test := range []struct {
		paths []string
		want  []schema.Target
		err   string
	}{
		{paths: []string{"cart"}, want: []schema.Target{{Path: "cart", Format: "cue-package"}}},
		{paths: []string{"."}, want: []schema.Target{{Path: "bom.yaml", Format: "yaml"}, {Path: "broken.json", Format: "json"}, {Path: "broken.yaml", Format: "yaml"}, {Path: "flow.yml", Format: "yaml"}, {Path: "van.yaml", Format: "yaml"}}},
		{paths: []string{"indent"}, want: []schema.Target{{Path: "indent/i.yaml", Format: "yaml"}}},
		{paths: []string{"inner"}, want: []schema.Target{{Path: "inner/broken.cue", Format: "cue"}}},
		{paths: []string{"slip"}, want: []schema.Target{{Path: "slip/capital.yaml", Format: "yaml"}, {Path: "slip/gone.json", Format: "json"}, {Path: "slip", Format: "cue-package"}, {Path: "slip/void.yaml", Format: "yaml"}}}, // a misspelt version must not hide a vehicle
		{paths: []string{"loose"}, want: []schema.Target{{Path: "loose/one.cue", Format: "cue"}, {Path: "loose/two.cue", Format: "cue"}}},
		{paths: []string{"deep/..."}, want: []schema.Target{{Path: "deep/down/d.yaml", Format: "yaml"}}},
		{paths: []string{"testdata/..."}, want: []schema.Target{{Path: "testdata/t.yaml", Format: "yaml"}}},
		{paths: []string{"./..."}, want: []schema.Target{
			{Path: "bom.yaml", Format: "yaml"}, {Path: "broken.json", Format: "json"}, {Path: "broken.yaml", Format: "yaml"}, {Path: "flow.yml", Format: "yaml"}, {Path: "van.yaml", Format: "yaml"},
			{Path: "cart", Format: "cue-package"}, {Path: "deep/down/d.yaml", Format: "yaml"}, {Path: "indent/i.yaml", Format: "yaml"}, {Path: "inner/broken.cue", Format: "cue"}, {Path: "loose/one.cue", Format: "cue"}, {Path: "loose/two.cue", Format: "cue"},
			{Path: "lost/parts.json", Format: "json"}, {Path: "lost/parts.yaml", Format: "yaml"},
			{Path: "slip/capital.yaml", Format: "yaml"}, {Path: "slip/gone.json", Format: "json"}, {Path: "slip", Format: "cue-package"}, {Path: "slip/void.yaml", Format: "yaml"}}},
		{paths: []string{"void"}, want: []schema.Target{{Path: "void/v.yml", Format: "yaml"}}}, // named: what is there holds nothing
		{paths: []string{"void/..."}, err: "void: no specification in this folder or below it: there is no CUE, YAML or JSON file with a top-level field headroom"},
		{paths: []string{"van.yaml", "./van.yaml", "cart", "-"}, want: []schema.Target{{Path: "van.yaml", Format: "yaml"}, {Path: "cart", Format: "cue-package"}, {Path: "-", Format: ""}}},
		{paths: []string{"report.json"}, want: []schema.Target{{Path: "report.json", Format: "json"}}}, // named itself: Read says what it lacks
		{paths: []string{"parts"}, want: []schema.Target{{Path: "parts", Format: "cue-package"}}},
		{paths: []string{"empty"}, err: "empty: no specification in this folder; to look in the folders below it too, write empty/..."},
		{paths: []string{"empty/..."}, err: "empty: no specification in this folder or below it: there is no CUE, YAML or JSON file with a top-level field headroom"},
		{paths: []string{"none.yaml"}, err: "none.yaml: there is no such file or folder"},
		{paths: []string{"none/..."}, err: "none: there is no such file or folder"},
		{paths: []string{"cart..."}, err: "cart...: there is no such file or folder; cart/... means the folder and everything below it"},
		{paths: []string{"notes.txt"}, err: "notes.txt: a specification is a .cue, .yaml, .yml or .json file"},
	} {
		t.Run(strings.Join(test.paths, " "), func(t *testing.T) {
			got, err := schema.Find(test.paths, schema.Options{})
			for i := range got {
				got[i].Path = filepath.ToSlash(got[i].Path)
			}
			message := ""
			if err != nil {
				message = err.Error()
			}
			if diff := cmp.Diff(test.err, message); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("targets (-want +got):\n%s", diff)
			}
		})
	}
}

// TestNotASpec checks that a file without a version, named itself, is a
// finding and not an error.
func TestNotASpec(t *testing.T) {
	dir := write(t, map[string]string{"a.json": `{"runs": []}`, "parts/parts.cue": "package parts\nx: 1\n"})
	for _, target := range []schema.Target{{Path: filepath.Join(dir, "a.json"), Format: "json"}, {Path: filepath.Join(dir, "parts"), Format: "cue-package"}} {
		l := schema.Read(t.Context(), target, schema.Options{Root: dir})
		if l.Err != nil || len(l.Problems) != 1 || l.Problems[0].Rule != schema.RuleMissingField || l.Problems[0].Path != "headroom" {
			t.Errorf("%s: %v\n%s", target.Path, l.Err, render(l.Problems))
		}
	}
}

// TestUnreadableInFolder checks that a file that cannot be read ends in the same words
// whether it was named or met in a folder, and keeps nothing else from being read.
func TestUnreadableInFolder(t *testing.T) {
	dir := write(t, map[string]string{"a.yaml": "headroom: 1\n", "fleet/one.yaml": "headroom: 1\n", "cart/cart.cue": "package cart\nheadroom: 1\n"})
	for _, gone := range []string{"b.yaml", "fleet/two.json", "cart/more.cue"} {
		if err := os.Symlink("nowhere", filepath.Join(dir, gone)); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	got := map[string]string{}
	targets, err := schema.Find([]string{"./..."}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, target := range targets {
		message := ""
		if err := schema.Read(t.Context(), target, schema.Options{}).Err; err != nil {
			message = err.Error()
		}
		got[filepath.ToSlash(target.Path)] = message
	}
	want := map[string]string{
		"a.yaml": "", "b.yaml": "b.yaml: there is no such file or folder",
		"cart": "cart/more.cue: there is no such file or folder", "fleet/one.yaml": "", "fleet/two.json": "fleet/two.json: there is no such file or folder",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if _, err := schema.Find([]string{"b.yaml"}, schema.Options{}); err == nil || err.Error() != want["b.yaml"] {
		t.Errorf("named: %v", err)
	}
}

// closed is the disk with one folder that cannot be read.
type closed string

func (c closed) Open(name string) (fs.File, error)     { return os.Open(name) }
func (c closed) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }
func (c closed) ReadDir(name string) ([]fs.DirEntry, error) {
	if filepath.ToSlash(name) == string(c) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return os.ReadDir(name)
}

// TestUnreadableFolder checks that a folder that cannot be read is named and keeps no
// other one, and no other path, from being read.
func TestUnreadableFolder(t *testing.T) {
	dir := write(t, map[string]string{"fleet/a/a.yaml": "headroom: 1\n", "fleet/b/b.yaml": "headroom: 1\n", "fleet/c/c.yaml": "headroom: 1\n", "d.yaml": "headroom: 1\n"})
	t.Chdir(dir)
	targets, err := schema.Find([]string{"fleet/...", "gone", "d.yaml"}, schema.Options{Files: closed("fleet/b")})
	var got []string
	for _, target := range targets {
		got = append(got, filepath.ToSlash(target.Path))
	}
	if diff := cmp.Diff([]string{"fleet/a/a.yaml", "fleet/c/c.yaml", "d.yaml"}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	want := "fleet/b: it may not be read\ngone: there is no such file or folder"
	if err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
}
