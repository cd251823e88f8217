package catalogue_test

import (
	"maps"
	"strings"

	"example.org/headroom/rules/internal/oracle"
)

// protectionMutations are mistakes in where fuses stand and in what they are, and
// packs and links without any.
func protectionMutations() []mutation {
	return []mutation{
		{kind: "the curve of a larger link", rule: "fuse-curve-unlike-rating", find: curves(1.5, 2, 2.5, 3, 4)},
		{kind: "the curve of a smaller link", rule: "fuse-curve-unlike-rating", find: curves(0.8, 0.7, 0.6, 0.5, 0.4, 0.3)},
		{kind: "a fuse in the return", rule: "fuse-in-earthed-pole", find: fuseInReturn},
		{kind: "a fuse moved to the other pole", rule: "fuse-in-earthed-pole", find: fuseMoved},
		{kind: "a second link beside the first", rule: "fuses-in-parallel", find: func(v *oracle.Vehicle) []fault {
			return beside(v, func(id string) change { return change{} })
		}},
		{kind: "two links of half the rating for one", rule: "fuses-in-parallel", find: func(v *oracle.Vehicle) []fault {
			return beside(v, func(id string) change { return link(v, id, v.Number("fuses."+id+".rated_A", 0)/2) })
		}},
		{kind: "a long cable before the main fuse, and a small one inside", rule: "internal-fuse-breaking-low", find: insideAlone},
		{kind: "a fuse inside that is hardly larger", rule: "internal-fuse-opens-first", find: insideFirst},
		{kind: "a second pack on the terminals of the first", rule: "parallel-pack-unfused", find: packOnPack},
		{kind: "a pack without its fuse", rule: "parallel-pack-unfused", find: packFuseLeftOut},
		{kind: "boxes farther apart", rule: "string-link-long", find: func(v *oracle.Vehicle) []fault {
			return each(v, "wires", func(id string) []change { return values("wires."+id+".length_m", 0.45, 0.6, 0.9, 1.5) })
		}},
		{kind: "a pack in two boxes", rule: "string-link-long", find: twoBoxes},
		{kind: "bolt holes drilled too wide", rule: "busbar-hole-wide", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change {
				return values("busbars."+id+".hole_mm", 9.0, 10.5, 11.0, 12.0, 13.0, 14.0, 15.0, 17.0, 18.0, 19.0)
			})
		}},
		{kind: "a narrower bar", rule: "busbar-hole-wide", find: func(v *oracle.Vehicle) []fault {
			return each(v, "busbars", func(id string) []change {
				return down(v, "busbars."+id+".width_mm", []float64{25, 20, 16, 15, 12, 10})
			})
		}},
	}
}

// curves gives a fuse the curve and the integrals of a link of so many times its rating.
func curves(factors ...float64) func(v *oracle.Vehicle) []fault {
	return func(v *oracle.Vehicle) []fault {
		return each(v, "fuses", func(id string) []change {
			if !v.Has("fuses." + id + ".opening") {
				return nil
			}
			var out []change
			for _, f := range factors {
				step := link(v, id, f*v.Number("fuses."+id+".rated_A", 0))
				delete(step, "fuses."+id+".rated_A")
				out = append(out, step)
			}
			return out
		})
	}
}

// fuseInReturn puts a fuse like that of the branch into the return of a load.
func fuseInReturn(v *oracle.Vehicle) []fault {
	var out []fault
	for _, load := range v.IDs("loads") {
		before, back := v.Before(load+".pos"), v.At(load+".neg")
		if len(before) == 0 || len(back) != 1 || v.Kind(back[0]) != "wires" {
			continue
		}
		from, to := v.Ends(back[0])
		if from != load+".neg" {
			continue
		}
		out = append(out, fault{"neg_fuse", []change{{
			"fuses.neg_fuse":           maps.Clone(v.Get("fuses." + before[0]).(map[string]any)),
			"wires." + back[0] + ".to": "neg_fuse.a",
			"wires.neg_fuse_out":       wire("neg_fuse.b", to, v.Text("wires."+back[0]+".size"), 0.1),
		}}})
	}
	return out
}

// fuseMoved moves the fuse at a battery's positive pole to its negative one.
func fuseMoved(v *oracle.Vehicle) []fault {
	var out []fault
	for _, b := range v.IDs("batteries") {
		pos, neg := v.At(b+".pos"), v.At(b+".neg")
		if len(pos) != 1 || len(neg) != 1 {
			continue
		}
		from, to := v.Ends(pos[0])
		fuse, isFuse := fuseAt(v, to)
		minus, _ := v.Ends(neg[0])
		behind := v.At(fuse + ".b")
		if from != b+".pos" || !isFuse || minus != b+".neg" || len(behind) != 1 {
			continue
		}
		if feed, _ := v.Ends(behind[0]); feed != fuse+".b" {
			continue
		}
		out = append(out, fault{fuse, []change{{
			v.Path(pos[0]) + ".from":    b + ".neg",
			v.Path(neg[0]) + ".from":    fuse + ".b",
			v.Path(behind[0]) + ".from": b + ".pos",
		}}})
	}
	return out
}

// fuseAt is the fuse whose terminal a is given.
func fuseAt(v *oracle.Vehicle, terminal string) (id string, ok bool) {
	id, end, _ := strings.Cut(terminal, ".")
	return id, v.Kind(id) == "fuses" && end == "a"
}

