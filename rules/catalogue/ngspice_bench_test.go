package catalogue_test

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/ngspice"
	"example.org/headroom/rules/internal/repository"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// bench writes the power circuit of a vehicle as a deck for the simulator, from the text
// of the vehicle alone: every conductor, fuse, shunt, resistor and capacitor by itself and
// where the file has it. It looks for no way and sums up no loop, as the rules do.
type bench struct {
	spec *schema.Spec

	// Inductance, H: of a metre of each conductor, and of battery, fuse and contacts
	// together, which the contact that closes has. None of both is a run without inductance.
	henryPerM, henryParts float64

	open    []string           // contacts that stay open, as part or part.pole
	at      map[string]float64 // when others close, plugs of batteries too, s; what is in neither is closed before
	charged map[string]float64 // voltages at the beginning by part, V; the others are empty
	only    []string           // whose capacitors there are, nil for all
	volts   map[string]float64 // of batteries that are not full

	ohms, farads float64 // how far pre-charge resistors and capacitors are off, 1 for not at all

	elements []string // more of them
	made     []element
}

// element is what there is between two nodes, as lines of a deck.
type element struct {
	from, to string
	lines    []string
}

// The conductors of the vehicles, Ohm/km at 20 C: IEC 60228:2004 table 3, class 5, plain
// wires, as in testdata/circuits/laws.inc, and its sizes above 95 mm2 and below 0.75 mm2.
var ohmPerKm = map[string]float64{"0.5 mm2": 39.0, "0.75 mm2": 26.0, "1 mm2": 19.5, "1.5 mm2": 13.3, "2.5 mm2": 7.98, "4 mm2": 4.95, "6 mm2": 3.30,
	"10 mm2": 1.91, "16 mm2": 1.21, "25 mm2": 0.780, "35 mm2": 0.554, "50 mm2": 0.386, "70 mm2": 0.272, "95 mm2": 0.206, "120 mm2": 0.161}

// metalOhm is a contact's, next to nothing: contacts are neglected.
const metalOhm = 1e-6

// contact adds a contact between two terminals, by the names that a bench knows it by.
func (b *bench) contact(from, to string, names ...string) {
	from, to = ngspice.Node(from), ngspice.Node(to)
	if slices.ContainsFunc(names, func(name string) bool { return slices.Contains(b.open, name) }) {
		return
	}
	id := ngspice.Node(names[0])
	for _, name := range names {
		if s, closes := b.at[name]; closes {
			near := id + "_in"
			lines := []string{fmt.Sprintf("v_made_%s %s %s 0", id, from, near)}
			if b.henryParts > 0 {
				lines = append(lines, fmt.Sprintf("l_%s %s %s_l %.9g", id, near, id, b.henryParts))
				near = id + "_l"
			}
			closed := fmt.Sprintf("x_%s %s %s contact at=%.9g ohms=%g", id, near, to, s, metalOhm)
			if s == 0 {
				closed = fmt.Sprintf("r_%s %s %s %g", id, near, to, metalOhm)
			}
			b.add(from, to, append(lines, closed)...)
			return
		}
	}
	b.add(from, to, fmt.Sprintf("r_%s %s %s %g", id, from, to, metalOhm))
}

// add adds an element between two nodes.
func (b *bench) add(from, to string, lines ...string) {
	b.made = append(b.made, element{from, to, lines})
}

// ohm adds a resistor between two terminals.
func (b *bench) ohm(id, from, to string, ohm float64) {
	from, to = ngspice.Node(from), ngspice.Node(to)
	b.add(from, to, fmt.Sprintf("r_%s %s %s %.9g", id, from, to, ohm))
}

// conductor adds a wire or bar of a resistance in Ohm at 20 C and a length in m.
func (b *bench) conductor(c *schema.Conductor, ohm, metre float64) {
	cold := b.spec.Vehicle.AmbientC.Min // copper at the lowest ambient, for the greatest current
	ohm = ohm*(1+0.00393*(cold-20)) + 2*b.spec.Policy.JointResistanceMOhm/1000
	from, to := ngspice.Node(c.From), ngspice.Node(c.To)
	if b.henryPerM == 0 {
		b.ohm(c.ID, from, to, ohm)
		return
	}
	b.add(from, to, fmt.Sprintf("r_%s %s %s_l %.9g", c.ID, from, c.ID, ohm), fmt.Sprintf("l_%s %s_l %s %.9g", c.ID, c.ID, to, metre*b.henryPerM))
}

