package calc

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
)

// worked is one worked example: where its numbers were published, and how the
// package computes each of its outputs.
type worked struct {
	source string
	// outputs computes from the inputs of the example: an output is a number,
	// true or false, a name, or a list of numbers.
	outputs map[string]func(in inputs) any
}

// inputs are the inputs of one example.
type inputs struct {
	t testing.TB
	record
}

func (in inputs) n(name string) float64 { in.t.Helper(); return in.num(in.t, name) }

func (in inputs) v(value float64, err error) float64 {
	in.t.Helper()
	if err != nil {
		in.t.Fatal(err)
	}
	return value
}

// line is the value of a line, whose numbers must give it.
func (in inputs) line(l Line, err error) float64 {
	in.t.Helper()
	return followed(in.t)(l, err)
}

// size is the conductor an example names by its keys awg, sae or area_mm2.
func (in inputs) size() Size {
	in.t.Helper()
	for key, unit := range map[string]string{"awg": " AWG", "sae": " SAE", "area_mm2": " mm2", "cable_mm2": " mm2"} {
		if in.record[key] != "" {
			return size(in.t, in.record[key]+unit)
		}
	}
	in.t.Fatalf("no conductor in %v", in.record)
	return Size{}
}

// table looks a conductor up in a published table.
func (in inputs) table(name, key, value, column string) float64 {
	in.t.Helper()
	for _, r := range published(in.t, name) {
		if r[key] == value {
			return r.num(in.t, column)
		}
	}
	in.t.Fatalf("%s has no row %s", name, value)
	return 0
}

// list applies a function to each number of a list a|b|c.
func (in inputs) list(name string, f func(float64) float64) []float64 {
	in.t.Helper()
	var out []float64
	for _, s := range strings.Split(in.record[name], "|") {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			in.t.Fatal(err)
		}
		out = append(out, f(v))
	}
	return out
}

// ambient is the factor of a published table for the ambient of the example.
func (in inputs) ambient(name, column string) float64 {
	in.t.Helper()
	for _, r := range published(in.t, name) {
		_, top, band := strings.Cut(r["ambient_C"], "-")
		if !band {
			top = r["ambient_C"]
		}
		if top == in.record["ambient_C"] {
			return r.num(in.t, column)
		}
	}
	in.t.Fatalf("%s has no band that ends at %s C", name, in.record["ambient_C"])
	return 0
}

// notCovered names the examples, or single outputs of them, of what no rule runs.
func notCovered() map[string]string {
	return map[string]string{
		"WE11":                  "no rule corrects a table for the ambient: the heat balance takes the ambient itself",
		"WE66":                  "as WE11",
		"WE13/max_device":       "no rule has the 150 % of small craft: I_n <= I_z is asked for",
		"WE13/largest_standard": "as WE13/max_device",
		"WE14/largest_standard": "as WE13/max_device",
		"WE19":                  "the circuit is solved: TestPublishedShortCircuit of package circuit",
		"WE24/icea":             "no rule has the form of ICEA P-32-382; it agrees with k within 1 %",
		"WE25":                  "no rule melts a bare wire: insulation fails long before",
		"WE26":                  "as WE25",
		"WE29":                  "no rule proposes a resistor for a time: what is proposed is solved as the circuit charges",
		"WE33":                  "no rule asks for a capacitance: TouchEnergy is compared",
		"WE34":                  "isolation is measured, no rule computes it",
		"WE43":                  "no rule assumes an operate voltage",
		"WE45/power_at_rated":   "no rule asks for the heat of a shunt",
		"WE45/continuous":       "a policy value: TestPublishedPolicy of package measurement",
		"WE45/power_at_200A":    "as WE45/power_at_rated",
		"WE49":                  "bars are flat",
		"WE58":                  "the table of lamp categories is not part of the arithmetic: a load states its watts",
		"WE62":                  "policy values: TestPublishedDistances of package wiring",
		"WE63":                  "interrupting ratings are held against the computed short circuit",
	}
}

func TestWorkedExamples(t *testing.T) {
	examples, without := workedExamples(), notCovered()
	seen := map[string]bool{}
	for _, r := range published(t, "worked_examples") {
		id, output := r["id"], r["output"]
		if reason, ok := without[id]; ok || without[id+"/"+output] != "" {
			if _, both := examples[id].outputs[output]; both {
				t.Errorf("%s/%s is covered and not: %s", id, output, reason)
			}
			continue
		}
		t.Run(id+"/"+output, func(t *testing.T) {
			f := examples[id].outputs[output]
			if f == nil || examples[id].source == "" {
				t.Fatalf("%s (%s) has no computation of %q with its source", id, r["topic"], output)
			}
			in := inputs{t: t, record: record{}}
			for _, pair := range strings.Split(r["inputs"], ";") {
				key, value, _ := strings.Cut(pair, "=")
				in.record[key] = value
			}
			compareWorked(t, r, f(in))
		})
		seen[id+"/"+output] = true
	}
	for id, example := range examples {
		for output := range example.outputs {
			if !seen[id+"/"+output] {
				t.Errorf("%s computes %q, which is in no example", id, output)
			}
		}
	}
}

// compareWorked compares by the kind of the result, within the tolerance of the
// row; an empty or zero tolerance is exact.
func compareWorked(t *testing.T, r record, got any) {
	t.Helper()
	percent, _ := strconv.ParseFloat(r["tol_percent"], 64)
	switch got := got.(type) {
	case float64:
		near(t, r["topic"], got, r.num(t, "expected"), percent)
	case []float64:
		want := strings.Split(r["expected"], "|")
		if len(got) != len(want) {
			t.Fatalf("%v, want %v", got, want)
		}
		for i := range got {
			near(t, r["topic"], got[i], record{"x": want[i]}.num(t, "x"), percent)
		}
	default:
		if s := fmt.Sprint(got); s != r["expected"] {
			t.Errorf("%s: %s, want %s", r["topic"], s, r["expected"])
		}
	}
}

func workedExamples() map[string]worked {
	all := map[string]worked{}
	for _, part := range []map[string]worked{
		conductorExamples(), ampacityExamples(), fuseExamples(), faultExamples(),
		capacitorExamples(), safetyExamples(), coilExamples(), measuringExamples(), busbarExamples(), spacingExamples(), converterExamples(),
	} {
		for id, example := range part {
			all[id] = example
		}
	}
	return all
}
