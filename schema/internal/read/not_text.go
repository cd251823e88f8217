package read

import (
	"bytes"
	"unicode/utf8"

	"example.org/headroom/schema/internal/source"
)

// isText reports whether bytes are text in UTF-8.
func isText(b []byte) bool { return utf8.Valid(b) && bytes.IndexByte(b, 0) < 0 }

// isUTF16 reports whether bytes begin with the byte order mark of UTF-16. The YAML
// library reads such a file, but takes the mark alone for nothing.
func isUTF16(b []byte) bool {
	return bytes.HasPrefix(b, []byte("\xff\xfe")) || bytes.HasPrefix(b, []byte("\xfe\xff"))
}

// notText reports a file that holds bytes that are no text, at the first of them.
func notText(t *source.Text) *source.SyntaxError {
	if isUTF16(t.Bytes) {
		return &source.SyntaxError{At: t.Span(0, 2), Message: "the file is in UTF-16, as its byte order mark says; a specification is in UTF-8", Fix: "save the file as UTF-8"}
	}
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
