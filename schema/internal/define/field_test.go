package define

import "testing"

func TestFieldOf(t *testing.T) {
	for _, tt := range []struct{ path, name, words, where string }{
		{"fuses.main.breaking_A_dc", "fuses.breaking_A_dc", "breaking capacity for direct current", `"interrupting rating", "IR", "breaking capacity"`},
		{"fuses.main.opening.max.2.s", "fuses.opening.max.s", "time", ""},
		{"switches.key.poles.house.carry_A", "switches.poles.carry_A", "rated current with a resistive load", ""},
		{"fuses.main", "fuses", "fuse-links with their holders", ""},
		{path: "fuses.main.rated_V"}, // a name that misleads
		{path: "fuses.main.nothing"},
		{path: "a mode with the key off"},
	} {
		name, field := FieldOf(tt.path)
		if name != tt.name {
			t.Errorf("%s: name %q, want %q", tt.path, name, tt.name)
		}
		switch {
		case (field == nil) != (tt.name == ""):
			t.Errorf("%s: field %v", tt.path, field)
		case field != nil && (field.Words() != tt.words || field.Where() != tt.where):
			t.Errorf("%s: words %q, where %q, want %q, %q", tt.path, field.Words(), field.Where(), tt.words, tt.where)
		}
	}
}
