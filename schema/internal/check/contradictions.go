package check

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/source"
)

// consistency finds values of one entity that cannot both be true, whatever
// the circuit around it.
type consistency struct{ *Checker }

func (k *consistency) run() {
	if v := k.root.Get("vehicle"); v != nil {
		k.ordered(v, "vehicle", "ambient_C.min", "ambient_C.max")
	}
	k.waivers()
	checks := []struct {
		kind  string
		check func(d *source.Value, path string)
	}{
		{"batteries", k.battery}, {"fuses", k.fuse}, {"breakers", k.breaker}, {"disconnects", k.contact},
		{"contactors", k.switched}, {"relays", k.switched}, {"timers", k.timer}, {"cutouts", k.cutout}, {"meters", k.meter},
		{"converters", k.converter}, {"controllers", k.controller}, {"loads", k.load}, {"switches", k.poles}, {"blocks", k.ways},
		{"wires", k.conductor}, {"busbars", k.conductor}, {"modes", k.mode},
	}
	for _, c := range checks {
		for id, d := range k.root.Get(c.kind).Each() {
			c.check(d, c.kind+"."+id)
		}
	}
}

// contradict reports that two values, or what one group holds, cannot both be
// true; the finding stands at the second.
func (k *consistency) contradict(first, second *source.Value, path, message, fix string) {
	p := source.Problem{Rule: source.RuleContradiction, Path: path, Message: message, Fix: fix}
	if at := k.at(first, source.Span{}); at.Valid() && first != second {
		p.Related = append(p.Related, source.Place{Position: at.Position(), Note: "the other value is here"})
	}
	k.Report(p, k.at(second, k.root.Value), second.Origin(), path)
}

// ordered checks that each of several values is at most the next; what is
// absent is passed over.
func (k *consistency) ordered(d *source.Value, path string, fields ...string) {
	k.compare(d, path, false, fields)
}

// rising checks that each of several values is below the next.
func (k *consistency) rising(d *source.Value, path string, fields ...string) {
	k.compare(d, path, true, fields)
}

func (k *consistency) compare(d *source.Value, path string, strictly bool, fields []string) {
	var last *source.Value
	var lastField string
	for _, field := range fields {
		v := d.Find(source.SplitPath(field)...)
		if v == nil || v.Kind != source.NumberKind || v.Broken {
			continue
		}
		if last != nil && (last.Number > v.Number || strictly && last.Number == v.Number) {
			unit, words := define.UnitOf(field), "below"
			if unit == "" {
				unit = define.UnitOf(source.SplitPath(path + "." + field)[len(source.SplitPath(path+"."+field))-2])
			}
			if !strictly {
				words = "at most"
			}
			k.contradict(last, v, source.Join(path, field),
				fmt.Sprintf("%s: %s is %s and %s is %s; %s must be %s %s", path, lastField, define.WithUnit(last.Number, unit),
					field, define.WithUnit(v.Number, unit), lastField, words, field),
				"compare both with the datasheet")
			return // one slip must not be reported against every other value
		}
		last, lastField = v, field
	}
}

func (k *consistency) battery(d *source.Value, path string) {
	k.rising(d, path, "min_V", "max_V")
	if min, ok := d.Num("min_V"); ok {
		if max, ok := d.Num("max_V"); ok && min < max {
			k.ordered(d, path, "min_V", "nominal_V", "max_V")
		}
	}
	k.ordered(d, path, "resistance_mOhm.min", "resistance_mOhm.typ", "resistance_mOhm.max")
	k.ordered(d, path, "continuous_A", "peak_A")
	k.ordered(d, path, "bms.discharge_A", "bms.peak.A")
	k.ordered(d, path, "bms.discharge_A", "bms.short_trip_A")
	k.rising(d, path, "bms.low_V", "bms.reconnect_V")
	k.rising(d, path, "bms.low_V", "max_V")
}

