package fuse

import (
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/thermal"
)

func aboveAmpacity() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-above-ampacity",
		Family: family,
		Title:  "a fuse is too large to protect its conductor from overload",
		Why: "A fuse opens only above its rating, a vehicle fuse reliably only above 1.35 times its rating, and then after minutes to half an hour. " +
			"Between the ampacity of the cable and that current nothing opens: the cable is the fuse.",
		Relation: "I_n <= I_z whatever the class, and I_2 <= 1.45 I_z where I_2 is known; for gG fuses I_n <= I_z is enough, for a rewirable fuse it is I_n <= 0.725 I_z. " +
			"A circuit breaker counts as a fuse: I_2 is what it must trip at by its standard, times f(T) in the coldest air. Several fuses that feed the same conductor add up; identical parallel conductors share the current, and returns that are joined at both ends, such as two straps on the chassis, by their resistances. A return counts with the fuses of its branches, " +
			"the lead of a battery's negative pole with the fuse for all that the battery feeds. " +
			"Or overload_protection_by names a current-limited part behind the fuse " +
			"whose limits the conductor withstands, or the conductor is a tap: within the fuse distance, and it ends in a fuse or in consumers that draw no more than I_z; " +
			"a conductor in the path of a controller is none, however short. The fuse inside a battery counts where no other protects a conductor. (I_B <= I_n is checked by fuse-overloaded.)",
		Source:   "IEC 60364-4-43, 433.1, 433.3.1 and (from memory) 433.4.1; I_2 by ISO 8820, UL 248, IEC 60269, of breakers by IEC 60898-1, IEC 60947-2 and UL 489; 0.725 for rewirable fuses: BS 7671, 433.1 (from memory); taps: 33 CFR 183.455",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.ampacity", "policy.terminal_max_C", "policy.fuse_distance_m", "policy.fuse_distance_sheathed_m"},
		Vital: []string{
			"fuses.opening", "breakers.trip", "breakers.calibrated_C", "breakers.ambient", "wires.insulation", "controllers.battery_peak_A", "controllers.peak_s", "converters.input.max_A",
			"batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a thicker conductor or a smaller fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "w_contactor_drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.size", Value: `"16 mm2"`}}},
		Check: checkAboveAmpacity,
	}
}

func checkAboveAmpacity(p *rules.Pass) {
	s := newSupply(p)
	s.conductors(func(c *rules.Check, id string) *verdict { return evalAmpacity(s, c, id) })
}

