package input

import (
	"strings"
	"testing"
)

func TestTooMany(t *testing.T) {
	tests := []struct {
		name, content string
		want          bool // with room for 3 values
	}{
		{"lines of YAML", "a: 1\nb: 2\nc: 3\n", false},
		{"a line more", "a: 1\nb: 2\nc: 3\nd: 4\n", true},
		{"one line", "a: [1, 2, 3]\n", false},
		{"one line with more", "a: [1, 2, 3, 4]\n", true},
		{"commas at the ends of lines count once", "{\n\"a\": 1,\n\"b\": 2,\n\"c\": 3\n}", false},
		{"empty lines count nothing", "\n\n\n\n\na: 1\n\n\n\n", false},
		{"lines that end in a carriage return", "- 1\r- 2\r- 3\r- 4\r", true},
		{"lines that end in both", "a: 1\r\nb: 2\r\nc: 3\r\n", false},
		{"lines that end as Unicode has it", "- 1\u2028- 2\u2028- 3\u0085- 4\u2029", true},
		{"nothing", "", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := TooMany([]byte(tt.content), 3); (got != nil) != tt.want {
				t.Errorf("excess %+v, want one: %v", got, tt.want)
			}
		})
	}
}

func TestTooChained(t *testing.T) {
	long := func(link string, n int) string { return "x: a" + strings.Repeat(link, n) + "\n" }
	comment := "// " + strings.Repeat("a file that is long enough to be looked through ", 100) + "\n"
	tests := []struct {
		name, content, want string // in the message, "" for none
	}{
		{"fields", strings.Repeat("a: {b: 1, c: [1, 2, 3]}\n", 1000), ""},
		{"a long list", "x: [" + strings.Repeat("1, ", 5000) + "1]\n", ""},
		{"alternatives", long(" | 1", 400), ""},
		{"operators", long(" & a", 2000), "more than 1000 parts"},
		{"operators over lines", long(" &\n\ta", 2000), "more than 1000 parts"},
		{"selectors", long(".a", 2000), "more than 1000 parts"},
		{"indices", long("[0]", 2000), "more than 1000 parts"},
		{"labels", strings.Repeat("a: ", 2000) + "1\n", "more than 1000 parts"},
		{"signs", "x: " + strings.Repeat("-", 5000) + "1\n", "more than 1000 parts"},
		{"clauses", "x: [" + strings.Repeat("for a in x ", 2000) + "{}]\n", "more than 1000 parts"},
		{"brackets", "x: " + strings.Repeat("[", 2000) + strings.Repeat("]", 2000), "more than 400 brackets"},
		{"closing brackets alone", "x: " + strings.Repeat("]", 5000), ""}, // the parser stops at the first
		{"a long text", "x: \"" + strings.Repeat("a", 70_000) + "\"\n", "longer than 65536 bytes"},
		{"a long number", "x: " + strings.Repeat("9", 70_000) + "\n", "longer than 65536 bytes"},
		{"a long comment", "// " + strings.Repeat("a", 70_000) + "\nx: 1\n", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			switch got := TooChained([]byte(comment + tt.content)); {
			case tt.want == "" && got != nil:
				t.Errorf("excess %+v, want none", got)
			case tt.want != "" && (got == nil || !strings.Contains(got.Message, tt.want)):
				t.Errorf("excess %+v, want one with %q", got, tt.want)
			case got != nil && (got.From < len(comment) || got.To <= got.From):
				t.Errorf("the excess is at %d to %d", got.From, got.To)
			}
		})
	}
}
