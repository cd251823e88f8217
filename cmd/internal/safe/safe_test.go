package safe

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

func TestPlain(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"ordinary", "Reiher-Lastenrad für 2 Personen, 5 Ω, 70 °C", "Reiher-Lastenrad für 2 Personen, 5 Ω, 70 °C"},
		{"lines", "two\nlines\r", `two\nlines\r`},
		{"colour", "\x1b[31mred", `\x1b[31mred`},
		{"controls of eight bits", "a\u009bb\u0085", `a\u009bb\u0085`},
		{"order of reading", "a\u202eb", `a\u202eb`},
		{"tags", "a\U000e0041b", `a\U000e0041b`},
		{"invalid bytes", "a\xffb\xe2\x80", `a\xffb\xe2\x80`},
		{"what joins emoji, in its place", "⚡\ufe0f 👩\u200d🔧 1\ufe0f\u20e3", "⚡\ufe0f 👩\u200d🔧 1\ufe0f\u20e3"},
		{"the same elsewhere", "a\ufe0fb\u200dc 👩\u200dx", `a\ufe0fb\u200dc 👩\u200dx`},
		{"quotes", `it's "so"`, `it's "so"`},
		{"a backslash stays", `C:\x`, `C:\x`},
	}
	for _, tt := range tests {
		if got := Plain(tt.in); string(got) != tt.want {
			t.Errorf("%s: Plain(%q) = %q, want %q", tt.name, tt.in, got, tt.want)
		}
	}
}

func TestLongTextIsCut(t *testing.T) {
	for _, letter := range []string{"x", "Ω", "\u202e"} {
		got := string(Plain(strings.Repeat(letter, 5000)))
		if want := " ... (cut; 5000 characters)"; !strings.HasSuffix(got, want) {
			t.Errorf("the end of %d times %q is %q, want %q", 5000, letter, got[len(got)-40:], want)
		}
		if n := utf8.RuneCountInString(got); n > 7*Longest {
			t.Errorf("%d characters are left", n)
		}
	}
	if s := strings.Repeat("x", Longest+slack); string(Plain(s)) != s {
		t.Error("a text that is hardly too long is cut")
	}
}

func TestStream(t *testing.T) {
	tests := []struct {
		name   string
		passes Passes
		pieces []string
		want   string
	}{
		{"text", Text, []string{"a: b\n", "\tc # d ## e\n"}, "a: b\n\tc # d ## e\n"},
		{"a command in a line", Text, []string{"a ##[error]b ##vso[c]\n"}, `a #\u0023[error]b #\u0023vso[c]` + "\n"},
		{"in pieces", Text, []string{"a #", "#", "vso[c]", "b##", "[x]\n"}, `a #\u0023vso[c]b#\u0023[x]` + "\n"},
		{"a command at the start", Text, []string{"::error::a\n \t\u3000::add-mask::b\n a::b::c\n"}, `\u003a:error::a` + "\n \t\u3000" + `\u003a:add-mask::b` + "\n a::b::c\n"},
		{"colons in pieces", Text, []string{":", ":error::a\n", "a", ":", ":b\n"}, `\u003a` + `:error::a` + "\na::b\n"},
		{"one colon", Text, []string{": a\n"}, ": a\n"},
		{"codes of colour are no text", Text, []string{"\x1b[1ma\x1b[0m"}, `\x1b[1ma\x1b[0m`},
		{"those of the program pass", Colours, []string{"\x1b[1;31ma\x1b[0m\x1b[8mb\x1b]0;c"}, "\x1b[1;31ma\x1b[0m" + `\x1b[8mb\x1b]0;c`},
		{"annotations pass", Commands, []string{"::error file=a::b\n::warning ::c\n::set-output name=x::d\n"}, "::error file=a::b\n::warning ::c\n" + `\u003a:set-output name=x::d` + "\n"},
		{"what hides text", Text, []string{"a\u202eb\rc\x00d\xff\n"}, `a\u202eb\rc\x00d\xff` + "\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var b strings.Builder
			w := Stream(&b, tt.passes)
			for _, piece := range tt.pieces {
				if n, err := w.Write([]byte(piece)); n != len(piece) || err != nil {
					t.Fatal(n, err)
				}
			}
			if diff := cmp.Diff(tt.want, b.String()); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if twice := Stream(Stream(&b, tt.passes), tt.passes); twice != Stream(twice, tt.passes) {
				t.Error("a stream is wrapped twice")
			}
		})
	}
}

