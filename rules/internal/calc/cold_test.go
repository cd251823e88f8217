package calc

import (
	"math"
	"strings"
	"testing"
)

// The points between which the resistance of cold cells is taken, beside the published
// parameter sets: at three times the rated current they are those; a pulse of 10 s to
// 30 s has diffusion as well, and is taken higher from -10 C down.
func TestColdFactor(t *testing.T) {
	for _, r := range published(t, "worked_examples_2") {
		chemistry := map[string]string{"WF37": "LFP", "WF38": "NMC"}[r["id"]]
		if chemistry == "" {
			continue
		}
		in := inputs{t: t, record: record{}}
		for _, pair := range strings.Split(r["inputs"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			in.record[key] = value
		}
		at := in.list("t_C", func(c float64) float64 { return c })
		in.record["expected"] = r["expected"]
		for i, want := range in.list("expected", func(f float64) float64 { return f }) {
			pulse, _ := ColdFactor(chemistry, at[i])
			short, _ := ColdShortFactor(chemistry, at[i])
			switch got := follow(t, pulse); {
			case r["output"] == "factor_3C":
				near(t, chemistry+" in a short circuit", follow(t, short), want, r.num(t, "tol_percent"))
			case got < 0.8*want || at[i] <= -20 && got < want:
				t.Errorf("%s at %v C: %v, the published set without diffusion %v", chemistry, at[i], got, want)
			}
		}
	}
}

func TestColdFactorBetweenThePoints(t *testing.T) {
	at := func(k float64) float64 { return 1 / (k + 273.15) }
	for _, tc := range []struct {
		chemistry string
		c, want   float64
	}{
		{"LFP", 25, 1}, {"LFP", -10, 3.5}, {"LFP", -20, 5}, {"NCA", -10, 3}, {"LCO", 0, 2}, {"lead-acid", -10, 2},
		// Half way between 0 and -10 C in 1/T, and beyond the last point on its line.
		{"LFP", 1/((at(0)+at(-10))/2) - 273.15, math.Sqrt(2 * 3.5)},
		{"LFP", -30, 5 * math.Pow(5/3.5, (at(-30)-at(-20))/(at(-20)-at(-10)))},
		{"NMC", 55, 0.6 * math.Pow(0.6, (at(55)-at(40))/(at(40)-at(25)))},
	} {
		l, known := ColdFactor(tc.chemistry, tc.c)
		if !known {
			t.Fatalf("%s is not known", tc.chemistry)
		}
		near(t, tc.chemistry, follow(t, l), tc.want, 1e-9)
	}
	for _, chemistry := range []string{"LTO", "other", ""} {
		if _, known := ColdFactor(chemistry, -10); known {
			t.Errorf("%q has a factor", chemistry)
		}
	}
	if _, known := ColdFactor("LFP", -300); known {
		t.Error("below absolute zero")
	}
}
