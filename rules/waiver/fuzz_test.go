package waiver_test

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// FuzzWaivers holds a waiver of arbitrary texts, as it is read from a file, against
// results: it accepts a finding exactly if it names it, has not expired and covers its
// headroom; and nothing is lost or changed otherwise.
func FuzzWaivers(f *testing.F) {
	f.Add("wire-overloaded", "w1", "It is laid in free air.", "2031-03-31", 0.9, true, 0)
	f.Add("wire-overloaded", "w1", "x", "2026-11-24", 0.95, true, 1)
	f.Add("fuse-low", "lights", "y", "2026-12-01", 0.0, false, -7)
	f.Add("part-unused", "lights", "y", "2028-02-29", 0.5, true, 30)
	f.Add("wire-overlaoded", "main", "::error::", "2026-13-01", 1e-300, true, 400)
	f.Add("waiver-expired", "wire-overloaded/w1", "\u202e", "0001-01-01", math.MaxFloat64, true, 99999)
	f.Fuzz(func(t *testing.T, rule, subject, reason, expires string, least float64, bounded bool, days int) {
		entry := map[string]any{"rule": rule, "subject": subject, "reason": reason, "approved_by": "workshop lead", "expires": expires}
		if bounded && !math.IsNaN(least) && !math.IsInf(least, 0) {
			entry["down_to"] = least
		} else {
			bounded = false
		}
		text, err := json.Marshal(map[string]any{"headroom": 1, "vehicle": map[string]any{"name": "Cart", "use": "off-road", "chassis": "isolated"},
			"modes": map[string]any{"parked": map[string]any{}}, "waivers": []any{entry}})
		if err != nil {
			t.Fatal(err)
		}
		l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: schema.FormatJSON}, schema.Options{Stdin: strings.NewReader(string(text)), StdinName: "cart.json"})
		if l.Err != nil || l.Spec == nil {
			t.Fatal(l.Err, l.Problems)
		}
		today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days%1_000_000)
		results := given()
		got := waiver.Apply(l.Spec, results, known(), today)

		byKey := map[string]rules.Result{}
		for _, r := range got {
			if !strings.HasPrefix(r.Rule, "waiver-") {
				byKey[r.Key()] = r
			} else if r.Message == "" || r.Verdict != rules.Failed && r.Verdict != rules.Passed {
				t.Errorf("%+v", r)
			}
		}
		if len(byKey) != len(results) {
			t.Fatalf("%d results have become %v", len(results), slices.Sorted(maps.Keys(byKey)))
		}
		for _, was := range results {
			is := byKey[was.Key()]
			want := was.Verdict
			if len(l.Spec.Waivers) == 1 && was.Rule == rule && was.Subject == subject && was.Verdict == rules.Failed && was.Rule != "spec-missing-field" &&
				today.Format(time.DateOnly) <= expires && len(today.Format(time.DateOnly)) == len(expires) &&
				(!bounded || was.Required > 0 && was.Headroom >= least*(1-1e-9)) {
				want = rules.Waived
			}
			if is.Verdict != want {
				t.Errorf("%s is %v, want %v", was.Key(), is.Verdict, want)
			}
			if (is.Waiver != nil) != (want == rules.Waived) || is.Headroom != was.Headroom || is.Message != was.Message {
				t.Errorf("%+v was %+v", is, was)
			}
		}
	})
}
