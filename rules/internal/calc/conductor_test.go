package calc

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestAWGGeometryAgainstPublished(t *testing.T) {
	// ASTM B258; the published columns are an independent print of the same
	// geometry, rounded to four figures: 0.2 % on area, 0.4 % on resistance
	// (3/0 and 4/0 are printed with two figures).
	for _, r := range published(t, "awg") {
		n := int(r.num(t, "n"))
		d := AWGDiameterMM(n)
		area := math.Pi / 4 * d * d
		near(t, r["awg"]+" AWG diameter", d, r.num(t, "diameter_mm"), 0.01)
		near(t, r["awg"]+" AWG area", area, r.num(t, "area_mm2"), 0.02)
		near(t, r["awg"]+" AWG circular mils", area/AreaMM2(1), r.num(t, "published_circular_mils"), 0.2)
		near(t, r["awg"]+" AWG resistance of solid wire", 1000*CopperResistivity20/area, r.num(t, "published_r20_ohm_per_km"), 0.4)
		s := size(t, r["awg"]+" AWG")
		near(t, s.Label+" stranded resistance", 1000*s.R20, 1.02*r.num(t, "r20_ohm_per_km"), 0.03)
		near(t, s.Label+" area", s.AreaMM2, r.num(t, "area_mm2"), 0.02)
	}
}

func TestStrandedAWGAt75C(t *testing.T) {
	// NFPA 70 Chapter 9 Table 8, printed to three figures; its stranding
	// allowance is 2 %, its coated column 3 to 6 % above.
	for _, r := range published(t, "nec_ch9_table8") {
		s := size(t, r["awg"]+" AWG")
		hot := must[float64](t)(Resistance(s, 1000, 75))
		near(t, s.Label+" at 75 C", hot, r.num(t, "uncoated_ohm_per_km_75C"), 0.7)
		coated := must[float64](t)(Resistance(s.Tinned(), 1000, 75))
		near(t, s.Label+" tinned at 75 C", coated, r.num(t, "coated_ohm_per_kft_75C")/0.3048, 2.6)
	}
}

func TestMetricSizesAgainstIEC60228(t *testing.T) {
	// IEC 60228:2004 Table 3: the same numbers.
	for _, r := range published(t, "iec60228") {
		s := size(t, r["area_mm2"]+" mm2")
		near(t, s.Label+" plain", 1000*s.R20, r.num(t, "class5_plain_ohm_km"), 0)
		near(t, s.Label+" coated", 1000*s.Tinned().R20, r.num(t, "class5_coated_ohm_km"), 0)
	}
}

func TestMetricSizesAgainstISO6722(t *testing.T) {
	// ISO 6722-1 (from memory): the labels it alone has are the same numbers;
	// where IEC 60228 has the label too it allows more, up to 7 %.
	iec := map[string]bool{}
	for _, r := range published(t, "iec60228") {
		iec[r["area_mm2"]] = true
	}
	for _, r := range published(t, "iso6722") {
		s := size(t, r["area_mm2"]+" mm2")
		want := r.num(t, "plain_mohm_per_m")
		if !iec[r["area_mm2"]] {
			near(t, s.Label, 1000*s.R20, want, 0)
			continue
		}
		if ratio := 1000 * s.R20 / want; ratio < 1 || ratio > 1.08 {
			t.Errorf("%s: %.4g of ISO 6722-1, want 1 to 1.08", s.Label, ratio)
		}
	}
}

func TestSAESizes(t *testing.T) {
	// SAE J1127 and J1128: least areas; the shortfall against AWG is printed to
	// a tenth of a percent.
	for _, r := range published(t, "sae_sizes") {
		s := size(t, r["sae_size"]+" SAE")
		near(t, s.Label+" circular mils", s.AreaMM2/AreaMM2(1), r.num(t, "circular_mils"), 0)
		near(t, s.Label+" area", s.AreaMM2, r.num(t, "area_mm2"), 0.1)
		awg := size(t, r["sae_size"]+" AWG")
		shortfall := 100 * (s.AreaMM2/awg.AreaMM2 - 1)
		if math.Abs(shortfall-r.num(t, "shortfall_percent")) > 0.3 {
			t.Errorf("%s has %.1f %% less copper than AWG, want %s", s.Label, shortfall, r["shortfall_percent"])
		}
		same, ok := awg.SameNumberSAE()
		if diff := cmp.Diff(s.Label, same.Label); !ok || diff != "" {
			t.Errorf("%s has no vehicle size of the same number: %s", awg.Label, diff)
		}
	}
	if _, ok := size(t, "70 mm2").SameNumberSAE(); ok {
		t.Error("a metric size has a vehicle size of the same number")
	}
}

