package revision

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestReads reads some of a tree and asks which changes would matter.
func TestReads(t *testing.T) {
	dir, _ := history(t)
	tr := tree(t, dir, "main")
	read(t, tr, "cart/cart.yaml")
	read(t, tr, "link.yaml")
	if _, err := tr.ReadDir("van"); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"cue.mod/module.cue", "nowhere/near"} {
		if _, err := tr.Stat(name); err == nil {
			t.Fatalf("there is a file %s", name)
		}
	}
	if !tr.FollowedLink() {
		t.Error("no link was followed")
	}
	for file, want := range map[string]bool{
		"cart/cart.yaml":       true,
		"link.yaml":            true,
		"van/new.yaml":         true,
		"cue.mod/module.cue":   true,
		"nowhere/near/at.yaml": true,
		"nowhere":              true,
		"cart/other.yaml":      false, // that folder was not listed
		"van/deeper/new.yaml":  false,
		"top.yaml":             false,
		"cue":                  false,
	} {
		if got := tr.Reads().DependOn(file); got != want {
			t.Errorf("%s matters: %v, want %v", file, got, want)
		}
	}
}

func TestDifferences(t *testing.T) {
	dir, git := history(t)
	r, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	old, now := git("rev-parse", "HEAD~1^{tree}"), git("rev-parse", "HEAD^{tree}")
	empty := git("hash-object", "-t", "tree", "-w", "--stdin")
	got, err := r.Differences(t.Context(), []Pair{{old, now}, {now, now}, {now, old}, {empty, old}})
	if err != nil {
		t.Fatal(err)
	}
	changed := []string{"cart/cart.yaml", "top.yaml", "van/van.yaml"}
	want := [][]string{changed, nil, changed, {"Gerät 1/späte teile.cue", "cart/cart.yaml", "link.yaml", "top.yaml"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if got, err := r.Differences(t.Context(), nil); err != nil || len(got) != 0 {
		t.Errorf("no pairs: %v, %v", got, err)
	}
}

func TestObjects(t *testing.T) {
	dir, git := history(t)
	r, err := Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	got, err := r.Objects(t.Context(), []string{"HEAD:", "HEAD:cart", "HEAD:none", "HEAD:Gerät 1/späte teile.cue", "HEAD~1:van/van.yaml", "HEAD:no such thing missing"})
	if err != nil {
		t.Fatal(err)
	}
	want := []Object{
		{git("rev-parse", "HEAD^{tree}"), "tree"}, {git("rev-parse", "HEAD:cart"), "tree"}, {},
		{git("rev-parse", "HEAD:Gerät 1/späte teile.cue"), "blob"}, {}, {},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestRealAndPath(t *testing.T) {
	dir, _ := history(t)
	tr := tree(t, dir, "main")
	if got, ok := tr.Real("link.yaml"); !ok || got != filepath.Join(dir, "cart", "cart.yaml") {
		t.Errorf("the link leads to %q, %v", got, ok)
	}
	if got, ok := tr.Real("none"); ok {
		t.Errorf("what is not there is %q", got)
	}
	r, err := Open(t.Context(), filepath.Join(dir, "cart"))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"cart.yaml": "cart/cart.yaml", "..": ".", "../van/": "van", filepath.Join(dir, "top.yaml"): "top.yaml"} {
		if got, inside := r.Path(name); got != want || !inside {
			t.Errorf("%s is %q, %v; want %q", name, got, inside, want)
		}
	}
	if _, inside := r.Path("../../elsewhere"); inside {
		t.Error("a path outside counts as inside")
	}
}

func TestCutOff(t *testing.T) {
	dir, git := history(t)
	shallow := filepath.Join(t.TempDir(), "shallow")
	git("clone", "-q", "--depth=1", "file://"+dir, shallow)
	for _, test := range []struct {
		dir, commit string
		want        bool
	}{{dir, "HEAD~1", false}, {dir, "HEAD", false}, {shallow, "HEAD", true}} {
		r, err := Open(t.Context(), test.dir)
		if err != nil {
			t.Fatal(err)
		}
		if remedy, cut := r.CutOff(t.Context(), test.commit); cut != test.want || cut && remedy != deepen {
			t.Errorf("%s in %s is cut off: %v, %q", test.commit, test.dir, cut, remedy)
		}
	}
}
