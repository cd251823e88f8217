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

func TestDistance(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"", "", 0},
		{"", "abc", 3},
		{"kitten", "sitting", 3},
		{"ca", "ac", 1}, // a swap is one slip
		{"fuse", "fuse", 0},
	}
	for _, tt := range tests {
		if got := distance(tt.a, tt.b); got != tt.want {
			t.Errorf("distance(%q, %q) = %d, want %d", tt.a, tt.b, got, tt.want)
		}
		if got := distance(tt.b, tt.a); got != tt.want {
			t.Errorf("distance(%q, %q) = %d, want %d", tt.b, tt.a, got, tt.want)
		}
	}
}
