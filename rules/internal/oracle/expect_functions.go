package oracle

import "strings"

// functionExpectations are of what one failure turns off.
func functionExpectations() map[string]Expectation {
	return map[string]Expectation{
		"functions-lost-together": func(v *Vehicle, id string) float64 {
			if use := v.Text("vehicle.use"); use != "road" && use != "road-light" {
				return 0
			}
			return certain(v.functionsLost(id) > 1)
		},
	}
}

// roadFunctions are those that traffic relies on.
var roadFunctions = [...]string{"headlamp", "tail", "brake", "turn", "hazard", "horn", "steering"}

// function is what a critical load is for: its field, or how its id begins.
func (v *Vehicle) function(load string) string {
	path := "loads." + load
	if !v.True(path + ".critical") {
		return ""
	}
	if f := v.Text(path + ".function"); f != "" {
		return f
	}
	for _, f := range roadFunctions {
		if strings.HasPrefix(load, f) {
			return f
		}
	}
	return ""
}

// functionsLost counts the functions of which every consumer is without a source
// while one fuse, relay or converter does nothing.
func (v *Vehicle) functionsLost(failed string) int {
	all, cut := v.joinMetal(nil), v.joinMetal(map[string]bool{failed: true})
	fed := func(j *joined, load, failed string) bool {
		for _, id := range v.IDs("batteries") {
			if j.same(load+".pos", id+".pos") && j.same(load+".neg", v.lowest(id)) {
				return true
			}
		}
		for _, id := range v.IDs("converters") {
			if id != failed && j.same(load+".pos", id+".out_pos") && j.same(load+".neg", id+".out_neg") {
				return true
			}
		}
		return false
	}
	lives, had := map[string]bool{}, map[string]bool{}
	for _, load := range v.IDs("loads") {
		if f := v.function(load); f != "" && fed(all, load, "") {
			had[f] = true
			lives[f] = lives[f] || fed(cut, load, failed)
		}
	}
	lost := 0
	for f := range had {
		if !lives[f] {
			lost++
		}
	}
	return lost
}
