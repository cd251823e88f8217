package schema

import (
	"fmt"
	"math"
	"strconv"
)

// consistency finds values of one entity that cannot both be true, whatever
// the circuit around it.
type consistency struct{ *checker }

func (k *consistency) run() {
	if v := k.root.get("vehicle"); v != nil {
		k.ordered(v, "vehicle", "ambient_C.min", "ambient_C.max")
	}
	k.waivers()
	checks := []struct {
		kind  string
		check func(d *datum, path string)
	}{
		{"batteries", k.battery}, {"fuses", k.fuse}, {"disconnects", k.contact},
		{"contactors", k.switched}, {"relays", k.switched}, {"meters", k.meter},
		{"converters", k.converter}, {"controllers", k.controller}, {"loads", k.load},
		{"wires", k.conductor}, {"busbars", k.conductor}, {"modes", k.mode},
	}
	for _, c := range checks {
		for id, d := range k.root.get(c.kind).each() {
			c.check(d, c.kind+"."+id)
		}
	}
}

// contradict reports that two values, or what one group holds, cannot both be
// true; the finding stands at the second.
func (k *consistency) contradict(first, second *datum, path, message, fix string) {
	p := Problem{Rule: RuleContradiction, Path: path, Message: message, Fix: fix}
	if at := k.at(first, span{}); at.valid() && first != second {
		p.Related = append(p.Related, Place{at.position(), "the other value is here"})
	}
	k.report(p, k.at(second, k.root.value), second.origin(), path)
}

// ordered checks that each of several values is at most the next; what is
// absent is passed over.
func (k *consistency) ordered(d *datum, path string, fields ...string) {
	k.compare(d, path, false, fields)
}

// rising checks that each of several values is below the next.
func (k *consistency) rising(d *datum, path string, fields ...string) {
	k.compare(d, path, true, fields)
}

func (k *consistency) compare(d *datum, path string, strictly bool, fields []string) {
	var last *datum
	var lastField string
	for _, field := range fields {
		v := d.find(splitPath(field)...)
		if v == nil || v.kind != numberKind || v.broken {
			continue
		}
		if last != nil && (last.number > v.number || strictly && last.number == v.number) {
			unit, words := unitOf(field), "below"
			if unit == "" {
				unit = unitOf(splitPath(path + "." + field)[len(splitPath(path+"."+field))-2])
			}
			if !strictly {
				words = "at most"
			}
			k.contradict(last, v, join(path, field),
				fmt.Sprintf("%s: %s is %s and %s is %s; %s must be %s %s", path, lastField, withUnit(last.number, unit),
					field, withUnit(v.number, unit), lastField, words, field),
				"compare both with the datasheet")
			return // one slip must not be reported against every other value
		}
		last, lastField = v, field
	}
}

func (k *consistency) battery(d *datum, path string) {
	k.rising(d, path, "min_V", "max_V")
	if min, ok := d.num("min_V"); ok {
		if max, ok := d.num("max_V"); ok && min < max {
			k.ordered(d, path, "min_V", "nominal_V", "max_V")
		}
	}
	k.ordered(d, path, "resistance_mOhm.min", "resistance_mOhm.typ", "resistance_mOhm.max")
	k.ordered(d, path, "continuous_A", "peak_A")
}

func (k *consistency) fuse(d *datum, path string) {
	k.ordered(d, path, "rated_A", "breaking_A_dc")
	k.ordered(d, path, "melting_I2t_A2s", "total_I2t_A2s")
	opening := d.get("opening")
	if opening == nil || opening.broken {
		return
	}
	least, most := k.curve(opening, path, "min"), k.curve(opening, path, "max")
	k.band(opening, least, most, path)
}

