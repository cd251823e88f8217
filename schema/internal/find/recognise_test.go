package find

import (
	"strings"
	"testing"
	"unicode/utf16"
)

// wide encodes a text in UTF-16 or UTF-32.
func wide(s string, unit int, big, mark bool) string {
	var codes []uint32
	if mark {
		s = "\ufeff" + s
	}
	if unit == 2 {
		for _, c := range utf16.Encode([]rune(s)) {
			codes = append(codes, uint32(c))
		}
	} else {
		for _, c := range s {
			codes = append(codes, uint32(c))
		}
	}
	var b strings.Builder
	for _, c := range codes {
		for i := range unit {
			shift := 8 * i
			if big {
				shift = 8 * (unit - 1 - i)
			}
			b.WriteByte(byte(c >> shift))
		}
	}
	return b.String()
}

func TestPlainText(t *testing.T) {
	const text = "# a cart: 5 \u03a9\nheadroom: 1\nvehicle: {name: Cart}\n"
	cases := map[string]string{
		"as it is":            text,
		"byte order mark":     "\ufeff" + text,
		"carriage returns":    strings.ReplaceAll(text, "\n", "\r"),
		"both":                strings.ReplaceAll(text, "\n", "\r\n"),
		"next lines":          strings.ReplaceAll(text, "\n", "\u0085"),
		"line separators":     strings.ReplaceAll(text, "\n", "\u2028"),
		"escapes":             strings.NewReplacer("headroom", `\x68eadr\u006Fo\U0000006d`, "Cart", `C\u0061rt`).Replace(text),
		"separators, UTF-16":  wide(strings.ReplaceAll(text, "\n", "\u2028"), 2, false, true),
		"carriage, UTF-32":    wide(strings.ReplaceAll(text, "\n", "\r"), 4, true, false),
		"UTF-16 little, mark": wide(text, 2, false, true), "UTF-16 big, mark": wide(text, 2, true, true),
		"UTF-16 little": wide(text, 2, false, false), "UTF-16 big": wide(text, 2, true, false),
		"UTF-32 little, mark": wide(text, 4, false, true), "UTF-32 big, mark": wide(text, 4, true, true),
		"UTF-32 little": wide(text, 4, false, false), "UTF-32 big": wide(text, 4, true, false),
	}
	for name, content := range cases {
		if got := string(PlainText([]byte(content))); got != text {
			t.Errorf("%s: %q", name, got)
		}
	}
	for _, other := range []string{"", "x", `a\nb \x0a \u0022 \x7f`, "\xff\x00\x01", "Gr\xfc\xdfe"} {
		if got := string(PlainText([]byte(other))); got != other {
			t.Errorf("%q became %q", other, got)
		}
	}
}
