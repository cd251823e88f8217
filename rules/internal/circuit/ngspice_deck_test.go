package circuit_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/ngspice"
)

// deck is a simulator's input with comments that say what it stands for in the
// vehicle beside it:
//
//	*! case mode=climb pack=lowest copper=80   the case that the solver is asked
//	*! fault greatest from=p.pos to=p.neg      or the short circuit
//	*! transient mode=run for=3 until=k1       or a run of time
//	*! state running=dcdc operated=k1,k2       what the solver must say beside numbers
//	*! across lamp.pos lamp.neg                what the next print command prints,
//	*! current w1                              in the vehicle's words
type deck struct {
	path   string
	digest string // of the deck and what it includes
	c      circuit.Case
	short  *short
	run    *circuit.Transient
	state  state
	wanted []quantity
	// tolerance is the relative difference allowed between solver and simulator.
	tolerance float64
	floor     float64 // the same for what should be nothing, V or A
}

// short is a bolted short circuit between two terminals.
type short struct {
	from, to string
	c        circuit.FaultCase
}

// state is what a solution says beside its numbers. What a deck does not
// mention must be empty.
type state struct {
	Operated  []string // contactors and relays
	Running   []string // converters
	Limiting  []string // converters and chargers
	Collapsed []string // consumers
	Chatter   []string // contactors, relays and converters
	Cycling   []string // the same, as time goes
}

// quantity is one printed number: its name in the deck, and what it is in the
// vehicle.
type quantity struct {
	// across, current, through, fault, hot-coil, hot-operate or swings; of a
	// transient also time, heat, square and peak
	kind       string
	a, b       string  // terminals or ids
	at         float64 // when in a transient, s; of a time the voltage
	expression string
}

func (q quantity) String() string {
	return strings.TrimRight(q.kind+" "+q.a+" "+q.b, " ") + " = " + q.expression
}

// readDeck reads a deck's comments. What it does not understand fails the test.
func readDeck(t *testing.T, path string) *deck {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	d := &deck{path: path, digest: digest(t, path), tolerance: agreement, floor: nothing}
	var next *quantity
	for number, line := range strings.Split(string(text), "\n") {
		words, isNote := strings.CutPrefix(line, "*!")
		expression, isPrint := strings.CutPrefix(line, "print ")
		switch {
		case isNote:
			next, err = d.note(strings.Fields(words))
		case isPrint && next != nil:
			next.expression = strings.TrimSpace(expression)
			d.wanted = append(d.wanted, *next)
			next = nil
		case isPrint:
			err = errors.New("a print without a note that says what it is")
		}
		if err != nil {
			t.Fatalf("%s:%d: %v", path, number+1, err)
		}
	}
	if len(d.wanted) == 0 {
		t.Fatalf("%s: nothing to compare", path)
	}
	return d
}

// note reads one comment; it returns the quantity that the comment announces.
func (d *deck) note(words []string) (*quantity, error) {
	if len(words) == 0 {
		return nil, errors.New("an empty note")
	}
	q := &quantity{kind: words[0]}
	if n := len(words); n > 3 && words[n-2] == "at" {
		at, err := strconv.ParseFloat(words[n-1], 64)
		if err != nil {
			return nil, err
		}
		q.at, words = at, words[:n-2]
	}
	switch rest := words[1:]; {
	case q.kind == "transient":
		return nil, d.readRun(rest)
	case q.kind == "case":
		return nil, d.readCase(rest)
	case q.kind == "fault" && len(rest) > 0:
		return nil, d.readShort(rest)
	case q.kind == "state":
		return nil, d.readState(rest)
	case q.kind == "chatter":
		d.state.Chatter = rest
		return nil, nil
	case (q.kind == "across" || q.kind == "time") && len(rest) == 2:
		q.a, q.b = rest[0], rest[1]
	case len(rest) == 1:
		q.a = rest[0]
	}
	return q, nil
}