func (k *consistency) fuse(d *source.Value, path string) {
	k.ordered(d, path, "rated_A", "breaking_A_dc")
	k.ordered(d, path, "melting_I2t_A2s", "total_I2t_A2s")
	opening := d.Get("opening")
	if opening == nil || opening.Broken {
		return
	}
	least, most := k.curve(d, path, "opening.min"), k.curve(d, path, "opening.max")
	k.band(opening, least, most, path)
}

func (k *consistency) breaker(d *source.Value, path string) {
	k.ordered(d, path, "rated_A", "breaking_A_dc")
	k.ordered(d, path, "instant.min", "instant.max")
	k.rising(d, path, "trip.hold_percent", "trip.must_trip_percent")
	k.rising(d, path, "calibrated_C", "trip_element_C")
	k.derating(d, path, "ambient")
	if trip := d.Get("trip"); trip != nil && !trip.Broken {
		k.curve(d, path, "trip.min")
		k.curve(d, path, "trip.max")
	}
}

func (k *consistency) cutout(d *source.Value, path string) {
	k.rising(d, path, "resets_C", "opens_C")
}

func (k *consistency) timer(d *source.Value, path string) {
	k.rising(d, path, "supply_V.min", "supply_V.max")
}

// curve checks that a time-current curve falls, and returns its points; none
// when it does not or holds a mistake.
func (k *consistency) curve(d *source.Value, path, name string) []curvePoint {
	v := d.Find(source.SplitPath(name)...)
	if v == nil || v.Kind != source.ListKind || v.Broken {
		return nil
	}
	var points []curvePoint
	for i, item := range v.Items {
		current, ok1 := item.Num("current_A")
		s, ok2 := item.Num("s")
		if !ok1 || !ok2 {
			return nil
		}
		if i > 0 {
			last, at := points[i-1], fmt.Sprintf("%s.%s.%d", path, name, i)
			switch {
			case current <= last.currentA:
				k.contradict(v.Items[i-1].Get("current_A"), item.Get("current_A"), at+".current_A",
					fmt.Sprintf("%s: the points of %s must be in order of rising current, but %s A follows %s A", path, name, source.FormatNumber(current), source.FormatNumber(last.currentA)),
					"put the points in order of current")
				return nil
			case s > last.s:
				k.contradict(v.Items[i-1].Get("s"), item.Get("s"), at+".s",
					fmt.Sprintf("%s: a higher current opens it sooner, but %s has %s s at %s A after %s s at %s A", path, name,
						source.FormatNumber(s), source.FormatNumber(current), source.FormatNumber(last.s), source.FormatNumber(last.currentA)),
					"compare the points with the datasheet's curve")
				return nil
			}
		}
		points = append(points, curvePoint{current, s})
	}
	return points
}

// curvePoint is one point of a time-current curve.
type curvePoint struct{ currentA, s float64 }

// band checks that the longest opening time is nowhere below the shortest.
func (k *consistency) band(opening *source.Value, least, most []curvePoint, path string) {
	for i, p := range most {
		shortest, ok := timeAt(least, p.currentA)
		if !ok || p.s >= shortest*(1-1e-9) {
			continue
		}
		v := opening.Get("max").Items[i].Get("s")
		k.contradict(opening.Get("min"), v, fmt.Sprintf("%s.opening.max.%d.s", path, i),
			fmt.Sprintf("%s: at %s A the longest opening time, %s s, is below the shortest, %s s", path,
				source.FormatNumber(p.currentA), source.FormatNumber(p.s), strconv.FormatFloat(shortest, 'g', 3, 64)),
			"put the shortest times under opening.min, the longest under opening.max")
		return
	}
}

// timeAt interpolates a curve between its points, on logarithmic scales as
// fuse curves are drawn. Outside them it says nothing.
func timeAt(points []curvePoint, current float64) (float64, bool) {
	for i, p := range points {
		if p.currentA == current {
			return p.s, true
		}
		if i == 0 || p.currentA < current || points[i-1].currentA > current {
			continue
		}
		a := points[i-1]
		share := math.Log(current/a.currentA) / math.Log(p.currentA/a.currentA)
		return a.s * math.Pow(p.s/a.s, share), true
	}
	return 0, false
}

