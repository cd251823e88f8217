package whereabouts

import (
	"bytes"
	"hash/maphash"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"example.org/headroom/schema"
)

// pieces are what a text is known again by. Runs of three words, whatever stands
// between the words: most are left in another format or encoding, with other line
// ends, commented out, or cut into files. And what data says: a value with its
// name and the name around it, which another order of the fields leaves alone.
type pieces struct {
	words, values map[uint64]bool
}

func newPieces() pieces { return pieces{map[uint64]bool{}, map[uint64]bool{}} }

// add takes in others.
func (p pieces) add(others pieces) {
	for piece := range others.words {
		p.words[piece] = true
	}
	for piece := range others.values {
		p.values[piece] = true
	}
}

// size is how many there are.
func (p pieces) size() int { return len(p.words) + len(p.values) }

// without are those of the pieces that others do not hold.
func (p pieces) without(others pieces) pieces {
	left := newPieces()
	for piece := range p.words {
		if !others.words[piece] {
			left.words[piece] = true
		}
	}
	for piece := range p.values {
		if !others.values[piece] {
			left.values[piece] = true
		}
	}
	return left
}

// heldBy are those of the pieces that others hold.
func (p pieces) heldBy(others pieces) pieces {
	both := func(a, b map[uint64]bool) map[uint64]bool {
		if len(a) > len(b) {
			a, b = b, a
		}
		held := map[uint64]bool{}
		for piece := range a {
			if b[piece] {
				held[piece] = true
			}
		}
		return held
	}
	return pieces{both(p.words, others.words), both(p.values, others.values)}
}

// shareOf is the share of the pieces that others hold, of words or of values,
// whichever is greater.
func (p pieces) shareOf(others pieces) float64 {
	held := p.heldBy(others)
	share := func(part, all map[uint64]bool) float64 { return float64(len(part)) / float64(max(1, len(all))) }
	return max(share(held.words, p.words), share(held.values, p.values))
}

// seed is of this process alone: pieces are never kept.
var seed = maphash.MakeSeed()

// joined is the hash of words one after the other.
func joined(words ...uint64) (sum uint64) {
	const odd = 0x9e3779b97f4a7c15
	for _, word := range words {
		sum = sum*odd + word
	}
	return sum
}

// window goes through a text word by word. Case does not count, nor do characters
// that cannot be seen.
type window struct {
	word   []byte
	before [2]uint64 // the words before
	count  int
	each   func(piece uint64)
}

// add takes the next stretch of text.
func (w *window) add(text []byte) {
	for i := 0; i < len(text); {
		c := text[i]
		switch {
		case c == '_' || c == '.' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z':
			w.letter(c)
		case c >= 'A' && c <= 'Z':
			w.letter(c + 'a' - 'A')
		case c < utf8.RuneSelf:
			w.end()
		default:
			r, size := utf8.DecodeRune(text[i:])
			switch {
			case isUnseen(r):
			case unicode.IsLetter(r) || unicode.IsDigit(r):
				w.word = append(w.word, text[i:i+size]...)
			default:
				w.end()
			}
			i += size - 1
		}
		i++
	}
}

// isUnseen reports whether a character leaves no mark of its own: those of format,
// marks on others, and the fillers of Hangul.
func isUnseen(r rune) bool {
	return unicode.In(r, unicode.Cf, unicode.Mn) || r == 0x115f || r == 0x1160 || r == 0x3164 || r == 0xffa0
}

func (w *window) letter(c byte) {
	if len(w.word) < 200 { // no name is longer
		w.word = append(w.word, c)
	}
}

// end ends a word.
func (w *window) end() {
	if len(w.word) == 0 {
		return
	}
	hash := maphash.Bytes(seed, w.word)
	w.word = w.word[:0]
	if w.count++; w.count > 2 {
		w.each(joined(w.before[0], w.before[1], hash))
	}
	w.before = [2]uint64{w.before[1], hash}
}

// wholeText is the size up to which a file is decoded as a whole; of a larger
// one, zeros between letters are passed over, and that must do.
const wholeText = 16 << 20

// mostValues is the size up to which a text is read as data, too.
const mostValues = 256 << 10

// form is how a file is written.
type form struct {
	packed bool // it is compressed
	prose  bool // it is mostly no data
}

// piecesOf takes a file apart. Whatever it seems to be, its bytes count as they
// are, too. The budget is of what is unpacked.
func piecesOf(r io.Reader, size int64, budget *int64) (found pieces, how form, err error) {
	found = newPieces()
	raw := &window{each: func(piece uint64) { found.words[piece] = true }}
	inner := &window{each: raw.each}
	defer raw.end()
	defer inner.end()
	if size > wholeText {
		text, packed, err := unpacked(io.TeeReader(r, raw), size, budget)
		if err == nil {
			_, err = io.Copy(inner, text)
		}
		return found, form{packed: packed}, ended(packed, err)
	}
	content, err := io.ReadAll(io.LimitReader(r, wholeText))
	if err != nil {
		return found, form{}, err
	}
	_, _ = raw.Write(content)
	text, packed, err := unpacked(bytes.NewReader(content), size, budget)
	if err != nil {
		return found, form{packed: packed}, err
	}
	if packed {
		content, err = io.ReadAll(text)
		err = ended(packed, err)
	}
	plain := schema.PlainText(content)
	_, _ = inner.Write(plain)
	found.values = valuesOf(plain)
	return found, form{packed, !schema.IsMostlyFields(plain)}, err
}

// Write takes the next stretch of a text of any size: without the zeros that
// wider encodings have between letters.
func (w *window) Write(text []byte) (int, error) {
	w.add(bytes.ReplaceAll(text, []byte{0}, nil))
	return len(text), nil
}

// valuesOf returns the values of a text that is YAML or JSON, up to where it is
// not any more; none of any other.
func valuesOf(text []byte) map[uint64]bool {
	values := map[uint64]bool{}
	var data []byte
	for line := range bytes.Lines(text) {
		if start := bytes.TrimSpace(line); len(start) > 0 && start[0] != '#' {
			data = append(data, line...)
		}
	}
	if len(data) > mostValues || !bytes.ContainsRune(data, ':') {
		return values
	}
	hash := func(s string) uint64 { return maphash.String(seed, strings.ToLower(s)) }
	var visit func(n *yaml.Node, outer, name uint64)
	visit = func(n *yaml.Node, outer, name uint64) {
		switch n.Kind {
		case yaml.ScalarNode:
			values[joined(outer, name, hash(n.Value))] = true
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				visit(n.Content[i+1], name, hash(n.Content[i].Value))
			}
		default: // a list's items go by its name; aliases are not followed
			for _, item := range n.Content {
				visit(item, outer, name)
			}
		}
	}
	const attempts = 4 // at what cannot be read, what stands before it
	for range attempts {
		decoder := yaml.NewDecoder(bytes.NewReader(data))
		var err error
		for err == nil {
			var root yaml.Node
			if err = decoder.Decode(&root); err == nil {
				visit(&root, 0, 0)
			}
		}
		line := errorLine.FindStringSubmatch(err.Error())
		if line == nil {
			break
		}
		before, _ := strconv.Atoi(line[1]) // the pattern has digits only
		data = firstLines(data, before-1)
	}
	return values
}

var errorLine = regexp.MustCompile(`line ([0-9]+):`)

// firstLines are that many lines of a text, or one less than it has.
func firstLines(text []byte, count int) []byte {
	lines := slices.Collect(bytes.Lines(text))
	return bytes.Join(lines[:max(0, min(count, len(lines)-1))], nil)
}
