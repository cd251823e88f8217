package output

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	renderer "github.com/yuin/goldmark/renderer/html"
	"golang.org/x/net/html"
)

// reading is what a reader makes of an output: its structure without the texts, and
// the texts.
type reading struct {
	structure []string
	texts     []string
}

// like is an error unless the structure is that of harmless text.
func (r reading) like(t *testing.T, plain reading) {
	t.Helper()
	if slices.Equal(r.structure, plain.structure) {
		return
	}
	for i, part := range r.structure {
		if i >= len(plain.structure) || part != plain.structure[i] {
			t.Errorf("text changes the structure of the output: part %d of %d is %q, with harmless text there are %d", i, len(r.structure), part, len(plain.structure))
			return
		}
	}
	t.Errorf("text takes %d parts of the structure away", len(plain.structure)-len(r.structure))
}

// shows is an error unless the letters of a text are there, in order.
func (r reading) shows(t *testing.T, text string) {
	t.Helper()
	letters := regexp.MustCompile(`[a-z]`).FindAllString(text, -1)
	for _, got := range r.texts {
		at := 0
		for _, letter := range letters {
			i := strings.Index(got[at:], letter)
			if i < 0 {
				at = -1
				break
			}
			at += i + 1
		}
		if at >= 0 {
			return
		}
	}
	t.Errorf("nothing is left of %q", text)
}

func (r reading) has(text string) bool {
	return slices.ContainsFunc(r.texts, func(s string) bool { return strings.Contains(s, text) })
}

func readers(t *testing.T) map[string]func(*testing.T, string) reading {
	validator := sarifValidator(t)
	return map[string]func(*testing.T, string) reading{
		"log": readLog, "commands": readCommands, "page": readPage, "json": readData, "xml": readXML, "dotenv": readDotenv,
		"sarif": func(t *testing.T, s string) reading { return readSARIF(t, s, validator) },
	}
}

// hidden are characters that are no text, written down by their numbers: nothing here
// is taken from the package that escapes them. Emoji keep what joins them.
var hidden = regexp.MustCompile(`[\x{00}-\x{08}\x{0b}-\x{1f}\x{7f}-\x{9f}\x{ad}\x{34f}\x{61c}\x{115f}\x{1160}\x{17b4}\x{17b5}\x{180b}-\x{180f}\x{200b}-\x{200f}\x{2028}-\x{202e}\x{2060}-\x{206f}\x{3164}\x{fe00}-\x{fe0f}\x{feff}\x{ffa0}\x{fff0}-\x{fffb}\x{fffe}\x{ffff}\x{fdd0}-\x{fdef}\x{e0000}-\x{e0fff}]`)

var emoji = regexp.MustCompile(`[\x{2190}-\x{2bff}\x{1f000}-\x{1faff}0-9]\x{fe0f}?(\x{200d}[\x{2190}-\x{2bff}\x{1f000}-\x{1faff}]\x{fe0f}?)*`)

// legible is an error if text hides, drives or reorders anything.
func legible(t *testing.T, s string) {
	t.Helper()
	if !utf8.ValidString(s) {
		t.Errorf("invalid UTF-8")
	}
	if at := hidden.FindStringIndex(emoji.ReplaceAllString(s, "")); at != nil {
		t.Errorf("character %+q comes through", hidden.FindString(emoji.ReplaceAllString(s, "")))
	}
}

var (
	oldCommand = regexp.MustCompile(`(?i)##[a-z]*\[`)
	paint      = regexp.MustCompile(`\x1b\[(0|1|2|31|1;31|1;33|1;34)m`)
)

// commandOf takes a line as runners do: what it commands, or "".
func commandOf(line string) string {
	line = strings.TrimLeftFunc(line, unicode.IsSpace)
	if strings.HasPrefix(line, "::") {
		return line
	}
	return oldCommand.FindString(line)
}

// readLog reads lines as a runner and a terminal do.
func readLog(t *testing.T, s string) (r reading) {
	t.Helper()
	s = paint.ReplaceAllString(s, "")
	legible(t, s)
	for line := range strings.SplitSeq(s, "\n") {
		if c := commandOf(line); c != "" {
			t.Errorf("a runner takes this for a command: %q", c)
		}
		r.structure = append(r.structure, "line")
		r.texts = append(r.texts, line)
	}
	return r
}

