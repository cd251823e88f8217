package fuse

import (
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// DIN VDE 0298-4 gives 35 mm2 in free air 158 A at 30 C and a 70 C conductor; the
// heat balance stays within +2/-15 % of it, and 90 C at 40 C carry a little more.
// The tests below work from the ampacity that the result states.
func ampacityOf(t *testing.T, id string) float64 {
	t.Helper()
	return fixture.On(t, aboveAmpacity())[id].Capability.Value
}

func amps(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

// behindResistor feeds a lamp from behind the main fuse through a resistor.
func behindResistor(ohm string) []rules.Edit {
	wire := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "2.5 mm2", "length_m": 2, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}}`
	}
	return ruletest.Edits(
		"resistors.r", `{"role": "dropper", "resistance_Ohm": `+ohm+`}`,
		"loads.x", `{"kind": "resistive", "power_W": 10, "at_V": 12}`,
		"wires.x1", strings.Replace(wire("main.b", "r.a"), `"length_m": 2`, `"length_m": 0.1`, 1),
		"wires.x2", wire("r.b", "x.pos"),
		"wires.x3", wire("x.neg", "drive.neg"),
	)
}

func TestAboveAmpacity(t *testing.T) {
	if iz := ampacityOf(t, "w_drive"); iz < 0.85*158 || iz > 1.2*158 {
		t.Errorf("ampacity of 35 mm2 is %v A", iz)
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "thick enough", Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Message: "is protected from overload by the 100 A fuse main, which"}},
		{Name: "too thin", Edits: ruletest.Edits("wires.w_drive.size", `"10 mm2"`), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100, Message: "is not protected from overload by the 100 A fuse main, which reliably opens only above 135 A"}},
		{Name: "in the return", Edits: ruletest.Edits("wires.w_drive_neg.size", `"10 mm2"`), Subject: "w_drive_neg", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100}},
		{Name: "before the fuse, along the run", Edits: ruletest.Edits("wires.w_pack.size", `"10 mm2"`), Subject: "w_pack", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100}},
		{Name: "branch by its own fuse", Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
		{Name: "limit of the converter below the fuse", Edits: ruletest.Edits("fuses.house.rated_A", "15"), Subject: "w_pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12}},
		{Name: "no fuse has to do with it", Subject: "w_out", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5}},
		// Behind 10 Ohm flow 56 V / 10 Ohm, whatever the fuse; behind 1 Ohm 56 A.
		{Name: "behind a resistor", Edits: behindResistor("10"), Subject: "x2", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5.6}},
		{Name: "back from behind a resistor", Edits: behindResistor("10"), Subject: "x3", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5.6}},
		{Name: "behind a resistor that is too small", Edits: behindResistor("1"), Subject: "x2", Want: ruletest.Want{Verdict: rules.Failed, Demand: 56, Message: "r, which passes up to 56 A"}},
		// PVC of 70 C at 40 C: sqrt(30/50) of the rise, copper of 70 C in place of
		// 90 C: 0.775 * sqrt(1.275/1.197) = 0.80 of what it carries at 90 C.
		{Name: "insulation unknown is taken for PVC", Edits: ruletest.Edits("wires.w_drive.insulation.max_C", ""), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed,
			Demand: 100, Capability: 128.2}},
		{Name: "class without a gate", Edits: ruletest.Edits("fuses.main.class", `"other"`, "fuses.main.opening", ""), Subject: "w_drive",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.main.opening"}},
		{Name: "class without a gate, above the ampacity", Edits: ruletest.Edits("fuses.main.class", `"other"`, "fuses.main.opening", "", "wires.w_drive.size", `"10 mm2"`), Subject: "w_drive",
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 100}},
		{Name: "short, in the path of the controller", Edits: ruletest.Edits("wires.w_drive.size", `"10 mm2"`, "wires.w_drive.length_m", "0.1"), Subject: "w_drive",
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 100}},
		{Name: "short, to a fuse", Subject: "w_branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
		// The fuse at its end is larger than what the wire carries.
		{Name: "short, to a fuse that is too large", Edits: ruletest.Edits("fuses.branch.rated_A", "60"), Subject: "w_branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Primary: "fuse-above-ampacity/w_lamp"}},
		// A declared curve that opens for certain from 200 A on: 200/1.45 = 137.9 A.
		{Name: "other class by its curve", Edits: ruletest.Edits("fuses.main.class", `"other"`, "fuses.main.opening.max", `[{"current_A": 200, "s": 15}]`),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 137.93}},
	})
}

// Where no other fuse protects a conductor, the one inside the battery has to; its
// class is not known, I_n <= I_z holds of all.
func TestFuseInsideTheBattery(t *testing.T) {
	inside := func(amperes string) []rules.Edit {
		return ruletest.Edits("batteries.pack.internal_fuse_A", amperes, "fuses.main", "",
			"wires.w_pack.to", `"drive.pos"`, "wires.w_pack.length_m", "1.1", "wires.w_drive", "",
			"wires.w_branch.from", `"drive.pos"`)
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "less than the ampacity", Edits: inside("125"), Subject: "w_pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 125}},
		{Name: "more", Edits: inside("500"), Subject: "w_pack", Want: ruletest.Want{Verdict: rules.Failed, Demand: 500, Primary: "fuse-above-ampacity/w_drive_neg", Message: "is not protected from overload by the 500 A fuse inside pack"}},
		{Name: "the return", Edits: inside("500"), Subject: "w_drive_neg", Want: ruletest.Want{Verdict: rules.Failed, Demand: 500}},
		{Name: "a tap to a branch fuse", Edits: inside("125"), Subject: "w_branch", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "behind the branch fuse", Edits: inside("500"), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
	})
}

// The 1.45 rule, IEC 60364-4-43, 433.1: I_2 of vehicle and UL classes is 1.35
// I_n and never binds; gG is protected at I_n = I_z though its I_2 is 1.6 I_n, gR is not; a
// rewirable fuse only at 0.725 I_z.
func TestOverloadRuleOfTheClasses(t *testing.T) {
	iz := ampacityOf(t, "w_drive")
	for _, c := range []struct {
		class string
		share float64 // of I_z
		want  rules.Verdict
	}{
		{"bolt-down", 0.999, rules.Passed}, {"bolt-down", 1.001, rules.Failed},
		{"ul", 0.999, rules.Passed}, {"ul", 1.001, rules.Failed},
		{"gG", 0.999, rules.Passed}, {"gG", 1.001, rules.Failed},
		{"gR", 1.44 / 1.6, rules.Passed}, {"gR", 1.46 / 1.6, rules.Failed},
		{"rewirable", 0.724, rules.Passed}, {"rewirable", 0.726, rules.Failed},
		{"aR", 0.5, rules.Failed},
	} {
		t.Run(c.class+" "+amps(c.share), func(t *testing.T) {
			got := fixture.On(t, aboveAmpacity(), ruletest.Edits("fuses.main.class", strconv.Quote(c.class), "fuses.main.opening", "",
				"fuses.main.rated_A", amps(c.share*iz), "fuses.main.min_breaking_A", "400")...)["w_drive"]
			if c.class != "aR" {
				got = fixture.On(t, aboveAmpacity(), ruletest.Edits("fuses.main.class", strconv.Quote(c.class), "fuses.main.opening", "",
					"fuses.main.rated_A", amps(c.share*iz))...)["w_drive"]
			}
			if got.Verdict != c.want {
				t.Errorf("%s: %s", got.Verdict, got.Message)
			}
		})
	}
}

// A partial-range fuse may leave overload to the controller, IEC 60364-4-43,
// 433.3.1, if the controller's limits suit the conductor and the fuse feeds nothing
// else.
func TestOverloadLeftToTheLoad(t *testing.T) {
	partial := func(more []rules.Edit) []rules.Edit {
		return append(ruletest.Edits("fuses.main.class", `"aR"`, "fuses.main.min_breaking_A", "400", "fuses.main.overload_protection_by", `"drive"`), more...)
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "never above the ampacity", Edits: partial(nil), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.AsDeclared, Demand: 90}},
		{Name: "continuous limit too high", Edits: partial(ruletest.Edits("wires.w_drive.size", `"6 mm2"`)), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Demand: 60}},
		{Name: "short peak above the ampacity", Edits: partial(ruletest.Edits("wires.w_drive.size", `"16 mm2"`, "controllers.drive.battery_peak_A", "140")),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.AsDeclared, Demand: 30}},
		{Name: "long peak above the ampacity", Edits: partial(ruletest.Edits("wires.w_drive.size", `"16 mm2"`, "controllers.drive.battery_peak_A", "140", "controllers.drive.peak_s", "3000")),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Demand: 3000}},
		{Name: "peak without a duration", Edits: partial(ruletest.Edits("wires.w_drive.size", `"16 mm2"`, "controllers.drive.battery_peak_A", "140", "controllers.drive.peak_s", "")),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.peak_s"}},
		{Name: "limit unknown", Edits: partial(ruletest.Edits("controllers.drive.battery_peak_A", "")), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "controllers.drive.battery_peak_A"}},
		{Name: "nobody named", Edits: ruletest.Edits("fuses.main.class", `"aR"`, "fuses.main.min_breaking_A", "400"), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed,
			Message: "does not open on small overloads", Primary: "fuse-above-ampacity/w_drive_neg"}},
		{Name: "another consumer behind it", Edits: partial(ruletest.Edits(
			"loads.heater", `{"kind": "resistive", "power_W": 480, "at_V": 48}`,
			"wires.w_heater", `{"from": "drive.pos", "to": "heater.pos", "size": "35 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
			"wires.w_heater_neg", `{"from": "heater.neg", "to": "drive.neg", "size": "35 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
			"wires.w_drive.size", `"10 mm2"`,
			"wires.w_heater.notes", `"unfused"`,
		)), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Message: "heater", Primary: "fuse-above-ampacity/w_drive_neg"}},
	})
}

// A tap within the fuse distance of 33 CFR 183.455 needs no fuse of its own,
// measured from the last conductor that its fuse protects.
func TestShortTap(t *testing.T) {
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		// The run to the branch fuse has no branches: that fuse keeps overload away.
		{Name: "overload kept away by the fuse at its end", Subject: "w_branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
	})
	tapped := func(length, sheathed string) []rules.Edit {
		return ruletest.Edits(
			"fuses.main.opening.max", slowMain,
			"resistors.bleed", `{"role": "bleed", "resistance_Ohm": 1000}`,
			"wires.w_bleed", `{"from": "main.b", "to": "bleed.a", "size": "2.5 mm2", "length_m": `+length+`, "sheathed": `+sheathed+`, "insulation": {"max_C": 90, "material": "XLPE"}}`,
			"wires.w_bleed_neg", `{"from": "bleed.b", "to": "drive.neg", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90, "material": "XLPE"}}`,
			"wires.w_bleed.notes", `"to the bleed resistor"`,
		)
	}
	for _, rule := range []*rules.Rule{aboveAmpacity(), withstandShort(), slowerThanDamage()} {
		follows := "fuse-above-ampacity/w_bleed"
		if rule.ID == "fuse-above-ampacity" {
			follows = ""
		}
		t.Run(rule.ID, func(t *testing.T) {
			fixture.Play(t, rule, []ruletest.Scene{
				{Name: "0.17 m", Edits: tapped("0.17", "false"), Subject: "w_bleed", Want: ruletest.Want{Verdict: rules.Passed, Message: "tap of 0.17 m"}},
				{Name: "0.19 m", Edits: tapped("0.19", "false"), Subject: "w_bleed", Want: ruletest.Want{Verdict: rules.Failed, Primary: follows}},
				{Name: "1 m sheathed", Edits: tapped("1", "true"), Subject: "w_bleed", Want: ruletest.Want{Verdict: rules.Passed, Message: "tap of 1 m"}},
				{Name: "1.1 m sheathed", Edits: tapped("1.1", "true"), Subject: "w_bleed", Want: ruletest.Want{Verdict: rules.Failed, Primary: follows}},
			})
		})
	}
}

// The leads of a pre-charge behind its own fuse and relay are that fuse's, also
// where the resistor passes more than a trickle from the bar behind the
// contactor: 84 V over 50 Ohm are 1.7 A, which 2.5 mm2 withstand.
func TestResistorBehindAFuse(t *testing.T) {
	for _, rule := range []*rules.Rule{aboveAmpacity(), withstandShort(), slowerThanDamage()} {
		results := ruletest.On(t, rule, "heron", ruletest.Edits("resistors.soft.resistance_Ohm", "50")...)
		for _, id := range []string{"w_soft_fuse", "w_soft_relay"} {
			ruletest.Verdict(t, results, id, rules.Passed)
		}
	}
	thin := ruletest.On(t, aboveAmpacity(), "heron", ruletest.Edits("resistors.soft.resistance_Ohm", "1")...)
	ruletest.Verdict(t, thin, "w_soft_fuse", rules.Failed) // 84 A are no trickle
}

// A return that several branches share carries the sum of their fuses, not what
// the fuse before all of them would let pass; a strap carries one fault at a time.
func TestSharedReturn(t *testing.T) {
	two := ruletest.Edits(
		"fuses.other", `{"class": "ul", "rated_A": 15, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"loads.fan", `{"kind": "resistive", "power_W": 240, "at_V": 48}`,
		"wires.w_other", `{"from": "main.b", "to": "other.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_fan", `{"from": "other.b", "to": "fan.pos", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		"wires.w_fan_neg", `{"from": "fan.neg", "to": "lamp.neg", "size": "2.5 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		"wires.w_strap", `{"from": "lamp.neg", "to": "chassis", "size": "2.5 mm2", "length_m": 0.2, "insulation": {"max_C": 90}}`,
		"vehicle.chassis", `"isolated"`,
	)
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "both branches", Edits: two, Subject: "w_lamp_neg", Want: ruletest.Want{Verdict: rules.Passed, Demand: 25}},
		{Name: "one branch", Edits: two, Subject: "w_fan_neg", Want: ruletest.Want{Verdict: rules.Passed, Demand: 15}},
	})
}

// A charger is connected while the vehicle stands: it does not add to what the
// pack drives through the drive's cable.
func TestChargerDoesNotAdd(t *testing.T) {
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{{
		Name: "drive cable", Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100},
		Edits: ruletest.Edits(
			"chargers.charger", `{"max_V": 56, "max_A": 20, "isolated": true}`,
			"wires.w_charge", `{"from": "charger.pos", "to": "main.b", "size": "6 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
			"wires.w_charge_neg", `{"from": "charger.neg", "to": "pack.neg", "size": "6 mm2", "length_m": 1, "insulation": {"max_C": 90}}`,
		),
	}})
}

