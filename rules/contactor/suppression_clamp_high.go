package contactor

import (
	"math"
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func suppressionClampHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-clamp-high",
		Family: family,
		Title:  "the coil's suppression lets the voltage rise above the rating of its switch",
		Why: "When the switch opens, it has the supply voltage and the clamp voltage of the coil across it. A driver above its rating breaks down; " +
			"a contact above its rating is not known to quench the arc: it burns at every opening until the coil's energy is spent, and the contact sticks one day. The spike " +
			"reaches all that is on the same conductor.",
		Relation: "V_supply,max + V_clamp <= rating / 1.2, for every pole, relay or timer contact, cut-out, pilot contact and driver that opens the coil's circuit, and every breaker with coils alone behind it; " +
			"a resistor, with or without a diode in series, carries the current of the cold coil at first: V_clamp = I_coil R + V_f",
		Source: "circuit theory; the margin is common practice",
		Level:  rules.Error,
		Varies: "for a contact that lacks no more than the margin to its rating warning, and note where its rating for inductive loads covers the coil: " +
			"its rated voltage is one at which it was tried; a driver has no more than its rating, and a spike beyond the clamp's figure destroys it",
		Required: 1.2,
		Policy:   []string{"policy.diode_forward_V"},
		Vital: []string{
			"contactors.coil.clamp_V", "relays.coil.clamp_V", "switches.poles.rated_V_dc", "relays.contact.rated_V_dc",
			"timers.contact.rated_V_dc", "cutouts.contact.rated_V_dc", "controllers.coil_out.max_V",
		},
		Fix: "use a suppression with a lower clamp voltage, or a switch with a higher voltage rating",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			// Both coils are in parallel: the lower clamp acts.
			{Path: "contactors.main_contactor.coil.clamp_V", Value: "48"},
			{Path: "relays.soft_relay.coil.clamp_V", Value: "48"}}},
		Check: checkClamp,
	}
}

func checkClamp(p *rules.Pass) {
	for _, d := range devices(p) {
		clamps := d.clamps(p)
		k, ok := lowest(clamps)
		if !ok {
			continue // without a suppression there is no clamp to compare
		}
		if c, ok := onCoil(p, d); ok {
			evalClamp(c, p, d, k)
		}
	}
}

// voltageRating is the voltage that something opening a coil's circuit withstands.
type voltageRating struct {
	id    string
	volts schema.Number
	path  string
	// A mechanical contact surely quenches an arc at its rated voltage, with an
	// inductive rating that of a coil; beyond it nobody knows. A driver is destroyed
	// by any spike beyond its rating, so that it needs the margin.
	mechanical    bool
	inductive     schema.Number
	inductivePath string
}

