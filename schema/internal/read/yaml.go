package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"example.org/headroom/schema/internal/source"
)

// readYAML reads a YAML specification. It works on the nodes of the document
// and not on decoded values, because those have lost their places and the
// spelling of the scalars.
func readYAML(t *source.Text, c *source.Collector, depth int) *source.Value {
	if isUTF16(t.Bytes) && len(t.Bytes) == 2 {
		c.Syntax(t, notText(t))
		return nil
	}
	r := &yamlReader{text: t, problems: c, deepest: depth, lines: yamlLines(t.Bytes)}
	decoder := yaml.NewDecoder(bytes.NewReader(t.Bytes))
	var document, second yaml.Node
	err := decoder.Decode(&document)
	if err == io.EOF || err == nil && len(document.Content) == 0 {
		c.Add(source.Problem{Rule: source.RuleSyntax, Message: "the file is empty", Fix: "begin with headroom: 1 and vehicle:", At: source.Position{File: t.Name}})
		return nil
	}
	if err != nil {
		c.Syntax(t, r.explain(err))
		return nil
	}
	switch err := decoder.Decode(&second); {
	case err == nil:
		at := r.span(&second)
		c.Syntax(t, &source.SyntaxError{At: at, Message: "a second document begins here, but a file is for one vehicle", Fix: "move it to a file of its own, or remove the line ---"})
		return nil
	case err != io.EOF:
		c.Syntax(t, r.explain(err))
		return nil
	}
	d, err := r.value(document.Content[0], 0)
	if err != nil {
		c.Syntax(t, err)
		return nil
	}
	return d
}

type yamlReader struct {
	text     *source.Text
	problems *source.Collector
	deepest  int   // nesting that is allowed
	lines    []int // offset of each line's first byte, as YAML breaks lines
	values   int   // read so far; aliases count each time
}

// yamlLines finds the lines as YAML counts them: a lone carriage return and the
// Unicode line breaks end a line too.
func yamlLines(b []byte) []int {
	lines := []int{0}
	for i := 0; i < len(b); {
		r, size := utf8.DecodeRune(b[i:])
		i += size
		switch r {
		case '\r':
			if i < len(b) && b[i] == '\n' {
				i++
			}
			lines = append(lines, i)
		case '\n', '\u0085', '\u2028', '\u2029':
			lines = append(lines, i)
		}
	}
	return lines
}

// offset returns the place of a line and column of the parser.
func (r *yamlReader) offset(line, column int) int {
	line = max(1, min(line, len(r.lines)))
	return r.text.Column(r.lines[line-1], column)
}

// span returns where a node stands.
func (r *yamlReader) span(n *yaml.Node) source.Span {
	from := r.offset(n.Line, n.Column)
	return r.text.Span(from, r.endOf(n, from))
}

// endOf finds the end of a scalar, or 0.
func (r *yamlReader) endOf(n *yaml.Node, from int) int {
	rest := r.text.Bytes[from:]
	if n.Kind != yaml.ScalarNode {
		return 0
	}
	switch n.Style {
	case yaml.DoubleQuotedStyle:
		for i := 1; i < len(rest) && rest[i] != '\n'; i++ {
			if rest[i] == '\\' {
				i++
			} else if rest[i] == '"' {
				return from + i + 1
			}
		}
	case yaml.SingleQuotedStyle:
		for i := 1; i < len(rest) && rest[i] != '\n'; i++ {
			if rest[i] != '\'' {
				continue
			}
			if i+1 < len(rest) && rest[i+1] == '\'' {
				i++
				continue
			}
			return from + i + 1
		}
	default:
		if bytes.HasPrefix(rest, []byte(n.Value)) {
			return from + len(n.Value)
		}
	}
	return 0
}

var yamlErrorLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// explain puts a syntax error into words. The parser gives at most a line.
func (r *yamlReader) explain(err error) *source.SyntaxError {
	var typed *yaml.TypeError
	if errors.As(err, &typed) {
		err = errors.New("yaml: " + typed.Errors[0])
	}
	line, words := 1, err.Error()
	if m := yamlErrorLine.FindStringSubmatch(words); m != nil {
		words = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
		}
	}
	line = r.locate(line, words)
	if n := r.missingSpace(line); n > 0 {
		return &source.SyntaxError{At: r.text.Line(n), Message: "there is no space after the colon", Fix: "write name: value, with a space after the colon"}
	}
	at := r.text.Line(line)
	e := &source.SyntaxError{At: at, Fix: "check the indentation, the colons and the brackets here and on the line above"}
	switch {
	case bytes.Contains(r.text.Bytes[:at.To], []byte("\t")) && strings.Contains(words, "cannot start any token"):
		e.Message, e.Fix = "there is a tab where YAML allows only spaces", "indent with spaces"
	case strings.Contains(words, "unknown anchor"):
		name, _, _ := strings.Cut(strings.TrimPrefix(words, "unknown anchor '"), "'")
		e.Message, e.Fix = fmt.Sprintf("the alias *%s is used, but there is no anchor &%s above it", name, name), "define the anchor above its first use"
		if i := bytes.Index(r.text.Bytes, []byte("*"+name)); i >= 0 {
			e.At = r.text.Span(i, i+1+len(name))
		}
	case r.colonInText(line).Valid() && (strings.Contains(words, "did not find expected ',' or") || strings.Contains(words, "mapping values are not allowed")):
		e.At = r.colonInText(line)
		e.Message, e.Fix = "there is a colon with a space in a text without quotation marks", fmt.Sprintf("put the text in quotation marks: %q", e.At)
	case strings.Contains(words, "did not find expected key"), strings.Contains(words, "mapping values are not allowed"):
		e.Message = "the indentation or a colon is wrong near here"
	case strings.Contains(words, "did not find expected ',' or"):
		e.At, e.Message, e.Fix = source.Unclosed(r.text, at), "a bracket is not closed, or a comma is missing", "close every { and [, and put commas between the entries"
	case strings.Contains(words, "did not find expected node content"):
		e.Message, e.Fix = "there is no value where one is expected", "put quotation marks around a text that begins with a special character, and check the commas and brackets"
	case strings.Contains(words, "could not find expected ':'"):
		e.Message, e.Fix = "a colon is missing", "write each field as name: value, with a space after the colon"
	case strings.Contains(words, "found unexpected end of stream"):
		e.Message, e.Fix = "a quotation mark is not closed", "close the quotation marks"
	case strings.Contains(words, "control characters"), strings.Contains(words, "invalid UTF-8"), strings.Contains(words, "invalid leading UTF-8"), strings.Contains(words, "invalid trailing UTF-8"):
		return notText(r.text)
	default:
		e.Message = "this is not valid YAML: " + words
	}
	return e
}

var tightColon = regexp.MustCompile(`^\s*(?:- )?[A-Za-z_][A-Za-z0-9_]*:[^\s:/]`)

// textWithColon matches a field whose value holds a colon and a space itself.
var textWithColon = regexp.MustCompile(`[A-Za-z_][A-Za-z0-9_]*:[ \t]+([^,{}\[\]"'#:\n]+:[ \t]+[^,{}\[\]"'#\s](?:[^,{}\[\]"'#\n]*[^,{}\[\]"'#\s])?)`)

// colonInText returns the text on a line that cannot stand without quotation marks
// because a colon and a space are in it; it is not valid if there is none.
func (r *yamlReader) colonInText(line int) source.Span {
	whole := r.text.Line(line)
	m := textWithColon.FindStringSubmatchIndex(whole.String())
	if m == nil {
		return source.Span{}
	}
	return r.text.Span(whole.From+m[2], whole.From+m[3])
}

// missingSpace returns the line, this one or the one above, of a field whose
// colon has no space after it; 0 if there is none.
func (r *yamlReader) missingSpace(line int) int {
	for _, n := range []int{line - 1, line} {
		if n > 0 && tightColon.MatchString(r.text.Line(n).String()) {
			return n
		}
	}
	return 0
}

// locate improves on the line of a syntax error. The parser names the line
// where the enclosing block begins or where it noticed, whichever it has; the
// shortest beginning of the file that fails in the same way ends on the line
// that breaks it.
func (r *yamlReader) locate(line int, words string) int {
	if len(r.text.Bytes) > 1<<20 {
		return line // each attempt reads the file again
	}
	last := min(len(r.lines), line+200)
	for n := max(1, line-1); n <= last; n++ {
		to := len(r.text.Bytes)
		if n < len(r.lines) {
			to = r.lines[n]
		}
		err := yaml.Unmarshal(r.text.Bytes[:to], new(yaml.Node))
		if err == nil {
			continue
		}
		if m := yamlErrorLine.FindStringSubmatch(err.Error()); m != nil && m[2] == words {
			return n
		}
	}
	return line
}

// yamlValues is how many values a document may have for each byte of it plus a
// free allowance: only nested aliases have more.
const yamlValues = 100_000