// One fuse too large for several conductors is one weakness: the conductor with
// the least headroom carries it.
func TestFollowers(t *testing.T) {
	got := fixture.On(t, aboveAmpacity(), ruletest.Edits("fuses.main.rated_A", "200", "wires.w_drive.size", `"25 mm2"`)...)
	if r := got["w_drive"]; !r.IsFinding() || r.Primary != "" {
		t.Errorf("w_drive: %s, primary %q: %s", r.Verdict, r.Primary, r.Message)
	}
	if r := got["w_drive_neg"]; !r.IsFinding() || r.Primary != "fuse-above-ampacity/w_drive" {
		t.Errorf("w_drive_neg: %s, primary %q: %s", r.Verdict, r.Primary, r.Message)
	}
	got = fixture.On(t, slowerThanDamage(), ruletest.Edits("wires.w_drive.size", `"6 mm2"`)...)
	if r := got["w_drive"]; !r.IsFinding() || r.Primary != "fuse-above-ampacity/w_drive" {
		t.Errorf("w_drive: %s, primary %q: %s", r.Verdict, r.Primary, r.Message)
	}
}

// In hotter air no conductor may gain headroom.
func TestAboveAmpacityFallsWithHeat(t *testing.T) {
	rule := aboveAmpacity()
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		cool := ruletest.On(t, rule, vehicle, ruletest.Edits("vehicle.ambient_C.max", "40")...)
		hot := ruletest.On(t, rule, vehicle, ruletest.Edits("vehicle.ambient_C.max", "45")...)
		for subject, r := range hot {
			if before := cool[subject]; before.Verdict != rules.NotChecked && r.Headroom > before.Headroom*(1+1e-9) {
				t.Errorf("%s of %s: headroom %v at 40 C, %v at 45 C", subject, vehicle, before.Headroom, r.Headroom)
			}
		}
	}
}

