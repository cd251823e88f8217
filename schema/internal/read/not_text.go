package read

import (
	"bytes"
	"unicode/utf8"

	"example.org/headroom/schema/internal/source"
)

// isText reports whether bytes are text in UTF-8.
func isText(b []byte) bool { return utf8.Valid(b) && bytes.IndexByte(b, 0) < 0 }

// notText reports a file that holds bytes that are no text, at the first of them.
func notText(t *source.Text) *source.SyntaxError {
	at := 0
	for at < len(t.Bytes) && t.Bytes[at] != 0 {
		r, size := utf8.DecodeRune(t.Bytes[at:])
		if r == utf8.RuneError && size <= 1 {
			break
		}
		at += size
	}
	return &source.SyntaxError{At: t.Span(min(at, len(t.Bytes)), min(at+1, len(t.Bytes))), Message: "the file has bytes that are not text", Fix: "save the file as UTF-8"}
}