func TestParseSize(t *testing.T) {
	for _, tc := range []struct {
		in, want string
		area     float64
	}{
		{"70 mm2", "70 mm2", 70},
		{" 0.75mm2 ", "0.75 mm2", 0.75},
		{"2.50 mm²", "2.5 mm2", 2.5},
		{"4 AWG", "4 AWG", 21.1506},
		{"2/0 awg", "2/0 AWG", 67.4309},
		{"0 AWG", "1/0 AWG", 53.4751},
		{"0000 AWG", "4/0 AWG", 107.2193},
		{"2/0 SAE", "2/0 SAE", 63.389},
		{"12 SAE", "12 SAE", 2.956},
	} {
		s := size(t, tc.in)
		if s.Label != tc.want {
			t.Errorf("ParseSize(%q).Label = %q, want %q", tc.in, s.Label, tc.want)
		}
		near(t, tc.in+" area", s.AreaMM2, tc.area, 0.02)
	}
}

func TestParseSizeErrors(t *testing.T) {
	for _, tc := range []struct{ in, want string }{
		{"70", `has no unit; write it like "70 mm2"`},
		{"", "has no unit"},
		{"72 mm2", "mm2 sizes are 0.35, 0.5"},
		{"5/0 AWG", "AWG sizes are 30, 29"},
		{"3 SAE", "SAE sizes are 18, 16"},
		{"-70 mm2", "no conductor size"},
		{"NaN mm2", "no conductor size"},
		{"mm2", "no conductor size"},
		{"0 mm2", "no conductor size"},
	} {
		_, err := ParseSize(tc.in)
		if err == nil || !strings.Contains(err.Error(), tc.want) {
			t.Errorf("ParseSize(%q) error = %v, want it to contain %q", tc.in, err, tc.want)
		}
	}
}

func TestSizesStep(t *testing.T) {
	for _, tc := range []struct{ in, up string }{
		{"70 mm2", "95 mm2"},
		{"60 mm2", "70 mm2"}, // a label few dealers keep steps to usual ones
		{"4 AWG", "2 AWG"},
		{"2 AWG", "1 AWG"},
		{"1 SAE", "1/0 SAE"},
		{"240 mm2", ""},
	} {
		s := size(t, tc.in)
		up, ok := ThinnestSize(s.System, func(c Size) bool { return c.AreaMM2 > s.AreaMM2 })
		if up.Label != tc.up || ok != (tc.up != "") {
			t.Errorf("%s steps up to %q (%v), want %q", tc.in, up.Label, ok, tc.up)
		}
	}
}

func TestSizesAreInOrder(t *testing.T) {
	for _, system := range []System{Metric, AWG, SAE} {
		all := allSizes(system)
		for i, s := range all {
			if s.DiameterMM <= 0 || s.WallMM <= 0 || s.coating <= 1 {
				t.Errorf("%s is incomplete: %+v", s.Label, s)
			}
			if i > 0 && (s.AreaMM2 <= all[i-1].AreaMM2 || s.R20 >= all[i-1].R20 || s.DiameterMM <= all[i-1].DiameterMM || s.WallMM < all[i-1].WallMM) {
				t.Errorf("%s does not follow %s", s.Label, all[i-1].Label)
			}
		}
	}
}

func TestCopperFactor(t *testing.T) {
	// IEC 60028 and the 234.5 C form of IEC 60949 agree within 0.1 % up to 125 C.
	for _, c := range []float64{-40, 0, 20, 75, 125} {
		near(t, "copper factor", CopperFactor(c), (CopperBetaC+c)/(CopperBetaC+20), 0.1)
	}
}

func TestResistanceDomain(t *testing.T) {
	s := size(t, "35 mm2")
	for _, tc := range []struct{ length, temp float64 }{
		{-1, 20}, {math.NaN(), 20}, {1, math.NaN()}, {1, -300}, {math.Inf(1), 20},
	} {
		if r, err := Resistance(s, tc.length, tc.temp); err == nil {
			t.Errorf("Resistance(%g m, %g C) = %g, want an error", tc.length, tc.temp, r)
		}
	}
	if _, err := Resistance(Size{}, 1, 20); err == nil {
		t.Error("a size without resistance gives none of its own")
	}
	if r := must[float64](t)(Resistance(s, 0, 20)); r != 0 {
		t.Errorf("no length has %g Ohm", r)
	}
}
