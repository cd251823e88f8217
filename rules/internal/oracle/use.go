package oracle

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// hot is the temperature at which conductors are taken in use, C: well below
// what they bear or, to the severe side, what their terminals bear.
func (v *Vehicle) hot() float64 {
	if v.severe {
		return v.Number("policy.terminal_max_C", 90)
	}
	return 60
}

// cases are the ways to solve a mode for its currents: with an empty and a
// full pack, converters running and the auxiliary battery alone.
func (v *Vehicle) cases(mode string) []Case {
	var out []Case
	for _, supply := range []string{"empty", "full"} {
		for _, alone := range []bool{false, true} {
			if alone && len(v.IDs("converters")) == 0 {
				continue
			}
			out = append(out, Case{Mode: mode, Supply: supply, Copper: v.hot(), Alone: alone})
		}
	}
	return out
}

// InMode is the greatest current of a part or pole in a mode, A, whichever way
// it flows.
func (v *Vehicle) InMode(id, mode string) float64 {
	most := 0.0
	for _, c := range v.cases(mode) {
		most = max(most, math.Abs(v.Solve(c).Amps(id)))
	}
	return most
}

// Greatest is the greatest current of a part over all modes, A.
func (v *Vehicle) Greatest(id string) float64 {
	most := 0.0
	for _, mode := range v.Modes(false) {
		most = max(most, v.InMode(id, mode))
	}
	return most
}

// ForGood is the steady current that heats a part as much as its use does, A: of
// modes that last continuously their own, of one that lasts and comes back the peak
// of its thermal replica with a time constant tau, in s.
func (v *Vehicle) ForGood(id string, tau float64) float64 {
	return v.heats(tau, func(mode string) float64 { return v.InMode(id, mode) })
}

// heats is the same of any current that is known of each mode, A.
func (v *Vehicle) heats(tau float64, inMode func(mode string) float64) float64 {
	base := 0.0
	for _, mode := range v.Modes(true) {
		base = max(base, inMode(mode))
	}
	most := base
	for _, mode := range v.Modes(false) {
		lasts, every := v.Number("modes."+mode+".lasts_s", 0), v.Number("modes."+mode+".every_s", 0)
		if lasts == 0 {
			continue
		}
		i, share := inMode(mode), 1-math.Exp(-lasts/tau)
		if every > 0 {
			share /= 1 - math.Exp(-every/tau)
		}
		if i > base {
			most = max(most, math.Sqrt(base*base+(i*i-base*base)*min(1, share)))
		}
	}
	return most
}

// Steadily is the greatest current of a part in the modes that last continuously, A;
// to the severe side with what comes back counted by its heat.
func (v *Vehicle) Steadily(id string) float64 {
	if v.severe {
		return v.ForGood(id, 60)
	}
	most := 0.0
	for _, mode := range v.Modes(true) {
		most = max(most, v.InMode(id, mode))
	}
	return most
}

// AtPeak is the current of a part while a controller draws its own battery-side
// peak, A, in the mode in which it draws most.
func (v *Vehicle) AtPeak(id, controller string) float64 {
	peak := v.Number("controllers."+controller+".battery_peak_A", 0)
	mode, _ := v.hardest(controller)
	if peak == 0 || mode == "" {
		return 0
	}
	at := v.memo.peak.get(controller, func() *Vehicle {
		changed, err := v.Changed(map[string]any{"modes." + mode + ".draw." + controller: map[string]any{"current_A": peak}})
		if err != nil {
			return nil
		}
		return changed
	})
	if at == nil {
		return math.NaN()
	}
	return at.InMode(id, mode)
}

// hardest is the mode in which a controller draws most, with that power or
// current (of a power: at the nominal voltage), A.
func (v *Vehicle) hardest(controller string) (mode string, amps float64) {
	for _, m := range v.Modes(false) {
		draw := "modes." + m + ".draw." + controller
		i := max(v.Number(draw+".current_A", 0), v.Number(draw+".power_W", 0)/v.PackNominal())
		if i > amps {
			mode, amps = m, i
		}
	}
	return mode, amps
}

// Prospective is the greatest short-circuit current right behind a terminal, A:
// full batteries at their least resistance, cold copper, all contacts closed
// and fuses without resistance, bolted to the negative pole of the battery.
func (v *Vehicle) Prospective(terminal string) float64 {
	return v.fault(terminal, "short", "full", "min", v.Number("vehicle.ambient_C.min", -10), true)
}

// prospectiveThrough is the greatest current that a fuse must interrupt: of a
// short circuit on either side of it, the share that flows through it.
func (v *Vehicle) prospectiveThrough(fuse string) float64 {
	cold := v.Number("vehicle.ambient_C.min", -10)
	return max(v.fault(fuse+".a", fuse, "full", "min", cold, true), v.fault(fuse+".b", fuse, "full", "min", cold, true))
}