func (r *yamlReader) value(n *yaml.Node, depth int) (*source.Value, error) {
	at := r.span(n)
	if depth > r.deepest {
		return nil, tooDeep(at, r.deepest)
	}
	if r.values++; r.values > yamlValues+len(r.text.Bytes) {
		return nil, &source.SyntaxError{At: at, Message: "anchors and aliases make the file too large to read", Fix: "write the values out, or use fewer aliases"}
	}
	d := &source.Value{Value: at, At: at}
	if n.Style&yaml.TaggedStyle != 0 && !slices.Contains(coreTags(), n.ShortTag()) {
		return nil, &source.SyntaxError{At: at, Message: fmt.Sprintf("the tag %s has no meaning here", n.Tag), Fix: "remove it"}
	}
	switch n.Kind {
	case yaml.AliasNode:
		return r.value(n.Alias, depth+1)
	case yaml.SequenceNode:
		d.Kind = source.ListKind
		for _, c := range n.Content {
			item, err := r.value(c, depth+1)
			if err != nil {
				return nil, err
			}
			d.Items = append(d.Items, item)
		}
	case yaml.MappingNode:
		d.Kind = source.ObjectKind
		return d, r.mapping(d, n, depth)
	default:
		r.scalar(d, n)
	}
	return d, nil
}

// mapping reads the fields of a mapping, then those of its merge keys that the
// mapping itself does not set.
func (r *yamlReader) mapping(d *source.Value, n *yaml.Node, depth int) error {
	var merged []*yaml.Node
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if key.Kind == yaml.ScalarNode && key.ShortTag() == "!!merge" {
			merged = append(merged, value)
			continue
		}
		if key.Kind != yaml.ScalarNode {
			return &source.SyntaxError{At: r.span(key), Message: "a field's name must be a plain word", Fix: "write name: value"}
		}
		v, err := r.value(value, depth+1)
		if err != nil {
			return err
		}
		v.Key = r.span(key)
		if v.Kind == source.NullKind && value.Value == "" {
			v.Value = v.Key // nothing stands where the value should
		}
		if first := d.Get(key.Value); first != nil {
			r.problems.DuplicateKey(key.Value, first, v)
			continue
		}
		d.Add(key.Value, v)
	}
	for _, m := range merged {
		if err := r.merge(d, m, depth); err != nil {
			return err
		}
	}
	return nil
}

// merge adds what a merge key brings and the mapping does not set itself.
func (r *yamlReader) merge(d *source.Value, n *yaml.Node, depth int) error {
	if n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			if err := r.merge(d, c, depth); err != nil {
				return err
			}
		}
		return nil
	}
	v, err := r.value(n, depth+1)
	if err != nil {
		return err
	}
	if v.Kind != source.ObjectKind {
		return &source.SyntaxError{At: r.span(n), Message: "<<: must name a group of fields", Fix: "give it an alias of a mapping, such as <<: *cable"}
	}
	for name, value := range v.Each() {
		if d.Get(name) == nil {
			d.Add(name, value)
		}
	}
	return nil
}

// coreTags lists the tags that say what a plain value is anyway.
func coreTags() []string {
	return []string{"!!str", "!!int", "!!float", "!!bool", "!!null", "!!map", "!!seq"}
}

var (
	yamlOctal       = regexp.MustCompile(`^[-+]?0[0-7_]+$|^[-+]?0o[0-7_]+$`)
	yamlOtherNumber = regexp.MustCompile(`^[-+]?0[xb][0-9a-fA-F_]+$`)
	yamlHuge        = regexp.MustCompile(`^[-+]?[0-9][0-9_]*([.][0-9]*)?[eE][-+]?[0-9]+$`)
)

// scalar reads a scalar as YAML 1.2 means it, and refuses the spellings that
// say one thing and mean another.
func (r *yamlReader) scalar(d *source.Value, n *yaml.Node) {
	tag, plain := n.ShortTag(), n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
	d.Kind, d.Text = source.TextKind, n.Value
	switch {
	case tag == "!!null":
		d.Kind, d.Text = source.NullKind, ""
	case tag == "!!bool":
		d.Kind, d.Flag = source.BoolKind, strings.EqualFold(n.Value, "true")
	case plain && yamlOctal.MatchString(n.Value):
		d.Kind = source.NumberKind
		meant := strings.TrimLeft(strings.ReplaceAll(n.Value, "_", ""), "+-0o")
		r.problems.Spelling(d, fmt.Sprintf("%s is read as an octal number by some programs and as %s by others", n.Value, meant), "write the number without the leading 0")
	case plain && yamlOtherNumber.MatchString(n.Value):
		d.Kind = source.NumberKind
		r.problems.Spelling(d, fmt.Sprintf("%s is not a decimal number", n.Value), "write the number in decimal digits")
	case tag == "!!int", tag == "!!float", plain && yamlHuge.MatchString(n.Value):
		d.Kind = source.NumberKind
		v, err := strconv.ParseFloat(strings.ReplaceAll(n.Value, "_", ""), 64)
		if d.Number = v; math.IsInf(v, 0) || math.IsNaN(v) || err != nil {
			r.problems.TooLarge(d, n.Value)
		}
	}
}
