package catalogue_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// mend is a mistake in a sound vehicle, what the fix of a finding says, and the same
// carried out.
type mend struct {
	name, vehicle string // a folder of the fleet, or a file of testdata/sound
	key           string // rule/subject
	wrong         []string
	says          []string
	done          []string
}

// What a fix advises can be done, and then no rule of its family or a neighbouring
// one has an error or a warning.
func TestFixesOfContactorsHold(t *testing.T) {
	neighbours := of(func(r *rules.Rule) bool {
		return slices.Contains([]string{"contactor", "precharge", "disconnect", "switches", "wiring", "record"}, r.Family)
	})
	for _, m := range contactorMends {
		rule, _, _ := strings.Cut(m.key, "/")
		t.Run(m.name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(ruletest.Fleet(), m.vehicle)
			if strings.HasSuffix(m.vehicle, ".yaml") {
				path = filepath.Join(ruletest.Fleet(), "..", "sound", m.vehicle)
			}
			edits := ruletest.Edits(m.wrong...)
			found := ruletest.Run(t, ruletest.Changed(t, path, edits...), of(func(r *rules.Rule) bool { return r.ID == rule }))
			i := slices.IndexFunc(found, func(r rules.Result) bool { return r.Key() == m.key && r.IsFinding() })
			if i < 0 {
				t.Fatalf("%s does not fail", m.key)
			}
			for _, s := range m.says {
				if !strings.Contains(found[i].Fix, s) && !strings.Contains(found[i].Message, s) {
					t.Errorf("%q is neither in the message nor in the fix:\n%s\n%s", s, found[i].Message, found[i].Fix)
				}
			}
			for _, r := range ruletest.Run(t, ruletest.Changed(t, path, append(edits, ruletest.Edits(m.done...)...)...), neighbours) {
				if r.IsFinding() && r.Level != rules.Note {
					t.Errorf("with %v: %s: %s\nfix: %s", m.done, r.Key(), r.Message, r.Fix)
				}
			}
		})
	}
}

// of lists the rules of a kind.
func of(kind func(*rules.Rule) bool) []*rules.Rule {
	return slices.DeleteFunc(catalogue.All(), func(r *rules.Rule) bool { return !kind(r) })
}

