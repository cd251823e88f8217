package capacity

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// WorkAmpacity adds how the ampacity comes about to the working, so that it can
// be followed by hand from the section, the place and the published tables.
func (c *Conductor) WorkAmpacity(w *rules.Working) {
	if w.Unread() {
		return // all of it is published or computed
	}
	switch {
	case c.bar != nil:
		c.workBar(w)
	case c.smallCraft:
		c.workSmallCraft(w)
	default:
		c.workCable(w)
	}
}

// workCable adds the heat balance of a cable.
func (c *Conductor) workCable(w *rules.Working) {
	if c.IzA == 0 {
		w.Calc("I_z", "ampacity of "+c.ID, "0 when T_a >= T_c", "", 0, "A")
		return
	}
	b, err := calc.FreeAirBalance(*c.cable, c.LimitC, c.AmbientC)
	if err != nil {
		return // the ampacity, made of the same numbers, is not 0
	}
	c.workMetre(w)
	r := c.workHot(w)
	c.workBuild(w, b)
	heat := workSurface(w, b, c.ID)
	rise := rules.Term(c.LimitC) + " - " + rules.Term(c.AmbientC)
	rth := w.Calc("R_th", "thermal resistance of "+c.ID+" to still air", "(T_c - T_a) / W", "("+rise+") / "+rules.Term(heat), (c.LimitC-c.AmbientC)/heat, "K m/W")
	f := c.workDerating(w)
	w.Calc("I_z", "ampacity of "+c.ID, "f sqrt((T_c - T_a) / (R' R_th))",
		fmt.Sprintf("%s * sqrt((%s) / (%s/1000 * %s))", rules.Term(f), rise, rules.Term(r), rules.Term(rth)), c.IzA, "A")
}

// workMetre adds the section, where its label does not give it, and the
// resistance per metre at 20 C.
func (c *Conductor) workMetre(w *rules.Working) {
	size := c.cable.Size
	if size.System != calc.Metric {
		w.Standard("A", "section of "+size.Label, size.AreaMM2, "mm2", size.ResistanceSource())
	}
	w.Standard("R'_20", "resistance per metre of "+size.Label+" at 20 C", 1000*size.R20, "mOhm/m", size.ResistanceSource())
	w.Standard("alpha", "temperature coefficient of copper", calc.CopperAlpha20, "1/K", "IEC 60028")
}

// workHot adds the resistance per metre at the limit of temperature, in mOhm.
func (c *Conductor) workHot(w *rules.Working) float64 {
	r20 := 1000 * c.cable.Size.R20
	return w.Calc("R'", "resistance per metre at T_c", "R'_20 (1 + alpha (T_c - 20))",
		fmt.Sprintf("%s * (1 + %s * (%s - 20))", rules.Term(r20), rules.Term(calc.CopperAlpha20), rules.Term(c.LimitC)),
		r20*calc.CopperFactor(c.LimitC), "mOhm/m")
}

// workBuild adds the diameters and the insulation of a cable.
func (c *Conductor) workBuild(w *rules.Working, b calc.HeatBalance) {
	c.workDiameters(w)
	w.Calc("R_ins", "thermal resistance of the insulation, 5 K m/W of IEC 60287-2-1 Table 1", "5 / (2 pi) ln(D / d)",
		fmt.Sprintf("%s / (2 * 3.1416) * ln(%s / %s)", rules.Term(calc.InsulationResistivity), rules.Term(b.OuterDiameterMM), rules.Term(b.DiameterMM)),
		b.InsulationKmW, "K m/W")
}

// workDiameters adds the diameters over strands and insulation.
func (c *Conductor) workDiameters(w *rules.Working) {
	c.sized = true
	d, outer := c.cable.Size.DiameterMM, c.cable.OuterDiameterMM()
	wall := (outer - d) / 2
	share := c.AreaMM2 / (math.Pi / 4 * d * d)
	w.Calc("d", "diameter over the strands, copper filling "+rules.Term(100*share)+" % of the circle", "sqrt(4 / pi A / share)",
		fmt.Sprintf("sqrt(4 / 3.1416 * %s / %s)", rules.Term(c.AreaMM2), rules.Term(share)), d, "mm")
	source := "wall of single-core cable of that size, IEC 60227-3, from memory"
	if c.cable.Size.System != calc.Metric {
		source = "wall of thermoplastic wire of that gauge, UL 83, from memory"
	}
	w.Standard("t_w", "usual wall of the insulation", wall, "mm", source)
	w.Calc("D", "diameter over the insulation", "d + 2 t_w", rules.Term(d)+" + 2 * "+rules.Term(wall), outer, "mm")
}

