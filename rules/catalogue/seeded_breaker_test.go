package catalogue_test

import (
	"maps"
	"slices"
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

// breakerMutations are mistakes with circuit breakers: those that stand in the place of
// a fuse or of the isolator, and those that a vehicle has.
func breakerMutations() []mutation {
	automatic := map[string]any{"reset": "automatic"}
	return []mutation{
		{kind: "a breaker of a lower voltage for a fuse", rule: "breaker-voltage-low", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return fieldDown("rated_V_dc", tradeVolts, map[string]any{"breaking_at_V": nil})
		})},
		{kind: "a breaker of a lower voltage", rule: "breaker-voltage-low", find: ratings("breakers", "rated_V_dc", tradeVolts)},
		{kind: "a breaker that interrupts less for a fuse", rule: "breaker-breaking-low", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return fieldDown("breaking_A_dc", breakingAmps, nil)
		})},
		{kind: "a breaker that interrupts that at a lower voltage", rule: "breaker-breaking-low", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return fieldDown("breaking_at_V", tradeVolts, nil)
		})},
		{kind: "a breaker with a magnet where the current turns", rule: "breaker-reversed", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{{"polarized": true}}
		})},
		{kind: "a breaker of the series with a magnet", rule: "breaker-reversed", find: func(v *oracle.Vehicle) []fault {
			return each(v, "breakers", func(id string) []change { return values("breakers."+id+".polarized", true) })
		}},
		{kind: "a breaker with a magnet, the wrong way up", rule: "breaker-reversed", find: func(v *oracle.Vehicle) []fault {
			return each(v, "fuses", func(id string) []change {
				if !live(v, id) {
					return nil
				}
				return []change{merge(broken(v, id, map[string]any{"polarized": true}), swap(v, id+".a", id+".b"))}
			})
		}},
		{kind: "a smaller breaker for a fuse", rule: "breaker-overloaded", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			var out []map[string]any
			for _, amps := range breakerAmps {
				if amps < v.Number("fuses."+id+".rated_A", 0) {
					out = append(out, scaled(amps))
				}
			}
			return out
		})},
		{kind: "a bimetal in a warm box", rule: "breaker-overloaded", find: forFuses(live, bimetals)},
		{kind: "a breaker beyond its derating", rule: "breaker-overloaded", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			air := v.Ambient(id, true)
			return []map[string]any{{"ambient": []any{map[string]any{"at_C": v.Ambient(id, false), "percent": 100.0}, map[string]any{"at_C": air - 5, "percent": 90.0}}}}
		})},
		{kind: "breakers side by side", rule: "breaker-overloaded", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			return fieldDown("grouped_percent", []float64{85, 80, 70, 60, 50, 40, 30}, nil)
		})},
		{kind: "a breaker of a quick letter for a fuse", rule: "breaker-trips-in-use", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			return []map[string]any{quick(5, 10, "ac"), quick(3, 5, "ac"), quick(3, 5, "dc"), quick(1, 2, "dc")}
		})},
		{kind: "a breaker for the isolator, and larger capacitors", rule: "breaker-trips-in-use", find: func(v *oracle.Vehicle) []fault {
			if len(v.IDs("converters")) == 0 || v.Has("batteries.pack.bms") {
				return nil
			}
			path := "converters." + v.IDs("converters")[0] + ".input."
			return forIsolator(v, func(amps float64) []change {
				var out []change
				for _, uF := range []float64{2200, 4700} {
					out = append(out, change{path + "capacitance_uF": uF, path + "esr_mOhm": 20.0, "breakers.isolator.instant": quick(2, 3, "dc")["instant"]})
				}
				return out
			})
		}},
		{kind: "a breaker that resets itself for a fuse", rule: "breaker-resets-itself", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{automatic}
		})},
		{kind: "a bimetal that resets itself before the lamps", rule: "breaker-resets-itself", find: forFuses(house, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{{"reset": "automatic", "standard": "SAE J553"}}
		})},
		{kind: "a main breaker that can be held", rule: "breaker-not-trip-free", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{{"trip_free": false}}
		})},
		{kind: "a protector of equipment for the main fuse", rule: "breaker-supplementary", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{{"standard": "UL 1077"}}
		})},
		{kind: "a protector of IEC 60934 for the main fuse", rule: "breaker-supplementary", find: forFuses(live, func(*oracle.Vehicle, string) []map[string]any {
			return []map[string]any{{"standard": "IEC 60934"}}
		})},
		{kind: "a bimetal alone behind the main fuse", rule: "breaker-slower-than-fuse", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			fields := lone(v.Number("fuses."+id+".rated_A", 0))
			fields["calibrated_C"] = v.Ambient(id, false)
			return []map[string]any{fields}
		})},
		{kind: "a breaker whose magnet is slow", rule: "breaker-slower-than-fuse", find: forFuses(live, func(v *oracle.Vehicle, id string) []map[string]any {
			return []map[string]any{{"instant": map[string]any{"min": 8.0, "max": 12.0, "stated_for": "dc", "clears_s": 0.1}, "total_I2t_A2s": nil}}
		})},
		{kind: "a breaker for the isolator", rule: "breaker-as-disconnect", find: func(v *oracle.Vehicle) []fault {
			return forIsolator(v, func(float64) []change {
				return values("breakers.isolator.operations", 2500.0, 1500.0, 500.0)
			})
		}},
		{kind: "a breaker for the isolator of which nobody knows the life", rule: "breaker-as-disconnect", find: func(v *oracle.Vehicle) []fault {
			return forIsolator(v, func(float64) []change { return values("breakers.isolator.operations", nil) })
		}},
	}
}

