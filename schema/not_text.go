package schema

import (
	"bytes"
	"unicode/utf8"
)

// isText reports whether bytes are text in UTF-8.
func isText(b []byte) bool { return utf8.Valid(b) && bytes.IndexByte(b, 0) < 0 }

// notText reports a file that holds bytes that are no text, at the first of them.
func notText(t *text) *syntaxError {
	at := 0
	for at < len(t.bytes) && t.bytes[at] != 0 {
		r, size := utf8.DecodeRune(t.bytes[at:])
		if r == utf8.RuneError && size <= 1 {
			break
		}
		at += size
	}
	return &syntaxError{span{t, min(at, len(t.bytes)), min(at+1, len(t.bytes))}, "the file holds bytes that are not text", "save the file as UTF-8"}
}
