package suggest

import "testing"

func TestNearest(t *testing.T) {
	commands := []string{"check", "ratings", "explain", "rules", "schema", "init", "version"}
	tests := []struct {
		word, want string
	}{
		{"chekc", "check"},
		{"CHECK", "check"},
		{"rating", "ratings"},
		{"rule", "rules"},
		{"expl", "explain"}, // a beginning counts
		{"checking", "check"},
		{"xyzzy", ""},
		{"", ""},
		{"it", ""},
	}
	for _, tt := range tests {
		got, ok := Nearest(tt.word, commands)
		if got != tt.want || ok != (tt.want != "") {
			t.Errorf("Nearest(%q) = %q, %v, want %q", tt.word, got, ok, tt.want)
		}
	}
	if got, ok := Nearest("check", nil); ok {
		t.Errorf("Nearest of nothing = %q", got)
	}
}
