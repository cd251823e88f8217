package safe

import (
	"fmt"
	"html"
	"regexp"
	"strings"
	"sync"
)

// active finds what a code host makes more of than text although no markup is in it:
// mentions and references of both great hosts, addresses, emoji by name. Group 1 is
// what is set apart, so that the whole means nothing any more. It takes milliseconds to
// compile, and most runs write no page.
var active = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)(@)(?:[\pL\pN_-]|$)|([#!])(?:[0-9]|$)|([%~$&^])[\pL\pN"_]|(://)|\b(www\.|mailto:|xmpp:)|\b(GH)-[0-9]|(:)(?:[a-z_+-][a-z0-9_+-]*|100|1234|8ball):`)
})

// inPage escapes one line of text for a page of a code host: it must neither format,
// nor link, nor mention anybody, nor hold markup. What a host looks for in the text
// once it is formatted is put between <code>, where no host looks: entities and
// backslashes are gone by then.
func inPage(s string, letter func(rune) string) string {
	if !strings.ContainsFunc(s, suspect) {
		return s
	}
	var b strings.Builder
	write := func(part string) {
		for _, r := range part {
			b.WriteString(letter(r))
		}
	}
	// A quick action of a comment begins a line.
	if strings.HasPrefix(s, "/") {
		b.WriteString("&#47;")
		s = s[1:]
	}
	for s != "" {
		from, to := -1, -1
		if at := active().FindStringSubmatchIndex(s); at != nil {
			for i := 2; i < len(at); i += 2 {
				if at[i] >= 0 {
					from, to = at[i], at[i+1]
				}
			}
		}
		if from < 0 {
			write(s)
			break
		}
		write(s[:from])
		b.WriteString("<code>")
		write(s[from:to])
		b.WriteString("</code>")
		s = s[to:]
	}
	return b.String()
}

// suspect reports letters of which something active or markup may be made.
func suspect(r rune) bool {
	return r < 0x80 && strings.ContainsRune("&<>@#:\\`*_[]()|~!$%^/\"'-.", r)
}

// markdownLetter is a letter in a page of markdown.
func markdownLetter(r rune) string {
	switch r {
	case '&', '<', '>':
		return html.EscapeString(string(r))
	case '@':
		return "&#64;"
	case '#':
		return "&#35;"
	case '\\', '`', '*', '_', '[', ']', '(', ')', '|', '~', '!', '$':
		return "\\" + string(r)
	}
	return string(r)
}

// htmlLetter is a letter in HTML.
func htmlLetter(r rune) string { return html.EscapeString(string(r)) }

var codeSpan = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 .,:/_+@#%=-]*$`)

// Code is a name from outside in the type of code where it is a simple one, else as
// text.
func Code(s string) Markdown {
	if len(s) <= Longest && codeSpan.MatchString(s) && !strings.HasSuffix(s, " ") {
		return "`" + Markdown(s) + "`"
	}
	return Mark(s)
}

// Label is text from outside for a label between quotes in a Mermaid diagram.
func Label(s string) Markdown {
	return Markdown(strings.NewReplacer(`"`, "#quot;", "#", "#35;", "<", "#lt;", ">", "#gt;", "&", "#amp;", "`", "#96;",
		"%", "#37;", "{", "#123;", "}", "#125;", "\\", "#92;").Replace(plain(s)))
}

// Node is the name of a node in a Mermaid diagram for the id of a part.
func Node(id string) Markdown {
	var b strings.Builder
	for _, r := range id {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_' {
			b.WriteRune(r)
		} else { // in no id, but ids may be told apart still
			fmt.Fprintf(&b, "X%x", r)
		}
	}
	return Markdown("p_" + b.String())
}

// message escapes text for a message in SARIF: braces stand for arguments and are
// doubled (3.11.5), and brackets before an address are a link (3.11.6).
func message(s string) string {
	s = strings.NewReplacer("{", "{{", "}", "}}").Replace(s)
	if strings.Contains(s, "](") {
		return brackets(s)
	}
	return s
}

func brackets(s string) string {
	return strings.NewReplacer(`\`, `\\`, `[`, `\[`, `]`, `\]`).Replace(s)
}

// Link is a link in a SARIF message to the place of a number among the related ones.
func Link(text string, place int) Message {
	doubled := strings.NewReplacer("{", "{{", "}", "}}").Replace(plain(text))
	return Messagef("[%s](%d)", Message(brackets(doubled)), place)
}

// Folded is a piece of a page that a reader unfolds by its title.
func Folded(title HTML, body Markdown) Markdown {
	return "<details><summary>" + Markdown(title) + "</summary>\n" + body + "\n</details>\n"
}
