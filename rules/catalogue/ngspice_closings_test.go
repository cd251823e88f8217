package catalogue_test

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/ngspice"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

var simulate = flag.Bool("ngspice", false, "hold what the rules say of closing contacts against runs of the simulator ngspice, which must be there")

// What a rule and the simulator may differ by where both have the same resistance,
// inductance and capacitance: the rules' is one series circuit in closed form, the
// simulator's the whole vehicle in steps of time.
const (
	agreesPeak   = 0.002 // of a peak of current
	agreesPacks  = 0.01  // the same of packs in parallel, whose leads are not quite alike, on the safe side
	agreesRing   = 0.002 // of a swing's voltage, of which the battery's is most
	agreesLeft   = 0.01  // of what is left across the contact, which after a person's wait the rules take for the key's closing
	bearsOthers  = 0.02  // by which a peak may be higher with other capacitors beside: a converter's, which have a rule of their own
	agreesHeat   = 0.01
	agreesSettle = 0.001
)

// Inductance by common practice, as the engineering text has it: 1 uH per metre of the
// pair of cables for a peak of current and nothing for the parts; 2 uH and 1 uH for parts
// for a swing's voltage. A metre of the pair is two of conductor.
const (
	usualHenryPerM = 0.5e-6
	mostHenryPerM  = 1e-6
	mostHenryParts = 1e-6
)

// The longest that a contactor of which nothing is declared takes to close (common practice).
const slowestContactorS = 0.050

// Every closing that a rule reports of a sound vehicle or the fleet, as the simulator has
// it: from the text of the vehicle, element by element. A report for which there is no run
// fails, so that no figure is left out.
func TestNgspiceClosings(t *testing.T) {
	if !*simulate {
		t.Skip("needs the ngspice simulator: -ngspice runs it, as .ci/run does")
	}
	worst := deviations{}
	for _, path := range ruletest.Sound(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			spec := ruletest.Load(t, path)
			v := vehicleOnBench{t: t, spec: spec, worst: &worst}
			for _, r := range ruletest.Run(t, spec, closingRules()) {
				v.hold(r)
			}
		})
	}
	t.Cleanup(func() { worst.log(t) })
}

// The plug of a battery that is joined to a controller, the example of its rule.
func TestNgspicePlug(t *testing.T) {
	if !*simulate {
		t.Skip("needs the ngspice simulator: -ngspice runs it, as .ci/run does")
	}
	rule := catalogue.Find("plug-inrush-high")
	spec := ruletest.Edited(t, rule.Example.Vehicle, rule.Example.Edits)
	for _, r := range ruletest.Run(t, spec, []*rules.Rule{rule}) {
		if r.Subject != rule.Example.Subject {
			continue
		}
		b := bench{spec: spec, henryPerM: usualHenryPerM, at: map[string]float64{r.Subject: 0}, open: opened(spec), only: []string{"drive"}}
		s := b.swing()
		m := b.run(t, 30*s, 6000, measured{"peak", "abs(i(v_made_" + r.Subject + "))", "max %s"}, measured{"end", across("drive.pos", "drive.neg"), "find %s at=" + fmt.Sprint(29*s)})
		within(t, "energy behind the plug, J", r.Demand.Value, 0.5*spec.Controllers["drive"].CapacitanceUF.Value/1e6*m["end"]*m["end"], agreesHeat, 0)
		said := r.Message[strings.Index(r.Message, "first peak of ")+len("first peak of "):]
		var peak float64
		if _, err := fmt.Sscanf(said, "%f A", &peak); err != nil {
			t.Fatalf("%q: %v", r.Message, err)
		}
		within(t, "peak through the plug, A", peak, m["peak"], agreesPeak, 0)
		t.Logf("%.4g A by the rule, %.4g A by the simulator", peak, m["peak"])
	}
}

// closingRules are the rules that say something in figures of a closing contact or of
// the pre-charge before it.
func closingRules() (list []*rules.Rule) {
	for _, id := range []string{"contactor-make-low", "disconnect-make-low", "pole-make-low", "converter-inrush-high", "precharge-missing", "precharge-delay-unmade",
		"plug-inrush-high", "capacitors-ring-high", "precharge-pulse-high", "precharge-incomplete", "precharge-stalls", "battery-parallel-inrush"} {
		list = append(list, catalogue.Find(id))
	}
	return list
}

// vehicleOnBench holds what is reported of a vehicle against the simulator.
type vehicleOnBench struct {
	t     *testing.T
	spec  *schema.Spec
	worst *deviations
	left  map[string]float64 // by contactor, V, as the simulator has it
}

