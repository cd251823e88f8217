package record

import (
	"example.org/headroom/rules"
)

func altitudeAboveRatings() *rules.Rule {
	return &rules.Rule{
		ID:     "altitude-above-ratings",
		Family: family,
		Title:  "the vehicle is used higher than the ratings of its parts hold",
		Why: "Thin air cools less and insulates less: a fuse opens at a smaller current, and the arc of a contact goes out at a lower voltage. Clearances are corrected for " +
			"the altitude here, ratings from data sheets are not.",
		Relation: "altitude_m <= 2000, up to which ratings of fuses, breakers and contacts hold without more being said",
		Source:   "IEC 60269-1 and IEC 60947-1 (normal conditions of service), from memory; IEC 60664-1 for clearances, which clearance-small applies",
		Level:    rules.Note,
		Required: 1,
		Fix:      "ask the makers of fuses, disconnects and contactors for their ratings at that altitude, and declare those",
		Example: rules.Example{Vehicle: "heron", Subject: "vehicle", Edits: []rules.Edit{
			{Path: "vehicle.altitude_m", Value: "3600"}}},
		Check: checkAltitude,
	}
}

// ratedAltitudeM is the altitude in m up to which ratings hold.
const ratedAltitudeM = 2000

func checkAltitude(p *rules.Pass) {
	c := p.Subject("vehicle", "vehicle")
	h := c.Given("h", "highest altitude of use", p.Spec.Vehicle.AltitudeM, "m", "vehicle.altitude_m")
	limit := c.Standard("h_r", "altitude up to which ratings hold", ratedAltitudeM, "m", "IEC 60269-1 and IEC 60947-1, from memory")
	c.AtMost(rules.Quantity{Value: h, Unit: "m"}, rules.Quantity{Value: limit, Unit: "m"}, "used up to %s m; ratings of fuses and contacts hold up to %s m", rules.Figure(h), rules.Figure(limit))
}