// bank adds the capacitors of a part.
func (b *bench) bank(id, pos, neg string, uF, esr schema.Number) {
	if b.only != nil && !slices.Contains(b.only, id) || !uF.Known {
		return
	}
	pos, neg = ngspice.Node(pos), ngspice.Node(neg)
	c := fmt.Sprintf("%.9gu ic=%.12g", uF.Value*b.farads, b.charged[id])
	if esr.Or(0) == 0 {
		b.add(pos, neg, fmt.Sprintf("c_%s %s %s %s", id, pos, neg, c))
		return
	}
	b.add(pos, neg, fmt.Sprintf("c_%s %s %s_c %s", id, pos, id, c), fmt.Sprintf("r_esr_%s %s_c %s %.9g", id, id, neg, esr.Value/1000))
}

// carrying lists the lines of what can carry a current: what hangs on one end alone is
// left out, unless something that is measured or added names that end, and so is what no
// traction battery is joined to.
func (b *bench) carrying(ground string, names string) (lines []string) {
	made := slices.Clone(b.made)
	for before := -1; before != len(made); {
		before = len(made)
		ends := map[string]int{}
		for _, e := range made {
			ends[e.from]++
			ends[e.to]++
		}
		loose := func(node string) bool { return ends[node] < 2 && !strings.Contains(names, node) }
		made = slices.DeleteFunc(made, func(e element) bool { return loose(e.from) || loose(e.to) })
	}
	joined := map[string]bool{ground: true}
	for before := 0; before != len(joined); {
		before = len(joined)
		for _, e := range made {
			if joined[e.from] || joined[e.to] {
				joined[e.from], joined[e.to] = true, true
			}
		}
	}
	for _, e := range made {
		if joined[e.from] {
			lines = append(lines, e.lines...)
		}
	}
	return lines
}

// make makes the elements, and returns the node that is ground.
func (b *bench) make(t testing.TB) (ground string) {
	t.Helper()
	b.made = nil
	if b.ohms == 0 {
		b.ohms, b.farads = 1, 1
	}
	for id, x := range schema.Sorted(b.spec.Batteries) {
		if x.Role == "traction" {
			b.battery(x)
			ground = cmp.Or(ground, id+"_neg")
		}
	}
	for _, w := range schema.Sorted(b.spec.Wires) {
		perKm, ok := ohmPerKm[w.Size]
		if !ok || w.Tinned {
			t.Fatalf("%s: no resistance of %q here", w.ID, w.Size)
		}
		b.conductor(&w.Conductor, perKm/1000*w.LengthM, w.LengthM)
	}
	for _, x := range schema.Sorted(b.spec.Busbars) {
		b.conductor(&x.Conductor, x.LengthMM/1000/58/(x.WidthMM*x.ThicknessMM), x.LengthMM/1000) // copper
	}
	for id, x := range schema.Sorted(b.spec.Fuses) {
		b.ohm(id, id+".a", id+".b", x.DropMV.Or(b.spec.Policy.FuseDropMV)/1000/x.RatedA)
	}
	for id, x := range schema.Sorted(b.spec.Shunts) {
		b.ohm(id, id+".a", id+".b", x.DropMV/1000/x.RatedA)
	}
	for id, x := range schema.Sorted(b.spec.Resistors) {
		ohm := x.ResistanceOhm
		if x.Role == "precharge" {
			ohm *= b.ohms
		}
		b.add(id+"_a", id+"_b", fmt.Sprintf("r_%s %s_a %s_h %.9g", id, id, id, ohm), fmt.Sprintf("v_in_%s %s_h %s_b 0", id, id, id))
	}
	b.contacts()
	for id, x := range schema.Sorted(b.spec.Controllers) {
		b.bank(id, id+".pos", id+".neg", x.CapacitanceUF, x.ESRMOhm)
		if x.BleedKOhm.Known {
			b.ohm("bleed_"+id, id+".pos", id+".neg", 1000*x.BleedKOhm.Value)
		}
	}
	for id, x := range schema.Sorted(b.spec.Converters) {
		b.bank(id, id+".in_pos", id+".in_neg", x.Input.CapacitanceUF, x.Input.ESRMOhm)
	}
	return ground
}

// battery adds a battery, full unless told otherwise, at its lowest resistance.
func (b *bench) battery(x *schema.Battery) {
	volt, ohm := x.MaxV, x.ResistanceMOhm.Min.Or(b.spec.Policy.BatteryResistanceMin*x.ResistanceMOhm.Typ.Value)/1000
	if v, ok := b.volts[x.ID]; ok {
		volt = v
	}
	if x.ShortCircuitA.Known {
		ohm = x.MaxV / x.ShortCircuitA.Value
	}
	pos := x.ID + "_pos"
	if _, plugged := b.at[x.ID]; plugged {
		pos = x.ID + "_pin"
		b.contact(pos, x.ID+".pos", x.ID)
	}
	b.add(x.ID+"_neg", pos, fmt.Sprintf("v_%s %s_emf %s_neg %.9g", x.ID, x.ID, x.ID, volt), fmt.Sprintf("r_of_%s %s_emf %s %.9g", x.ID, x.ID, pos, ohm))
}

// contacts adds every contact that is not open. Of two poles the first makes the loop.
func (b *bench) contacts() {
	for id, x := range schema.Sorted(b.spec.Disconnects) {
		b.contact(id+".a", id+".b", id)
		if x.Poles == 2 {
			b.ohm(id+"2", id+".a2", id+".b2", metalOhm)
		}
	}
	for id := range schema.Sorted(b.spec.Contactors) {
		b.contact(id+".a", id+".b", id)
	}
	for id, x := range schema.Sorted(b.spec.Relays) {
		if x.Form != "nc" {
			b.contact(id+".common", id+".no", id)
		}
	}
	for id, x := range schema.Sorted(b.spec.Switches) {
		for pole := range schema.Sorted(x.Poles) {
			b.contact(id+"."+pole+"_a", id+"."+pole+"_b", id+"."+pole, id)
		}
	}
}

// options are of some hundred amperes through some hundred nanohenries: a ten-thousandth
// is far within what the comparisons allow, and below a milliampere nothing shows.
const options = ".options rshunt=1e9 reltol=1e-4 abstol=1e-4 vntol=1e-5 chgtol=1e-10"

// measured is a number that a run is asked for: the simulator's expression of a vector,
// and what its .meas makes of it.
type measured struct{ name, vector, meas string }

// run is a run of time, in s, of some steps at least, with what is measured in it.
func (b *bench) run(t testing.TB, forS float64, steps int, wanted ...measured) ngspice.Printed {
	t.Helper()
	ground := b.make(t)
	measures, names := []string{}, []string{}
	for _, m := range wanted {
		measures = append(measures, fmt.Sprintf("let y_%s = %s", m.name, m.vector), fmt.Sprintf("meas tran %s %s", m.name, fmt.Sprintf(m.meas, "y_"+m.name)), "print "+m.name)
		names = append(names, m.name)
	}
	lines := slices.Concat([]string{"* closing of " + b.spec.Vehicle.Name, ".include transients.inc", "v_ground " + ground + " 0 0", options},
		b.carrying(ground, strings.Join(append(measures, b.elements...), " ")), b.elements,
		[]string{".control", "set numdgt=12", fmt.Sprintf("tran %.6g %.9g 0 %.6g uic", forS/float64(steps), forS, forS/float64(steps))},
		measures, []string{"quit", ".endc", ".end", ""})
	dir := t.TempDir()
	laws, err := os.ReadFile(repository.Testdata("circuits", "transients.inc"))
	if err != nil {
		t.Fatal(err)
	}
	ruletest.Write(t, dir, "transients.inc", string(laws))
	path := ruletest.Write(t, dir, "deck.cir", strings.Join(lines, "\n"))
	printed, err := ngspice.Run(path, names...)
	if err != nil {
		t.Fatalf("%v\n%s", err, strings.Join(lines, "\n"))
	}
	if keep := os.Getenv("HEADROOM_DECK"); keep != "" {
		_ = os.WriteFile(filepath.Join(keep, strings.ReplaceAll(t.Name(), "/", "_")+".cir"), []byte(strings.Join(lines, "\n")), 0o644)
	}
	return printed
}

// swing is a time in s that is long against what closes: half a period of all
// inductance and all capacitance there is, or the decay of them where that is longer.
func (b *bench) swing() float64 {
	henry, farad := b.henryParts, 0.0
	for _, w := range b.spec.Wires {
		henry += w.LengthM * b.henryPerM
	}
	for id, x := range b.spec.Controllers {
		if b.only == nil || slices.Contains(b.only, id) {
			farad += x.CapacitanceUF.Or(0) / 1e6
		}
	}
	for id, x := range b.spec.Converters {
		if b.only == nil || slices.Contains(b.only, id) {
			farad += x.Input.CapacitanceUF.Or(0) / 1e6
		}
	}
	return math.Pi * math.Sqrt(henry*farad)
}

// across is the voltage between two terminals as the simulator writes it.
func across(a, b string) string {
	return "v(" + ngspice.Node(a) + ")-v(" + ngspice.Node(b) + ")"
}