// LeastFault is the least short-circuit current at a terminal, A: empty, aged
// and cold batteries, hot copper. The way back counts as nothing.
func (v *Vehicle) LeastFault(terminal string) float64 {
	least := v.fault(terminal, "short", "empty", "max", 90, false)
	if v.severe {
		least = min(0.6*least, v.leastAnywhere(terminal))
	}
	return least
}

// leastBehind is the least short-circuit current at the end of any wire behind a
// fuse, A.
func (v *Vehicle) leastBehind(fuse string) float64 {
	least := math.Inf(1)
	for _, wire := range v.IDs("wires") {
		if _, to := v.Ends(wire); v.Area(wire) >= 2 && contains(v.Before(to), fuse) {
			least = min(least, 0.6*v.fault(to, "short", "empty", "max", 90, false))
		}
	}
	return least
}

// leastAnywhere is the least short-circuit current from a terminal to any
// place on the way back, A.
func (v *Vehicle) leastAnywhere(terminal string) float64 {
	metal, least := v.metal(), math.Inf(1)
	for _, id := range v.IDs("batteries") {
		if !metal.same(id+".pos", terminal) {
			continue
		}
		// The few conductors of most resistance, with both their ends.
		back := v.IDs("wires")
		back = slices.DeleteFunc(back, func(wire string) bool {
			_, to := v.Ends(wire)
			return !metal.same(to, id+".neg")
		})
		slices.SortStableFunc(back, func(a, b string) int {
			return cmp.Compare(v.resistance(b, 20), v.resistance(a, 20))
		})
		for _, wire := range back[:min(3, len(back))] {
			from, to := v.Ends(wire)
			for _, end := range []string{from, to} {
				least = min(least, v.short(terminal, end, "short", "empty", "max", 90, false))
			}
		}
	}
	return least
}

func (v *Vehicle) fault(terminal, through, supply, resistance string, copper float64, firm bool) float64 {
	metal, most := v.metal(), 0.0
	for _, id := range v.IDs("batteries") {
		if !metal.same(id+".pos", terminal) {
			continue
		}
		most = max(most, v.short(terminal, v.lowest(id), through, supply, resistance, copper, firm))
	}
	return most
}

// short is the current through a part while two terminals are bolted together, A.
func (v *Vehicle) short(a, b, through, supply, resistance string, copper float64, firm bool) float64 {
	hand := map[string]bool{}
	for _, kind := range []string{"disconnects", "breakers", "switches"} {
		for _, d := range v.IDs(kind) {
			hand[d] = true
		}
	}
	of := v
	if firm {
		of = v.withoutLinks()
	}
	// What a mode turns on does not matter in a short circuit.
	s := of.Solve(Case{
		Mode: "none", Supply: supply, Resistance: resistance, Copper: copper, Alone: true, Idle: true,
		Start: true, Fixed: true, Hand: hand, Short: [2]string{a, b},
	})
	return math.Abs(s.Amps(through))
}

// lowest is the negative terminal at the foot of a battery's string.
func (v *Vehicle) lowest(battery string) string {
	metal := v.metal()
	for range 20 {
		below := ""
		for _, other := range v.IDs("batteries") {
			if other != battery && metal.same(battery+".neg", other+".pos") {
				below = other
			}
		}
		if below == "" {
			break
		}
		battery = below
	}
	return battery + ".neg"
}

// withoutLinks takes the resistance out of fuses and of contacts that state
// none, and puts nothing in its place.
func (v *Vehicle) withoutLinks() *Vehicle {
	return v.memo.bare.get("", v.linksGone)
}

func (v *Vehicle) linksGone() *Vehicle {
	edits := map[string]any{}
	for _, id := range v.IDs("fuses") {
		edits["fuses."+id+".drop_mV"] = 1e-3
	}
	for _, kind := range []string{"disconnects", "breakers"} {
		for _, id := range v.IDs(kind) {
			if !v.Has(kind + "." + id + ".resistance_mOhm") {
				edits[kind+"."+id+".resistance_mOhm"] = 1e-3
			}
		}
	}
	for _, id := range v.IDs("contactors") {
		if !v.Has("contactors." + id + ".contact.resistance_mOhm") {
			edits["contactors."+id+".contact.resistance_mOhm"] = 1e-3
		}
	}
	bare, err := v.Changed(edits)
	if err != nil {
		return v
	}
	return bare
}

// Before lists the fuses without which a terminal has no way to any battery's
// positive pole, so that all its current passes each of them; the smallest
// first.
func (v *Vehicle) Before(terminal string) []string {
	return v.memo.before.get(terminal, func() []string { return v.fusesBefore(terminal) })
}