// readCommands reads annotations as the runner of GitHub does (ActionCommand.TryParseV2).
func readCommands(t *testing.T, s string) (r reading) {
	t.Helper()
	legible(t, s)
	unescape := strings.NewReplacer("%0D", "\r", "%0A", "\n", "%3A", ":", "%2C", ",", "%25", "%")
	for line := range strings.SplitSeq(strings.TrimSuffix(s, "\n"), "\n") {
		head, data, ok := strings.Cut(strings.TrimPrefix(line, "::"), "::")
		kind, properties, _ := strings.Cut(head, " ")
		if !strings.HasPrefix(line, "::") || !ok || !slices.Contains([]string{"error", "warning", "notice"}, kind) || oldCommand.MatchString(line) {
			t.Errorf("no annotation: %q", line)
		}
		part := kind
		for p := range strings.SplitSeq(properties, ",") {
			name, value, _ := strings.Cut(p, "=")
			part += " " + name
			r.texts = append(r.texts, unescape.Replace(value))
		}
		r.structure = append(r.structure, part)
		r.texts = append(r.texts, unescape.Replace(data))
	}
	return r
}

// active are what code hosts look for in the text of a page once it is formatted, by
// their documentation: mentions, references, addresses, emoji.
var active = map[string]*regexp.Regexp{
	"a mention":        regexp.MustCompile(`@[\pL\pN_-]`),
	"a reference":      regexp.MustCompile(`[#!][0-9]|\bGH-[0-9]|[$&^][0-9]|[%~][\pL\pN"]`),
	"an address":       regexp.MustCompile(`[a-zA-Z]://|www\.[a-z]|(mailto|xmpp):\S|[\w.+-]+@[\w-]+\.[a-z]`),
	"an emoji by name": regexp.MustCompile(`:(tada|100|\+1|error|add-mask):`),
}

// readPage formats a page and looks at what has become of it.
func readPage(t *testing.T, s string) (r reading) {
	t.Helper()
	legible(t, s)
	for line := range strings.SplitSeq(s, "\n") {
		if c := commandOf(line); c != "" {
			t.Errorf("a runner takes this for a command: %q", c)
		}
		if regexp.MustCompile(`^\s*/[a-z]`).MatchString(line) {
			t.Errorf("a quick action: %q", line)
		}
	}
	var page bytes.Buffer
	markdown := goldmark.New(goldmark.WithExtensions(extension.GFM, extension.Footnote), goldmark.WithRendererOptions(renderer.WithUnsafe()))
	if err := markdown.Convert([]byte(s), &page); err != nil {
		t.Fatal(err)
	}
	code := 0 // how deep in what hosts leave alone
	text := ""
	end := func() {
		if text = strings.TrimSpace(text); text != "" {
			r.texts = append(r.texts, text)
		}
		text = ""
	}
	for z := html.NewTokenizer(&page); ; {
		switch kind := z.Next(); kind {
		case html.ErrorToken:
			if !errors.Is(z.Err(), io.EOF) {
				t.Fatal(z.Err())
			}
			end()
			return r
		case html.TextToken:
			token := z.Token().Data
			text += token
			for what, pattern := range active {
				if found := pattern.FindString(token); code == 0 && found != "" {
					t.Errorf("%s: %q in %q", what, found, token)
				}
			}
		case html.CommentToken, html.DoctypeToken:
			t.Errorf("a comment: %q", z.Token())
		default:
			token := z.Token()
			switch token.Data {
			case "code", "pre":
				code += map[html.TokenType]int{html.StartTagToken: 1, html.EndTagToken: -1}[kind]
				continue // a name in the type of code is text
			case "a", "img", "script", "input", "em", "del":
				t.Errorf("an element %s", token)
			}
			end()
			part := kind.String() + " " + token.Data
			for _, a := range token.Attr {
				part += " " + a.Key + "=" + a.Val
			}
			r.structure = append(r.structure, part)
		}
	}
}

// readData reads JSON: the file must not hide anything from who looks at it, and hold
// every string to the letter.
func readData(t *testing.T, s string) (r reading) {
	t.Helper()
	legible(t, s)
	for line := range strings.SplitSeq(s, "\n") {
		if c := commandOf(line); c != "" {
			t.Errorf("a runner takes this for a command: %q", c)
		}
	}
	var data any
	if err := json.Unmarshal([]byte(s), &data); err != nil {
		t.Fatal(err)
	}
	r.walk(data)
	return r
}