// hold runs what a result reports, and compares. What a result says without a figure is
// not its business, nor what a contact closes on beside capacitors.
func (v *vehicleOnBench) hold(r rules.Result) {
	v.t.Helper()
	peak, peaks := last(r, "I_p")
	switch r.Rule {
	case "contactor-make-low":
		through, resisted := last(r, "I_0")
		switch k := v.spec.Contactors[r.Subject]; {
		case peaks && k != nil:
			left := v.leftAt(r.Subject)
			said, _ := last(r, "dV")
			v.compare(r, "left across the contact, V", said, left, agreesLeft, 1e-4*v.fullV())
			v.peak(r, peak, r.Subject, v.controller(), said)
		case resisted:
			v.throughResistor(r, through)
		case peaks:
			v.t.Errorf("%s %s: no run for it", r.Rule, r.Subject)
		}
	case "precharge-delay-unmade":
		if peaks {
			v.peak(r, peak, r.Subject, v.controller(), v.fullV())
		}
	case "disconnect-make-low":
		if peaks {
			v.peak(r, peak, r.Subject, named(r, v.spec.Controllers), v.fullV())
		}
	case "converter-inrush-high":
		if peaks {
			v.peak(r, peak, named(r, v.spec.Disconnects), r.Subject, v.fullV())
		}
	case "precharge-missing", "pole-make-low", "plug-inrush-high":
		if peaks {
			v.t.Errorf("%s %s: no run for it", r.Rule, r.Subject)
		}
	case "capacitors-ring-high":
		v.ring(r)
	case "precharge-incomplete":
		said, _ := last(r, "dV")
		v.compare(r, "left across the contact, V", said, v.leftAt(r.Subject), agreesLeft, 1e-4*v.fullV())
	case "precharge-pulse-high":
		v.heat(r)
	case "precharge-stalls":
		settled := v.precharge(v.contactorOf(), 60, 1, false, measured{"end", "abs(" + across(v.controller()+".pos", v.controller()+".neg") + ")", "find %s at=59"})["end"]
		v.compare(r, "voltage on which capacitors settle, V", r.Capability.Value, settled, agreesSettle, 0)
	case "battery-parallel-inrush":
		v.joined(r)
	}
}

// peak compares the first peak of the current through a contact that closes on the
// capacitors of a part, which lack a voltage: those alone, and roughly with all others of
// the vehicle beside them, those on the battery's side full.
func (v *vehicleOnBench) peak(r rules.Result, said float64, contact, part string, lacks float64) {
	v.t.Helper()
	alone, _ := v.closing(contact, part, lacks, usualHenryPerM, 0, []string{part})
	share := agreesPeak
	if len(v.spec.Batteries) > 1 && !v.series() && said > alone {
		share = agreesPacks
	}
	v.compare(r, "first peak, A", said, alone, share, 0)
	if len(v.spec.Converters) == 0 {
		return
	}
	all, _ := v.closing(contact, part, lacks, usualHenryPerM, 0, nil)
	if said < all*(1-bearsOthers) {
		v.t.Errorf("%s: the rule says %.6g A, the simulator %.6g A with all other capacitors beside", r.Key(), said, all)
	}
	v.worst.note("first peak with all other capacitors beside, A", v.spec.Vehicle.Name+" "+r.Key(), said/all-1)
}

// closing is the first peak in A through a contact that closes on the capacitors of a
// part which lack a voltage, and the highest voltage of these then.
func (v *vehicleOnBench) closing(contact, part string, lacks, henryPerM, henryParts float64, only []string) (a, volt float64) {
	v.t.Helper()
	b := bench{spec: v.spec, henryPerM: henryPerM, henryParts: henryParts, only: only, at: map[string]float64{contact: 0}}
	for _, id := range opened(v.spec) {
		// With the key left on the contactors are closed before a disconnect; it reaches a
		// controller only so. A converter is on the battery's side of them.
		if v.spec.Contactors[id] == nil || v.spec.Disconnects[contact] == nil || v.spec.Controllers[part] == nil {
			b.open = append(b.open, id)
		}
	}
	b.open = slices.DeleteFunc(b.open, func(id string) bool { return id == contact })
	b.charged = map[string]float64{part: v.fullV() - lacks}
	if v.spec.Contactors[contact] != nil {
		for id := range v.spec.Converters {
			if id != part {
				b.charged[id] = v.fullV()
			}
		}
	}
	s := b.swing()
	m := b.run(v.t, 4*s, 1500, measured{"peak", "abs(i(v_made_" + ngspice.Node(contact) + "))", "max %s"}, measured{"ring", across(pins(v.spec, part)), "max %s"})
	return m["peak"], m["ring"]
}

// ring compares how high the capacitors of a part swing.
func (v *vehicleOnBench) ring(r rules.Result) {
	v.t.Helper()
	said, ok := last(r, "V_pk")
	if !ok {
		return
	}
	contact, lacks := named(r, v.spec.Contactors), v.fullV()
	if contact != "" {
		lacks = v.leftAt(contact)
	} else {
		contact = named(r, v.spec.Disconnects)
	}
	_, volt := v.closing(contact, r.Subject, lacks, mostHenryPerM, mostHenryParts, []string{r.Subject})
	v.compare(r, "highest voltage, V", said, volt, agreesRing, 0)
}