func (v *Vehicle) fusesBefore(terminal string) []string {
	gone := map[string]bool{}
	for _, id := range v.IDs("resistors") {
		gone[id] = true // a resistor is no way for a short circuit
	}
	metal := v.metalWithout(gone)
	// Where no battery feeds, converters do.
	var sources []string
	for _, id := range v.IDs("batteries") {
		if metal.same(id+".pos", terminal) {
			sources = append(sources, id+".pos")
		}
	}
	if sources == nil {
		for _, id := range v.IDs("converters") {
			if metal.same(id+".out_pos", terminal) {
				sources = append(sources, id+".out_pos")
			}
		}
	}
	var out []string
	for _, fuse := range v.IDs("fuses") {
		less := maps.Clone(gone)
		less[fuse] = true
		without := v.metalWithout(less)
		fed := false
		for _, source := range sources {
			fed = fed || without.same(source, terminal)
		}
		if len(sources) > 0 && !fed {
			out = append(out, fuse)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int {
		if v.Number("fuses."+a+".rated_A", 0) < v.Number("fuses."+b+".rated_A", 0) {
			return -1
		}
		return 1
	})
	return out
}

// inPack reports whether a conductor only links the batteries of a string.
func (v *Vehicle) inPack(wire string) bool {
	from, to := v.Ends(wire)
	a, _ := split(from)
	b, _ := split(to)
	return v.Kind(a) == "batteries" && v.Kind(b) == "batteries"
}

// Unfused is the length of conductor from the nearest battery pole to the far
// end of a wire without a fuse between, m; +Inf where a fuse always lies between.
func (v *Vehicle) Unfused(wire string) float64 {
	far := map[string]float64{}
	for _, id := range v.IDs("batteries") {
		far[id+".pos"] = 0
	}
	for range 60 { // longest chain of conductors
		for _, id := range v.Conductors() {
			from, to := v.Ends(id)
			v.relax(far, from, to, v.Length(id))
		}
		for _, id := range v.IDs("blocks") {
			for _, way := range v.ways(id) {
				for _, other := range v.ways(id) {
					v.relax(far, way, other, 0)
				}
			}
		}
		for _, id := range v.IDs("disconnects") {
			v.relax(far, id+".a", id+".b", 0)
		}
		for _, id := range v.IDs("contactors") {
			v.relax(far, id+".a", id+".b", 0)
		}
	}
	from, to := v.Ends(wire)
	best := math.Inf(1)
	for _, end := range []string{from, to} {
		if d, ok := far[end]; ok {
			best = min(best, d)
		}
	}
	return best + v.Length(wire)
}

func (v *Vehicle) relax(far map[string]float64, a, b string, length float64) {
	if d, ok := far[a]; ok {
		if old, ok := far[b]; !ok || d+length < old {
			far[b] = d + length
		}
	}
	if d, ok := far[b]; ok {
		if old, ok := far[a]; !ok || d+length < old {
			far[a] = d + length
		}
	}
}

// firstPeak is the first peak of the current into a capacitor of C farad
// through R ohm and L henry from V volts (series RLC circuit), A.
func firstPeak(volts, ohms, henry, farad float64) float64 {
	a, w2 := ohms/(2*henry), 1/(henry*farad)
	if a*a >= w2 { // aperiodic
		b := math.Sqrt(max(a*a-w2, 1e-12))
		t := math.Log((a+b)/(a-b)) / (2 * b)
		return volts / (b * henry) * math.Exp(-a*t) * math.Sinh(b*t)
	}
	w := math.Sqrt(w2 - a*a)
	t := math.Atan2(w, a) / w
	return volts / (w * henry) * math.Exp(-a*t) * math.Sin(w*t)
}

// loop is resistance (Ohm, least) and length (m) of the way from the pack to a
// pair of terminals and back, everything closed.
func (v *Vehicle) loop(pos, neg string) (ohms, metres float64) {
	batteries := v.IDs("batteries")
	for _, id := range batteries {
		if v.Text("batteries."+id+".role") != "traction" {
			continue
		}
		hand := map[string]bool{}
		for _, kind := range []string{"disconnects", "breakers", "switches"} {
			for _, d := range v.IDs(kind) {
				hand[d] = true
			}
		}
		of := v
		if v.severe {
			of = v.withoutLinks()
		}
		s := of.Solve(Case{
			Mode: "none", Supply: "full", Resistance: "min", Copper: v.Number("vehicle.ambient_C.min", -10), Alone: true,
			Idle: true, Start: true, Fixed: true, Hand: hand, Short: [2]string{pos, neg},
		})
		top := v.Number("batteries."+id+".max_V", 0) * float64(v.InString(id))
		for _, c := range v.Conductors() {
			if math.Abs(s.Amps(c)) > 0.3*math.Abs(s.Amps("short")) {
				metres += v.Length(c)
			}
		}
		return top / math.Abs(s.Amps("short")), metres
	}
	return math.NaN(), math.NaN()
}

// sortedKeys lists the keys of a map in order.
func sortedKeys[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }
