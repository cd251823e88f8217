package catalogue_test

import (
	"slices"
	"strings"
)

// argument says why a finding beside the expected one is true, where the oracle
// has no expectation for it or leaves it open. It holds for a class of mistakes,
// never for one that happened to be drawn.
type argument struct {
	kind   string // of the mutation; "" for any that expects the rule
	rule   string // that the mutation expects
	extra  string // the rules of the other findings
	reason string
}

func arguments() []argument {
	return []argument{
		{"", "circuit-unsolved", "circuit-unsolved", "the value spoils every mode in which the converter runs, not only the one named"},
		{"", "contact-chatters", "contact-chatters", "the main contactor's coil is fed by the same buzzing contact"},
		{"", "disconnect-make-low", "coil-pull-in-low", "with the bar on the far side the coil's own feed comes from behind the open contact"},
		{"", "disconnect-make-low", "precharge-missing", "with the contactor bridged nothing but the isolator closes on the capacitors"},
		{"", "disconnect-leaves-live", "disconnect-make-low", "a coil fed from before the isolator has closed the contactor before the isolator closes"},
		{"an isolator that suits the modes but not the controller", "fuse-above-contact-rating", "controller-above-battery", "the greater continuous limit is more than the pack is rated for as well"},
		{"a load that no mode turns on", "part-unused", "load-voltage-low", "beside what its own mode leaves off, a flat battery gives it too little"},
		{"a stray return", "return-path-second", "networks-joined", "the stray return runs over metalwork that is declared isolated"},
		{"", "contactor-not-keyed", "emergency-stop-indirect", "the wire leads past the emergency stop as well as the key"},
		{"", "contactor-not-keyed", "precharge-stalls", "the wire feeds the logic supply with the key off, which returns through the pre-charge resistor in the negative side"},
		{"", "contactor-carry-low", "contactor-short-time-low", "beyond the last point of the short-time table the contact is held to its carrying current"},
		{"", "supply-collapses", "fuse-far-fault-slow", "a pack of several times the resistance drives too little current through any fuse"},
		{"", "networks-joined", "fuse-above-ampacity", "fuses and sources of either network feed what the stray joins"},
		{"", "converter-input-low", "load-drop-high", "with the converter off the battery alone feeds the lamp, from farther away"},
		{"a smaller switch", "pole-carry-low", "pole-load-kind-low", "the share for coils goes with the smaller current of the pole"},
		{"a key or switch smaller than the fuse", "fuse-above-contact-rating", "pole-load-kind-low", "the share for coils goes with the smaller current of the pole"},
		{"", "converter-not-isolated", "fuse-above-ampacity", "without isolation the fuses and sources of both networks feed their common negative"},
		{"a second feed behind the key", "key-off-backfeed", "contactor-not-keyed", "the wire across the pole feeds the coil with the key off"},
		{"", "contactor-not-keyed", "key-off-backfeed", "the wire that feeds the coil past the key also feeds what is on the key's load side"},
		{"the enable input on the negative", "converter-never-runs", "critical-load-single-fuse", "without the converter every critical consumer is fed through the fuse of the auxiliary battery"},
		{"no auxiliary battery", "critical-load-single-fuse", "critical-load-single-fuse", "the main fuse stands in the converter's only feed as well"},
		{"a wire across the contactor", "contactor-bypassed", "fuse-above-ampacity fuse-slower-than-damage fuse-withstand-short", "the wire is in the path of the controller, and carries less than the main fuse lets through"},
		{"a second pack beside the first", "battery-parallel-inrush", "fuse-above-ampacity", "what lies behind both packs' fuses is kept to the sum of the two"},
		{"a second pack of fewer cells", "battery-parallel-mismatch", "fuse-above-ampacity", "what lies behind both packs' fuses is kept to the sum of the two"},
		{"a second pack of fewer cells", "battery-parallel-mismatch", "charger-voltage-high", "the charger of the first pack charges the second beyond its end as well"},
		{"a meter of weak isolation on the positive side", "meter-isolation-low", "precharge-stalls", "the meter's own current returns through the pre-charge resistor: 20 mA over 470 Ohm are 9 V"},
		{"", "spare-in-use", "disconnect-missing", "an isolator that is only carried separates nothing"},
		{"", "conductor-drop-high", "fuse-far-fault-slow", "what drops too much in use also holds a short circuit down, in the whole loop"},
		{"a slipped decimal point", "value-unlikely", "fuse-withstand-short", "a contact or fuse of a thousandth of its rating has a thousand times the resistance and holds every short circuit down"},
		{"a slipped decimal point", "value-unlikely", "load-drop-high", "the fuse's resistance takes the converter's input away, and the battery alone feeds the lamp"},
		{"a fuse of much let-through energy", "contactor-welds-on-short", "ratings-contradict", "only the stated integral was raised, so it no longer fits the end of the curve"},
		{"a much longer run", "fuse-far-fault-slow", "value-unlikely", "a run of more than 30 m is unusual in a small vehicle"},
		{"a longer run to the controller", "conductor-drop-high", "value-unlikely", "a run of more than 30 m is unusual in a small vehicle"},
		{"a resistor that cools slowly", "precharge-attempts-hot", "value-unlikely", "so small a power is outside what is on sale"},
		{"a resistor for smaller pulses", "precharge-pulse-high", "value-unlikely", "so small a pulse does not fit the resistor's power"},
		{"a stud of a smaller rating", "stud-overloaded", "value-unlikely", "so small a rating is outside what is on sale"},
		{"a thin and long bar", "busbar-overloaded", "value-unlikely", "so thin a bar is outside what is on sale"},
		{"a diode of a low voltage across a coil", "diode-voltage-low", "suppression-slow", "a plain diode across the coil of a large contactor slows its release"},
		{"", "coil-never-off", "contactor-not-keyed", "what nothing switches the key does not switch either"},
		{"", "coil-never-off", "disconnect-make-low", "a coil fed from before the isolator has closed the contactor before the isolator closes"},
		{"the curve of a larger link", "fuse-curve-unlike-rating", "fuse-slower-than-damage", "by a slower curve the conductors behind the fuse are protected too late; bars the oracle leaves open"},
		{"a fuse in the return", "fuse-in-earthed-pole", "fuse-far-fault-slow", "a small fuse in the return holds the short circuit to what is before it down; the oracle takes another way back"},
		{"", "fuse-above-ampacity", "vital-data-missing", "where its rating is no longer enough for the conductor, the curve of a fuse is needed"},
		{"", "fuses-in-parallel", "parallel-pack-unfused", "two fuses in parallel are not one that opens the pack's way"},
		{"a pack without its fuse", "parallel-pack-unfused", "fuse-slower-than-damage fuse-withstand-short", "what is behind both packs' fuses is fed past one of them"},
		{"", "string-tapped", "disconnect-leaves-live", "the lamp is connected to the batteries themselves, before the isolator"},
		{"", "emergency-stop-indirect", "contactor-bypassed", "the wire that feeds the controller past the emergency stop leads round the contactor"},
		{"a converter that no charge of the pack reaches", "converter-input-low", "critical-load-single-fuse", "without the converter every critical consumer is fed through the fuse of the auxiliary battery"},
		{"the output lead straight on the battery", "backfeed-unfused", "critical-load-single-fuse", "the converter then feeds the house through the fuse of the auxiliary battery as well"},
		{"a controller of a higher battery-side limit", "fuse-opens-in-use", "vital-data-missing", "above their continuous ratings, contacts need rated short-time currents"},
		{"a controller of a much higher limit", "battery-cutoff-trips", "vital-data-missing", "above their continuous ratings, contacts need rated short-time currents"},
		{"an isolator that suits the modes but not the controller", "fuse-above-contact-rating", "vital-data-missing", "above their continuous ratings, contacts need rated short-time currents"},
		{"a motor that stalls at more, with a fuse to suit", "fuse-above-contact-rating", "vital-data-missing", "the class of the larger fuse has no published curve"},
		{"a smaller link before the converter", "converter-input-overloaded", "vital-data-missing", "the class of the smaller fuse has no published curve"},
		{"a slipped decimal point", "value-unlikely", "vital-data-missing", "with so small a rating the curve of the fuse, which the slip leaves out, is needed"},
		{"a thin and long bar", "busbar-overloaded", "load-voltage-low", "what the bar drops is missing at the lamps with a flat battery"},
		{"a pilot lamp's resistor across the key", "coil-self-holding", "precharge-incomplete", "in the negative side the logic supply, fed by the resistor with the key off, returns through the pre-charge resistor and keeps the capacitors below the pack"},
		{"a plug in the place of the isolator", "plug-inrush-high", "disconnect-missing", "a plug without a breaking capacity is no disconnect"},
		{"a colder winter", "battery-charge-cold", "supply-collapses", "the colder pack has the greater resistance"},
		{"a colder winter", "battery-charge-cold", "battery-charge-cold", "the auxiliary battery is as cold as the pack"},
		{"a charger of a higher voltage", "fuse-voltage-low", "fuse-overloaded", "the pre-charge takes three times the current at three times the voltage"},
		{"brighter lamps", "battery-reserve-short", "coil-pull-in-low", "the lamps draw the flat auxiliary battery down, which feeds the coil"},
		{"", "spare-in-use", "controller-undervoltage load-drop-high", "what is only carried feeds nothing behind it; the auxiliary battery then feeds the lamps from farther away"},
		{"integrals of another link", "ratings-contradict", "vital-data-missing", "integrals that do not fit the curve leave the fuse without one"},
		{"a smaller switch", "pole-carry-low", "vital-data-missing", "behind a pole of so small a rating the curve of the key's fuse is needed"},
		{"a key or switch smaller than the fuse", "fuse-above-contact-rating", "vital-data-missing", "behind a pole of so small a rating the curve of the key's fuse is needed"},
		{"a heavier load", "controller-current-high", "vital-data-missing", "above what a conductor carries for ever it matters how long the mode lasts"},
		{"a thinner wire", "conductor-overloaded", "vital-data-missing", "where its rating is no longer enough for the conductor, the curve of a fuse is needed"},
		{"a larger link in the old holder", "fuse-holder-overloaded", "vital-data-missing", "the class of the larger fuse has no published curve"},
		{"a worn-out pack", "controller-undervoltage", "load-voltage-low", "a lamp behind a resistor on the pack sags with it"},
		{"a worn-out pack", "supply-collapses", "load-voltage-low", "a lamp behind a resistor on the pack sags with it"},
		{"a smaller pack", "battery-overloaded", "controller-above-battery", "the controller may draw continuously what the smaller pack is not rated for"},
		{"a resistor of less Ohm", "precharge-short-burns", "fuse-overloaded", "the pre-charge takes more current through its own fuse"},
		{"a pack of more cells", "controller-voltage-high", "resistor-overloaded precharge-short-burns", "what a resistor turns into heat goes with the square of the voltage"},
		{"the two terminals of a part swapped", "polarity-reversed", "vital-data-missing", "what the reversed input passes asks for the curve of its fuse"},
		{"a wire across the battery", "battery-shorted", "vital-data-missing", "at what is left of a shorted pack the fuse of a converter opens by a curve that is not given"},
		{"", "load-drop-high", "load-voltage-low", "what drops too much leaves too little at the consumer with a flat battery"},
		{"thin bars close together", "busbar-force-high", "fuse-above-ampacity", "the thinner bar carries less than its fuse as well"},
		{"a thinner cable to a distant controller", "conductor-drop-high", "supply-collapses", "the cable adds to the resistance that the pack has in the cold"},
		{"a thinner wire", "conductor-overloaded", "supply-collapses", "the wire adds to the resistance that the pack has in the cold"},
		{"", "suppression-reversed", "fuse-above-contact-rating", "the current of the reversed diode passes the contact of the timer that feeds the coil"},
		{"a smaller auxiliary battery", "battery-reserve-short", "value-unlikely", "the continuous current no longer fits the capacity"},
	}
}

// argued looks an argument up.
func argued(kind, rule, extra string) (string, bool) {
	for _, a := range slices.Concat(arguments(), consequences()) {
		if (a.kind == "" || a.kind == kind) && a.rule == rule && slices.Contains(strings.Fields(a.extra), extra) {
			return extra + " beside " + rule + " (" + kind + "): " + a.reason, true
		}
	}
	return "", false
}