// contact checks that a short-time table falls: more current for less time.
func (k *consistency) contact(d *source.Value, path string) {
	v := d.Get("short_time")
	if v == nil || v.Kind != source.ListKind || v.Broken {
		return
	}
	for i := 1; i < len(v.Items); i++ {
		a, b := v.Items[i-1], v.Items[i]
		currentA, ok1 := a.Num("A")
		currentB, ok2 := b.Num("A")
		timeA, ok3 := a.Num("s")
		timeB, ok4 := b.Num("s")
		if ok1 && ok2 && ok3 && ok4 && (currentA-currentB)*(timeA-timeB) > 0 {
			k.contradict(a.Get("s"), b.Get("s"), fmt.Sprintf("%s.short_time.%d.s", path, i),
				fmt.Sprintf("%s: a higher short-time current is for a shorter time, but short_time has %s A for %s s and %s A for %s s", path,
					source.FormatNumber(currentA), source.FormatNumber(timeA), source.FormatNumber(currentB), source.FormatNumber(timeB)),
				"compare the points with the datasheet")
			return
		}
	}
}

// switched checks a contactor or a relay.
func (k *consistency) switched(d *source.Value, path string) {
	if contact := d.Get("contact"); contact != nil {
		k.contact(contact, path+".contact")
	}
	k.saidTwice(d, path, "closes_after_s", "closes.after_s", "s")
	k.saidTwice(d, path, "closes_at.percent", "closes.at_percent", "percent")
	coil := d.Get("coil")
	if coil == nil {
		return
	}
	k.rising(coil, path+".coil", "release_V", "operate_V")
	k.ordered(coil, path+".coil", "release_V", "hold_V", "operate_V")
	k.ordered(coil, path+".coil", "operate_V", "max_V")
	k.ordered(coil, path+".coil", "nominal_V", "max_V")
	k.ordered(coil, path+".coil", "hold_A", "pickup_A")
}

// saidTwice checks that two fields which say the same do not differ.
func (k *consistency) saidTwice(d *source.Value, path, one, other, unit string) {
	a, b := d.Find(strings.Split(one, ".")...), d.Find(strings.Split(other, ".")...)
	if a == nil || b == nil || a.Kind != source.NumberKind || b.Kind != source.NumberKind || a.Broken || b.Broken || a.Number == b.Number {
		return
	}
	k.contradict(a, b, path+"."+other,
		fmt.Sprintf("%s.%s is %s, but %s of the same is %s", path, other, define.WithUnit(b.Number, unit), one, define.WithUnit(a.Number, unit)),
		"give only "+other)
}

// poles and ways are maps of at least one entry, which the definitions cannot say.
func (k *consistency) poles(d *source.Value, path string) { k.entries(d, path, "poles") }
func (k *consistency) ways(d *source.Value, path string)  { k.entries(d, path, "ways") }

func (k *consistency) entries(d *source.Value, path, field string) {
	if v := d.Get(field); v != nil && v.Kind == source.ObjectKind {
		k.filled(v, source.Join(path, field), k.root.Value)
	}
}

func (k *consistency) meter(d *source.Value, path string) { k.rising(d, path, "min_V", "max_V") }

func (k *consistency) converter(d *source.Value, path string) {
	if input := d.Get("input"); input != nil {
		k.rising(input, path+".input", "min_V", "max_V")
		k.ordered(input, path+".input", "stop_V", "start_V", "max_V")
	}
	if output := d.Get("output"); output != nil {
		k.ordered(output, path+".output", "continuous_A", "peak_A")
		k.ordered(output, path+".output", "continuous_A", "limit_A")
	}
	k.derating(d, path, "derating")
}

