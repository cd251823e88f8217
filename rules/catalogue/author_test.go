package catalogue_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// What the tests of this file ask is asked of every rule by itself, so that an
// author who did not know of it is told in seconds, and what to do:
//
//	go test ./rules/catalogue -run Author

// fleet lists the demo vehicles.
func fleet(t *testing.T) []string {
	t.Helper()
	var paths []string
	for _, name := range vehicles(t) {
		paths = append(paths, filepath.Join(ruletest.Fleet(), name))
	}
	return paths
}

// byKey returns results by rule and subject.
func byKey(results []rules.Result) map[string]rules.Result {
	out := map[string]rules.Result{}
	for _, r := range results {
		out[r.Key()] = r
	}
	return out
}

// kinds are the collections of parts in a specification.
var kinds = []string{"batteries", "chargers", "contactors", "controllers", "converters", "diodes", "disconnects", "fuses",
	"loads", "meters", "relays", "resistors", "shunts", "switches"}

// A spare part lies in a box: it is no subject. Beside each part of a vehicle lies
// a like one.
func TestAuthorSpares(t *testing.T) {
	told := map[string]bool{"spare-in-use": true} // the one rule that speaks of spares
	for _, path := range fleet(t) {
		spares := 0
		spec := ruletest.Rebuilt(t, path, func(tree map[string]any) {
			for _, kind := range kinds {
				parts, _ := tree[kind].(map[string]any)
				for id, part := range schema.Sorted(maps.Clone(parts)) {
					like := maps.Clone(part.(map[string]any))
					like["spare"] = true
					parts["spare_"+id] = like
					spares++
				}
			}
		})
		if spares < 20 {
			t.Errorf("%s: only %d spares", path, spares)
		}
		for _, r := range ruletest.Run(t, spec, catalogue.All()) {
			if strings.HasPrefix(r.Subject, "spare_") && !told[r.Rule] {
				told[r.Rule] = true
				t.Errorf("%s takes the spare part %s for a subject (%s): leave out parts whose Spare is set", r.Rule, r.Subject, r.Message)
			}
		}
	}
}

// Two runs say the same, to the last step of a working.
func TestAuthorOrder(t *testing.T) {
	told := map[string]bool{}
	for _, path := range fleet(t) {
		first := ruletest.Run(t, ruletest.Load(t, path), catalogue.All())
		for range 2 {
			again := ruletest.Run(t, ruletest.Load(t, path), catalogue.All())
			for i, r := range again {
				if i >= len(first) || !reflect.DeepEqual(first[i], r) && !told[r.Rule] {
					told[r.Rule] = true
					t.Errorf("%s says something else of %s in a second run: range over maps with schema.Sorted, and of equals take the first (-first +second):\n%s",
						r.Rule, r.Subject, cmp.Diff(first[min(i, len(first)-1)], r))
				}
			}
		}
	}
}

// differs reports whether two results are not the same to a reader.
func differs(a, b rules.Result) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-3*max(math.Abs(x), math.Abs(y)) }
	return a.Verdict != b.Verdict || !near(a.Demand.Value, b.Demand.Value) || !near(a.Capability.Value, b.Capability.Value)
}

// A mistake in the cycle leaves unknown what goes on for how long. What is not the
// same with a cycle as without one has then no verdict.
func TestAuthorCycle(t *testing.T) {
	for _, path := range fleet(t) {
		with := func(cycle ...any) map[string]rules.Result {
			tree := ruletest.Tree(t, path)
			delete(tree, "cycle")
			if len(cycle) > 0 {
				tree["cycle"] = cycle
			}
			loaded := ruletest.Read(t, ruletest.Write(t, t.TempDir(), "vehicle.json", ruletest.JSON(t, tree)))
			if loaded.Spec == nil {
				t.Fatal(loaded.Err)
			}
			return byKey(ruletest.Run(t, loaded.Spec, catalogue.All()))
		}
		var each []any
		for mode := range schema.Sorted(ruletest.Load(t, path).Modes) {
			each = append(each, map[string]any{"mode": mode, "for_s": 7})
		}
		none, even, unknown := with(), with(each...), with(map[string]any{"mode": "mistyped", "for_s": 7})
		rests := 0
		for key, r := range schema.Sorted(unknown) {
			if !differs(none[key], even[key]) {
				continue
			}
			rests++
			if r.Verdict != rules.NotChecked {
				t.Errorf("%s of %s rests on the cycle and has the verdict %s where the cycle holds a mistake (%s): call NotChecked with \"cycle\" then",
					key, filepath.Base(path), r.Verdict, r.Message)
			}
		}
		if rests < 50 {
			t.Errorf("%s: only %d results rest on the cycle", path, rests)
		}
	}
}

