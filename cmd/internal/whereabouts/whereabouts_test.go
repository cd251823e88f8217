package whereabouts

import (
	"compress/gzip"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"go.yaml.in/yaml/v3"

	"example.org/headroom/schema"
)

// side writes files into a folder of their own.
func side(t *testing.T, files map[string]string) Side {
	t.Helper()
	dir := t.TempDir()
	for name, content := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(content), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	root := schema.RootOf(dir)
	return Side{schema.Within(root), root}
}

const cart = `headroom: 1
vehicle: {name: First cart, use: off-road, chassis: isolated}
batteries:
  pack: {role: traction, min_V: 44.8, nominal_V: 51.2, max_V: 58.4, resistance_mOhm: 15, continuous_A: 80}
fuses:
  main: {class: bolt-down, rated_A: 125, rated_V_dc: 80, breaking_A_dc: 10000, source: sheet FU-1}
wires:
  w1: {from: pack.pos, to: main.a, size: 50 mm2, length_m: 0.15, insulation: {max_C: 105, rated_V: 600}}
  w2: {from: main.b, to: isolator.a, size: 50 mm2, length_m: 0.3, insulation: {max_C: 105, rated_V: 600}}
`

// other is a vehicle in the same style, and another one.
const other = `headroom: 1
vehicle: {name: Digger, use: off-road, chassis: house-negative}
batteries:
  cells: {role: traction, min_V: 60, nominal_V: 72, max_V: 84, resistance_mOhm: 28, continuous_A: 180}
fuses:
  f1: {class: bolt-down, rated_A: 250, rated_V_dc: 125, breaking_A_dc: 8000, source: sheet 9}
wires:
  lead: {from: cells.pos, to: f1.a, size: 70 mm2, length_m: 0.18, insulation: {max_C: 125, rated_V: 1000}}
  back: {from: f1.b, to: key.a, size: 70 mm2, length_m: 0.4, insulation: {max_C: 125, rated_V: 1000}}
`