// breakerAmps are the ratings of breakers.
var breakerAmps = []float64{250, 200, 160, 125, 100, 80, 63, 50, 40, 32, 25, 20, 16, 13, 10, 6, 4, 3, 2, 1, 0.5}

// soundBreaker is a breaker of some rating that oil delays, so that no ambient
// matters, and generous in all else.
func soundBreaker(rated float64) map[string]any {
	return merge(scaled(rated), change{
		"kind": "hydraulic-magnetic", "standard": "IEC 60947-2", "calibrated_C": 40.0,
		"rated_V_dc": 250.0, "breaking_A_dc": 50000.0, "breaking_at_V": 250.0, "breaking_for": "service",
		"polarized": false, "trip_free": true, "reset": "manual", "isolates": true, "make_A": 20000.0, "operations": 10000.0,
		"instant": map[string]any{"min": 5.0, "max": 7.0, "stated_for": "dc", "clears_s": 0.005},
		"source":  "sheet",
	})
}

// scaled are the fields of a breaker that go with its rating.
func scaled(rated float64) map[string]any {
	points := func(pairs ...float64) []any {
		var out []any
		for i := 0; i < len(pairs); i += 2 {
			out = append(out, map[string]any{"current_A": pairs[i] * rated, "s": pairs[i+1]})
		}
		return out
	}
	return map[string]any{
		"rated_A": rated, "resistance_mOhm": 150 / rated, "total_I2t_A2s": max(2000, 20*rated*rated),
		"trip": map[string]any{
			"hold_percent": 100.0, "must_trip_percent": 125.0, "must_trip_s": 3600.0,
			"min": points(1.25, 600, 2, 20, 5, 1), "max": points(1.25, 3600, 2, 40, 5, 3),
		},
	}
}

// quick is a magnet that trips between two multiples of the rating.
func quick(least, most float64, statedFor string) map[string]any {
	return map[string]any{"instant": map[string]any{"min": least, "max": most, "stated_for": statedFor, "clears_s": 0.005}}
}

