package output

import (
	"strings"

	"example.org/headroom/cmd/internal/report"
)

// markdownSafe escapes text of a specification for a page of a code host: it
// must neither format, nor link, nor mention anybody, nor hold markup.
func markdownSafe(s string) string {
	s = report.Plain(s)
	var b strings.Builder
	for _, r := range s {
		switch r {
		case '&':
			b.WriteString("&amp;")
		case '<':
			b.WriteString("&lt;")
		case '>':
			b.WriteString("&gt;")
		case '@': // no mention of an account
			b.WriteString("&#64;")
		case '#': // no reference to an issue
			b.WriteString("&#35;")
		case ':': // no emoji, no address that becomes a link
			b.WriteString("&#58;")
		case '\\', '`', '*', '_', '[', ']', '(', ')', '|', '~', '!', '$':
			b.WriteByte('\\')
			b.WriteRune(r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// mermaidSafe makes text fit for a label between quotes in a Mermaid diagram.
func mermaidSafe(s string) string {
	return strings.NewReplacer(`"`, "#quot;", "#", "#35;", "<", "#lt;", ">", "#gt;", "&", "#amp;", "`", "#96;").Replace(report.Plain(s))
}
