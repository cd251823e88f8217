package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func TestTerminalUnconnected(t *testing.T) {
	rule := terminalUnconnected()
	t.Run("a spare part is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("fuses.spare_fuse", `{"class": "blade", "rated_A": 5, "spare": true}`)...)
	})
	t.Run("an unused pole of a switch is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("switches.turn_switch.poles.second", `{"carry_A": 5}`)...)
	})
	const inlet, block = "connectors.plug", "blocks.bar"
	between := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "1.5 mm2", "length_m": 0.2}`
	}
	for _, tc := range []struct {
		name, part string
		want       string // the message, "" for none
		edits      []rules.Edit
	}{
		{"a contact of a connector with one end", "plug", "plug: nothing is connected to plug.b1",
			ruletest.Edits(inlet, `{"contacts": [{}, {}]}`, "wires.x1", between("pack.pos", "plug.a1"))},
		{"both conductors on one half", "plug", "plug: nothing is connected to plug.a1",
			ruletest.Edits(inlet, `{"contacts": [{}]}`, "wires.x1", between("pack.pos", "plug.b1"), "wires.x2", between("plug.b1", "drive.pos"))},
		{"the contact that holds the drive back with one end", "plug", "plug: nothing is connected to plug.inhibit_a",
			ruletest.Edits(inlet, `{"use": "inlet", "contacts": [{}], "inhibit": true}`, "wires.x1", between("pack.pos", "plug.inhibit_b"))},
		{"a spare contact", "plug", "",
			ruletest.Edits(inlet, `{"contacts": [{}, {}]}`, "wires.x1", between("pack.pos", "plug.a1"), "wires.x2", between("plug.b1", "drive.pos"))},
		{"an inlet whose charger is no part of the vehicle", "plug", "",
			ruletest.Edits(inlet, `{"use": "inlet", "contacts": [{}]}`, "wires.x1", between("pack.pos", "plug.b1"))},
		{"a connector marked spare", "plug", "",
			ruletest.Edits(inlet, `{"contacts": [{}], "spare": true}`, "wires.x1", between("pack.pos", "plug.a1"))},
		{"a block with one conductor", "bar", "bar: only one conductor ends on it, at bar.one, and leads no further",
			ruletest.Edits(block, `{"ways": {"one": {}, "two": {}}}`, "wires.x1", between("pack.pos", "bar.one"))},
		{"a block with two in one clamp", "bar", "",
			ruletest.Edits(block, `{"ways": {"one": {}, "two": {}}}`, "wires.x1", between("pack.pos", "bar.one"), "wires.x2", between("bar.one", "drive.pos"))},
		{"a block that is not in use", "bar", "", ruletest.Edits(block, `{"ways": {"one": {}}}`)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, _ := ruletest.Finding(ruletest.Run(t, ruletest.Changed(t, ruletest.First(), tc.edits...), []*rules.Rule{rule}), tc.part)
			if r.Message != tc.want {
				t.Errorf("message %q, want %q", r.Message, tc.want)
			}
		})
	}
	for _, tc := range []struct {
		name, primary string
		want          string // the message on the controller, "" for none
		edits         []rules.Edit
	}{
		{"all phases", "", "", nil},
		{"a phase that leads nowhere", "", "drive: nothing is connected to drive.w", ruletest.Edits("wires.w_phase_w", "")},
		{"a phase on a pole", "phase-shorted/motor", "drive: nothing is connected to drive.w", ruletest.Edits("wires.w_phase_w.from", `"drive.neg"`)},
		{"two phases on one terminal", "phase-shorted/motor", "drive: nothing is connected to drive.w", ruletest.Edits("wires.w_phase_w.from", `"drive.v"`)},
		{"a motor of two terminals", "", "", ruletest.Edits("wires.w_phase_w", "", "motors.motor.kind", `"brushed"`)},
		{"a spare motor", "", "", ruletest.Edits("wires.w_phase_w", "", "motors.motor.spare", "true")},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := ruletest.On(t, rule, "mole", tc.edits...)["drive"]
			if !r.IsFinding() {
				r.Message = ""
			}
			if r.Message != tc.want || r.Primary != tc.primary {
				t.Errorf("message %q (%s), want %q (%s)", r.Message, r.Primary, tc.want, tc.primary)
			}
		})
	}
	t.Run("a part left out altogether is named once", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("loads.forgotten", `{"kind": "led", "power_W": 5, "at_V": 13.2}`)...)
		r := ruletest.Verdict(t, got, "forgotten", rules.Failed)
		if want := "forgotten: nothing is connected to forgotten.pos, forgotten.neg"; r.Message != want {
			t.Errorf("message %q, want %q", r.Message, want)
		}
	})
	for _, wrong := range []struct{ wire, path, pole, free string }{
		{"w_pack_fuse", "wires.w_pack_fuse.from", "pack.neg", "pack.pos"},
		{"w_isolator_pack", "wires.w_isolator_pack.to", "pack.pos", "pack.neg"},
	} {
		t.Run("a conductor on the wrong pole is named: "+wrong.wire, func(t *testing.T) {
			r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits(wrong.path, `"`+wrong.pole+`"`)...), "pack", rules.Failed)
			if want := "connect " + wrong.wire + " to " + wrong.free + " instead of " + wrong.pole; r.Fix != want {
				t.Errorf("fix %q, want %q", r.Fix, want)
			}
		})
	}
	t.Run("a conductor that is missing is not on the wrong pole", func(t *testing.T) {
		r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("wires.w_pack_fuse", "")...), "pack", rules.Failed)
		if want := "pack: nothing is connected to pack.pos"; r.Message != want {
			t.Errorf("message %q, want %q", r.Message, want)
		}
	})
	t.Run("a conductor to a part with a mistake still connects", func(t *testing.T) {
		file := ruletest.Write(t, t.TempDir(), "cart.yaml", `
headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated}
batteries: {pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 58}}
fuses: {main: {class: nonsense, rated_A: 100}}
wires:
  w1: {from: pack.pos, to: main.a, size: 50 mm2, length_m: 0.2}
  w2: {from: main.b, to: pack.neg, size: 50 mm2, length_m: 0.2}
`)
		loaded := schema.Read(t.Context(), schema.Target{Path: file, Format: "yaml"}, schema.Options{})
		if loaded.Err != nil || len(loaded.Problems) != 1 {
			t.Fatal(loaded.Err, loaded.Problems)
		}
		for _, r := range ruletest.Run(t, loaded.Spec, []*rules.Rule{rule}) {
			if r.Verdict != rules.Passed {
				t.Errorf("%s: %s", r.Subject, r.Message)
			}
		}
	})
}