// What JSON rewrites means the same to a reader.
func TestJSON(t *testing.T) {
	for _, s := range []string{
		"ordinary für Ω", "a##[b]", "###", "a\u202eb\u200b\U000e0041", "\x7f\u0085\u2028", `\\##"\u0041`, "\ufffd", "⚡\ufe0f", strings.Repeat("x", LongestString),
	} {
		data, err := json.Marshal(map[string]string{s: s})
		if err != nil {
			t.Fatal(err)
		}
		got := JSON(data)
		var back map[string]string
		if err := json.Unmarshal(got, &back); err != nil {
			t.Fatalf("%q: %v", got, err)
		}
		if back[s] != s {
			t.Errorf("%q has become %q", s, got)
		}
		if bytes.Contains(got, []byte("##")) || bytes.ContainsFunc(got, unsafe) {
			t.Errorf("%q is as it was: %q", s, got)
		}
		if again := JSON(got); !bytes.Equal(again, got) {
			t.Errorf("%q becomes %q", got, again)
		}
	}
	long, _ := json.Marshal(strings.Repeat("Ω", 3*LongestString))
	var back string
	if err := json.Unmarshal(JSON(long), &back); err != nil || !strings.HasSuffix(back, " ... (cut; 30000 characters)") {
		t.Errorf("%v, the end of a long string is %q", err, back[len(back)-40:])
	}
	again, _ := json.Marshal(back)
	if !bytes.Equal(JSON(again), again) {
		t.Error("what was cut is cut again")
	}
}

func TestPages(t *testing.T) {
	tests := []struct{ in, markdown, html string }{
		{"w1 carries 220 A: too much", "w1 carries 220 A: too much", "w1 carries 220 A: too much"},
		{"a_b|c", `a\_b\|c`, "a_b|c"},
		{"<b>", "&lt;b&gt;", "&lt;b&gt;"},
		{"@team", "<code>&#64;</code>team", "<code>@</code>team"},
		{"@@a", "&#64;<code>&#64;</code>a", "@<code>@</code>a"},
		{"see #12", "see <code>&#35;</code>12", "see <code>#</code>12"},
		{"https://a", "https<code>://</code>a", "https<code>://</code>a"},
		{":a:b:", "<code>:</code>a<code>:</code>b:", "<code>:</code>a<code>:</code>b:"},
		{"a.yaml:12:5", "a.yaml:12:5", "a.yaml:12:5"},
		{"/close", "&#47;close", "&#47;close"},
	}
	for _, tt := range tests {
		if got := Markdownf("%s", tt.in); string(got) != tt.markdown {
			t.Errorf("%q is %q in markdown, want %q", tt.in, got, tt.markdown)
		}
		if got := HTMLf("%s", tt.in); string(got) != tt.html {
			t.Errorf("%q is %q in HTML, want %q", tt.in, got, tt.html)
		}
	}
}

func TestMessages(t *testing.T) {
	tests := []struct{ in, want string }{
		{"{0}", "{{0}}"},
		{"[a] b", "[a] b"},
		{"[a](1)", `\[a\](1)`},
		{`\[a](1)`, `\\\[a\](1)`},
	}
	for _, tt := range tests {
		if got := Say(tt.in); string(got) != tt.want {
			t.Errorf("%q is %q, want %q", tt.in, got, tt.want)
		}
	}
	if got, want := Link("a] {b", 3), Message(`[a\] {{b](3)`); got != want {
		t.Errorf("a link is %q, want %q", got, want)
	}
}