// derating checks that what a part gives falls with temperature.
func (k *consistency) derating(d *source.Value, path, field string) {
	points := d.Get(field)
	if points == nil || points.Kind != source.ListKind || points.Broken {
		return
	}
	for i := 1; i < len(points.Items); i++ {
		a, b := points.Items[i-1], points.Items[i]
		hotA, ok1 := a.Num("at_C")
		hotB, ok2 := b.Num("at_C")
		shareA, ok3 := a.Num("percent")
		shareB, ok4 := b.Num("percent")
		at := fmt.Sprintf("%s.%s.%d", path, field, i)
		switch {
		case ok1 && ok2 && hotB <= hotA:
			k.contradict(a.Get("at_C"), b.Get("at_C"), at+".at_C",
				fmt.Sprintf("%s: the derating points must be in order of rising temperature, but %s C follows %s C", path, source.FormatNumber(hotB), source.FormatNumber(hotA)),
				"put the points in order of temperature")
			return
		case ok3 && ok4 && shareB > shareA:
			k.contradict(a.Get("percent"), b.Get("percent"), at+".percent",
				fmt.Sprintf("%s: the output falls with temperature, but %s has %s percent after %s percent", path, field, source.FormatNumber(shareB), source.FormatNumber(shareA)),
				"compare the points with the datasheet")
			return
		}
	}
}

func (k *consistency) controller(d *source.Value, path string) {
	k.rising(d, path, "min_V", "max_V")
	k.ordered(d, path, "battery_continuous_A", "battery_peak_A")
}

func (k *consistency) load(d *source.Value, path string) {
	k.ordered(d, path, "min_V", "at_V", "max_V")
}

// conductor checks that a conductor does not end where it begins.
func (k *consistency) conductor(d *source.Value, path string) {
	from, ok1 := d.Str("from")
	to, ok2 := d.Str("to")
	if ok1 && ok2 && from == to {
		k.contradict(d.Get("from"), d.Get("to"), path+".to",
			fmt.Sprintf("%s has both ends on %s", path, to), "give the terminal at its other end")
	}
}

func (k *consistency) mode(d *source.Value, path string) {
	k.ordered(d, path, "lasts_s", "every_s")
	k.air(d, path)
	if every := d.Get("every_s"); every != nil && !every.Broken && d.Get("lasts_s") == nil && !d.Unsure {
		k.contradict(d, every, path+".every_s", path+" has every_s but not lasts_s, its duration", "add lasts_s, or remove every_s")
	}
	for id, draw := range d.Get("draw").Each() {
		var first *source.Value
		for _, field := range []string{"current_A", "power_W", "regen_A"} {
			v := draw.Get(field)
			switch {
			case v == nil || v.Broken:
			case first == nil:
				first = v
			default:
				k.contradict(first, v, path+".draw."+id+"."+field,
					fmt.Sprintf("%s.draw.%s has more than one of current_A, power_W and regen_A", path, id), "keep one of them")
				return
			}
		}
		if first == nil && draw.Kind == source.ObjectKind && !draw.Broken && !draw.Unsure && len(draw.Members) == 0 {
			k.contradict(draw, draw, path+".draw."+id, fmt.Sprintf("%s.draw.%s has none of current_A, power_W and regen_A", path, id), "give one of them")
		}
	}
}

// air checks that a mode's own air is not hotter than the vehicle's: checks
// that hold for all modes take the vehicle's.
func (k *consistency) air(d *source.Value, path string) {
	here := d.Get("ambient_C")
	highest := k.root.Find("vehicle", "ambient_C", "max")
	if here == nil || highest == nil || here.Kind != source.NumberKind || highest.Kind != source.NumberKind || here.Broken || highest.Broken {
		return
	}
	if here.Number > highest.Number {
		k.contradict(highest, here, path+".ambient_C",
			fmt.Sprintf("%s.ambient_C is %s, but vehicle.ambient_C.max is %s", path, define.WithUnit(here.Number, "C"), define.WithUnit(highest.Number, "C")),
			"raise vehicle.ambient_C.max, which the checks of all modes use")
	}
}