// beside puts a copy of a fuse, changed as it is itself, across it.
func beside(v *oracle.Vehicle, changed func(id string) change) []fault {
	var out []fault
	for _, id := range v.IDs("fuses") {
		if v.Number("fuses."+id+".rated_A", 0) < 10 {
			continue // so small a fuse nobody doubles
		}
		step := changed(id)
		twin, err := v.Changed(step)
		if err != nil {
			continue
		}
		out = append(out, fault{"added", []change{merge(step, change{
			"fuses.added":     maps.Clone(twin.Get("fuses." + id).(map[string]any)),
			"wires.added_in":  wire(id+".a", "added.a", "50 mm2", 0.02),
			"wires.added_out": wire("added.b", id+".b", "50 mm2", 0.02),
		})}})
	}
	return out
}

// insideAlone gives a pack a fuse of its own and moves the main fuse away from it.
func insideAlone(v *oracle.Vehicle) []fault {
	return each(v, "batteries", func(id string) []change {
		lead, most := "", 0.0
		for _, w := range v.At(id + ".pos") {
			if from, to := v.Ends(w); from == id+".pos" && v.Kind(w) == "wires" {
				if fuse, ok := fuseAt(v, to); ok {
					lead, most = w, v.Number("fuses."+fuse+".rated_A", 0)
				}
			}
		}
		if lead == "" {
			return nil
		}
		var out []change
		for _, amps := range []float64{2500, 2000, 1000, 500, 300} {
			out = append(out, change{
				"wires." + lead + ".length_m":                   2.4,
				"batteries." + id + ".internal_fuse_A":          2 * most,
				"batteries." + id + ".internal_fuse_breaking_A": amps,
			})
		}
		return out
	})
}

// insideFirst gives the battery at a main fuse one inside that is hardly larger.
func insideFirst(v *oracle.Vehicle) []fault {
	var out []fault
	for _, b := range v.IDs("batteries") {
		for _, w := range v.At(b + ".pos") {
			_, to := v.Ends(w)
			fuse, ok := fuseAt(v, to)
			if !ok {
				continue
			}
			var steps []change
			for _, f := range []float64{1.4, 1.25, 1} {
				steps = append(steps, change{
					"batteries." + b + ".internal_fuse_A":          f * v.Number("fuses."+fuse+".rated_A", 0),
					"batteries." + b + ".internal_fuse_breaking_A": 50000.0,
				})
			}
			out = append(out, fault{fuse, steps})
		}
	}
	return out
}

// packOnPack puts the poles of a second pack on those of the first.
func packOnPack(v *oracle.Vehicle) []fault {
	if v.Kind("pack") != "batteries" || v.Kind("pack2") == "batteries" {
		return nil
	}
	second := maps.Clone(v.Get("batteries.pack").(map[string]any))
	second["connect_within_V"] = 0.5
	return only(true, "pack2", change{
		"batteries.pack2":     second,
		"wires.w_pack2_plus":  wire("pack2.pos", "pack.pos", "50 mm2", 0.02),
		"wires.w_pack2_minus": wire("pack2.neg", "pack.neg", "50 mm2", 0.02),
	})
}

// packFuseLeftOut takes the fuse of one of several packs out and leads its cable on.
func packFuseLeftOut(v *oracle.Vehicle) []fault {
	var out []fault
	for _, b := range v.IDs("batteries") {
		on := v.At(b + ".pos")
		if len(on) != 1 || v.InString(b) > 1 {
			continue
		}
		_, to := v.Ends(on[0])
		fuse, ok := fuseAt(v, to)
		behind := v.At(fuse + ".b")
		if !ok || len(behind) != 1 {
			continue
		}
		if from, _ := v.Ends(behind[0]); from != fuse+".b" {
			continue
		}
		out = append(out, fault{b, []change{{
			"fuses." + fuse: nil, v.Path(on[0]): nil, v.Path(behind[0]) + ".from": b + ".pos",
			v.Path(behind[0]) + ".length_m": 0.15,
		}}})
	}
	return out
}

// twoBoxes parts a pack in two halves with a cable between them.
func twoBoxes(v *oracle.Vehicle) []fault {
	if v.Kind("pack") != "batteries" || v.InString("pack") > 1 || len(v.IDs("batteries")) > 1 && v.Kind("pack2") == "batteries" {
		return nil
	}
	upper := maps.Clone(v.Get("batteries.pack").(map[string]any))
	delete(upper, "bms") // its switch goes by the voltage of the whole
	for _, field := range []string{"min_V", "nominal_V", "max_V", "series"} {
		if whole := v.Number("batteries.pack."+field, 0); whole > 0 {
			upper[field] = whole / 2
		}
	}
	for _, which := range []string{"min", "typ", "max"} {
		half := 1000 * v.BatteryResistance("pack", which) / 2
		if which == "min" {
			upper["resistance_mOhm"] = map[string]any{}
		}
		upper["resistance_mOhm"].(map[string]any)[which] = half
	}
	step := change{"batteries.pack": upper, "batteries.pack_low": maps.Clone(upper)}
	var cable map[string]any
	for _, id := range v.At("pack.neg") {
		from, _ := v.Ends(id)
		end := ".to"
		if from == "pack.neg" {
			end = ".from"
		}
		step[v.Path(id)+end] = "pack_low.neg"
		if v.Kind(id) == "wires" {
			cable = v.Get("wires." + id).(map[string]any)
		}
	}
	if cable == nil {
		return nil
	}
	between := func(metres float64, sheathed bool) change {
		link := maps.Clone(cable)
		link["from"], link["to"], link["length_m"], link["sheathed"] = "pack_low.pos", "pack.neg", metres, sheathed
		return merge(step, change{"wires.between": link})
	}
	return []fault{
		{"between", []change{between(0.5, false), between(0.7, false), between(1.2, false)}},
		{"between", []change{between(2.6, true)}},
	}
}
