package catalogue_test

import (
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

// Ratings as the trade steps them.
var (
	tradeVolts   = []float64{500, 250, 170, 150, 125, 110, 100, 80, 72, 63, 58, 48, 36, 32, 28, 24, 16, 12}
	tradeAmps    = []float64{500, 400, 350, 300, 250, 200, 175, 160, 150, 125, 100, 80, 60, 50, 40, 30, 25, 20, 15, 10, 7.5, 5, 4, 3, 2, 1, 0.5, 0.2, 0.1, 0.05}
	breakingAmps = []float64{50000, 30000, 20000, 10000, 6000, 5000, 2500, 2000, 1000, 500, 300, 200, 100, 50}
	linkAmps     = []float64{500, 400, 350, 315, 300, 250, 225, 200, 175, 160, 150, 125, 100, 80, 70, 60, 50, 40, 35, 30, 25, 20, 15, 10, 7.5, 5, 4, 3, 2, 1, 0.5, 0.25}
)

// each makes faults of the members of a group.
func each(v *oracle.Vehicle, group string, make func(id string) []change) []fault {
	var out []fault
	for _, id := range v.IDs(group) {
		if steps := make(id); len(steps) > 0 {
			out = append(out, fault{subject: id, steps: steps})
		}
	}
	return out
}

// down lists trade values below that of a path, the nearest first.
func down(v *oracle.Vehicle, path string, trade []float64) []change {
	var out []change
	now := v.Number(path, 0)
	for _, value := range trade {
		if value < now {
			out = append(out, change{path: value})
		}
	}
	return out
}

// times lists multiples of the value of a path.
func times(v *oracle.Vehicle, path string, factors ...float64) []change {
	now := v.Number(path, 0)
	if now == 0 {
		return nil
	}
	var out []change
	for _, f := range factors {
		out = append(out, change{path: now * f})
	}
	return out
}

// values sets a path to one value after the other.
func values(path string, all ...any) []change {
	var out []change
	for _, value := range all {
		out = append(out, change{path: value})
	}
	return out
}

// ratings makes faults of one field of each member of a group.
func ratings(group, field string, trade []float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, group, func(id string) []change { return down(v, group+"."+id+"."+field, trade) })
	}
}

// multiples makes faults of one field of each member of a group.
func multiples(group, field string, factors ...float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, group, func(id string) []change { return times(v, group+"."+id+"."+field, factors...) })
	}
}

// smaller lists the sizes below that of a wire, the nearest first.
func smaller(v *oracle.Vehicle, wire string) []change {
	var out []change
	area, sizes := v.Area(wire), oracle.MetricSizes()
	for i := len(sizes) - 1; i >= 0; i-- {
		if size := sizes[i]; size < area {
			out = append(out, change{"wires." + wire + ".size": number(size) + " mm2"})
		}
	}
	return out
}

// number writes a number as a size has it.
func number(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(sprint(x), "0"), ".")
}

// link puts a link of another rating of the same family into a fuse: its curve
// scales with the rating, its integrals with the square.
func link(v *oracle.Vehicle, fuse string, rated float64) change {
	path := "fuses." + fuse
	factor := rated / v.Number(path+".rated_A", rated)
	out := change{path + ".rated_A": rated}
	for _, which := range []string{"min", "max"} {
		points, _ := v.Get(path + ".opening." + which).([]any)
		if points == nil {
			continue
		}
		var scaled []any
		for _, p := range points {
			point := p.(map[string]any)
			scaled = append(scaled, map[string]any{"current_A": point["current_A"].(float64) * factor, "s": point["s"]})
		}
		out[path+".opening."+which] = scaled
	}
	for _, integral := range []string{"melting_I2t_A2s", "total_I2t_A2s"} {
		if i := v.Number(path+"."+integral, 0); i > 0 {
			out[path+"."+integral] = i * factor * factor
		}
	}
	if least := v.Number(path+".min_breaking_A", 0); least > 0 {
		out[path+".min_breaking_A"] = least * factor
	}
	return out
}

// links lists links of other ratings, the nearest first.
func links(v *oracle.Vehicle, fuse string, larger bool) []change {
	var out []change
	now := v.Number("fuses."+fuse+".rated_A", 0)
	for i := range linkAmps {
		rated := linkAmps[i]
		if larger {
			rated = linkAmps[len(linkAmps)-1-i]
		}
		if rated != now && (rated > now) == larger {
			out = append(out, link(v, fuse, rated))
		}
	}
	return out
}

// modesOf sets the same field of all modes that have it to multiples.
func modesOf(v *oracle.Vehicle, field string, factors ...float64) []change {
	var out []change
	for _, f := range factors {
		step := change{}
		for _, mode := range v.IDs("modes") {
			path := "modes." + mode + "." + field
			if now := v.Number(path, 0); now > 0 {
				step[path] = now * f
			}
		}
		if len(step) > 0 {
			out = append(out, step)
		}
	}
	return out
}

// merge carries out several changes at once.
func merge(all ...change) change {
	out := change{}
	for _, c := range all {
		for path, value := range c {
			out[path] = value
		}
	}
	return out
}

// wire describes a new wire.
func wire(from, to, size string, metres float64) map[string]any {
	return map[string]any{
		"from": from, "to": to, "size": size, "length_m": metres, "colour": "orange",
		"insulation": map[string]any{"max_C": 105, "rated_V": 600},
	}
}

// swap exchanges what ends on two terminals.
func swap(v *oracle.Vehicle, a, b string) change {
	out := change{}
	for _, pair := range [][2]string{{a, b}, {b, a}} {
		for _, id := range v.At(pair[0]) {
			from, _ := v.Ends(id)
			end := ".to"
			if from == pair[0] {
				end = ".from"
			}
			out[v.Path(id)+end] = pair[1]
		}
	}
	return out
}

// only returns faults of one subject, none if the condition fails.
func only(condition bool, subject string, steps ...change) []fault {
	if !condition {
		return nil
	}
	return []fault{{subject: subject, steps: steps}}
}

// firstOf is the first member of a group, "" if it is empty.
func firstOf(v *oracle.Vehicle, group string) string {
	if ids := v.IDs(group); len(ids) > 0 {
		return ids[0]
	}
	return ""
}