func TestFates(t *testing.T) {
	half := strings.SplitAfter(cart, "fuses:")
	edited := strings.Replace(cart, "50 mm2", "6 mm2", 1)
	tests := []struct {
		name    string
		files   map[string]string // of the new side
		checked []string
		partner []string
		rival   string // another vehicle, which is new and checked
		want    Fate
	}{
		{name: "gone", files: map[string]string{"other.yaml": other}, checked: []string{"other.yaml"}},
		{name: "gone beside one that is not checked", files: map[string]string{".other.yaml": other}},
		{name: "moved", files: map[string]string{"testdata/cart.yaml": cart}, want: Fate{At: "testdata/cart.yaml"}},
		{name: "moved and edited", files: map[string]string{"x": edited}, want: Fate{At: "x"}},
		{name: "as JSON in one line", files: map[string]string{"x": strings.NewReplacer("\n", ",", " {", ` {"`, ", ", `", "`).Replace(cart)}, want: Fate{At: "x"}},
		{name: "backwards", files: map[string]string{"x": backwards(cart)}, want: Fate{At: "x"}},
		{name: "in two files", files: map[string]string{"a/x": half[0], "b/x": half[1]}, want: Fate{At: "b/x"}},
		{name: "in prose", files: map[string]string{"notes.md": "This is how it was:\n\n" + cart + "\nand no more.\n"}, want: Fate{At: "notes.md"}},
		{name: "where it was and checked", files: map[string]string{"cart.yaml": cart}, checked: []string{"cart.yaml"}, partner: []string{"cart.yaml"}},
		{name: "where it was", files: map[string]string{"cart.yaml": "x: 1\n"}, want: Fate{At: "cart.yaml", Why: "it is no specification any more"}},
		{name: "empty", files: map[string]string{"cart.yaml": " \n"}, want: Fate{At: "cart.yaml", Why: "it is empty now"}},
		{name: "a folder", files: map[string]string{"cart.yaml/x": "x"}, want: Fate{At: "cart.yaml", Why: "it is a folder now"}},
		{name: "another in its place", files: map[string]string{"cart.yaml": other}, checked: []string{"cart.yaml"}, partner: []string{"cart.yaml"}, want: Fate{Kept: 0.11}},
		{name: "behind another", files: map[string]string{"cart.yaml": other, "x": cart}, checked: []string{"cart.yaml"}, partner: []string{"cart.yaml"}, want: Fate{At: "x"}},
		{name: "renamed", files: map[string]string{"trolley.yaml": edited}, checked: []string{"trolley.yaml"}, partner: []string{"trolley.yaml"}},
		{name: "renamed with a copy left", files: map[string]string{"trolley.yaml": cart, "cart.yaml.bak": cart}, checked: []string{"trolley.yaml"}, partner: []string{"trolley.yaml"}},
		{name: "renamed with another one left", files: map[string]string{"trolley.yaml": cart, "cart.yaml.bak": edited}, checked: []string{"trolley.yaml"}, partner: []string{"trolley.yaml"}, want: Fate{At: "cart.yaml.bak"}},
		{name: "marked as packed", files: map[string]string{"x": "BZh" + cart}, want: Fate{At: "x", Why: "it is packed", Remedy: "unpack it, or delete it if the vehicle is gone"}},
		{name: "marked as packed otherwise", files: map[string]string{"x": "\x1f\x8b\n" + cart, "y": "PK\x03\x04\n"}, want: Fate{At: "x"}},
		{name: "marked as wide", files: map[string]string{"x": "\xff\xfe\n" + cart}, want: Fate{At: "x"}},
		{name: "after something packed", files: map[string]string{"x": packed(t, "hello") + cart}, want: Fate{At: "x", Why: "it is packed", Remedy: "unpack it, or delete it if the vehicle is gone"}},
		{name: "sorted, as a second document", files: map[string]string{"x": "a: b\n---\n" + sorted(t, cart)}, want: Fate{At: "x"}},
		{name: "sorted, with a broken end", files: map[string]string{"x": sorted(t, cart) + "}{\n"}, want: Fate{At: "x"}},
		{name: "sorted, and padded", files: map[string]string{"x": sorted(t, cart) + strings.Repeat("# x\n", 100_000)}, want: Fate{At: "x"}},
		{name: "a document of a sibling", files: map[string]string{"trolley.yaml": twin, "docs.md": prose + twin}, checked: []string{"trolley.yaml"}, rival: "trolley.yaml"},
		{name: "a backup of a sibling", files: map[string]string{"twin.yaml": twin + "# looked at\n", "twin.yaml~": twin}, checked: []string{"twin.yaml"}, rival: "twin.yaml"},
		{name: "under another name beside a twin", files: map[string]string{"trolley.yaml": twin, "x": strings.Replace(edited, "First cart", "Old", 1)}, checked: []string{"trolley.yaml"}, rival: "trolley.yaml", want: Fate{At: "x"}},
		{name: "beside a document of a sibling", files: map[string]string{"trolley.yaml": twin, "docs.md": prose + twin, "x": edited}, checked: []string{"trolley.yaml"}, rival: "trolley.yaml", want: Fate{At: "x", Also: []string{"docs.md"}}},
		{name: "behind one that is like it", files: map[string]string{"show.yaml": strings.Replace(cart, "First", "Show", 1), "x": edited}, checked: []string{"show.yaml"}, partner: []string{"show.yaml"}, want: Fate{At: "x"}},
		{name: "renamed in path and name", files: map[string]string{"show.yaml": strings.Replace(cart, "First", "Show", 1)}, checked: []string{"show.yaml"}, partner: []string{"show.yaml"}},
		{name: "in several places", files: map[string]string{"cart.yaml~": cart, ".cart.swp": edited, "a": other}, want: Fate{At: "cart.yaml~", Also: []string{".cart.swp"}}},
		{name: "sorted", files: map[string]string{"x": sorted(t, cart)}, want: Fate{At: "x"}},
		{name: "line by line", files: byLine(cart), want: Fate{At: "p03"}},
		{name: "in other letters", files: map[string]string{"x": strings.NewReplacer(" ", "\u00a0", "r", "r\u200b").Replace(strings.ToUpper(cart))}, want: Fate{At: "x"}},
		{name: "packed twice", files: map[string]string{"x": packed(t, packed(t, cart))}, want: Fate{At: "x", Why: "it is packed", Remedy: "unpack it, or delete it if the vehicle is gone"}},
		{name: "packed and large", files: map[string]string{"x": packed(t, cart+strings.Repeat("\n", 20<<20))}, want: Fate{At: "x", Why: "it is packed", Remedy: "unpack it, or delete it if the vehicle is gone"}},
		{name: "a damaged archive", files: map[string]string{"x": packed(t, cart)[:40] + "zzz", "y": "PK\x03\x04", "z": "\x1f\x8b"}},
		{name: "in the comments of what is checked", files: map[string]string{"README.md": "A cart:\n\n" + cart, "other.yaml": other + "#" + strings.ReplaceAll(cart, "\n", "\n# ")}, checked: []string{"other.yaml"}, want: Fate{At: "other.yaml", Why: "what stands there is no part of what is checked"}},
		{name: "a twin that was edited", files: map[string]string{"twin.yaml": twin + "# looked at\n"}},
		{name: "a copy that stood there too", files: map[string]string{"README.md": "A cart:\n\n" + cart}},
		{name: "a copy that is checked", files: map[string]string{"copy.yaml": cart}, checked: []string{"copy.yaml"}},
		{name: "git's own", files: map[string]string{".git/x": cart}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := Search{
				Old:     side(t, map[string]string{"cart.yaml": cart, "twin.yaml": twin, "README.md": "A cart:\n\n" + cart}),
				New:     side(t, test.files),
				Checked: func(file string) bool { return slices.Contains(test.checked, file) },
			}
			vehicles := []Vehicle{{Files: []string{"cart.yaml"}, Partner: test.partner, InPlace: slices.Contains(test.partner, "cart.yaml"), SameName: true}}
			if test.rival != "" {
				vehicles = append(vehicles, Vehicle{Partner: []string{test.rival}})
			}
			got, err := s.Fates(vehicles)
			if err != nil {
				t.Fatal(err)
			}
			if test.want.Kept == 0 {
				got[0].Kept = 0 // it is a figure, and the others say what it comes to
			}
			if diff := cmp.Diff([]Fate{test.want}, got[:1], cmpopts.EquateApprox(0, 0.05)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// twin is a vehicle that was copied from the cart.
var twin = strings.Replace(cart, "First cart", "Second cart", 1)

// prose is what a document says before it quotes a specification.
var prose = strings.Repeat("This is the trolley that we built last summer, when it rained\n\n", 9)

// sorted is a YAML text with its fields in the order of their names.
func sorted(t *testing.T, text string) string {
	t.Helper()
	var data map[string]any
	if err := yaml.Unmarshal([]byte(text), &data); err != nil {
		t.Fatal(err)
	}
	out, err := yaml.Marshal(data)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// byLine is a text with each line in a file of its own.
func byLine(text string) map[string]string {
	files := map[string]string{}
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		files[fmt.Sprintf("p%02d", i)] = line
	}
	return files
}

func packed(t *testing.T, text string) string {
	t.Helper()
	var b strings.Builder
	w := gzip.NewWriter(&b)
	if _, err := w.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// backwards turns the order of lines around.
func backwards(text string) string {
	lines := strings.Split(text, "\n")
	slices.Reverse(lines)
	return strings.Join(lines, "\n")
}

// TestVehiclesOfAFleetAreNotAlike holds every two vehicles of the demo fleet, which
// share a library and a style, against each other, and each against itself in the
// revision with mistakes: the former are below what counts as the same
// vehicle, the latter far above.
func TestVehiclesOfAFleetAreNotAlike(t *testing.T) {
	folder := func(fleet, vehicle string) (files []string) {
		entries, err := os.ReadDir(filepath.Join("../../../testdata", fleet, vehicle))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			files = append(files, path.Join(fleet, vehicle, e.Name()))
		}
		return files
	}
	root := schema.RootOf("../../../testdata")
	data := Side{schema.Within(root), filepath.Join(root, "testdata")}
	vehicles := []string{"badger", "heron", "mole"}
	for _, v := range vehicles {
		own, err := data.pieces(folder("fleet", v), nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range vehicles {
			theirs, err := data.pieces(folder("fleet-mistakes", w), nil)
			if err != nil {
				t.Fatal(err)
			}
			share := own.shareOf(theirs)
			t.Logf("%s holds %.2f of %s", w, share, v)
			if v == w && share < 0.85 || v != w && share > 0.45 {
				t.Errorf("%s holds %.2f of %s", w, share, v)
			}
		}
	}
}