func (r *reading) walk(data any) {
	switch data := data.(type) {
	case string:
		r.structure = append(r.structure, "text")
		r.texts = append(r.texts, data)
	case []any:
		r.structure = append(r.structure, "list "+strconv.Itoa(len(data)))
		for _, one := range data {
			r.walk(one)
		}
	case map[string]any:
		r.structure = append(r.structure, "object "+strconv.Itoa(len(data)))
		for _, key := range slices.Sorted(func(yield func(string) bool) {
			for key := range data {
				if !yield(key) {
					return
				}
			}
		}) {
			r.structure = append(r.structure, key)
			r.walk(data[key])
		}
	}
}

// readSARIF reads the messages of SARIF as section 3.11 says.
func readSARIF(t *testing.T, s string, validator *jsonschema.Schema) reading {
	t.Helper()
	r := readData(t, s)
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(s))
	if err != nil {
		t.Fatal(err)
	}
	if err := validator.Validate(doc); err != nil {
		t.Errorf("%v", err)
	}
	var log sarifLog
	if err := json.Unmarshal([]byte(s), &log); err != nil {
		t.Fatal(err)
	}
	places := 0
	read := func(m sarifText) {
		legible(t, string(m.Text))
		text := strings.NewReplacer("{{", "", "}}", "").Replace(string(m.Text))
		if strings.ContainsAny(text, "{}") {
			t.Errorf("a placeholder in %q", m.Text)
		}
		text = regexp.MustCompile(`\\[\\\[\]]`).ReplaceAllString(text, "")
		for _, link := range regexp.MustCompile(`\[[^\[\]]*\]\(([^)]*)\)`).FindAllStringSubmatch(text, -1) {
			if n, err := strconv.Atoi(link[1]); err != nil || n < 1 || n > places {
				t.Errorf("a link to %q in %q", link[1], m.Text)
			}
		}
		r.texts = append(r.texts, strings.NewReplacer("{{", "{", "}}", "}", `\\`, `\`, `\[`, "[", `\]`, "]").Replace(string(m.Text)))
	}
	for _, rule := range log.Runs[0].Tool.Driver.Rules {
		read(rule.ShortDescription)
		read(*rule.FullDescription)
		read(*rule.Help)
		page := readPage(t, string(rule.Help.Markdown))
		page.texts = nil
		r.structure = append(r.structure, page.structure...)
	}
	for _, n := range log.Runs[0].Invocations[0].Notifications {
		read(n.Message)
	}
	for _, result := range log.Runs[0].Results {
		places = len(result.RelatedLocations)
		read(result.Message)
		links := len(regexp.MustCompile(`\]\([0-9]+\)`).FindAllString(regexp.MustCompile(`\\[\\\[\]]`).ReplaceAllString(string(result.Message.Text), ""), -1))
		r.structure = append(r.structure, "links "+strconv.Itoa(links))
		places = 0
		for _, at := range result.RelatedLocations {
			read(*at.Message)
		}
	}
	return r
}

// readXML reads a JUnit report.
func readXML(t *testing.T, s string) (r reading) {
	t.Helper()
	legible(t, s)
	for line := range strings.SplitSeq(s, "\n") {
		if c := commandOf(line); c != "" {
			t.Errorf("a runner takes this for a command: %q", c)
		}
	}
	for d := xml.NewDecoder(strings.NewReader(s)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return r
		} else if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			part := token.Name.Local
			for _, a := range token.Attr {
				part += " " + a.Name.Local
				legible(t, a.Value)
				r.texts = append(r.texts, a.Value)
			}
			r.structure = append(r.structure, part)
		case xml.CharData:
			text := string(token)
			r.structure = append(r.structure, "lines "+strconv.Itoa(strings.Count(text, "\n")))
			legible(t, text)
			r.texts = append(r.texts, text)
		case xml.EndElement:
			r.structure = append(r.structure, "end")
		default:
			r.structure = append(r.structure, "other")
		}
	}
}

// readDotenv reads assignments as the strictest reader of such files does.
func readDotenv(t *testing.T, s string) (r reading) {
	t.Helper()
	legible(t, s)
	for line := range strings.SplitSeq(strings.TrimSuffix(s, "\n"), "\n") {
		if !regexp.MustCompile(`^headroom_[a-z_]+=[\pL\pN._/@-]*$`).MatchString(line) {
			t.Errorf("no plain assignment: %q", line)
		}
		name, value, _ := strings.Cut(line, "=")
		r.structure = append(r.structure, name)
		r.texts = append(r.texts, value)
	}
	return r
}
