package circuit_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

var (
	live   = flag.Bool("ngspice", false, "run ngspice on every deck, instead of trusting its recorded transcript, and on random networks")
	update = flag.Bool("update", false, "run ngspice and record the transcripts anew")
)

// The circuits of testdata/circuits: each folder holds a vehicle and decks, one
// for each case of it, in the language of the general-purpose simulator ngspice
// (the SPICE of Nagel, UCB/ERL M520, 1975, and its successors). The decks are
// written by hand from the vehicle and from published laws.
const circuits = "../../../testdata/circuits"

// What the solver and the simulator may differ by. Of a short circuit more,
// since a deck makes it of 1 uOhm, up to 0.02 % of the loop; of a random network
// more, since the simulator settles it less finely. Where nothing should flow or
// stand, what either adds to keep its equations solvable: an open switch of
// 1e12 Ohm, a reference of 1e9 Ohm, a leak of 1e-9 S.
const (
	agreement       = 1e-5
	agreementShort  = 1e-3
	agreementRandom = 1e-3
	nothing         = 1e-5 // V or A

	// Of a run of time the simulator's own steps are the coarser ones.
	agreementTransient = 1e-3
	nothingTransient   = 1e-3 // V, A, s, J or A2s
)

func TestNgspiceDecks(t *testing.T) {
	decks, err := filepath.Glob(filepath.Join(circuits, "*", "*.cir"))
	if err != nil || len(decks) == 0 {
		t.Fatalf("no decks found in %s: %v", circuits, err)
	}
	for _, path := range decks {
		name, _ := filepath.Rel(circuits, strings.TrimSuffix(path, ".cir"))
		t.Run(filepath.ToSlash(name), func(t *testing.T) {
			d := readDeck(t, path)
			spec := loadVehicle(t, filepath.Join(filepath.Dir(path), "vehicle.yaml"))
			simulated := d.simulated(t)
			a := d.answerOf(t, circuit.New(spec))
			if diff := cmp.Diff(d.state, a.state, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("state (-deck +solver):\n%s", diff)
			}
			d.compare(t, a, simulated)
		})
	}
}

// A vehicle without a deck tests nothing.
func TestEveryCircuitHasDecks(t *testing.T) {
	vehicles, err := filepath.Glob(filepath.Join(circuits, "*", "vehicle.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range vehicles {
		if decks, _ := filepath.Glob(filepath.Join(filepath.Dir(v), "*.cir")); len(decks) == 0 {
			t.Errorf("%s has no deck beside it", v)
		}
	}
}

// loadVehicle loads a specification that must be without a mistake.
func loadVehicle(t *testing.T, path string) *schema.Spec {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		t.Fatalf("finding %s: %d targets, %v", path, len(targets), err)
	}
	loaded := schema.Read(context.Background(), targets[0], schema.Options{})
	if loaded.Err != nil {
		t.Fatalf("loading %s: %v", path, loaded.Err)
	}
	for _, p := range loaded.Problems {
		t.Errorf("%s: %+v", path, p)
	}
	if loaded.Spec == nil || t.Failed() {
		t.FailNow()
	}
	return loaded.Spec
}