// workSurface adds the heat that the surface of a cable gives off, term by
// term, and returns it in W/m.
func workSurface(w *rules.Working, b calc.HeatBalance, id string) float64 {
	const air = "dry air at T_m, U.S. Standard Atmosphere 1976"
	const kelvin = 273.15
	w.Calc("T_s", "surface temperature, found by trial so that it agrees with W below", "T_c - R_ins W",
		fmt.Sprintf("%s - %s * %s", rules.Term(b.ConductorC), rules.Term(b.InsulationKmW), rules.Term(b.HeatWm)), b.SurfaceC, "C")
	rise := b.SurfaceC - b.AmbientC
	w.Calc("T_m", "mean temperature of the air film", "(T_s + T_a) / 2", fmt.Sprintf("(%s + %s) / 2", rules.Term(b.SurfaceC), rules.Term(b.AmbientC)), b.FilmC, "C")
	w.Standard("k_a", "conductivity of the air", b.ConductivityWmK, "W/(m K)", air)
	w.Standard("nu_a", "kinematic viscosity of the air", b.ViscosityM2s*1e6, "mm2/s", air)
	w.Standard("Pr", "Prandtl number of the air", b.Prandtl, "", air)
	w.Calc("Ra", "Rayleigh number", "g / (T_m + 273.15) (T_s - T_a) D^3 / nu_a^2 Pr",
		fmt.Sprintf("9.8067 / (%s + 273.15) * %s * (%s/1000)^3 / (%s/1000000)^2 * %s", rules.Term(b.FilmC), rules.Term(rise),
			rules.Term(b.OuterDiameterMM), rules.Term(b.ViscosityM2s*1e6), rules.Term(b.Prandtl)), b.Rayleigh, "")
	w.Calc("Nu", "Nusselt number of a horizontal cylinder, Churchill and Chu (1975)", "(0.60 + 0.387 Ra^(1/6) / (1 + (0.559 / Pr)^(9/16))^(8/27))^2",
		fmt.Sprintf("(0.60 + 0.387 * %s^(1/6) / (1 + (0.559 / %s)^(9/16))^(8/27))^2", rules.Term(b.Rayleigh), rules.Term(b.Prandtl)), b.Nusselt, "")
	w.Calc("h_c", "film coefficient of natural convection", "Nu k_a / D",
		fmt.Sprintf("%s * %s / (%s/1000)", rules.Term(b.Nusselt), rules.Term(b.ConductivityWmK), rules.Term(b.OuterDiameterMM)), b.ConvectionWm2K, "W/(m2 K)")
	w.Calc("h_r", "film coefficient of radiation, emissivity 0.9", "0.9 * 5.6704e-8 ((T_s + 273.15)^4 - (T_a + 273.15)^4) / (T_s - T_a)",
		fmt.Sprintf("%s * 5.6704e-8 * (%s^4 - %s^4) / %s", rules.Term(calc.Emissivity), rules.Term(b.SurfaceC+kelvin), rules.Term(b.AmbientC+kelvin), rules.Term(rise)),
		b.RadiationWm2K, "W/(m2 K)")
	w.Calc("F", "calibration to NFPA 70 Table 310.17 and DIN VDE 0298-4 Table 11 (+2/-15 %)", "0.74 (10 mm / D)^0.15 (40 K / (T_s - T_a))^0.05",
		fmt.Sprintf("0.74 * (10 / %s)^0.15 * (40 / %s)^0.05", rules.Term(b.OuterDiameterMM), rules.Term(rise)), b.Calibration, "")
	return w.Calc("W", "heat loss of "+id+" by itself at T_c, heat balance in the form of IEC 60287", "F pi D (h_c + h_r) (T_s - T_a)",
		fmt.Sprintf("%s * 3.1416 * %s/1000 * (%s + %s) * %s", rules.Term(b.Calibration), rules.Term(b.OuterDiameterMM),
			rules.Term(b.ConvectionWm2K), rules.Term(b.RadiationWm2K), rules.Term(rise)), b.HeatWm, "W/m")
}

// workSmallCraft adds the ampacity by the small-craft table.
func (c *Conductor) workSmallCraft(w *rules.Working) {
	what := "ampacity by the small-craft table at 30 C"
	if c.AmbientC > engineSpaceC {
		what = "ampacity by the small-craft table inside an engine space"
	}
	w.Standard("I_t", what, c.tableA, "A", "33 CFR 183.425 Table 5")
	f := c.workDerating(w)
	w.Calc("I_z", "ampacity of "+c.ID, "f I_t", rules.Term(f)+" * "+rules.Term(c.tableA), c.IzA, "A")
}