// curve checks that a time-current curve falls, and returns its points; none
// when it does not or holds a mistake.
func (k *consistency) curve(opening *datum, path, name string) []CurrentTime {
	v := opening.get(name)
	if v == nil || v.kind != listKind || v.broken {
		return nil
	}
	var points []CurrentTime
	for i, item := range v.items {
		current, ok1 := item.num("current_A")
		s, ok2 := item.num("s")
		if !ok1 || !ok2 {
			return nil
		}
		if i > 0 {
			last, at := points[i-1], fmt.Sprintf("%s.opening.%s.%d", path, name, i)
			switch {
			case current <= last.CurrentA:
				k.contradict(v.items[i-1].get("current_A"), item.get("current_A"), at+".current_A",
					fmt.Sprintf("%s: the points of opening.%s must stand by rising current, but %s A follows %s A", path, name, formatNumber(current), formatNumber(last.CurrentA)),
					"put the points in order of current")
				return nil
			case s > last.S:
				k.contradict(v.items[i-1].get("s"), item.get("s"), at+".s",
					fmt.Sprintf("%s: a fuse opens faster at more current, but opening.%s gives %s s at %s A after %s s at %s A", path, name,
						formatNumber(s), formatNumber(current), formatNumber(last.S), formatNumber(last.CurrentA)),
					"compare the points with the datasheet's curve")
				return nil
			}
		}
		points = append(points, CurrentTime{current, s})
	}
	return points
}

// band checks that the longest opening time is nowhere below the shortest.
func (k *consistency) band(opening *datum, least, most []CurrentTime, path string) {
	for i, p := range most {
		shortest, ok := timeAt(least, p.CurrentA)
		if !ok || p.S >= shortest*(1-1e-9) {
			continue
		}
		v := opening.get("max").items[i].get("s")
		k.contradict(opening.get("min"), v, fmt.Sprintf("%s.opening.max.%d.s", path, i),
			fmt.Sprintf("%s: at %s A the longest opening time is %s s, which is less than the shortest, %s s", path,
				formatNumber(p.CurrentA), formatNumber(p.S), strconv.FormatFloat(shortest, 'g', 3, 64)),
			"opening.min holds the shortest times, opening.max the longest")
		return
	}
}

// timeAt interpolates a curve between its points, on logarithmic scales as
// fuse curves are drawn. Outside them it says nothing.
func timeAt(points []CurrentTime, current float64) (float64, bool) {
	for i, p := range points {
		if p.CurrentA == current {
			return p.S, true
		}
		if i == 0 || p.CurrentA < current || points[i-1].CurrentA > current {
			continue
		}
		a := points[i-1]
		share := math.Log(current/a.CurrentA) / math.Log(p.CurrentA/a.CurrentA)
		return a.S * math.Pow(p.S/a.S, share), true
	}
	return 0, false
}

// contact checks that a short-time table falls: more current for less time.
func (k *consistency) contact(d *datum, path string) {
	v := d.get("short_time")
	if v == nil || v.kind != listKind || v.broken {
		return
	}
	for i := 1; i < len(v.items); i++ {
		a, b := v.items[i-1], v.items[i]
		currentA, ok1 := a.num("A")
		currentB, ok2 := b.num("A")
		timeA, ok3 := a.num("s")
		timeB, ok4 := b.num("s")
		if ok1 && ok2 && ok3 && ok4 && (currentA-currentB)*(timeA-timeB) > 0 {
			k.contradict(a.get("s"), b.get("s"), fmt.Sprintf("%s.short_time.%d.s", path, i),
				fmt.Sprintf("%s: a contact carries more current for less time, but short_time gives %s A for %s s and %s A for %s s", path,
					formatNumber(currentA), formatNumber(timeA), formatNumber(currentB), formatNumber(timeB)),
				"compare the points with the datasheet")
			return
		}
	}
}

// switched checks a contactor or a relay.
func (k *consistency) switched(d *datum, path string) {
	if contact := d.get("contact"); contact != nil {
		k.contact(contact, path+".contact")
	}
	coil := d.get("coil")
	if coil == nil {
		return
	}
	k.rising(coil, path+".coil", "release_V", "operate_V")
	k.ordered(coil, path+".coil", "release_V", "hold_V", "operate_V")
	k.ordered(coil, path+".coil", "operate_V", "max_V")
	k.ordered(coil, path+".coil", "nominal_V", "max_V")
	k.ordered(coil, path+".coil", "hold_A", "pickup_A")
}

func (k *consistency) meter(d *datum, path string) { k.rising(d, path, "min_V", "max_V") }