// throughResistor compares what the relay of a pre-charge closes on: nothing but the
// resistor limits it.
func (v *vehicleOnBench) throughResistor(r rules.Result, said float64) {
	v.t.Helper()
	b := bench{spec: v.spec, henryPerM: usualHenryPerM, open: opened(v.spec), at: map[string]float64{r.Subject: 0}, only: []string{v.controller()}}
	b.open = slices.DeleteFunc(b.open, func(id string) bool { return id == r.Subject })
	m := b.run(v.t, 2e-3, 500, measured{"peak", "abs(i(v_made_" + r.Subject + "))", "max %s"})
	v.compare(r, "first current through the resistor, A", said, m["peak"], agreesPeak, 0)
}

// heat compares the heat in the pre-charge resistor until the contactor closes.
func (v *vehicleOnBench) heat(r rules.Result) {
	v.t.Helper()
	k, res := v.contactorOf(), v.spec.Resistors[r.Subject]
	forS, _, _ := v.delay(k)
	if !v.spec.Controllers[v.controller()].BleedKOhm.Known {
		forS = 30 * res.ResistanceOhm * v.spec.Controllers[v.controller()].CapacitanceUF.Value / 1e6 // a whole charge
	}
	m := v.precharge(k, forS, 1, false, measured{"joule", fmt.Sprintf("%.9g*i(v_in_%s)*i(v_in_%s)", res.ResistanceOhm, res.ID, res.ID), "integ %s"})
	v.compare(r, "heat of one pre-charge, J", r.Demand.Value, m["joule"], agreesHeat, 0)
}

// joined compares what a full pack drives into another one when they are joined.
func (v *vehicleOnBench) joined(r rules.Result) {
	v.t.Helper()
	low := v.spec.Batteries[named(r, v.spec.Batteries)]
	if low == nil || !low.ConnectWithinV.Known {
		v.t.Errorf("%s %s: no run for it", r.Rule, r.Subject)
		return
	}
	b := bench{spec: v.spec, open: opened(v.spec), volts: map[string]float64{low.ID: low.MaxV - low.ConnectWithinV.Value}}
	m := b.run(v.t, 1e-3, 100, measured{"end", "abs(i(v_" + low.ID + "))", "find %s at=0.9e-3"})
	v.compare(r, "current between packs, A", r.Demand.Value, m["end"], agreesPacks, 0)
}

// precharge is a run from empty capacitors with a contactor open, in s, resistor and
// capacitors being off by factors. Keyed, what the key turns on, logic and coil,
// is on from when a person has waited for as long as the text says.
func (v *vehicleOnBench) precharge(contactor string, forS, off float64, keyed bool, wanted ...measured) ngspice.Printed {
	v.t.Helper()
	b := bench{spec: v.spec, ohms: 1, farads: 1, open: []string{contactor}, at: map[string]float64{}}
	if off != 1 {
		b.ohms, b.farads = 1.05, 1.20 // 5 % and 20 %, common practice
	}
	wait, _, hand := v.delay(contactor)
	hand = hand && keyed
	for id := range v.spec.Contactors {
		if id != contactor {
			b.open = append(b.open, id)
		}
	}
	for id, sw := range v.spec.Switches {
		if hand && sw.Role == "key" && forS > wait {
			b.at[id] = wait
		} else {
			b.open = append(b.open, id)
		}
	}
	for id := range v.spec.Relays {
		if hand && forS > wait && !v.besideResistor(id) {
			b.at[id] = wait
		} else if !v.besideResistor(id) {
			b.open = append(b.open, id)
		}
	}
	for id, x := range v.spec.Controllers {
		b.elements = append(b.elements, fmt.Sprintf("b_logic_%s %s_enable %s_neg i = %.9g*max(0,min(1,v(%s_enable,%s_neg)/10))", id, id, id, x.EnableMA.Or(0)/1000, id, id))
	}
	k := v.spec.Contactors[contactor]
	b.elements = append(b.elements, fmt.Sprintf("r_coil %s_coil_pos %s_coil_neg %.9g", contactor, contactor, k.Coil.ResistanceOhm.Or(1e6)))
	return b.run(v.t, forS, 1000, wanted...)
}

// leftAt is what is left across a contactor in V when it closes, as the simulator has it.
func (v *vehicleOnBench) leftAt(contactor string) float64 {
	v.t.Helper()
	if left, known := v.left[contactor]; known {
		return left
	}
	forS, off, hand := v.delay(contactor)
	if hand {
		forS += slowestContactorS // from the key to the contact
	}
	left := v.precharge(contactor, forS*1.0001, off, true, measured{"left", "abs(" + across(contactor+".a", contactor+".b") + ")", fmt.Sprintf("find %%s at=%.9g", forS)})["left"]
	if v.left == nil {
		v.left = map[string]float64{}
	}
	v.left[contactor] = left
	return left
}