// workBar adds the ampacity of a bus bar.
func (c *Conductor) workBar(w *rules.Working) {
	const handbook = "Copper Development Association Publication 22"
	b := c.bar
	perimeter := 2 * (b.WidthMM + b.ThicknessMM)
	w.Calc("A", "section of "+c.ID, "w d", rules.Term(b.WidthMM)+" * "+rules.Term(b.ThicknessMM), c.AreaMM2, "mm2")
	w.Calc("p", "perimeter", "2 (w + d)", fmt.Sprintf("2 * (%s + %s)", rules.Term(b.WidthMM), rules.Term(b.ThicknessMM)), perimeter, "mm")
	at50 := w.Calc("I_50", "copper bar on edge in still air, 50 K above 40 C, "+handbook, "7.73 A^0.5 p^0.39",
		fmt.Sprintf("7.73 * %s^0.5 * %s^0.39", rules.Term(c.AreaMM2), rules.Term(perimeter)), 7.73*math.Sqrt(c.AreaMM2)*math.Pow(perimeter, 0.39), "A")
	if c.IzA == 0 {
		w.Calc("I_z", "ampacity of "+c.ID, "0 when T_a >= T_c", "", 0, "A")
		return
	}
	rise := w.Calc("f_rise", "correction for the temperature rise, "+handbook, "((T_c - T_a) / 50)^0.61",
		fmt.Sprintf("((%s - %s) / 50)^0.61", rules.Term(c.LimitC), rules.Term(c.AmbientC)), calc.RiseScaled(1, 50, c.LimitC-c.AmbientC), "")
	rho := w.Standard("rho", "resistivity of "+b.Metal.Name+" at 20 C", b.Metal.Resistivity20, "Ohm mm2/m", "IEC 60028; aluminium by IEC 60949")
	alpha := w.Standard("alpha", "temperature coefficient of "+b.Metal.Name, b.Metal.Alpha20(), "1/K", "IEC 60949")
	fr := w.Calc("f_R", "correction for the resistance, against copper at 90 C", "sqrt(0.017241 (1 + 0.00393 * 70) / (rho (1 + alpha (T_c - 20))))",
		fmt.Sprintf("sqrt(0.017241 * (1 + 0.00393 * 70) / (%s * (1 + %s * (%s - 20))))", rules.Term(rho), rules.Term(alpha), rules.Term(c.LimitC)),
		math.Sqrt(calc.CopperResistivity20*calc.CopperFactor(90)/(rho*(1+alpha*(c.LimitC-20)))), "")
	formula, numbers := "I_50 f_rise f_R", fmt.Sprintf("%s * %s * %s", rules.Term(at50), rules.Term(rise), rules.Term(fr))
	if b.Painted {
		fp := w.Standard("f_p", "painted: higher heat loss", c.IzA/(at50*rise*fr), "", "DIN 43671")
		formula, numbers = formula+" f_p", numbers+" * "+rules.Term(fp)
	}
	w.Calc("I_z", "ampacity of "+c.ID+" at T_c", formula, numbers, c.IzA, "A")
}

// derating is what grouping and a sheath leave of the ampacity of a wire.
type derating struct {
	bundle           string
	count            int // of the conductors of the bundle
	grouping, sheath float64
	sheathed         bool
}

func deratingOf(p *rules.Pass, wire *schema.Wire) derating {
	d := derating{bundle: wire.Bundle, grouping: 1, sheath: 1, sheathed: wire.Sheathed}
	if wire.Bundle != "" {
		for _, other := range schema.Sorted(p.Spec.Wires) {
			if other.Bundle == wire.Bundle {
				d.count++
			}
		}
		d.grouping, _ = calc.GroupingFactor(d.count) // a count of at least one cannot err
	}
	if wire.Sheathed {
		d.sheath = calc.SheathedFactor
	}
	return d
}

func (d derating) factor() float64 { return d.grouping * d.sheath }

// workDerating adds what grouping and a sheath leave of the ampacity.
func (c *Conductor) workDerating(w *rules.Working) float64 {
	d := c.derating
	if d.bundle == "" && !d.sheathed {
		return w.Default("f", "derating of "+c.ID, 1, "", "no bundle and no sheath declared")
	}
	formula, numbers := "f_g", ""
	if d.bundle != "" {
		w.Standard("f_g", fmt.Sprintf("grouping: %d conductors in bundle %s", d.count, d.bundle), d.grouping, "", "NFPA 70 Table 310.15(C)(1)")
	}
	if d.sheathed {
		w.Standard("f_s", "sheath around "+c.ID, d.sheath, "", "DIN VDE 0298-4 Table 11, column 5 over column 2")
		formula = "f_s"
	}
	if d.bundle != "" && d.sheathed {
		formula, numbers = "f_g f_s", rules.Term(d.grouping)+" * "+rules.Term(d.sheath)
	}
	return w.Calc("f", "derating of "+c.ID, formula, numbers, d.factor(), "")
}
