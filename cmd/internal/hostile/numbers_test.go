package hostile

import (
	"regexp"
	"strings"
)

// never is what no number may become.
// What is quoted from the file, such as .nan, is something else.
const notANumber = `(?i)(?:^|[^.\w"])(?:NaN\b|[+-]?Inf(?:inity)?\b)|%!`

// numbers: extremes of single fields of a sound vehicle, which must be findings or be computed
// with; no result may be something that is not a number.
func numbers(l *list) {
	const class = "numbers"
	values := []struct{ name, text string }{
		{"denormal", "4.9406564584124654e-324"}, {"smallest", "1e-323"}, {"tiny", "1e-300"}, {"below", "1e-400"}, {"epsilon", "2.220446049250313e-16"},
		{"huge", "1.7976931348623157e308"}, {"above", "1e309"}, {"negative", "-1e300"}, {"minus-zero", "-0.0"}, {"zero", "0"},
	}
	fields := []struct{ name, from, to string }{
		{"resistance", "resistance_mOhm: 15", "resistance_mOhm: VALUE"},
		{"voltage", "min_V: 44.8", "min_V: VALUE"},
		{"length", "length_m: 0.15", "length_m: VALUE"},
		{"capacitance", "capacitance_uF: 2200", "capacitance_uF: VALUE"},
		{"soft", "resistance_Ohm: 470", "resistance_Ohm: VALUE"},
		{"pulse", "pulse_J: 250", "pulse_J: VALUE"},
		{"current", "current_A: 50", "current_A: VALUE"},
		{"power", "power_W: 4000", "power_W: VALUE"},
		{"coil", "resistance_Ohm: 280", "resistance_Ohm: VALUE"},
		{"lasts", "lasts_s: 30", "lasts_s: VALUE"},
		{"fuse", "rated_A: 125", "rated_A: VALUE"},
		{"bleed", "bleed_kOhm: 22", "bleed_kOhm: VALUE"},
	}
	for i, f := range fields {
		for j, v := range values {
			if v.name != "denormal" && (i+j)%3 != 0 {
				continue // each field with some, each value in some
			}
			l.add(entry{class: class, name: f.name + "-" + v.name, args: []string{"check", "-v", "--", "bad.yaml", "neighbour.yaml"}, want: told("neighbour.yaml").without(notANumber).beside(), files: func(b *box) {
				neighbour(b)
				b.write("bad.yaml", edited(b, f.from, strings.ReplaceAll(f.to, "VALUE", v.text)))
			}})
		}
	}
}

// edited is the first specification with an edit.
func edited(b *box, pairs ...string) string {
	b.t.Helper()
	text := first(b)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			b.t.Fatalf("the first specification has no %q", pairs[i])
		}
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	return text
}

// extremes: whole vehicles at the ends of what the definitions allow, in each output.
func extremes(l *list) {
	const class = "extremes"
	small := []string{"resistance_mOhm: 15", "resistance_mOhm: 1e-320", "resistance_Ohm: 470", "resistance_Ohm: 1e-300", "length_m: 0.15", "length_m: 1e-310", "capacitance_uF: 2200", "capacitance_uF: 1e-323", "bleed_kOhm: 22", "bleed_kOhm: 1e-300"}
	large := []string{"resistance_mOhm: 15", "resistance_mOhm: 100000", "resistance_Ohm: 470", "resistance_Ohm: 1000000", "length_m: 0.15", "length_m: 200", "capacitance_uF: 2200", "capacitance_uF: 1000000", "bleed_kOhm: 22", "bleed_kOhm: 100000", "current_A: 50", "current_A: 10000", "power_W: 4000", "power_W: 1000000"}
	mixed := []string{"resistance_mOhm: 15", "resistance_mOhm: 1e-320", "resistance_Ohm: 470", "resistance_Ohm: 1000000", "length_m: 0.15", "length_m: 200", "resistance_Ohm: 280", "resistance_Ohm: 1e-312"}
	for _, c := range []struct {
		name  string
		edits []string
	}{{"small", small}, {"large", large}, {"mixed", mixed}} {
		for _, args := range [][]string{
			{"check", "-v", "bad.yaml"}, {"check", "--include-passes", "--out", "json", "bad.yaml"}, {"check", "--out", "sarif", "--include-passes", "bad.yaml"},
			{"check", "--out", "markdown", "bad.yaml"}, {"check", "--out", "dotenv", "bad.yaml"}, {"ratings", "--all", "bad.yaml"}, {"ratings", "--out", "json", "bad.yaml"},
			{"explain", "precharge-resistor-energy", "bad.yaml"}, {"explain", "battery-overloaded", "bad.yaml", "pack"}, {"explain", "fuse-above-ampacity", "bad.yaml", "w4"},
		} {
			name := c.name + "-" + strings.NewReplacer("--", "", ".yaml", "", "_", "-").Replace(strings.Join(args, "-"))
			l.add(entry{class: class, name: strings.ReplaceAll(name, "--", "-"), args: args, want: held().without(notANumber), files: func(b *box) {
				b.write("bad.yaml", edited(b, c.edits...))
			}})
		}
	}
	// Conditioning: twelve orders of magnitude side by side.
	l.add(entry{class: class, name: "ill-conditioned", args: []string{"check", "-v", "bad.yaml"}, want: held().without(notANumber), files: func(b *box) {
		text := edited(b, "resistance_mOhm: 15", "resistance_mOhm: 1e-9")
		text = regexp.MustCompile(`length_m: [0-9.]+`).ReplaceAllString(text, "length_m: 1e-9")
		b.write("bad.yaml", text)
	}})
	l.add(entry{class: class, name: "no-lengths", args: []string{"check", "-v", "bad.yaml"}, want: held().without(notANumber), files: func(b *box) {
		b.write("bad.yaml", regexp.MustCompile(`length_m: [0-9.]+`).ReplaceAllString(first(b), "length_m: 1e-320"))
	}})
	l.add(entry{class: class, name: "diff", needs: []string{"git"}, args: []string{"diff", "--fail-on", "never", "--all", "HEAD"}, want: held().without(notANumber), files: func(b *box) {
		b.repository()
		b.write("bad.yaml", first(b))
		b.commit("Sound")
		b.write("bad.yaml", edited(b, mixed...))
	}})
	l.add(entry{class: class, name: "policy", args: []string{"check", "-v", "bad.yaml"}, want: held().without(notANumber), files: func(b *box) {
		b.write("bad.yaml", first(b)+"policy: {joint_resistance_mOhm: 1e-320, live_V: 1e-323, precharge_left_percent: 1e-320, discharge_s: 1e-320, battery_resistance_min_factor: 1e-320, required: {fuse-above-ampacity: 1e-320, battery-overloaded: 100}}\n")
	}})
	l.add(entry{class: class, name: "threshold", needs: []string{"git"}, args: []string{"diff", "--threshold", "1e-400", "HEAD"}, want: held().without(notANumber), files: func(b *box) {
		b.repository()
		b.write("bad.yaml", first(b))
		b.commit("Sound")
		b.write("bad.yaml", edited(b, "length_m: 0.5", "length_m: 5e-1"))
	}})
}