func evalClamp(c *rules.Check, p *rules.Pass, d device, k clamp) {
	ratings := d.openingRatings(p)
	v, state, failed := d.highestV(p)
	switch {
	case failed != nil:
		c.Unsettled(failed, d.coilID())
		return
	case len(ratings) == 0:
		c.NotChecked("a switch in the feed of "+d.id, "coil of %s: no mode feeds it through a switch", d.id)
		return
	case !k.volts.Known:
		c.NotChecked(k.from, "coil of %s: the clamp voltage of %s is not known", d.id, k)
		return
	}
	var pole, driver, unknown *voltageRating // the lowest of each kind
	for _, r := range ratings {
		if !r.volts.Known {
			unknown = &r
			continue
		}
		kind := &driver
		if r.mechanical {
			kind = &pole
		}
		if *kind == nil || r.volts.Value < (*kind).volts.Value {
			*kind = &r
		}
	}
	up := k.volts.Value
	if unknown != nil && (driver == nil || driver.volts.Value >= p.Required()*(v+up)) && (pole == nil || pole.volts.Value >= p.Required()*(v+up)) {
		c.NotChecked(unknown.path, "%s: opens the coil circuit of %s, its voltage rating is not given", unknown.id, d.id)
		return
	}
	c.In(state.Mode, state.String())
	c.Solved("V_c", "highest voltage of the coil", v, "V", state.String())
	up = k.steps(c, p, d, v)
	sum := c.Calc("V_open", "voltage across the opening switch", "V_c + V_clamp", rules.Term(v)+" + "+rules.Term(up), v+up, "V")
	worst := pole
	if driver != nil && (pole == nil || driver.volts.Value < p.Required()*sum) {
		worst = driver // what breaks comes before what wears
	}
	limit := c.Given("V_r", "voltage rating of "+worst.id, worst.volts.Value, "V", worst.path)
	c.Related(worst.path, "the rating of what opens the circuit")
	k.fixClamp(c, p, d, v, limit, *worst)
	if worst.mechanical && sum <= limit {
		c.Level(rules.Warning)
		if i, missing := d.switchedOffA(p, v); missing == "" && worst.inductive.Known && worst.inductive.Value >= i {
			c.Given("I_L", "current rating for inductive loads", worst.inductive.Value, "A", worst.inductivePath)
			c.Level(rules.Note)
		}
	}
	if part := p.Spec.Cutouts[worst.id]; part != nil && sum > limit {
		c.Because(cutoutContactLowID, worst.id)
	}
	if v > limit { // it does not even withstand the circuit itself
		switch part, _, _ := strings.Cut(worst.id, "."); {
		case p.Spec.Switches[part] != nil:
			c.Because("pole-voltage-low", worst.id)
		case p.Spec.Breakers[part] != nil:
			c.Because("breaker-voltage-low", part)
		case p.Spec.Relays[part] != nil || p.Spec.Contactors[part] != nil || p.Spec.Timers[part] != nil:
			c.Because("contactor-voltage-low", part)
		}
	}
	c.AtMost(rules.Volts(sum), rules.Volts(limit), "%s: %s V across it when it opens the coil of %s (%s V supply, %s V clamp), rated %s V",
		worst.id, rules.Figure(sum), d.id, rules.Figure(v), rules.Figure(up), rules.Figure(limit))
}

// openingRatings lists what opens the circuit of a coil: poles of switches, drivers, the
// contacts of relays and timers, auxiliary contacts, thermal cut-outs, the pilots of
// connectors, and breakers with nothing but coils and inputs behind them. A service
// disconnect, main contactor, power plug or other breaker in the feed has more behind it
// than the coil, which absorbs the energy.
func (d device) openingRatings(p *rules.Pass) []voltageRating {
	var out []voltageRating
	seen := map[string]bool{}
	for _, f := range d.feeds(p) {
		for _, e := range f.path {
			r, ok := ratingOf(p, e)
			if ok && e.Protects() && !opensCoilsAlone(p, f, e) {
				continue
			}
			if ok && !seen[r.id] {
				seen[r.id] = true
				out = append(out, r)
			}
		}
	}
	return out
}

func ratingOf(p *rules.Pass, e *circuit.Edge) (voltageRating, bool) {
	if e.Kind != circuit.SwitchEdge && e.Kind != circuit.ContactEdge && e.Kind != circuit.PlugEdge {
		return voltageRating{}, false
	}
	if e.ID == e.Part+".aux" {
		return voltageRating{id: e.ID, path: "the DC voltage rating of " + e.ID, mechanical: true}, true
	}
	switch part := p.Spec.Part(e.Part).(type) {
	case *schema.Switch:
		pole := e.ID[len(e.Part)+1:]
		return voltageRating{e.ID, part.Poles[pole].RatedVdc, part.Path() + ".poles." + pole + ".rated_V_dc",
			true, part.Poles[pole].InductiveA, part.Path() + ".poles." + pole + ".inductive_A"}, true
	case *schema.Relay:
		return voltageRating{id: e.ID, volts: part.Contact.RatedVdc, path: part.Path() + ".contact.rated_V_dc", mechanical: true}, true
	case *schema.Timer:
		return voltageRating{id: e.Part, volts: part.Contact.RatedVdc, path: part.Path() + ".contact.rated_V_dc", mechanical: true}, true
	case *schema.Cutout:
		return voltageRating{id: e.Part, volts: part.Contact.RatedVdc, path: part.Path() + ".contact.rated_V_dc", mechanical: true}, true
	case *schema.Breaker:
		return voltageRating{id: e.Part, volts: part.RatedVdc, path: part.Path() + ".rated_V_dc", mechanical: true}, true
	case *schema.Connector:
		if n, err := strconv.Atoi(e.ID[len(e.Part)+1:]); err == nil && part.Pilots(n) {
			contact, _ := part.ContactOf(strconv.Itoa(n))
			return voltageRating{id: e.ID, volts: contact.RatedVdc, path: part.Path() + ".contacts." + strconv.Itoa(n-1) + ".rated_V_dc", mechanical: true}, true
		}
	case *schema.Controller:
		return voltageRating{id: e.ID, volts: part.CoilOut.MaxV, path: part.Path() + ".coil_out.max_V"}, true
	}
	return voltageRating{}, false
}

