package schema_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/headroom/schema"
)

// TestSuggestions checks that what is suggested is of the same kind as what was
// written, and that nothing is suggested where only the letters are alike.
func TestSuggestions(t *testing.T) {
	for _, test := range []struct {
		text, about string // the mistake is in a path or a message that holds about
		want        string // in the message and the fix; "" for no suggestion
	}{
		{"plugs: x1: {rated_A: 50, pins: 2}", "plugs", ""},
		{"plugs: {}", "plugs", ""},
		{"engines: m1: {min_V: 40, max_V: 60, notes: \"hub\"}", "engines", ""},
		{"engines: {}", "engines", ""},
		{"fuzes: f1: {class: \"blade\", rated_A: 5}", "fuzes", "rename it to fuses"},
		{"fuse: {}", "fuse", "rename it to fuses"}, // one letter is a slip whatever it holds
		{"metres: m1: {shows: \"voltage\", min_V: 40}", "metres", "rename it to meters"},
		{"batteries: d: {rated_V_ac: 230}", "rated_V_ac", ""},
		{"disconnects: d: {rated_Vdc: 96}", "rated_Vdc", "rename it to rated_V_dc"},
		{"disconnects: d: {breaking_V_ac: 230}", "breaking_V_ac", ""},
		{"batteries: b: {charge_max_C: 45}", "charge_max_C", ""},
		{"batteries: b: {charge_max_mA: 45}", "charge_max_mA", "charge_max_A: 0.045"},
		{"zones: z: {rise_C: 10}", "rise_C", "rename it to rise_K"},
		{"fuses: f1: {class: \"blade\", rated_A: 5}\nwires: w: {from: \"r1.a\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", `"r1"`, ""},
		{"fuses: k1: {class: \"blade\", rated_A: 5}\nwires: w: {from: \"k2.a\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", `"k2"`, ""},
		{"fuses: main1: {class: \"blade\", rated_A: 5}\nwires: w: {from: \"mian1.a\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", `"mian1"`, `"main1"`},
		{"controllers: mc1: {min_V: 40, max_V: 60}\nwires: w: {from: \"mc1.coil_out\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", "wires.w.from", "declare coil_out, the output that drives a coil, on mc1"},
		{"disconnects: sw: {}\nwires: w: {from: \"sw.b2\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", "wires.w.from", "set poles: 2 on sw"},
		{"studs: s1: {}\nwires: w: {from: \"s1.a2\", to: \"chassis\", size: \"1 mm2\", length_m: 1}", "wires.w.from", "write s1. and one of stud"},
	} {
		text := "headroom: 1\nvehicle: {name: \"a\", use: \"off-road\", chassis: \"isolated\"}\n" + test.text + "\n"
		l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: "cue"}, schema.Options{Stdin: strings.NewReader(text), StdinName: "cart.cue"})
		i := slices.IndexFunc(l.Problems, func(p schema.Problem) bool {
			return strings.Contains(p.Path, test.about) || strings.Contains(p.Message, test.about)
		})
		if i < 0 {
			t.Errorf("%s: no problem about %s: %v", test.text, test.about, l.Problems)
			continue
		}
		said := l.Problems[i].Message + " / " + l.Problems[i].Fix
		suggested := strings.Contains(said, "did you mean") || strings.Contains(said, "rename it") || strings.Contains(said, " for \"")
		if test.want == "" && suggested || !strings.Contains(said, test.want) {
			t.Errorf("%s: %s; want %q", test.text, said, test.want)
		}
	}
}