func evalAmpacity(s *supply, c *rules.Check, id string) *verdict {
	k := s.coordination(id)
	if !k.applies {
		return nil
	}
	if k.err != nil && !k.fails() {
		if !k.unsure || !s.shortTap(c, id) {
			unknown(c, k.err)
		}
		return nil
	}
	if k.by != "" {
		v := evalLeftToLoad(s, c, id, k)
		if v != nil && v.headroom < 1 && s.shortTap(c, id) {
			return nil
		}
		return v
	}
	if !k.protected() && !k.suffices() && s.shortTap(c, id) {
		return nil
	}
	// The rating is worked out again, now with its steps on the record.
	rated, err := s.rated(c, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	s.explainRelief(c, id)
	s.explainDevices(c.Working, k)
	fuse := k.main(s)
	if fuse != "" {
		s.relate(c, fuse)
	}
	v := &verdict{fuse: fuse, headroom: ratio(rated.IzA, k.totalA), root: s.inParallel(k)}
	if k.partial != "" {
		v.headroom = 0
		v.give = func() {
			c.Fix("set overload_protection_by of %s to the current-limited part behind it, or fit a full-range fuse in series", fuse)
			c.Fail("%s is not protected from overload: %s does not open on small overloads, and its overload_protection_by names no current-limited part", id, fuse)
		}
		return v
	}
	if v.headroom < s.Required() { // what it takes to find one is not spent on what passes
		c.Fix("%s", s.remedy(k, id))
		if root := s.overloadedInUse(id); root[0] != "" {
			v.root = root
		}
	}
	v.give = func() {
		is := "is"
		if !k.suffices() {
			is = "is not"
		}
		c.AtMost(rules.Amperes(k.totalA), rules.Amperes(rated.IzA), "%s (ampacity %s A) %s protected from overload by %s", id, rules.Figure(rated.IzA), is, s.sayDevices(k))
	}
	return v
}

// inParallel names the finding that some of the fuses before a conductor are in
// parallel and count as one, if they are: their ratings add up, and what they protect
// each by itself they do not together.
func (s *supply) inParallel(k coordination) [2]string {
	for _, ids := range s.Circuit.FusesBeside() {
		ids = wired(s.Pass, ids)
		before := func(d device) bool { return slices.Contains(ids, d.fuse) }
		if len(ids) > 1 && (slices.ContainsFunc(k.devices, before) || slices.Contains(ids, k.partial)) {
			return [2]string{"fuses-in-parallel", lead(s.Pass, ids)}
		}
	}
	return [2]string{}
}

// overloadedInUse names the finding that a conductor carries too much in use already,
// if it does: then no fuse will do.
func (s *supply) overloadedInUse(id string) [2]string {
	switch {
	case !thermal.Overloaded(s.Pass, id):
		return [2]string{}
	case s.Spec.Busbars[id] != nil:
		return [2]string{"busbar-overloaded", id}
	}
	return [2]string{"conductor-overloaded", id}
}

// explainDevices adds what the devices let through to the working.
func (s *supply) explainDevices(w *rules.Working, k coordination) {
	var terms []string
	for _, d := range k.devices {
		if d.resistor != "" {
			s.explainResistor(w, d)
			terms = append(terms, rules.Term(d.amperes))
			continue
		}
		if d.inside != "" {
			w.Given("I_n", "rated current of the fuse inside "+d.inside, d.amperes, "A", "batteries."+d.inside+".internal_fuse_A")
			terms = append(terms, rules.Term(d.amperes))
			continue
		}
		if d.fuse == "" {
			w.Given("I_"+d.source.ID, "current limit of "+d.source.ID, d.amperes, "A", d.source.LimitFrom)
			terms = append(terms, rules.Term(d.amperes))
			continue
		}
		f := s.fuseOf(d.fuse)
		n := w.Given("I_n", "rated current of "+d.fuse, f.RatedA, "A", f.Path()+".rated_A")
		terms = append(terms, rules.Term(d.amperes))
		if b := s.Spec.Breakers[d.fuse]; b != nil {
			s.explainTrip(w, b, n, d.amperes)
			continue
		}
		class := calc.FuseClass(f.Class)
		l, known := class.Loading()
		switch {
		case class == calc.ClassGG:
			w.GivenText("rule", "class "+f.Class+": I_n <= I_z is enough, the standard tests cable overload by itself", f.Class, f.Path()+".class")
		case known && l.FusingMultiple > 0:
			m := w.Standard("m", "I_2 over I_n, class "+f.Class, l.FusingMultiple, "", l.Source)
			w.Calc("I_2", "current at which "+d.fuse+" reliably opens", "m I_n", rules.Term(m)+" * "+rules.Term(n), m*n, "A")
			w.Calc("I_z,2", "ampacity that I_2 <= 1.45 I_z requires", "I_2 / 1.45", rules.Term(m*n)+" / 1.45", m*n/overloadFactor, "A")
			w.Calc("I_need", "ampacity that both conditions require", "max(I_n, I_z,2)",
				"max("+rules.Term(n)+", "+rules.Term(m*n/overloadFactor)+")", d.amperes, "A")
		default:
			curve, err := s.curve(d.fuse)
			if err != nil {
				continue // I_n <= I_z holds of every class; more is not known
			}
			opens, ok := curve.MustOpenA()
			if !ok {
				continue
			}
			w.Given("I_2", "current at which "+d.fuse+" reliably opens: first point of its longest opening times", opens, "A", f.Path()+".opening.max")
			w.Calc("I_need", "ampacity that both conditions require", "max(I_n, I_2 / 1.45)", "max("+rules.Term(n)+", "+rules.Term(opens)+" / 1.45)", d.amperes, "A")
		}
	}
	if len(k.devices) > 1 {
		w.Calc("I_sum", "sum of what feeds the conductor", "sum", strings.Join(terms, " + "), k.totalA/k.share, "A")
	}
	if k.share < 1 {
		all := k.totalA / k.share
		part := w.Solved("s", "share of the current that it carries in parallel with "+rules.And(k.beside)+", by their resistances", k.share, "", "parallel conductors, IEC 60364-4-43, 433.4.1, from memory; of unlike returns the greatest share of a current that enters anywhere")
		w.Calc("I_own", "ampacity that its share requires", "s I", rules.Term(part)+" * "+rules.Term(all), k.totalA, "A")
	}
}

// sayDevices names what limits the current of a conductor, for a message.
func (s *supply) sayDevices(k coordination) string {
	share := ""
	if k.share < 1 {
		share = fmt.Sprintf("; it carries %s %% of the current in parallel with %s", rules.Figure(100*k.share), rules.And(k.beside))
	}
	if len(k.devices) == 1 {
		return s.sayDevice(k.devices[0]) + share
	}
	together := fmt.Sprintf(", together %s A", rules.Figure(k.totalA/k.share)) + share
	if n := len(k.devices); n > 3 {
		return fmt.Sprintf("%d fuses and limited sources", n) + together
	}
	var names []string
	for _, d := range k.devices {
		switch {
		case d.resistor != "":
			names = append(names, fmt.Sprintf("%s (%s A)", d.resistor, rules.Figure(d.amperes)))
		case d.inside != "":
			names = append(names, s.sayDevice(d))
		case d.fuse == "":
			names = append(names, fmt.Sprintf("%s (%s A)", d.source.ID, rules.Figure(d.amperes)))
		default:
			names = append(names, fmt.Sprintf("the %s A %s %s", rules.Figure(s.fuseOf(d.fuse).RatedA), noun(s.fuseOf(d.fuse)), d.fuse))
		}
	}
	return rules.And(names) + together
}

// sayDevice names the only device that limits a current, and how far.
func (s *supply) sayDevice(d device) string {
	switch {
	case d.resistor != "":
		return fmt.Sprintf("%s, which passes up to %s A", d.resistor, rules.Figure(d.amperes))
	case d.inside != "":
		return fmt.Sprintf("the %s A fuse inside %s", rules.Figure(d.amperes), d.inside)
	case d.fuse == "":
		return fmt.Sprintf("%s, which supplies up to %s A", d.source.ID, rules.Figure(d.amperes))
	}
	f := s.fuseOf(d.fuse)
	text := fmt.Sprintf("the %s A %s %s", rules.Figure(f.RatedA), noun(f), d.fuse)
	if b := s.Spec.Breakers[d.fuse]; b != nil && d.amperes > f.RatedA {
		return text + fmt.Sprintf(", which in the cold surely trips only above %s A", rules.Figure(d.amperes*overloadFactor))
	}
	if i2, ok := calc.ConventionalFusingA(calc.FuseClass(f.Class), f.RatedA); ok {
		return text + fmt.Sprintf(", which reliably opens only above %s A", rules.Figure(i2))
	}
	return text
}

// remedy proposes a size of conductor and a rating of fuse.
func (s *supply) remedy(k coordination, id string) string {
	if text, ok := s.chargerFuse(k, id); ok {
		return text
	}
	if text, ok := s.branchFuse(k, id); ok {
		return text
	}
	var ways []string
	if size, ok := s.size(k.rated, k.totalA); ok {
		ways = append(ways, fmt.Sprintf("use at least %s for %s", size, id))
	} else {
		ways = append(ways, "use a larger conductor for "+id)
	}
	if len(k.devices) == 1 && k.devices[0].fuse != "" {
		f := s.fuseOf(k.devices[0].fuse)
		if down, ok := s.smallerFor(f, k.rated); ok {
			ways = append(ways, fmt.Sprintf("a %s of at most %s A for %s", noun(f), rules.Figure(down), f.ID))
		} else if b := s.Spec.Breakers[f.ID]; b != nil {
			ways = append(ways, fmt.Sprintf("a breaker of at most %s A for %s", rules.Figure(rules.RoundDown(k.rated.IzA/s.Required()*f.RatedA/k.devices[0].amperes, 1)), f.ID))
		} else if k.rated.IzA < k.totalA {
			ways[len(ways)-1] += fmt.Sprintf(" (no smaller fuse for %s both protects it and carries the current in use)", f.ID)
		}
	}
	for _, d := range k.devices {
		if d.inside != "" && k.rated.IzA >= 1 {
			ways = append(ways, fmt.Sprintf("fit a main fuse of at most %s A within %s m of %s", rules.Figure(rules.RoundDown(k.rated.IzA/s.Required(), 1)), rules.Figure(s.Spec.Policy.FuseDistanceM), d.inside))
			break
		}
	}
	return strings.Join(ways, ", or ")
}

// chargerFuse is the fix for the lead of a charger that has no fuse of its own:
// not a cable for the whole pack's fuse, but a fuse at the battery end of it.
func (s *supply) chargerFuse(k coordination, id string) (text string, ok bool) {
	var charger *circuit.Guard
	for _, g := range s.guards[id] {
		if g.Source.Role == "charger" && (charger == nil || s.chargerBehind(id) == g.Source.ID) {
			charger = g
		}
	}
	fed := func(g *circuit.Guard) bool { return g.Source.IsBattery() && s.endsAtCharger(g) }
	if charger == nil || !slices.ContainsFunc(s.guards[id], fed) || k.totalA <= charger.Source.LimitA || slices.ContainsFunc(k.devices, s.chargersOwn) {
		return "", false
	}
	rated, ok := calc.NextRatingUp(calc.ClassBlade, charger.Source.LimitA/bladeLoading)
	if !ok {
		return "", false
	}
	text = fmt.Sprintf("fit a fuse of %s A for %s at the battery end of its cable", rules.Figure(rated), charger.Source.ID)
	if k.rated.IzA >= rated {
		return text, true
	}
	if size, found := k.rated.ThinnestFor(s.Pass, rated); found {
		return text + fmt.Sprintf(", and use at least %s for %s", size, id), true
	}
	return text + ", and a larger conductor for " + id, true
}

// chargersOwn reports whether a device is a fuse in the lead of a charger: there is
// one then, and it is to be a smaller one.
func (s *supply) chargersOwn(d device) bool {
	e := s.Circuit.Edge(d.fuse)
	if d.fuse == "" || e == nil {
		return false
	}
	return slices.ContainsFunc([]circuit.Node{e.From, e.To}, func(v circuit.Node) bool {
		end := s.Circuit.EndOfRun(e, v, isCharger)
		return end != nil && isCharger(end)
	})
}

// endsAtCharger reports whether a run without branches leads from a conductor to
// a charger and nothing else, away from a guard's source.
func (s *supply) endsAtCharger(g *circuit.Guard) bool {
	e := s.Circuit.EndOfRun(s.Circuit.Edge(g.Conductor), g.Far, isCharger)
	return e != nil && isCharger(e)
}

// chargerBehind is the charger at which a run without branches ends that a battery
// feeds through a conductor, "" if there is none.
func (s *supply) chargerBehind(conductor string) string {
	for _, g := range s.guards[conductor] {
		if !g.Source.IsBattery() {
			continue
		}
		if e := s.Circuit.EndOfRun(s.Circuit.Edge(g.Conductor), g.Far, isCharger); e != nil && isCharger(e) {
			return e.Part
		}
	}
	return ""
}

func isCharger(e *circuit.Edge) bool { return e.Kind == circuit.ChargerEdge }