// Of what feeds one fault at the far end of a battery's negative lead: the second
// battery through 20 A and the converter with 13 A; not the 10 A of the pack's branch,
// which shares only the negative with them.
func TestOneFaultAtABatteryLead(t *testing.T) {
	spec := ruletest.Changed(t, filepath.Join("..", "..", "testdata", "sound", "shared-negative.yaml"), ruletest.Edits(
		"batteries.aux2", `{"role": "auxiliary", "min_V": 10.8, "nominal_V": 12.8, "max_V": 14.6, "resistance_mOhm": 12, "chemistry": "lead-acid", "series": 6}`,
		"fuses.af2", `{"class": "blade", "rated_A": 20, "rated_V_dc": 32, "breaking_A_dc": 5000}`,
		"wires.e1", `{"from": "aux2.pos", "to": "af2.a", "size": "4 mm2", "length_m": 0.1}`,
		"wires.e2", `{"from": "af2.b", "to": "house.stud", "size": "4 mm2", "length_m": 0.6}`,
		"wires.e3", `{"from": "aux2.neg", "to": "minus.stud", "size": "4 mm2", "length_m": 0.6, "insulation": {"max_C": 105, "rated_V": 600}}`)...)
	for _, r := range ruletest.Run(t, spec, []*rules.Rule{aboveAmpacity()}) {
		if (r.Subject == "a4" || r.Subject == "e3") && (r.Verdict != rules.Passed || r.Demand.Value != 33) {
			t.Errorf("%s: %s with %v, want to pass with 33 A: %s", r.Subject, r.Verdict, r.Demand, r.Message)
		}
	}
}

// The branches of a trailer have 10 A and 5 A of fuses. What returns from their common
// minus stud to the battery also returns a fault at the plus stud, behind the 60 A main.
func TestMinusLeadOfABattery(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "sound", "house-12v.yaml")
	for _, tt := range []struct {
		name    string
		edits   []rules.Edit
		subject string
		demand  float64
	}{
		{"the lead itself", nil, "w3", 60},
		{"a piece of it behind a stud that leads on", ruletest.Edits("studs.middle", "{}", "wires.w3.to", `"middle.stud"`,
			"wires.w3b", `{"from": "middle.stud", "to": "minus.stud", "size": "16 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`), "w3b", 60},
		{"the return of a branch", nil, "w12", 5},
		{"without a fuse for all of them", ruletest.Edits("wires.w1", "", "fuses.main", "", "wires.w2.from", `"aux.pos"`), "w3", 15},
	} {
		t.Run(tt.name, func(t *testing.T) {
			results := ruletest.Run(t, ruletest.Changed(t, path, tt.edits...), []*rules.Rule{aboveAmpacity()})
			i := slices.IndexFunc(results, func(r rules.Result) bool { return r.Subject == tt.subject })
			if i < 0 || results[i].Demand.Value != tt.demand {
				t.Errorf("%v, want %s to be asked for %v A", results, tt.subject, tt.demand)
			}
		})
	}
}
