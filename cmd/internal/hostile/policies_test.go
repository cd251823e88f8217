package hostile

import (
	"fmt"
	"strings"
)

// policies: what tunes the checks, from a vehicle and from a library. None of it makes a run
// pass without a word, or brings a rule to divide by nothing.
func policies(l *list) {
	const class = "policies"
	for _, c := range []struct{ name, policy string }{
		{"required-tiny", "required: {fuse-above-ampacity: 1e-300}"},
		{"required-zero", "required: {fuse-above-ampacity: 0}"},
		{"required-negative", "required: {fuse-above-ampacity: -1}"},
		{"required-huge", "required: {fuse-above-ampacity: 1e300}"},
		{"required-unknown", "required: {no-such-rule: 1}"},
		{"required-all", "required: {" + lines(3000, "rule-%d: 1, ") + "}"},
		{"levels-unknown", "levels: {no-such-rule: note}"},
		{"levels-of-waivers", "levels: {waiver-expired: note, policy-lowered: note, spec-unknown-field: note}"},
		{"levels-nothing", "levels: {fuse-above-ampacity: never}"},
		{"levels-list", "levels: [note]"},
		{"terminal-hot", "terminal_max_C: 500"},
		{"terminal-cold", "terminal_max_C: -80"},
		{"insulation-cold", "insulation_max_C: -80"},
		{"factors", "battery_resistance_min_factor: 1e-320"},
		{"diode", "diode_forward_V: 1e-320"},
		{"contact", "contact_drop_mV: 1e-320"},
		{"fuse-drop", "fuse_drop_mV: 1e-320"},
		{"joints", "joint_resistance_mOhm: 1000"},
		{"converter", "converter_efficiency_percent: 1e-320"},
		{"live", "live_V: 1e-320"},
		{"standby", "standby_days: 1e-320"},
		{"collapse", "collapse_fraction: 1e-320"},
		{"discharge", "discharge_s: 1e-320"},
		{"clearing", "fault_clearing_s: 1e-320"},
		{"lugs", "stud_lugs: 1.0000000001"},
		{"pollution", "pollution_degree: 2.0"},
		{"null", "null"},
	} {
		text := "policy: {" + c.policy + "}\n"
		if c.policy == "null" {
			text = "policy: null\n"
		}
		l.add(entry{class: class, name: c.name, args: []string{"check", "-v", "--", "bad.yaml", "neighbour.yaml"}, want: found().or(2).without(notANumber).beside(), files: func(b *box) {
			neighbour(b)
			b.write("bad.yaml", first(b)+text)
		}})
		if len(c.name)%2 == 0 && c.policy != "null" {
			l.add(entry{class: class, name: c.name + "-library", args: []string{"check", "--", "van", "neighbour.yaml"}, want: found().or(2).without(notANumber).beside(), files: func(b *box) {
				neighbour(b)
				module(b)
				quoted := strings.NewReplacer("fuse-above-ampacity", `"fuse-above-ampacity"`, "no-such-rule", `"no-such-rule"`, "waiver-expired", `"waiver-expired"`, "policy-lowered", `"policy-lowered"`, "spec-unknown-field", `"spec-unknown-field"`, ": note", `: "note"`, ": never", `: "never"`, "[note]", `["note"]`).Replace(c.policy)
				if strings.HasPrefix(c.name, "required-all") {
					quoted = "required: {" + joined(3000, func(i int) string { return fmt.Sprintf("\"rule-%d\": 1, ", i) }) + "}"
				}
				b.write("shared/policy.cue", "package shared\n\npolicy: {"+quoted+"}\n")
				b.write("van/van.cue", "package van\n\nimport \"example.org/fleet/shared\"\n\npolicy: shared.policy\n"+firstJSON(b)+"\n")
			}})
		}
	}
}

// waiversList: what accepts findings.
func waiversList(l *list) {
	const class = "waivers"
	entryOf := func(rule, subject, reason, by, expires, more string) string {
		return fmt.Sprintf("{rule: %s, subject: %s, reason: %s, approved_by: %s, expires: %s%s}", rule, subject, reason, by, expires, more)
	}
	usual := func(expires string) string {
		return entryOf("modes-missing", "vehicle", "a good reason", "lead", expires, "")
	}
	for _, c := range []struct{ name, waivers string }{
		{"day-none", usual(`"0000-00-00"`)},
		{"day-odd", usual(`"2027-02-30"`)},
		{"day-month", usual(`"2027-13-01"`)},
		{"day-far", usual(`"9999-12-31"`)},
		{"day-number", usual("20270101")},
		{"day-time", usual("2027-01-01T00:00:00Z")},
		{"day-full-width", usual(`"２０２７-01-01"`)},
		{"reason-blank", entryOf("modes-missing", "vehicle", `" "`, "lead", "2030-01-01", "")},
		{"reason-zero-width", entryOf("modes-missing", "vehicle", `"\u200b \u200b"`, "lead", "2030-01-01", "")},
		{"by-nobody", entryOf("modes-missing", "vehicle", "a good reason", `"\u200b"`, "2030-01-01", "")},
		{"of-syntax", entryOf("spec-unknown-field", "fuses.main", "a good reason", "lead", "2030-01-01", "")},
		{"of-itself", entryOf("waiver-unused", "vehicle", "a good reason", "lead", "2030-01-01", "")},
		{"of-all", entryOf(`"*"`, `"*"`, "a good reason", "lead", "2030-01-01", "")},
		{"of-expression", entryOf(`".*"`, `".*"`, "a good reason", "lead", "2030-01-01", "")},
		{"down-to-tiny", entryOf("modes-missing", "vehicle", "a good reason", "lead", "2030-01-01", ", down_to: 1e-320")},
		{"down-to-huge", entryOf("modes-missing", "vehicle", "a good reason", "lead", "2030-01-01", ", down_to: 1e300")},
		{"down-to-nothing", entryOf("modes-missing", "vehicle", "a good reason", "lead", "2030-01-01", ", down_to: .nan")},
		{"many", strings.TrimSuffix(rep(3000, usual("2030-01-01")+", "), ", ")},
		{"scalar", "1"}, {"null", "null"}, {"nested", "[[[]]]"},
	} {
		for _, today := range []string{"2027-01-01", "9999-12-31"} {
			if today != "2027-01-01" && len(c.name)%2 == 0 {
				continue
			}
			name := c.name
			if today != "2027-01-01" {
				name += "-late"
			}
			l.add(entry{class: class, name: name, args: []string{"check", "-v", "--today", today, "--", "./..."}, want: found().or(2).without(notANumber).beside(), files: func(b *box) {
				neighbour(b)
				b.write("bad.yaml", plainYAML("bad")+"fuses: {main: {class: blade, rated_A: 5, rated_V: 1}}\nwaivers: ["+c.waivers+"]\n")
			}})
		}
	}
}
