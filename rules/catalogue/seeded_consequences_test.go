package catalogue_test

// consequences are further arguments: for mistakes that spoil a whole circuit, for
// places that the oracle leaves out, and for faults that come with another.
func consequences() []argument {
	const (
		asMuch     = "beyond the last point of the short-time table the contact is held to its carrying current"
		outside    = "the oracle knows the fuse of a wire in the positive side; returns, links of a string and sense leads it leaves open or gives another"
		everywhere = "the current of the mistake flows through all that is in series with it"
		logic      = "the wire feeds the logic supply with the key off, which returns through the pre-charge resistor in the negative side"
		standstill = "a part without one of its wires does not work, and what it feeds stands still or lives off something else"
	)
	return []argument{
		// What the oracle leaves out.
		{"a larger link", "fuse-above-ampacity", "fuse-above-ampacity fuse-withstand-short", outside},
		{"a larger link in the old holder", "fuse-holder-overloaded", "fuse-above-ampacity", outside},
		{"a link for the motor's current", "fuse-controller-mismatch", "fuse-withstand-short", "the oracle has no curve of a gG link"},
		{"", "conductor-peak-hot", "fuse-above-ampacity", outside},
		{"", "conductor-drop-high", "fuse-above-ampacity", outside},
		{"", "busbar-peak-hot", "fuse-above-ampacity", outside},
		{"a worn-out pack", "controller-undervoltage", "fuse-far-fault-slow", outside},
		{"a tap below the battery with the fuse inside", "conductor-unprotected", "fuse-slower-than-damage fuse-withstand-short", outside},
		{"a pack of less resistance", "fuse-breaking-low", "fuse-breaking-low", "the oracle knows the short circuit behind a fuse in the positive side alone"},
		{"all returns on one stud", "stud-crowded", "fuse-above-ampacity fuse-far-fault-slow", "a return that carries more branches belongs to the loops of their larger fuses; the oracle takes the largest before and after"},
		{"a main fuse left out", "conductor-unprotected", "fuse-slower-than-damage fuse-withstand-short", "what is behind both packs' fuses is fed past one of them"},
		{"a feed from before the isolator", "disconnect-leaves-live", "disconnect-leaves-live", "with the converter live its consumers are; the oracle leaves the 12 V network out, which may have a battery"},
		// What comes with the mistake.
		{"a coil of another voltage", "coil-nominal-mismatch", "contactor-make-low", "a coil for a lower voltage pulls in before the capacitors are charged"},
		{"a contactor bridged by a bar", "disconnect-make-low", "emergency-stop-indirect", "the bar takes the contactor, by which the emergency stop acts, out of the circuit"},
		{"a contactor smaller than the fuse", "fuse-above-contact-rating", "contactor-short-time-low", asMuch},
		{"a smaller isolator", "disconnect-carry-low", "disconnect-short-time-low", asMuch},
		{"a longer run to the consumer", "load-drop-high", "value-unlikely", "a run of more than 30 m is unusual in a small vehicle"},
		{"a part in use marked as a spare", "spare-in-use", "precharge-missing", "without the contactor nothing but the isolator closes on the capacitors"},
		{"a resistor of less Ohm", "precharge-short-burns", "return-path-second", "so small a resistor passes more than 1 A round the open contact"},
		{"a second feed behind the key", "key-off-backfeed", "enable-not-keyed", "the wire across the pole feeds the enable input as well"},
		{"a second feed behind the key", "key-off-backfeed", "precharge-stalls", logic},
		{"", "enable-not-keyed", "precharge-stalls", logic},
		{"a diode of a low voltage across a coil", "diode-voltage-low", "fuse-above-ampacity", "the leads of the diode are thinner than the fuse of the branch asks for"},
		{"a small diode in the feed of a coil", "diode-overloaded", "fuse-far-fault-slow", "the resistance of so small a diode holds the short circuit behind it down"},
		{"", "converter-never-runs", "load-drop-high", "with the converter off the battery alone feeds the lamp, from farther away"},
		// What spoils a whole circuit.
		{"a slipped decimal point", "value-unlikely", "contact-chatters fuse-below-breaking-minimum fuse-far-fault-slow", "a thousand times the resistance of the pack makes every voltage and every fault current another one"},
		{"", "suppression-reversed", "converter-input-overloaded fuse-slower-than-damage fuse-withstand-short", everywhere},
		{"", "battery-shorted", "key-off-backfeed", everywhere},
		{"a wire left out", "terminal-unconnected", "converter-never-runs critical-load-single-fuse load-drop-high", standstill},
		{"a wire left out", "terminal-unconnected", "terminal-unconnected", "the wire had two ends"},
		{"no pre-charge", "precharge-missing", "terminal-unconnected", "the wires of the resistor leave the relay before it without one"},
	}
}

// defect is what a rule is known to say wrongly and is not mended yet.
type defect struct {
	vehicle string // "" for any
	rule    string // that the mutation expects
	extra   string // the rules that find something else; "" if the fault is missed
	reason  string
}

// defects lists what is to be mended. An entry that nothing calls for any more
// fails the test as an argument does.
func defects() []defect {
	return []defect{}
}

// knownDefect looks a defect up; extra is "" for a miss.
func knownDefect(vehicle, rule, extra string) (string, bool) {
	for _, d := range defects() {
		if (d.vehicle == "" || d.vehicle == vehicle) && d.rule == rule && d.extra == extra {
			return d.key(), true
		}
	}
	return "", false
}

func (d defect) key() string {
	if d.extra == "" {
		return "no " + d.rule + " (" + d.vehicle + "): " + d.reason
	}
	return d.extra + " beside " + d.rule + " (" + d.vehicle + "): " + d.reason
}