func (d *deck) readCase(words []string) error {
	supplies := map[string]circuit.Supply{"lowest": circuit.Lowest, "nominal": circuit.Nominal, "highest": circuit.Highest}
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		ok := true
		switch key {
		case "mode":
			d.c.Mode = value
		case "pack":
			d.c.Pack, ok = supplies[value]
		case "auxiliary":
			d.c.Auxiliary, ok = supplies[value]
		case "house":
			d.c.House, ok = circuit.Alone, value == "alone"
		case "resistance":
			d.c.Resistance, ok = map[string]circuit.Bound{"least": circuit.Least, "greatest": circuit.Greatest}[value]
		case "coil":
			d.c.Coil, ok = map[string]circuit.Coil{"hot": circuit.CoilHot, "cold": circuit.CoilCold}[value]
		case "start":
			d.c.Start, ok = map[string]circuit.Start{"open": circuit.FromOpen, "closed": circuit.FromClosed}[value]
		case "open":
			d.c.Open = value
		case "copper":
			temperature, err := strconv.ParseFloat(value, 64)
			d.c, ok = d.c.WithCopper(temperature), err == nil
		default:
			ok = false
		}
		if !ok {
			return fmt.Errorf("a case has no %q", w)
		}
	}
	return nil
}

// readRun reads a run of time: words of its own, and those of a case. What it
// begins from, if not from empty, is a mode in the same corner.
func (d *deck) readRun(words []string) error {
	d.run, d.tolerance, d.floor = &circuit.Transient{}, agreementTransient, nothingTransient
	var corner []string
	before := ""
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		var err error
		switch key {
		case "for":
			d.run.ForS, err = strconv.ParseFloat(value, 64)
		case "after":
			d.run.AfterS, err = strconv.ParseFloat(value, 64)
		case "until":
			d.run.Until = value
		case "before":
			before = value
		default:
			corner = append(corner, w)
		}
		if err != nil {
			return err
		}
	}
	if err := d.readCase(corner); err != nil {
		return err
	}
	d.run.Case = d.c
	if before != "" {
		d.run.Charged, d.run.Before = true, d.c
		d.run.Before.Mode, d.run.Before.Open = before, ""
	}
	return nil
}

func (d *deck) readShort(words []string) error {
	d.short, d.tolerance = &short{}, agreementShort
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		switch key {
		case "greatest":
			d.short.c.Greatest = true
		case "least":
			d.short.c.Greatest = false
		case "from":
			d.short.from = value
		case "to":
			d.short.to = value
		default:
			return fmt.Errorf("a fault has no %q", w)
		}
	}
	return nil
}

func (d *deck) readState(words []string) error {
	for _, w := range words {
		key, value, _ := strings.Cut(w, "=")
		ids := strings.Split(value, ",")
		switch key {
		case "operated":
			d.state.Operated = ids
		case "running":
			d.state.Running = ids
		case "limiting":
			d.state.Limiting = ids
		case "collapsed":
			d.state.Collapsed = ids
		case "cycling":
			d.state.Cycling = ids
		default:
			return fmt.Errorf("a state has no %q", w)
		}
	}
	return nil
}

// digest is a checksum of a deck and of the files that it includes.
func digest(t *testing.T, path string) string {
	t.Helper()
	h := sha256.New()
	var add func(path string)
	add = func(path string) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		h.Write(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")))
		for _, line := range strings.Split(string(text), "\n") {
			if included, ok := strings.CutPrefix(line, ".include "); ok {
				add(filepath.Join(filepath.Dir(path), strings.TrimSpace(included)))
			}
		}
	}
	add(path)
	return fmt.Sprintf("%x", h.Sum(nil)[:8])
}

// transcript is what a simulator printed: numbers by their expression.
type transcript ngspice.Printed

// format writes the wanted numbers, with the deck's digest.
func (r transcript) format(d *deck) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "* deck %s\n", d.digest)
	for _, q := range d.wanted {
		fmt.Fprintf(&b, "%s = %.12g\n", q.expression, r[q.expression])
	}
	return b.Bytes()
}

// readTranscript reads a recorded transcript, which must be of the deck as it is now.
func readTranscript(t *testing.T, d *deck, path string) transcript {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no transcript; record it with -update: %v", err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	if want := "* deck " + d.digest; strings.TrimSpace(first) != want {
		t.Fatalf("%s was recorded from another deck (%q, now %q); record it anew with -update", path, first, want)
	}
	return transcript(ngspice.Parse(text))
}

// runDeck runs the simulator on a deck and returns the numbers it wants.
func runDeck(d *deck) (transcript, error) {
	var wanted []string
	for _, q := range d.wanted {
		wanted = append(wanted, q.expression)
	}
	printed, err := ngspice.Run(d.path, wanted...)
	return transcript(printed), err
}