func (k *consistency) converter(d *datum, path string) {
	if input := d.get("input"); input != nil {
		k.rising(input, path+".input", "min_V", "max_V")
		k.ordered(input, path+".input", "stop_V", "start_V", "max_V")
	}
	if output := d.get("output"); output != nil {
		k.ordered(output, path+".output", "continuous_A", "peak_A")
		k.ordered(output, path+".output", "continuous_A", "limit_A")
	}
	points := d.get("derating")
	if points == nil || points.kind != listKind || points.broken {
		return
	}
	for i := 1; i < len(points.items); i++ {
		a, b := points.items[i-1], points.items[i]
		hotA, ok1 := a.num("at_C")
		hotB, ok2 := b.num("at_C")
		shareA, ok3 := a.num("percent")
		shareB, ok4 := b.num("percent")
		at := fmt.Sprintf("%s.derating.%d", path, i)
		switch {
		case ok1 && ok2 && hotB <= hotA:
			k.contradict(a.get("at_C"), b.get("at_C"), at+".at_C",
				fmt.Sprintf("%s: the derating points must stand by rising temperature, but %s C follows %s C", path, formatNumber(hotB), formatNumber(hotA)),
				"put the points in order of temperature")
			return
		case ok3 && ok4 && shareB > shareA:
			k.contradict(a.get("percent"), b.get("percent"), at+".percent",
				fmt.Sprintf("%s: the output falls with temperature, but derating gives %s percent after %s percent", path, formatNumber(shareB), formatNumber(shareA)),
				"compare the points with the datasheet")
			return
		}
	}
}

func (k *consistency) controller(d *datum, path string) {
	k.rising(d, path, "min_V", "max_V")
	k.ordered(d, path, "battery_continuous_A", "battery_peak_A")
}

func (k *consistency) load(d *datum, path string) {
	k.ordered(d, path, "min_V", "at_V", "max_V")
}

// conductor checks that a conductor does not end where it begins.
func (k *consistency) conductor(d *datum, path string) {
	from, ok1 := d.str("from")
	to, ok2 := d.str("to")
	if ok1 && ok2 && from == to {
		k.contradict(d.get("from"), d.get("to"), path+".to",
			fmt.Sprintf("%s begins and ends at %s", path, to), "give the terminal at its other end")
	}
}

func (k *consistency) mode(d *datum, path string) {
	k.ordered(d, path, "lasts_s", "every_s")
	k.air(d, path)
	if every := d.get("every_s"); every != nil && !every.broken && d.get("lasts_s") == nil && !d.unsure {
		k.contradict(d, every, path+".every_s", path+" comes again after every_s, but does not say how long it lasts", "add lasts_s, or remove every_s")
	}
	for id, draw := range d.get("draw").each() {
		var first *datum
		for _, field := range []string{"current_A", "power_W", "regen_A"} {
			v := draw.get(field)
			switch {
			case v == nil || v.broken:
			case first == nil:
				first = v
			default:
				k.contradict(first, v, path+".draw."+id+"."+field,
					fmt.Sprintf("%s.draw.%s gives more than one of current_A, power_W and regen_A", path, id), "keep one of them")
				return
			}
		}
		if first == nil && draw.kind == objectKind && !draw.broken && !draw.unsure && len(draw.members) == 0 {
			k.contradict(draw, draw, path+".draw."+id, fmt.Sprintf("%s.draw.%s gives none of current_A, power_W and regen_A", path, id), "give one of them")
		}
	}
}

// air checks that a mode's own air is not hotter than the vehicle's: checks
// that hold for all modes take the vehicle's.
func (k *consistency) air(d *datum, path string) {
	here := d.get("ambient_C")
	highest := k.root.find("vehicle", "ambient_C", "max")
	if here == nil || highest == nil || here.kind != numberKind || highest.kind != numberKind || here.broken || highest.broken {
		return
	}
	if here.number > highest.number {
		k.contradict(highest, here, path+".ambient_C",
			fmt.Sprintf("%s.ambient_C is %s, but vehicle.ambient_C.max is %s", path, withUnit(here.number, "C"), withUnit(highest.number, "C")),
			"raise vehicle.ambient_C.max, which checks that hold for all modes take")
	}
}
