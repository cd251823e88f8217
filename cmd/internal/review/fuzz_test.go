package review

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// alterations are what is done to the value at a place of a tree, chosen by a byte.
var alterations = []func(any) any{
	func(any) any { return nil }, // deletes it
	scaled(1.001), scaled(0.5), scaled(2), scaled(1e6), scaled(1e-6), scaled(-1),
	func(any) any { return "other" },
	func(any) any { return map[string]any{} },
	func(any) any { return []any{} },
}

func scaled(by float64) func(any) any {
	return func(v any) any {
		if n, ok := v.(float64); ok {
			return n * by
		}
		return v
	}
}

// altered carries out alterations of a tree: each is three bytes for the place, in steps
// downward, and one for what is done there.
func altered(tree map[string]any, text []byte) {
	for ; len(text) >= 4; text = text[4:] {
		at := tree
		for i := range 3 {
			keys := slices.Sorted(maps.Keys(at))
			if len(keys) == 0 {
				break
			}
			key := keys[int(text[i])%len(keys)]
			next, ok := at[key].(map[string]any)
			if ok && i < 2 {
				at = next
				continue
			}
			switch v := alterations[int(text[3])%len(alterations)](at[key]); {
			case v == nil:
				delete(at, key)
			case text[3]&0x80 != 0: // a copy under another name
				at[key+"_2"] = v
			default:
				at[key] = v
			}
			break
		}
	}
}

// FuzzCompare compares a vehicle with two others that were made from it by arbitrary
// alterations: no fault; a vehicle and itself have no difference; there are edits exactly
// if values differ; and each state of a finding is true of the results.
func FuzzCompare(f *testing.F) {
	for seed := range byte(8) {
		f.Add([]byte{seed, 7 * seed, 13 * seed, seed}, []byte{3 * seed, seed, 5, seed + 1, seed, 2, 9 * seed, 0x83})
	}
	text := ruletest.JSON(f, ruletest.Tree(f, ruletest.First()))
	kept := []string{"fuse-above-ampacity", "fuse-breaking-low", "fuse-voltage-low", "conductor-drop-high", "battery-overloaded"}
	few := slices.DeleteFunc(slices.Clone(catalogue.All()), func(r *rules.Rule) bool { return !slices.Contains(kept, r.ID) })
	if len(few) != len(kept) {
		f.Fatalf("%d rules", len(few))
	}
	read := func(t *testing.T, alterations []byte) Revision {
		var tree map[string]any
		if err := json.Unmarshal([]byte(text), &tree); err != nil {
			t.Fatal(err)
		}
		altered(tree, alterations[:min(len(alterations), 12)])
		l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: schema.FormatJSON},
			schema.Options{Stdin: strings.NewReader(ruletest.JSON(t, tree)), StdinName: "cart.json"})
		if l.Err != nil {
			t.Fatal(l.Err)
		}
		if l.Spec == nil {
			return Revision{}
		}
		return Revision{l.Spec, ruletest.Run(t, l.Spec, few)}
	}
	f.Fuzz(func(t *testing.T, first, second []byte) {
		old, now := read(t, first), read(t, second)
		of := func(old, now Revision) *report.Comparison {
			c, err := Compare(t.Context(), old, now, few, 0.01)
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		same := of(old, read(t, first))
		if len(same.Edits)+len(same.Changes)+len(same.Moves) > 0 {
			t.Errorf("a vehicle differs from itself: %v, %v", same.Edits, same.Moves)
		}
		for _, f := range same.Findings {
			if f.State != report.Standing && f.State != report.Waived {
				t.Errorf("%s is %v, and nothing has changed", f.Key(), f.State)
			}
		}
		c := of(old, now)
		if old.Spec != nil && now.Spec != nil && maps.Equal(old.Spec.Values(), now.Spec.Values()) != (len(c.Edits) == 0) {
			t.Errorf("%d edits, and the values are not so", len(c.Edits))
		}
		before, after := byKey(old.Results), byKey(now.Results)
		for _, f := range c.Findings {
			was, is := before[f.Key()], after[f.Key()]
			switch f.State {
			case report.New:
				if was.Verdict == rules.Failed || is.Verdict != rules.Failed {
					t.Errorf("%s is new, and was %v, is %v", f.Key(), was.Verdict, is.Verdict)
				}
			case report.Fixed:
				if was.Verdict != rules.Failed || is.Verdict == rules.Failed {
					t.Errorf("%s is fixed, and was %v, is %v", f.Key(), was.Verdict, is.Verdict)
				}
			}
		}
	})
}