// opensCoilsAlone reports whether nothing but coils and inputs hangs on a breaker in the mode
// of a feed.
func opensCoilsAlone(p *rules.Pass, f feed, e *circuit.Edge) bool {
	s := p.Circuit.Solve(circuit.Case{Mode: f.mode, NoDraw: true})
	for _, x := range p.Circuit.Behind(s, e) {
		switch x.Kind {
		case circuit.CoilEdge, circuit.EnableEdge, circuit.MeterEdge:
		default:
			return false
		}
	}
	return s.Failed == ""
}

// fixClamp says which suppression would leave the opening switch its margin, and which
// switch would withstand this one.
func (k clamp) fixClamp(c *rules.Check, p *rules.Pass, d device, volts, rating float64, worst voltageRating) {
	stronger := ""
	if worst.mechanical {
		stronger = ", or a contact in place of " + worst.id + " rated at least " + rules.Figure(rules.RoundUp(p.Required()*(volts+k.volts.Value), 1)) + " V DC"
	}
	if k.row == nil || len(k.row.resistors) == 0 {
		most := rating/p.Required() - volts
		switch {
		case most >= leastClampV:
			c.Fix("use a suppression of the coil of %s that clamps at no more than %s V, such as a diode with a zener diode%s", d.id, rules.Figure(rules.RoundDown(most, 0.1)), stronger)
		case stronger != "":
			c.Fix("use %s", strings.TrimPrefix(stronger, ", or "))
		}
		return
	}
	forward, _ := k.row.forwardV(p)
	amperes, _ := d.switchedOffA(p, volts)
	if ohm := (rating/p.Required() - volts - forward) / amperes; ohm >= 0.1 {
		c.Fix("use at most %s Ohm in place of the %s Ohm of %s%s", rules.Figure(rules.RoundDown(ohm, 0.1)), rules.Figure(k.row.ohm()), k.row.resistorNames(), stronger)
	}
}

// leastClampV is the clamp voltage in V that a diode with a zener diode has at the
// least (common practice: zener diodes from 3.3 V).
const leastClampV = 4

// mostClampV is the clamp voltage in V that leaves everything that opens the coil's
// circuit its margin; not ok where that is not known, or too little for a zener diode.
func (d device) mostClampV(p *rules.Pass) (v float64, ok bool) {
	highest, _, failed := d.highestV(p)
	ratings := d.openingRatings(p)
	if failed != nil || len(ratings) == 0 {
		return 0, false
	}
	required := clampMargin(p)
	v = math.Inf(1)
	for _, r := range ratings {
		if !r.volts.Known {
			return 0, false
		}
		v = min(v, r.volts.Value/required-highest)
	}
	return rules.RoundDown(v, 0.1), v >= leastClampV
}

// clampMargin is the headroom that suppression-clamp-high asks for.
func clampMargin(p *rules.Pass) float64 {
	rule := suppressionClampHigh()
	if r, tuned := p.Spec.Policy.Required[rule.ID]; tuned {
		return r
	}
	return rule.Required
}

// clampText is the end of a sentence that advises a suppression: how far it may clamp.
func (d device) clampText(p *rules.Pass) string {
	if most, ok := d.mostClampV(p); ok {
		return " that clamps at no more than " + rules.Figure(most) + " V"
	}
	return ", and check that what opens its circuit withstands supply and clamp voltage together"
}
