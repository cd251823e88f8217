package oracle

import (
	"cmp"
	"math"
	"slices"
	"testing"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, relative)
	}
}

func vehicle(t *testing.T, source string) *Vehicle {
	t.Helper()
	v, err := Read([]byte(source))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The formulas against published values.
func TestPublished(t *testing.T) {
	near(t, "copper at 90 C against 20 C, IEC 60028", warm(90), 1.2751, 1e-4)
	near(t, "200 % of a bolt-down fuse opens within 15 s, ISO 8820-5", timeOn([]point{{270, 1800}, {400, 15}, {700, 5}}, 400), 15, 1e-9)
	near(t, "and the other way round", ampsOn([]point{{270, 1800}, {400, 15}, {700, 5}}, 15), 400, 1e-9)
	// Step into a series RLC circuit, undamped: V sqrt(C/L) = 100 V sqrt(1 mF / 10 uH) = 1000 A.
	near(t, "first peak without damping", firstPeak(100, 1e-6, 10e-6, 1e-3), 1000, 1e-3)
	// Strongly damped it comes to V/R.
	near(t, "first peak with strong damping", firstPeak(100, 10, 1e-9, 1e-3), 10, 1e-3)
	// A damping of 0.5 overshoots by 16.3 % (second-order step response, any textbook).
	near(t, "swing at a damping of 0.5", swing(100, 100, 1, 0, 1e-6, 1e-6), 116.3, 1e-3)
	near(t, "swing of what is half charged", swing(100, 50, 1, 0, 1e-6, 1e-6), 108.15, 1e-3)
	near(t, "swing without ringing", swing(100, 100, 2.5, 0, 1e-6, 1e-6), 100, 1e-9)
	// With all of it in the capacitor the peak is at 120 degrees of the ring: exp(-1.2092) = 0.2984.
	near(t, "swing at the terminals of a capacitor's own resistance", swing(100, 100, 0, 1, 1e-6, 1e-6), 129.84, 1e-3)
	v := vehicle(t, `{"wires": {
		"w": {"size": "50 mm2", "length_m": 1, "insulation": {"max_C": 70}},
		"x": {"size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90, "material": "XLPE"}}},
		"vehicle": {"ambient_C": {"max": 30}}}`)
	near(t, "50 mm2 in free air, DIN VDE 0298-4 table 11", v.Carries("w"), 198, 1e-9)
	near(t, "1 m of 50 mm2, IEC 60228 class 5", v.resistance("w", 20), 0.386e-3, 1e-9)
	// k = 176 for XLPE from 30 C, IEC 60364-5-54 annex A.
	near(t, "k of XLPE from 30 C to 250 C", math.Sqrt(v.withstandA2s("x"))/2.5, 176, 2e-3)
}

// The tables read say what their files say, and the formulas that stand in for a
// table come out as it does.
func TestTables(t *testing.T) {
	near(t, "50 mm2, IEC 60228 class 5", published().metric[50].ohmPerKm, 0.386, 1e-9)
	near(t, "2/0 SAE, J1127", published().american["2/0"].vehicle, 63.389, 1e-9)
	near(t, "a gG link, IEC 60269-1", published().fusing, 1.6, 1e-9)
	near(t, "creepage at 14 V", published().creepage[2].mm, 1.1, 1e-9)
	for _, row := range readTable("k_values") {
		k := 226 * math.Sqrt(math.Log((234.5+value(row["final_C"]))/(234.5+value(row["initial_C"]))))
		near(t, "k of "+row["case"], k, value(row["k_printed"]), 5e-3)
	}
	for _, row := range readTable("cda_busbar") {
		v := vehicle(t, `{"busbars": {"b": {"width_mm": `+row["width_mm"]+`, "thickness_mm": `+row["thickness_mm"]+`}}}`)
		near(t, "bar of "+row["size_in"], v.barCarries("b"), value(row["formula_50K_A"]), 1e-2)
	}
	for _, row := range readTable("nec_310_17") {
		if size, ok := published().american[row["awg"]]; !ok || size.area <= 0 || size.amps <= 0 {
			t.Errorf("%s AWG: %+v", row["awg"], size)
		}
	}
	for _, class := range []string{"blade", "blade-high-current", "bolt-down", "ul", "ul above 30 A"} {
		longest := published().gates[class].longest
		if len(longest) < 2 || !slices.IsSortedFunc(longest, func(a, b point) int { return cmp.Compare(a.amps, b.amps) }) {
			t.Errorf("%s: longest times %v", class, longest)
		}
	}
}

// What a vehicle shares with the one that it was changed from stays as it was.
func TestChanged(t *testing.T) {
	v := vehicle(t, `{"fuses": {"a": {"rated_A": 10}, "b": {"rated_A": 20}}}`)
	other, err := v.Changed(map[string]any{"fuses.a.rated_A": 5, "fuses.b": nil, "loads.l": map[string]any{"power_W": 1}})
	if err != nil {
		t.Fatal(err)
	}
	if v.Number("fuses.a.rated_A", 0) != 10 || !v.Has("fuses.b") || v.Has("loads") {
		t.Error("the first vehicle has changed")
	}
	if other.Number("fuses.a.rated_A", 0) != 5 || other.Has("fuses.b") || other.Number("loads.l.power_W", 0) != 1 || other.Kind("l") != "loads" {
		t.Error("the changes are not there")
	}
	for _, edits := range []map[string]any{{"fuses.c": nil}, {"fuses.a.rated_A.x": 1}, {"fuses.c.d": nil}} {
		if _, err := v.Changed(edits); err == nil {
			t.Errorf("%v is carried out", edits)
		}
	}
}

// A pack of 48 V and 20 mOhm gives a load of constant power P the current of
// the quadratic equation I = (V - sqrt(V^2 - 4 R P)) / 2R.
func TestConstantPower(t *testing.T) {
	v := vehicle(t, `{
		"batteries": {"pack": {"role": "traction", "nominal_V": 48, "min_V": 40, "max_V": 55, "resistance_mOhm": 20}},
		"controllers": {"drive": {"min_V": 30, "max_V": 60}},
		"busbars": {
			"a": {"from": "pack.pos", "to": "drive.pos", "length_mm": 1, "width_mm": 100, "thickness_mm": 10},
			"b": {"from": "drive.neg", "to": "pack.neg", "length_mm": 1, "width_mm": 100, "thickness_mm": 10}},
		"modes": {"go": {"draw": {"drive": {"power_W": 5000}}}}}`)
	s := v.Solve(Case{Mode: "go", Supply: "nominal", Copper: 20})
	if !s.Settled {
		t.Fatal("not settled")
	}
	near(t, "current", s.Amps("a"), (48-math.Sqrt(48*48-4*0.020*5000))/(2*0.020), 1e-4)
	near(t, "short circuit of a full pack, V / R_min", v.Prospective("drive.pos"), 55/0.012, 1e-3)
}

// A contactor that its coil closes, and a diode that does not conduct backwards.
func TestStates(t *testing.T) {
	v := vehicle(t, `{
		"batteries": {"aux": {"role": "auxiliary", "nominal_V": 12, "min_V": 10, "max_V": 14, "resistance_mOhm": 10}},
		"contactors": {"k": {"contact": {"carry_A": 100}, "coil": {"nominal_V": 12, "operate_V": 8, "release_V": 1, "resistance_Ohm": 24}}},
		"diodes": {"d": {"forward_V": 0.7}},
		"loads": {"lamp": {"kind": "resistive", "power_W": 12, "at_V": 12}},
		"wires": {
			"w1": {"from": "aux.pos", "to": "k.a", "size": "2.5 mm2", "length_m": 1},
			"w2": {"from": "k.b", "to": "lamp.pos", "size": "2.5 mm2", "length_m": 1},
			"w3": {"from": "lamp.neg", "to": "aux.neg", "size": "2.5 mm2", "length_m": 1},
			"w4": {"from": "aux.pos", "to": "d.anode", "size": "2.5 mm2", "length_m": 1},
			"w5": {"from": "d.cathode", "to": "k.coil_pos", "size": "2.5 mm2", "length_m": 1},
			"w6": {"from": "k.coil_neg", "to": "aux.neg", "size": "2.5 mm2", "length_m": 1}},
		"modes": {"on": {"on": ["lamp"]}}}`)
	s := v.Solve(Case{Mode: "on", Supply: "nominal", Copper: 20})
	if !s.Closed("k") || !s.Closed("d") {
		t.Errorf("contactor closed %v, diode conducts %v", s.Closed("k"), s.Closed("d"))
	}
	near(t, "lamp", s.Amps("lamp"), 1, 0.02)
	turned, err := v.Changed(map[string]any{"wires.w4.to": "d.cathode", "wires.w5.from": "d.anode"})
	if err != nil {
		t.Fatal(err)
	}
	if s := turned.Solve(Case{Mode: "on", Supply: "nominal", Copper: 20}); s.Closed("k") {
		t.Error("the diode conducts backwards")
	}
}

// 70 mm2 at 90 C in 40 C: 3.45 J/(cm3 K) x 70 mm2 x 50 K are 12 075 J/m over 23.4 W/m,
// which 245 A of table 11, scaled, lose; from half the current at 1.5 times the heat
// takes tau ln((2.25 - 0.25) / (2.25 - 1)).
func TestPhaseCableHeats(t *testing.T) {
	v := vehicle(t, `{
		"controllers": {"drive": {"phase_peak_s": 60}},
		"motors": {"motor": {}},
		"wires": {"u": {"from": "drive.u", "to": "motor.u", "size": "70 mm2", "length_m": 1, "insulation": {"max_C": 90}}}}`).Severe()
	amps := v.Carries("u")
	v, err := v.Changed(map[string]any{"controllers.drive.phase_continuous_A": amps / 2, "controllers.drive.phase_peak_A": 1.5 * amps})
	if err != nil {
		t.Fatal(err)
	}
	v = v.Severe()
	tau := 3.45 * 70 * 50 / (amps * amps * 0.272e-3 * warm(90))
	near(t, "time constant", v.heatsIn("u"), tau, 1e-9)
	near(t, "its peak", Expectations()["phase-cable-peak-hot"](v, "u"), 60/(tau*math.Log(2/1.25)), 1e-9)
	if v.drives("motor.u") != "drive" {
		t.Error("no controller drives the motor")
	}
}
