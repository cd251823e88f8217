package hostile

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
)

// tinyFiles: files of a byte or two. Each finding of them has a place.
func tinyFiles(l *list) {
	const class = "tiny"
	placed := func(name string) outcome { return told(name).beside() }
	for i, text := range []string{"", "0", "a", "{}", "[]", "\"\"", "\n", "_", "_|_", "#a", "...", "@a()", "''", "(1)", "-1", "\x00", "\xff\xfe", "\xef\xbb\xbf", "//", "/*", "a:", "a!", "<", "|", "null", "true", "1.", "\\", "#\"", "\r\n", "package", "import"} {
		l.add(entry{class: class, name: fmt.Sprintf("cue-%d", i), files: file("z.cue", constant(text)), args: []string{"check", "--", "z.cue", "neighbour.yaml"}, want: placed("z.cue")})
	}
	for i, text := range []string{"", "0", "-", ":", "~", "{}", "[]", "|", ">", "&a", "*a", "!", "%", "@", "`", "\"", "'", "---", "...", "? ", "\t", "\x00", "\xff", "\ufeff", "null", "#", "<<:", "=", "a: b: c"} {
		l.add(entry{class: class, name: fmt.Sprintf("yaml-%d", i), files: file("z.yaml", constant(text)), args: []string{"check", "--", "z.yaml", "neighbour.yaml"}, want: placed("z.yaml")})
	}
	for i, text := range []string{"", "0", "{", "[", "\"", "null", "{}", "[]", "\x00", "{\"\":", "\ufeff{}"} {
		l.add(entry{class: class, name: fmt.Sprintf("json-%d", i), files: file("z.json", constant(text)), args: []string{"check", "--", "z.json", "neighbour.yaml"}, want: placed("z.json")})
	}
	// A package of two bytes, and of none.
	for i, text := range []string{"", "{}", "[]", "package z", "package z\n[]", "package z\n1", "package _"} {
		l.add(entry{class: class, name: fmt.Sprintf("package-%d", i), files: file("z/z.cue", constant(text)), args: []string{"check", "--", "z", "neighbour.yaml"}, want: placed("z")})
	}
	// In every format of the report.
	for _, format := range formats {
		l.add(entry{class: class, name: "format-" + format, files: file("z.cue", constant("[]")), args: []string{"check", "--out", format, "--", "z.cue"}, want: found().or(2)})
	}
	l.add(entry{class: class, name: "explain", files: file("z.cue", constant("1")), args: []string{"explain", "modes-missing", "z.cue"}, want: held()})
	l.add(entry{class: class, name: "ratings", files: file("z.cue", constant("1")), args: []string{"ratings", "z.cue"}, want: held()})
	l.add(entry{class: class, name: "diff", needs: []string{"git"}, files: func(b *box) {
		b.repository()
		b.write("z.cue", "[]")
		b.commit("Tiny")
		b.write("z.cue", plainCUE("z"))
	}, args: []string{"diff", "HEAD", "--", "z.cue"}, want: held()})
}

// formats are those of check.
var formats = []string{"text", "sarif", "json", "markdown", "github", "gitlab", "junit", "dotenv"}

// encodings: text that is not UTF-8, or that pretends to be something else.
func encodings(l *list) {
	const class = "encodings"
	wide := func(text, mark string, order binary.AppendByteOrder) string {
		out := []byte(mark)
		for _, unit := range utf16.Encode([]rune(text)) {
			out = order.AppendUint16(out, unit)
		}
		return string(out)
	}
	packed := func(text string) string {
		var b bytes.Buffer
		w := gzip.NewWriter(&b)
		_, _ = w.Write([]byte(text))
		_ = w.Close()
		return b.String()
	}
	spec := plainYAML("bad") + "fuses: {main: {class: blade, rated_A: 5}}\n"
	for _, c := range []struct{ name, file, text string }{
		{"utf16", "bad.yaml", wide(spec, "\xff\xfe", binary.LittleEndian)},
		{"utf16-unmarked", "bad.yaml", wide(spec, "", binary.BigEndian)},
		{"utf16-json", "bad.json", wide(plainJSON("bad", ""), "\xff\xfe", binary.LittleEndian)},
		{"utf16-cue", "bad.cue", wide(plainCUE("bad"), "\xfe\xff", binary.BigEndian)},
		{"utf16-odd", "bad.yaml", "\xff\xfe\x00"},
		{"utf32", "bad.yaml", "\xff\xfe\x00\x00h\x00\x00\x00"},
		{"gzip", "bad.yaml", packed(spec)},
		{"gzip-bomb", "bad.yaml", packed(rep(64<<20, "\x00"))},
		{"overlong", "bad.yaml", plainYAML("bad") + "x: \xc0\x80\xe0\x80\x80\n"},
		{"surrogates-raw", "bad.cue", plainCUE("bad") + "_x: \"\xed\xa0\x80\"\n"},
		{"marks", "bad.yaml", rep(100000, "\ufeff") + spec},
		{"mark-json", "bad.json", "\ufeff" + plainJSON("bad", "")},
		{"mark-cue", "bad.cue", "\ufeff\ufeff" + plainCUE("bad")},
		{"nul-start", "bad.yaml", "\x00" + spec},
		{"nul-many", "bad.yaml", rep(1<<20, "\x00")},
		{"nul-cue", "bad.cue", plainCUE("bad") + "_x: \"\x00\"\n"},
		{"high-bytes", "bad.yaml", rep(1<<20, "\xff")},
		{"high-bytes-cue", "bad.cue", rep(1<<20, "\xff")},
		{"elf", "bad.yaml", "\x7fELF" + rep(1000, "\x00\x01\x02")},
		{"combining", "bad.yaml", plainYAML("bad") + "x: a" + rep(500000, "\u0301") + "\n"},
		{"combining-field", "bad.yaml", plainYAML("bad") + "a" + rep(50000, "\u0301") + ": 1\n"},
		{"line-separators", "bad.yaml", strings.ReplaceAll(spec, "\n", "\u2028")},
		{"next-lines", "bad.yaml", strings.ReplaceAll(spec, "\n", "\u0085")},
		{"form-feeds", "bad.yaml", strings.ReplaceAll(spec, "\n", "\f")},
		{"look-alike", "bad.yaml", strings.ReplaceAll(spec, "headroom", "he\u0430droom")},
		{"full-width", "bad.yaml", strings.ReplaceAll(spec, "1", "\uff11")},
		{"private", "bad.cue", plainCUE("bad") + "_x: \"\U0010ffff\ue000\ufffe\"\n\ue000: 1\n"},
		{"escaped-keys", "bad.yaml", strings.NewReplacer("headroom", `"\x68eadroom"`, "vehicle", `"\u0076ehicle"`).Replace(spec)},
	} {
		// What is not read because nobody would take it for a specification is no finding.
		l.add(entry{class: class, name: c.name, files: file(c.file, constant(c.text)), args: []string{"check", "--", c.file, "neighbour.yaml"}, want: told("bad").beside()})
	}
	for _, c := range []struct{ name, text string }{{"utf16", wide(spec, "\xff\xfe", binary.LittleEndian)}, {"gzip", packed(spec)}, {"nul", "\x00\x00"}, {"bytes", rep(100, "\xff")}} {
		l.add(entry{class: class, name: "input-" + c.name, stdin: func(*box) string { return c.text }, args: []string{"check", "-"}, want: held()})
	}
}
