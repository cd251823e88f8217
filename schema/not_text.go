package schema

import "unicode/utf8"

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
