package schema

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// readJSON reads a JSON specification. It works token by token, because the
// positions and the repeated names would otherwise be lost.
func readJSON(t *text, c *collector, depth int) *datum {
	r := &jsonReader{text: t, problems: c, deepest: depth, decoder: json.NewDecoder(bytes.NewReader(t.bytes))}
	r.decoder.UseNumber()
	if len(bytes.TrimSpace(t.bytes)) == 0 {
		c.add(Problem{Rule: RuleSyntax, Message: "the file is empty", Fix: `begin with {"headroom": 1, "vehicle": ...}`, At: Position{File: t.name}})
		return nil
	}
	if !isText(t.bytes) { // the decoder takes such bytes within strings for something else
		c.syntax(t, notText(t))
		return nil
	}
	d, err := r.value(0)
	if err == nil {
		if _, at, end := r.token(); end != io.EOF {
			err = &syntaxError{at, "text follows the end of the specification", "keep one object in the file"}
		}
	}
	if err != nil {
		c.syntax(t, err)
		return nil
	}
	return d
}

type jsonReader struct {
	text     *text
	problems *collector
	decoder  *json.Decoder
	deepest  int // nesting that is allowed
}

// token returns the next token and where it stands.
func (r *jsonReader) token() (json.Token, span, error) {
	from := int(r.decoder.InputOffset())
	token, err := r.decoder.Token()
	to := int(r.decoder.InputOffset())
	b := r.text.bytes
	for from < len(b) && bytes.IndexByte([]byte(" \t\r\n,:"), b[from]) >= 0 {
		from++
	}
	at := span{r.text, from, max(from, to)}
	if err == nil || err == io.EOF {
		return token, at, err
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		from = min(int(syntax.Offset), len(b))
	}
	return nil, span{r.text, from, from + 1}, r.explain(from, err)
}

// explain puts a syntax error into words.
func (r *jsonReader) explain(at int, err error) *syntaxError {
	b := r.text.bytes
	e := &syntaxError{at: span{r.text, min(at, len(b)), min(at+1, len(b))}}
	before := bytes.TrimRight(b[:min(at, len(b))], " \t\r\n")
	found := "the end of the file"
	if at < len(b) {
		found = strconv.Quote(string([]rune(string(b[at:min(at+4, len(b))]))[:1]))
	}
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF) || at >= len(b):
		e.at = unclosed(r.text, span{r.text, len(bytes.TrimRight(b, " \t\r\n")), 0})
		e.message, e.fix = "the file ends before what begins here is closed", "close every { and [ and every quotation mark"
	case bytes.HasSuffix(before, []byte(",")) && (b[at] == '}' || b[at] == ']'):
		e.message, e.fix = fmt.Sprintf("a comma stands before %s", found), "remove the comma: JSON allows none after the last entry"
	case b[at] == '/' || b[at] == '#':
		e.message, e.fix = "JSON has no comments", `use the field "notes", or write the file as YAML or CUE`
	case b[at] == '"':
		e.message, e.fix = "two values stand side by side", "put a comma between the entries"
	default:
		e.message, e.fix = fmt.Sprintf("found %s where JSON does not allow it", found), "check the commas, colons, brackets and quotation marks around it"
	}
	return e
}

// value reads one value at a depth of nesting.
func (r *jsonReader) value(depth int) (*datum, error) {
	token, at, err := r.token()
	if err == io.EOF {
		return nil, r.explain(len(r.text.bytes), io.ErrUnexpectedEOF)
	}
	if err != nil {
		return nil, err
	}
	return r.valueOf(token, at, depth)
}

func (r *jsonReader) valueOf(token json.Token, at span, depth int) (*datum, error) {
	if depth > r.deepest {
		return nil, tooDeep(at, r.deepest)
	}
	d := &datum{value: at, at: at}
	switch token := token.(type) {
	case json.Delim:
		if token == '{' {
			return d, r.object(d, depth)
		}
		return d, r.list(d, depth)
	case string:
		d.kind, d.text = textKind, token
	case bool:
		d.kind, d.flag = boolKind, token
	case json.Number:
		d.kind = numberKind
		if d.number, _ = strconv.ParseFloat(token.String(), 64); math.IsInf(d.number, 0) {
			r.problems.tooLarge(d, token.String())
		}
	default:
		d.kind = nullKind
	}
	return d, nil
}

func (r *jsonReader) list(d *datum, depth int) error {
	d.kind = listKind
	for r.decoder.More() {
		item, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		d.items = append(d.items, item)
	}
	return r.end()
}

func (r *jsonReader) object(d *datum, depth int) error {
	d.kind = objectKind
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
		value.key = key
		if first := d.get(name); first != nil {
			r.problems.duplicateKey(name, first, value)
			continue
		}
		d.add(name, value)
	}
	return r.end()
}

// end reads the closing bracket.
func (r *jsonReader) end() error {
	_, _, err := r.token()
	if err == io.EOF {
		return r.explain(len(r.text.bytes), io.ErrUnexpectedEOF)
	}
	return err
}