// buzzer is a place for a relay in the heron: in a wire, with the pole of the battery
// that its coil returns to.
type buzzer struct {
	wire, from, to, neg string
	volts               float64
}

// in is the heron with the relay, which opens while its coil is held: in some modes,
// from before its contact, so that it stays open, or from behind, so that it breaks
// its own feed.
func (b buzzer) in(t *testing.T, behind bool, held func(mode string) bool) *schema.Spec {
	lead := func(from, to string) string {
		return fmt.Sprintf(`{"from": %q, "to": %q, "size": "50 mm2", "length_m": 0.05, "insulation": {"max_C": 105, "rated_V": 600}}`, from, to)
	}
	coil := b.from
	if behind {
		coil = b.to
	}
	edits := ruletest.Edits(
		"relays.buzzer", fmt.Sprintf(`{"form": "nc", "contact": {"carry_A": 500, "rated_V_dc": 200},
			"coil": {"nominal_V": %g, "operate_V": %g, "release_V": %g, "resistance_Ohm": 5000, "suppression": "none"}}`, b.volts, b.volts*0.4, b.volts*0.07),
		"switches.hold", `{"role": "other", "poles": {"coil": {"carry_A": 500, "rated_V_dc": 200}}}`,
		"wires."+b.wire, lead(b.from, "buzzer.common"), "wires.x2", lead("buzzer.nc", b.to), "wires.x3", lead(coil, "hold.coil_a"),
		"wires.x4", lead("hold.coil_b", "buzzer.coil_pos"), "wires.x5", lead("buzzer.coil_neg", b.neg))
	for id, mode := range schema.Sorted(ruletest.Load(t, filepath.Join(ruletest.Fleet(), "heron")).Modes) {
		if held(id) {
			with := `"` + strings.Join(append(slices.Clone(mode.Closed), "hold"), `", "`) + `"`
			edits = append(edits, rules.Edit{Path: "modes." + id + ".closed", Value: "[" + with + "]"})
		}
	}
	return ruletest.Edited(t, "heron", edits)
}

// A relay that breaks the feed of its own coil finds no rest. What is not the same
// with it closed as with it open has then no verdict. In some modes a charger or the
// motor holds the coil from behind the contact: there it rests, and is open in all of
// the vehicles that are compared.
func TestAuthorUnsettled(t *testing.T) {
	for _, b := range []struct {
		buzzer
		rests, least int // modes in which it rests, and results that rest on it
	}{
		{buzzer{"w_fuse_isolator", "main.b", "isolator.a", "pack.neg", 72}, 2, 100},
		{buzzer{"w_coil_key", "coil_fuse.b", "key.house_a", "returns_a.stud", 12}, 0, 10},
		{buzzer{"w_coil_contactor", "stop.house_b", "main_contactor.coil_pos", "main_contactor.coil_neg", 12}, 0, 10},
	} {
		t.Run(b.wire, func(t *testing.T) {
			always := func(string) bool { return true }
			spec := b.in(t, true, always)
			n := circuit.New(spec)
			rests := func(mode string) bool {
				return !slices.ContainsFunc(demand.Corners(mode), func(k circuit.Case) bool {
					s := n.Solve(k)
					return len(s.Chatter) > 0 || s.Closed("buzzer.nc")
				})
			}
			run := func(spec *schema.Spec) map[string]rules.Result { return byKey(ruletest.Run(t, spec, catalogue.All())) }
			unsettled, open, closed := run(spec), run(b.in(t, false, always)), run(b.in(t, false, rests))
			count := 0
			for key, r := range schema.Sorted(unsettled) {
				// The ends of the coil's lead are where the vehicles differ themselves.
				if !differs(closed[key], open[key]) || slices.Contains([]string{"buzzer", "hold", "x3"}, r.Subject) {
					continue
				}
				count++
				if r.Verdict != rules.NotChecked {
					t.Errorf("%s has the verdict %s on what finds no rest (%s): call Unsettled before a verdict that rests on a solution", key, r.Verdict, r.Message)
				}
			}
			if at := slices.DeleteFunc(slices.Clone(n.Modes()), func(mode string) bool { return !rests(mode) }); len(at) != b.rests || count < b.least {
				t.Errorf("it rests in %v, and %d results rest on it", at, count)
			}
		})
	}
}

