package busbar

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// bare is bare metal with its distances to that of the other pole.
type bare struct {
	*schema.Base
	what                string
	clearance, creepage schema.Number
	sources             []circuit.Source
}

// bareMetal yields the bars and studs that are wired, each with a check in the
// making.
func bareMetal(p *rules.Pass, eval func(c *rules.Check, l *demand.Demands, m bare)) {
	l := demand.For(p)
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		if b.Spare || p.Circuit.Edge(id) == nil {
			continue
		}
		if c := p.Subject(id, b.Path()); !p.Unsound(c, b.From, b.To) {
			eval(c, l, bare{&b.Base, "bar", b.ClearanceMM, b.CreepageMM, l.Sources(id)})
		}
	}
	for id, s := range schema.Sorted(p.Spec.Studs) {
		v, ok := p.Circuit.Node(id + ".stud")
		if !ok || s.Spare {
			continue
		}
		if c := p.Subject(id, s.Path()); !p.Unsound(c, id+".stud") {
			eval(c, l, bare{&s.Base, "stud", s.ClearanceMM, s.CreepageMM, l.SourcesAt(v)})
		}
	}
	for id, b := range schema.Sorted(p.Spec.Blocks) {
		ways := b.Terminals()
		if b.Spare || len(ways) == 0 || !p.Circuit.Connected(id+"."+ways[0].Name) {
			continue
		}
		v, _ := p.Circuit.Node(id + "." + ways[0].Name)
		if c := p.Subject(id, b.Path()); !p.Unsound(c, id+"."+ways[0].Name) {
			eval(c, l, bare{&b.Base, "block", b.ClearanceMM, b.CreepageMM, l.SourcesAt(v)})
		}
	}
}

// mainsV is the voltage to neutral of the mains in V, to which a charger without
// isolation joins the battery.
const mainsV = 230

// explainClearance adds the least clearance by the standard to the working, and
// returns it in mm.
func explainClearance(c *rules.Check, p *rules.Pass, m bare, v float64) (float64, error) {
	line, what := v, "the network's highest working voltage, overvoltage category II"
	for _, s := range m.sources {
		if k, ok := p.Spec.Chargers[s.ID]; ok && !k.Isolated {
			line, what = max(line, mainsV), "the mains, to which "+s.ID+" connects it without isolation, overvoltage category II"
			c.GivenText("isolated", "isolation of "+s.ID, "none", k.Path()+".isolated")
		}
	}
	impulse, err := calc.ImpulseVoltage(line, calc.CategoryII)
	if err != nil {
		return 0, err
	}
	c.Line("V_imp", "impulse voltage to withstand: "+what, impulse)
	degree := p.Spec.Policy.PollutionDegree
	base, err := calc.Clearance(impulse.Value, degree)
	if err != nil {
		return 0, err
	}
	c.Default("PD", "pollution degree around bare metal", float64(degree), "", "policy.pollution_degree")
	low := c.Line("d_0", "clearance up to 2000 m", base)
	factor, err := calc.AltitudeFactor(p.Spec.Vehicle.AltitudeM)
	if err != nil {
		return 0, err
	}
	altitude := c.Given("h", "highest altitude of use", p.Spec.Vehicle.AltitudeM, "m", "vehicle.altitude_m")
	f := c.Line("f_h", fmt.Sprintf("thinner air at %s m", rules.Figure(altitude)), factor)
	return c.Calc("d_s", "clearance by the standard", "f_h d_0", rules.Term(f)+" * "+rules.Term(low), f*low, "mm"), nil
}