// delay is how long a contactor waits in s, as its text says: a timer to the lower end of
// its tolerance, with resistor and capacitors off by 1.05 and 1.20, or as a person or a
// controller waits, by nominal values.
func (v *vehicleOnBench) delay(contactor string) (s, off float64, hand bool) {
	k := v.spec.Contactors[contactor]
	if k.Closes != nil && k.Closes.By == "timer" {
		timer := v.spec.Timers[k.Closes.Device]
		return timer.SetS * (1 - timer.TolerancePercent.Or(20)/100), 1.05 * 1.20, false
	}
	for _, w := range v.spec.Wires {
		if w.From == contactor+".coil_neg" && strings.HasSuffix(w.To, ".coil_out") {
			return k.ClosesAfterS.Value, 1, false
		}
	}
	return k.ClosesAfterS.Value, 1, true
}

// besideResistor reports whether a relay's contact is wired to a pre-charge resistor.
func (v *vehicleOnBench) besideResistor(relay string) bool {
	for _, w := range v.spec.Wires {
		for _, ends := range [][2]string{{w.From, w.To}, {w.To, w.From}} {
			part, _, _ := strings.Cut(ends[1], ".")
			if res := v.spec.Resistors[part]; strings.HasPrefix(ends[0], relay+".") && res != nil && res.Role == "precharge" {
				return true
			}
		}
	}
	return false
}

// contactorOf is the contactor that has a pre-charge: the sound vehicles have one.
func (v *vehicleOnBench) contactorOf() string { return "main_contactor" }

// controller is the one that it connects: the sound vehicles have one.
func (v *vehicleOnBench) controller() string {
	return slices.Sorted(maps.Keys(v.spec.Controllers))[0]
}

// fullV is the voltage of the full traction battery.
func (v *vehicleOnBench) fullV() (volt float64) {
	for _, b := range v.spec.Batteries {
		if b.Role == "traction" && v.series() {
			volt += b.MaxV
		} else if b.Role == "traction" {
			volt = max(volt, b.MaxV)
		}
	}
	return volt
}

// series reports whether a wire links batteries from pole to opposite pole.
func (v *vehicleOnBench) series() bool {
	for _, w := range v.spec.Wires {
		if from, ok := strings.CutSuffix(w.From, ".neg"); ok && v.spec.Batteries[from] != nil && strings.HasSuffix(w.To, ".pos") {
			to := strings.TrimSuffix(w.To, ".pos")
			if v.spec.Batteries[to] != nil {
				return true
			}
		}
	}
	return false
}

func (v *vehicleOnBench) compare(r rules.Result, what string, said, simulated, share, floor float64) {
	v.t.Helper()
	within(v.t, r.Key()+": "+what, said, simulated, share, floor)
	v.worst.note(what, v.spec.Vehicle.Name+" "+r.Key(), said/simulated-1)
}

// opened lists what is open before anything closes: contactors, relays and switches.
func opened(spec *schema.Spec) (ids []string) {
	for _, list := range [][]string{slices.Collect(maps.Keys(spec.Contactors)), slices.Collect(maps.Keys(spec.Relays)), slices.Collect(maps.Keys(spec.Switches))} {
		ids = append(ids, list...)
	}
	slices.Sort(ids)
	return ids
}

// pins are the terminals of a part's capacitors.
func pins(spec *schema.Spec, part string) (pos, neg string) {
	if spec.Converters[part] != nil {
		return part + ".in_pos", part + ".in_neg"
	}
	return part + ".pos", part + ".neg"
}

// last is the last step of a working with a symbol.
func last(r rules.Result, symbol string) (value float64, ok bool) {
	for _, s := range r.Working {
		if s.Symbol == symbol {
			value, ok = s.Value, true
		}
	}
	return value, ok
}

// named is the one of some parts that a result's message names beside its subject; "" if
// it names none.
func named[P any](r rules.Result, parts map[string]P) string {
	for _, word := range strings.FieldsFunc(r.Message, func(c rune) bool { return c == ' ' || c == ':' || c == ',' || c == ';' }) {
		if _, ok := parts[word]; ok && word != r.Subject {
			return word
		}
	}
	return ""
}

func within(t *testing.T, what string, said, simulated, share, floor float64) {
	t.Helper()
	if !(math.Abs(said-simulated) <= max(share*math.Abs(simulated), floor)) {
		t.Errorf("%s: the rule says %.6g, the simulator %.6g (%+.2f %%)", what, said, simulated, 100*(said/simulated-1))
	}
}