// A finding that may follow from another names it by a rule and a subject that there
// are: Because is of no effect where that one does not fail, and never with a name
// that is mistyped. Asked of the examples of the rules that call it themselves.
func TestAuthorPrimary(t *testing.T) {
	for _, rule := range catalogue.All() {
		if rule.Check == nil || !strings.Contains(text(t, "../*/"+stem(rule)+".go"), "Because(") {
			continue
		}
		t.Run(rule.ID, func(t *testing.T) {
			spec := ruletest.Edited(t, rule.Example.Vehicle, rule.Example.Edits)
			list, named := []*rules.Rule{rule}, map[string]rules.Result{}
			for _, r := range ruletest.Run(t, spec, list) {
				if r.Verdict == rules.Passed || r.Primary == "" {
					continue
				}
				id, _, _ := strings.Cut(r.Primary, "/")
				primary := catalogue.Find(id)
				if primary == nil {
					t.Fatalf("%s follows from %s, and there is no rule %s: correct the first argument of Because", r.Key(), r.Primary, id)
				}
				list, named[r.Primary] = append(list, primary), r
			}
			if len(named) == 0 {
				return
			}
			slices.SortFunc(list, func(a, b *rules.Rule) int { return strings.Compare(a.ID, b.ID) })
			all := byKey(ruletest.Run(t, spec, slices.Compact(list)))
			for primary, r := range schema.Sorted(named) {
				if _, ok := all[primary]; !ok {
					t.Errorf("%s follows from %s, and that rule has no such subject: correct the second argument of Because", r.Key(), primary)
				}
			}
		})
	}
}

// stem is the name that the files of a rule have.
func stem(rule *rules.Rule) string { return strings.ReplaceAll(rule.ID, "-", "_") }

// text reads all files of a pattern, of which there must be some.
func text(t *testing.T, pattern string) string {
	t.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatalf("no file %s: %v", strings.TrimPrefix(pattern, "../*/"), err)
	}
	var all strings.Builder
	for _, file := range files {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(source)
	}
	return all.String()
}

// Each rule has what the repository holds of every rule: a file and a test of its
// stem, a family that is tested, a section on the page of rules, a kind of seeded fault with what the oracle
// expects, and a line in their summary.
func TestAuthorPaperwork(t *testing.T) {
	page, oracle, summary := text(t, "../README.md"), text(t, "../internal/oracle/*.go"), text(t, "testdata/seeded.txt")
	seeded := map[string]bool{}
	for _, m := range mutations() {
		seeded[m.rule] = true
		if m.given == "" && !strings.Contains(oracle, fmt.Sprintf("%q: ", m.rule)) {
			t.Errorf("the fault %q is for %s, of which the oracle expects nothing: add the rule to a table of rules/internal/oracle, or say in given why the fault breaks it",
				m.kind, m.rule)
		}
	}
	for _, rule := range catalogue.All() {
		if !strings.Contains(page, "### "+rule.ID+"\n") {
			t.Errorf("%s is not on the page of rules: go test ./cmd/internal/cli -run RulesPage -update", rule.ID)
		}
		if rule.Check == nil {
			continue
		}
		for _, suffix := range []string{".go", "_test.go"} {
			found, _ := filepath.Glob("../*/" + stem(rule) + suffix)
			if len(found) != 1 {
				t.Errorf("%s has no file %s in its family's folder", rule.ID, stem(rule)+suffix)
				continue
			}
			if !strings.Contains(text(t, filepath.Dir(found[0])+"/*_test.go"), "ruletest.Family(t, ") {
				t.Errorf("no test of %s calls ruletest.Family, so that nobody asks what is asked of every rule", filepath.Dir(found[0]))
			}
		}
		if !seeded[rule.ID] {
			t.Errorf("no seeded fault is for %s: add a kind to rules/catalogue/seeded_*_test.go that finds three or more", rule.ID)
		} else if !strings.Contains(summary, "\n"+rule.ID+" ") {
			t.Errorf("testdata/seeded.txt does not have %s: go test ./rules/catalogue -run SeededFaults -update", rule.ID)
		}
	}
}

// The package of a rule has the name of its family, so that a reader who knows one
// finds the other.
func TestPackagesAreNamedAfterFamilies(t *testing.T) {
	for _, r := range catalogue.All() {
		if r.Family == "spec" || r.Family == "record" {
			continue // the loader's rules, and those of waivers beside the record's own
		}
		if _, err := os.Stat(filepath.Join("..", r.Family)); err != nil {
			t.Errorf("%s is of the family %s, but there is no rules/%[2]s: name the package after the family", r.ID, r.Family)
		}
	}
}