// lone are the fields of a bimetal without a magnet, whose curve goes on to a hundred
// times the rating.
func lone(rated float64) map[string]any {
	fields := scaled(rated)
	trip := fields["trip"].(map[string]any)
	trip["max"] = append(trip["max"].([]any), map[string]any{"current_A": 100 * rated, "s": 0.03}, map[string]any{"current_A": 250000.0, "s": 0.02})
	trip["min"] = append(trip["min"].([]any), map[string]any{"current_A": 100 * rated, "s": 0.005})
	fields["kind"], fields["instant"], fields["total_I2t_A2s"] = "thermal", nil, nil
	return fields
}

// bimetals are ever warmer places and smaller ratings of a breaker with a bimetal.
func bimetals(v *oracle.Vehicle, id string) []map[string]any {
	var out []map[string]any
	for _, amps := range breakerAmps {
		if amps <= v.Number("fuses."+id+".rated_A", 0) {
			for _, trips := range []float64{120, 80, 60} {
				out = append(out, merge(scaled(amps), change{"kind": "thermal-magnetic", "calibrated_C": 20.0, "trip_element_C": trips}))
			}
		}
	}
	return out
}

// fieldDown gives a breaker one value after the other, and other fields with each.
func fieldDown(field string, all []float64, others map[string]any) []map[string]any {
	var out []map[string]any
	for _, value := range all {
		out = append(out, merge(others, change{field: value}))
	}
	return out
}

// live reports whether a fuse stands in the circuit of a traction battery, where a
// breaker may be: not in the lead of a meter, nor for a current that takes a larger one
// than small vehicles have.
func live(v *oracle.Vehicle, fuse string) bool {
	rated := v.Number("fuses."+fuse+".rated_A", 0)
	return v.Working(fuse+".a") > 20 && rated > 1 && rated < 200
}

// house reports whether a fuse stands behind another one on a house network, where
// a short circuit trips the magnet of a breaker.
func house(v *oracle.Vehicle, fuse string) bool {
	return v.Working(fuse+".a") < 20 && len(v.Before(fuse+".b")) > 1
}

// forFuses puts breakers in the place of those fuses that may be.
func forFuses(may func(v *oracle.Vehicle, fuse string) bool, make func(v *oracle.Vehicle, fuse string) []map[string]any) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, "fuses", func(id string) []change {
			var out []change
			if may(v, id) {
				for _, fields := range make(v, id) {
					out = append(out, broken(v, id, fields))
				}
			}
			return out
		})
	}
}

// broken puts a breaker in the place of a fuse, closed in every mode, with some of
// its fields changed.
func broken(v *oracle.Vehicle, fuse string, fields map[string]any) change {
	breaker := soundBreaker(v.Number("fuses."+fuse+".rated_A", 0))
	breaker["resistance_mOhm"] = 1.5 * v.Number("fuses."+fuse+".drop_mV", 100) / v.Number("fuses."+fuse+".rated_A", 0)
	for field, value := range fields {
		if breaker[field] = value; value == nil {
			delete(breaker, field)
		}
	}
	out := change{"fuses." + fuse: nil, "breakers." + fuse: breaker}
	for _, mode := range v.IDs("modes") {
		closed, _ := v.Get("modes." + mode + ".closed").([]any)
		out["modes."+mode+".closed"] = append(slices.Clone(closed), fuse)
	}
	return out
}

// forIsolator puts a breaker in the place of the isolator, where that has one pole,
// and changes more.
func forIsolator(v *oracle.Vehicle, make func(amps float64) []change) []fault {
	if v.Kind("isolator") != "disconnects" || v.Number("disconnects.isolator.poles", 1) != 1 {
		return nil
	}
	amps := v.Number("disconnects.isolator.carry_A", 0)
	var out []change
	for _, more := range make(amps) {
		breaker := soundBreaker(amps)
		for path, value := range more {
			if field, ok := strings.CutPrefix(path, "breakers.isolator."); ok {
				breaker[field] = value
				delete(more, path)
			}
		}
		maps.DeleteFunc(breaker, func(_ string, value any) bool { return value == nil })
		out = append(out, merge(more, change{"disconnects.isolator": nil, "breakers.isolator": breaker}))
	}
	return []fault{{"isolator", out}}
}
