package read

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"example.org/headroom/schema/internal/source"
)

// ReadJSON reads a JSON specification. It works token by token, because the
// positions and the repeated names would otherwise be lost.
func ReadJSON(t *source.Text, c *source.Collector, depth int) *source.Value {
	r := &jsonReader{text: t, problems: c, deepest: depth, decoder: json.NewDecoder(bytes.NewReader(t.Bytes))}
	r.decoder.UseNumber()
	if len(bytes.TrimSpace(t.Bytes)) == 0 {
		c.Add(source.Problem{Rule: source.RuleSyntax, Message: "the file is empty", Fix: `begin with {"headroom": 1, "vehicle": ...}`, At: source.Position{File: t.Name}})
		return nil
	}
	if !isText(t.Bytes) { // the decoder takes such bytes within strings for something else
		c.Syntax(t, notText(t))
		return nil
	}
	d, err := r.value(0)
	if err == nil {
		if _, at, end := r.token(); end != io.EOF {
			err = &source.SyntaxError{At: at, Message: "text follows the end of the specification", Fix: "keep one object in the file"}
		}
	}
	if err != nil {
		c.Syntax(t, err)
		return nil
	}
	return d
}

type jsonReader struct {
	text     *source.Text
	problems *source.Collector
	decoder  *json.Decoder
	deepest  int // nesting that is allowed
}

// token returns the next token and where it stands.
func (r *jsonReader) token() (json.Token, source.Span, error) {
	from := int(r.decoder.InputOffset())
	token, err := r.decoder.Token()
	to := int(r.decoder.InputOffset())
	b := r.text.Bytes
	for from < len(b) && bytes.IndexByte([]byte(" \t\r\n,:"), b[from]) >= 0 {
		from++
	}
	at := r.text.Span(from, max(from, to))
	if err == nil || err == io.EOF {
		return token, at, err
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		from = min(int(syntax.Offset), len(b))
	}
	return nil, r.text.Span(from, from+1), r.explain(from, err)
}

// explain puts a syntax error into words.
func (r *jsonReader) explain(at int, err error) *source.SyntaxError {
	b := r.text.Bytes
	e := &source.SyntaxError{At: r.text.Span(min(at, len(b)), min(at+1, len(b)))}
	before := bytes.TrimRight(b[:min(at, len(b))], " \t\r\n")
	found := "the end of the file"
	if at < len(b) {
		found = strconv.Quote(string([]rune(string(b[at:min(at+4, len(b))]))[:1]))
	}
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF) || at >= len(b):
		e.At = source.Unclosed(r.text, r.text.Span(len(bytes.TrimRight(b, " \t\r\n")), 0))
		e.Message, e.Fix = "the file ends, but what begins here is not closed", "close every { and [ and every quotation mark"
	case bytes.HasSuffix(before, []byte(",")) && (b[at] == '}' || b[at] == ']'):
		e.Message, e.Fix = fmt.Sprintf("there is a comma before %s", found), "remove the comma: JSON has none after the last entry"
	case b[at] == '/' || b[at] == '#':
		e.Message, e.Fix = "JSON has no comments", `use the field "notes", or write the file as YAML or CUE`
	case b[at] == '"':
		e.Message, e.Fix = "two values are next to each other", "put a comma between the entries"
	default:
		e.Message, e.Fix = fmt.Sprintf("found %s where JSON does not allow it", found), "check the commas, colons, brackets and quotation marks around it"
	}
	return e
}

// value reads one value at a depth of nesting.
func (r *jsonReader) value(depth int) (*source.Value, error) {
	token, at, err := r.token()
	if err == io.EOF {
		return nil, r.explain(len(r.text.Bytes), io.ErrUnexpectedEOF)
	}
	if err != nil {
		return nil, err
	}
	return r.valueOf(token, at, depth)
}

func (r *jsonReader) valueOf(token json.Token, at source.Span, depth int) (*source.Value, error) {
	if depth > r.deepest {
		return nil, tooDeep(at, r.deepest)
	}
	d := &source.Value{Value: at, At: at}
	switch token := token.(type) {
	case json.Delim:
		if token == '{' {
			return d, r.object(d, depth)
		}
		return d, r.list(d, depth)
	case string:
		d.Kind, d.Text = source.TextKind, token
	case bool:
		d.Kind, d.Flag = source.BoolKind, token
	case json.Number:
		d.Kind = source.NumberKind
		if d.Number, _ = strconv.ParseFloat(token.String(), 64); math.IsInf(d.Number, 0) {
			r.problems.TooLarge(d, token.String())
		}
	default:
		d.Kind = source.NullKind
	}
	return d, nil
}

func (r *jsonReader) list(d *source.Value, depth int) error {
	d.Kind = source.ListKind
	for r.decoder.More() {
		item, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		d.Items = append(d.Items, item)
	}
	return r.end()
}

func (r *jsonReader) object(d *source.Value, depth int) error {
	d.Kind = source.ObjectKind
	for r.decoder.More() {
		token, key, err := r.token()
		if err != nil {
			return err
		}
		name, _ := token.(string) // the decoder refuses any other
		value, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		value.Key = key
		if first := d.Get(name); first != nil {
			r.problems.DuplicateKey(name, first, value)
			continue
		}
		d.Add(name, value)
	}
	return r.end()
}

// end reads the closing bracket.
func (r *jsonReader) end() error {
	_, _, err := r.token()
	if err == io.EOF {
		return r.explain(len(r.text.Bytes), io.ErrUnexpectedEOF)
	}
	return err
}