// simulated returns what the simulator printed for the deck: recorded, or run
// now and compared with the record.
func (d *deck) simulated(t *testing.T) transcript {
	t.Helper()
	path := strings.TrimSuffix(d.path, ".cir") + ".out"
	if !*live && !*update {
		return readTranscript(t, d, path)
	}
	now, err := runDeck(d)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(path, now.format(d), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	recorded := readTranscript(t, d, path)
	for _, q := range d.wanted {
		// An oscillation never comes to the same end twice.
		if q.kind == "swings" {
			continue
		}
		was, is := recorded[q.expression], now[q.expression]
		if !(math.Abs(is-was) <= 1e-6*math.Abs(was)+1e-9) {
			t.Errorf("%s was recorded as %.12g, the simulator now gives %.12g; if that is right record it anew with -update", q.expression, was, is)
		}
	}
	return now
}

// compare holds the solver's answer against the simulator's.
func (d *deck) compare(t *testing.T, a answer, simulated transcript) {
	t.Helper()
	for _, q := range d.wanted {
		want, ok := simulated[q.expression]
		if !ok {
			t.Errorf("the simulator printed no %q", q.expression)
			continue
		}
		got, err := a.value(q)
		if err != nil {
			t.Errorf("%s: %v", q, err)
			continue
		}
		if q.kind == "swings" {
			if swings := want > 1; swings != (got > 0) {
				t.Errorf("simulator swings by %.3g V, solver reports %d contacts that chatter", want, int(got))
			}
			continue
		}
		if !(math.Abs(got-want) <= max(d.tolerance*math.Abs(want), d.floor)) {
			t.Errorf("%s: solver %.9g, simulator %.9g (%+.4f %%)", q, got, want, 100*(got/want-1))
		}
	}
}

// answer is what the solver says to a deck's question.
type answer struct {
	network  *circuit.Network
	solution *circuit.Solution // of a case
	fault    *circuit.Fault    // of a short circuit
	course   *circuit.Course   // of a run of time
	state    state
}

func (d *deck) answerOf(t *testing.T, n *circuit.Network) answer {
	t.Helper()
	if d.short != nil {
		from, ok := n.Node(d.short.from)
		to, ok2 := n.Node(d.short.to)
		if !ok || !ok2 {
			t.Fatalf("no terminal %s or %s", d.short.from, d.short.to)
		}
		f, ok := n.Fault(from, to, d.short.c)
		if !ok {
			t.Fatalf("nothing drives a fault from %s to %s", d.short.from, d.short.to)
		}
		return answer{network: n, fault: f}
	}
	if d.run != nil {
		course := n.Transient(*d.run)
		if course.Failed != "" {
			t.Fatalf("not run: %s", course.Failed)
		}
		return answer{network: n, course: course, state: state{Chatter: course.Chatter, Cycling: course.Cycling}}
	}
	s := n.Solve(d.c)
	if s.Failed != "" {
		t.Fatalf("not solved: %s", s.Failed)
	}
	// What chatters is neither in nor out.
	chatters := func(id string) bool { return slices.Contains(s.Chatter, id) }
	a := answer{network: n, solution: s, state: state{
		Running: slices.DeleteFunc(slices.Clone(s.ConvertersOn), chatters), Limiting: s.Limiting, Collapsed: s.Collapsed, Chatter: s.Chatter,
	}}
	for id, p := range n.Spec.Parts() {
		switch p.(type) {
		case *schema.Contactor, *schema.Relay:
			if s.Operated(id) && !chatters(id) {
				a.state.Operated = append(a.state.Operated, id)
			}
		}
	}
	return a
}

// value is the solver's number for a quantity, in V, A or C.
func (a answer) value(q quantity) (float64, error) {
	if a.course != nil {
		return a.inTime(q)
	}
	switch q.kind {
	case "across":
		v, ok := a.solution.Across(q.a, q.b)
		if !ok {
			return 0, fmt.Errorf("not one network, or no such terminal")
		}
		return v, nil
	case "current", "through":
		e := a.network.Edge(q.a)
		if e == nil {
			return 0, fmt.Errorf("no edge %s", q.a)
		}
		if a.fault != nil {
			return a.fault.Through(e), nil
		}
		return a.solution.Current(q.a), nil
	case "fault":
		return a.fault.A(), nil
	case "hot-coil":
		return a.network.CoilTemperature(q.a, circuit.CoilHot).C, nil
	case "hot-operate":
		k, ok := a.network.Spec.Contactors[q.a]
		if !ok {
			return 0, fmt.Errorf("no contactor %s", q.a)
		}
		v, _ := circuit.OperateV(&k.Coil, a.network.CoilTemperature(q.a, circuit.CoilHot))
		return v, nil
	case "swings":
		return float64(len(a.solution.Chatter)), nil
	}
	return 0, fmt.Errorf("unknown quantity %q", q.kind)
}

// inTime is the same of a run of time, in V, A, s, J or A2s.
func (a answer) inTime(q quantity) (float64, error) {
	c := a.course
	switch q.kind {
	case "across":
		if v, ok := c.At(q.at).Across(q.a, q.b); ok {
			return v, nil
		}
		return 0, fmt.Errorf("not one network, or no such terminal")
	case "current":
		return c.At(q.at).Current(q.a), nil
	case "time":
		if s, ok := c.TimeTo(q.a, q.b, q.at); ok {
			return s, nil
		}
		return 0, fmt.Errorf("never comes to %g V", q.at)
	case "heat":
		return c.HeatJ(q.a), nil
	case "square":
		return c.SquareA2s(q.a), nil
	case "peak":
		return c.Peak(q.a).A, nil
	case "closes":
		e, ok := c.First(q.a)
		if !ok {
			return 0, fmt.Errorf("%s never closes", q.a)
		}
		return e.S, nil
	}
	return 0, fmt.Errorf("unknown quantity %q of a run of time", q.kind)
}