var contactorMends = []mend{
	{
		name: "a permanent pre-charge of too few Ohm", vehicle: "permanent-72v.yaml", key: "contactor-bypassed/main_contactor",
		wrong: []string{"resistors.soft.resistance_Ohm", "50"},
		says:  []string{"raise resistance_Ohm of soft from 50 to at least 84, and at most", "(at 84 Ohm rated at least 84 W continuous"},
		done:  []string{"resistors.soft.resistance_Ohm", "84", "resistors.soft.power_W", "84"},
	},
	{
		name: "a permanent pre-charge that no resistance suits", vehicle: "permanent-72v.yaml", key: "contactor-bypassed/main_contactor",
		wrong: []string{"resistors.soft.resistance_Ohm", "20", "contactors.main_contactor.closes_after_s", "0.3"},
		says:  []string{"no resistance of soft suits: at least 84 Ohm", "raise closes_after_s of main_contactor from 0.3 to 0.5 with 84 Ohm (at 84 Ohm rated at least 84 W continuous"},
		done:  []string{"resistors.soft.resistance_Ohm", "84", "resistors.soft.power_W", "84", "contactors.main_contactor.closes_after_s", "0.5"},
	},
	{
		name: "a shorted controller: more watts", vehicle: "mole", key: "precharge-short-burns/soft",
		wrong: []string{"resistors.soft.power_W", "5"},
		says:  []string{"rated at least 7.3 W continuous, or raise its resistance_Ohm to 690"},
		done:  []string{"resistors.soft.power_W", "7.3"},
	},
	{
		name: "a shorted controller: more Ohm", vehicle: "mole", key: "precharge-short-burns/soft",
		wrong: []string{"resistors.soft.power_W", "5"},
		says:  []string{"rated at least 7.3 W continuous, or raise its resistance_Ohm to 690"},
		done:  []string{"resistors.soft.resistance_Ohm", "690"},
	},
	{
		name: "a shorted controller for a time", vehicle: "heron", key: "precharge-short-burns/soft",
		wrong: []string{"resistors.soft.power_W", "10", "resistors.soft.pulse_J", "50"},
		says:  []string{"rated at least 71 W continuous, or one of 10 W with pulse_J of at least 220"},
		done:  []string{"resistors.soft.pulse_J", "220"},
	},
	{
		name: "one pulse", vehicle: "heron", key: "precharge-pulse-high/soft",
		wrong: []string{"resistors.soft.pulse_J", "10", "resistors.soft.power_W", "60"},
		says:  []string{"with pulse_J of at least 110"},
		done:  []string{"resistors.soft.pulse_J", "110"},
	},
	{
		name: "several attempts", vehicle: "heron", key: "precharge-attempts-hot/soft",
		wrong: []string{"resistors.soft.power_W", "0.5", "resistors.soft.pulse_J", "20"},
		says:  []string{"rated at least 71 W continuous with pulse_J of at least 20"},
		done:  []string{"resistors.soft.power_W", "71"},
	},
	{
		name: "a resistor of a low voltage", vehicle: "heron", key: "precharge-voltage-low/soft",
		wrong: []string{"resistors.soft.max_V", "75"},
		says:  []string{"with max_V of at least 84"},
		done:  []string{"resistors.soft.max_V", "84"},
	},
	{
		name: "a bleed resistor that holds the capacitors down", vehicle: "mole", key: "precharge-stalls/main_contactor",
		wrong: []string{"controllers.drive.bleed_kOhm", "2"},
		says:  []string{"lower resistance_Ohm of soft from 470 to between 59 and 220"},
		done:  []string{"resistors.soft.resistance_Ohm", "210"},
	},
	{
		name: "too little time", vehicle: "heron", key: "precharge-incomplete/main_contactor",
		wrong: []string{"timers.soft_timer.set_s", "0.5"},
		says:  []string{"raise set_s of soft_timer from 0.5 to 1.3"},
		done:  []string{"timers.soft_timer.set_s", "1.3"},
	},
	{
		name: "too little time, and a resistor for no more", vehicle: "heron", key: "precharge-incomplete/main_contactor",
		wrong: []string{"timers.soft_timer.set_s", "0.5", "resistors.soft.power_W", "10", "resistors.soft.pulse_J", "37"},
		says:  []string{"raise set_s of soft_timer from 0.5 to 1.3, with soft rated at least 71 W continuous"},
		done:  []string{"timers.soft_timer.set_s", "1.3", "resistors.soft.power_W", "71"},
	},
	{
		name: "too low a voltage to wait for", vehicle: "mole", key: "precharge-incomplete/main_contactor",
		wrong: []string{"contactors.main_contactor.closes_after_s", "", "contactors.main_contactor.closes_at", `{"part": "drive", "percent": 80}`},
		says:  []string{"raise closes_at.percent of main_contactor from 80 to 91"},
		done:  []string{"contactors.main_contactor.closes_at.percent", "91"},
	},
	{
		name: "a contact that closes too early", vehicle: "heron", key: "contactor-make-low/main_contactor",
		wrong: []string{"timers.soft_timer.set_s", "0.3"},
		says:  []string{"raise set_s of soft_timer from 0.3 to 1.2"},
		done:  []string{"timers.soft_timer.set_s", "1.3"},
	},
	{
		name: "a contact across which a divider leaves too much", vehicle: "heron", key: "contactor-make-low/main_contactor",
		wrong: []string{"contactors.main_contactor.contact.make_A", "60"},
		says:  []string{"more time does not help", "lower resistance_Ohm of soft from 100 to between 17 and 84; or"},
		done:  []string{"resistors.soft.resistance_Ohm", "48"},
	},
	{
		name: "a better contact for it", vehicle: "heron", key: "contactor-make-low/main_contactor",
		wrong: []string{"contactors.main_contactor.contact.make_A", "60"},
		says:  []string{"a making capacity of at least "},
		done:  []string{"contactors.main_contactor.contact.make_A", "123"},
	},
	{
		name: "a slow discharge", vehicle: "permanent-72v.yaml", key: "discharge-wait/drive",
		wrong: []string{"controllers.drive.bleed_kOhm", "220"},
		says:  []string{"connect a bleed resistor of at most 87 kOhm across pos and neg of drive"},
		done: []string{"resistors.bleed", `{"role": "bleed", "resistance_Ohm": 87000, "power_W": 0.5, "source": "sheet RB-1"}`,
			"wires.bleed_pos", `{"from": "drive.pos", "to": "bleed.a", "size": "2.5 mm2", "length_m": 0.08, "colour": "orange", "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.bleed_neg", `{"from": "bleed.b", "to": "drive.neg", "size": "2.5 mm2", "length_m": 0.08, "colour": "orange", "insulation": {"max_C": 105, "rated_V": 600}}`},
	},
	{
		name: "with a margin that the policy requires", vehicle: "heron", key: "contactor-make-low/main_contactor",
		wrong: []string{"policy.required.contactor-make-low", "1.5", "contactors.main_contactor.contact.make_A", "100"},
		says:  []string{"a making capacity of at least "},
		done:  []string{"contactors.main_contactor.contact.make_A", "184"},
	},
	{
		name: "a lamp across the key holds the coil", vehicle: "mole", key: "coil-self-holding/main_contactor",
		wrong: lampAcrossKey,
		says:  []string{"fed through pilot,", "connect pilot from the load side of key to the return"},
		done:  []string{"wires.p1.from", `"key.drive_b"`, "wires.p2.to", `"minus_aux.stud"`},
	},
	{
		name: "a lamp across the key keeps its load side live", vehicle: "mole", key: "key-off-backfeed/key",
		wrong: lampAcrossKey,
		says:  []string{"limit 5 V, through pilot", "connect pilot from the load side of key.drive to the return"},
		done:  []string{"wires.p1.from", `"key.drive_b"`, "wires.p2.to", `"minus_aux.stud"`},
	},
	{
		name: "a diode from another circuit", vehicle: "heron", key: "key-off-backfeed/key",
		wrong: []string{"diodes.d1", `{"continuous_A": 3, "reverse_V": 100, "source": "sheet DI-1"}`,
			"wires.d1_a", `{"from": "key.house_b", "to": "d1.cathode", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.d1_b", `{"from": "d1.anode", "to": "usb_fuse.b", "size": "1.5 mm2", "length_m": 0.1}`},
		says: []string{"through usb_fuse, d1", "turn it around"},
		done: []string{"wires.d1_a.to", `"d1.anode"`, "wires.d1_b.from", `"d1.cathode"`},
	},
	{
		name: "a diode from another circuit holds the coil", vehicle: "heron", key: "coil-self-holding/main_contactor",
		wrong: []string{"diodes.d", `{"forward_V": 0.8, "forward_at_A": 1, "continuous_A": 3, "reverse_V": 100, "source": "sheet DI-1"}`,
			"wires.d1", `{"from": "light_switch.tail_b", "to": "d.anode", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.d2", `{"from": "d.cathode", "to": "display.pos", "size": "1.5 mm2", "length_m": 0.1}`},
		says: []string{"remove d, or turn it around"},
		done: []string{"diodes.d", "", "wires.d1", "", "wires.d2", ""},
	},
	{
		name: "a coil for less than the full pack", vehicle: "mole", key: "coil-overvoltage/main_contactor",
		wrong: []string{"contactors.main_contactor.coil.max_V", "55"},
		says:  []string{"max_V of at least 64.9 at 20 C", "operate_V of at most 36.1"},
		done:  []string{"contactors.main_contactor.coil.max_V", "64.9", "contactors.main_contactor.coil.operate_V", "36.1"},
	},
	{
		name: "a coil that does not pull in on an empty pack", vehicle: "mole", key: "coil-pull-in-low/main_contactor",
		wrong: []string{"contactors.main_contactor.coil.operate_V", "40", "policy.required.coil-pull-in-low", "1.1"},
		says:  []string{"operate_V of at most 32.8 and max_V of at least 64.9"},
		done:  []string{"contactors.main_contactor.coil.max_V", "64.9", "contactors.main_contactor.coil.operate_V", "32.8"},
	},
	{
		name: "a coil that may release", vehicle: "heron", key: "coil-hold-low/main_contactor",
		wrong: []string{"contactors.main_contactor.coil.operate_V", "8.8", "contactors.main_contactor.coil.hold_V", "8.5"},
		says:  []string{"hold_V of at most 7.6"},
		done:  []string{"contactors.main_contactor.coil.hold_V", "7.6", "contactors.main_contactor.coil.operate_V", "7.6"},
	},
	{
		name: "a contact that carries too much for the policy", vehicle: "heron", key: "contactor-carry-low/main_contactor",
		wrong: []string{"policy.required.contactor-carry-low", "1.25", "contactors.main_contactor.contact.carry_A", "70"},
		says:  []string{"rated at least 81 A"},
		done:  []string{"contactors.main_contactor.contact.carry_A", "81"},
	},
	{
		name: "a polarized contact on what the motor feeds back", vehicle: "badger", key: "contactor-break-reverse-low/main_contactor",
		wrong: []string{"contactors.main_contactor.contact.reverse_break_A", "40"},
		says:  []string{"reverse_break_A of at least 60"},
		done:  []string{"contactors.main_contactor.contact.reverse_break_A", "60"},
	},
	{
		name: "a coil without a suppression", vehicle: "badger", key: "suppression-missing/pump_contactor",
		wrong: []string{"contactors.pump_contactor.coil.suppression", `"none"`, "contactors.pump_contactor.coil.clamp_V", ""},
		says:  []string{"no more than 35.7 V"},
		done:  []string{"contactors.pump_contactor.coil.suppression", `"diode+zener"`, "contactors.pump_contactor.coil.clamp_V", "35.7"},
	},
	{
		name: "a contactor that a plain diode slows", vehicle: "badger", key: "suppression-slow/pump_contactor",
		wrong: []string{"contactors.pump_contactor.coil.suppression", `"diode"`, "contactors.pump_contactor.coil.clamp_V", "0.8"},
		says:  []string{"replace the plain diode of pump_contactor", "no more than 35.7 V"},
		done:  []string{"contactors.pump_contactor.coil.suppression", `"diode+zener"`, "contactors.pump_contactor.coil.clamp_V", "35.7"},
	},
	{
		name: "a suppression that clamps too high", vehicle: "heron", key: "suppression-clamp-high/main_contactor",
		wrong: []string{"contactors.main_contactor.coil.clamp_V", "48", "relays.soft_relay.coil.clamp_V", "48"},
		says:  []string{"no more than 35.7 V", "rated at least 75 V DC"},
		done:  []string{"contactors.main_contactor.coil.clamp_V", "35.7", "relays.soft_relay.coil.clamp_V", "35.7"},
	},
	{
		name: "a pole for less than its lamps", vehicle: "heron", key: "pole-load-kind-low/turn_switch.turn",
		wrong: []string{"switches.turn_switch.poles.turn.lamp_A", "3"},
		says:  []string{"rated at least 3.8 A for filament lamps"},
		done:  []string{"switches.turn_switch.poles.turn.lamp_A", "3.8"},
	},
	{
		name: "insulation between the poles", vehicle: "heron", key: "poles-voltage-low/key",
		wrong: []string{"switches.key.between_poles_V", "60"},
		says:  []string{"between_poles_V of at least 100"},
		done:  []string{"switches.key.between_poles_V", "100"},
	},
	{
		name: "a disconnect that closes on capacitors", vehicle: "heron", key: "disconnect-make-low/isolator",
		wrong: []string{"disconnects.isolator.make_A", "600", "busbars.b_plus_contactor.to", `"main_contactor.b"`},
		says:  []string{"or use a disconnect with make_A of at least 2355"},
		done:  []string{"busbars.b_plus_contactor.to", `"main_contactor.a"`, "disconnects.isolator.make_A", "2355"},
	},
	{
		name: "a disconnect's breaking capacity for the policy", vehicle: "heron", key: "disconnect-break-low/isolator",
		wrong: []string{"policy.required.disconnect-break-low", "1.5", "disconnects.isolator.break", `[{"V": 120, "A": 150}]`},
		says:  []string{"a breaking capacity of at least 167 A at 85 V DC"},
		done:  []string{"disconnects.isolator.break", `[{"V": 85, "A": 167}]`},
	},
	{
		name: "no pre-charge", vehicle: "mole", key: "precharge-missing/drive",
		wrong: []string{"wires.w_soft_in", "", "wires.w_soft_out", "", "resistors.soft", ""},
		says:  []string{"such as 59 Ohm rated at least 58 W continuous and 3.8 J in a pulse, and set closes_after_s of main_contactor to at least 0.4"},
		done: []string{"resistors.soft", `{"role": "precharge", "permanent": true, "resistance_Ohm": 59, "power_W": 58, "pulse_J": 12, "max_V": 200, "source": "sheet RP-9"}`,
			"wires.w_soft_in", `{"from": "main_contactor.a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.06, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.w_soft_out", `{"from": "soft.b", "to": "main_contactor.b", "size": "2.5 mm2", "length_m": 0.06, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"contactors.main_contactor.closes_after_s", "0.4"},
	},
}

// lampAcrossKey is a pilot lamp across the key of mole.
var lampAcrossKey = []string{
	"loads.pilot", `{"kind": "filament", "power_W": 10, "at_V": 48}`,
	"wires.p1", `{"from": "key.drive_a", "to": "pilot.pos", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`,
	"wires.p2", `{"from": "pilot.neg", "to": "key.drive_b", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`,
	"modes.ready.on", `["pilot"]`,
}
