package calc

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/calculator"
)

// record is one row of a published table by column name.
type record map[string]string

// num reads a number of a row; every table is complete where it is asked.
func (r record) num(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %q of %v: %v", column, r, err)
	}
	return v
}

// published reads a table of testdata/published, whose first lines name its
// source.
func published(t testing.TB, name string) []record {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "published", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var out []record
	for _, row := range rows[1:] {
		rec := record{}
		for i, column := range rows[0] {
			rec[column] = row[i]
		}
		out = append(out, rec)
	}
	if len(out) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return out
}

// near wants got within a percentage of want; 0 wants the same number but for
// the last bits of the float.
func near(t testing.TB, what string, got, want, percent float64) {
	t.Helper()
	if math.IsInf(want, 0) && got == want {
		return
	}
	if !(math.Abs(got-want) <= math.Abs(want)*(percent/100)+1e-9*math.Max(1, math.Abs(want))) {
		t.Errorf("%s = %.6g, want %.6g within %g %%", what, got, want, percent)
	}
}

// must unwraps a value that cannot err in the case at hand.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// followed unwraps a line that cannot err in the case at hand: its value, which the
// numbers of the line must give to a reader with a calculator.
func followed(t testing.TB) func(Line, error) float64 {
	return func(l Line, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return follow(t, l)
	}
}

// follow is the value of a line, which its numbers must give.
func follow(t testing.TB, l Line) float64 {
	t.Helper()
	if l.numbers != "" {
		if err := calculator.Follow(l.Numbers(), l.Value); err != nil {
			t.Errorf("%s = %v", l.Formula(), err)
		}
	}
	if l.numbers != "" && l.Source != "" {
		t.Errorf("%v %s is looked up in %s and computed by %s", l.Value, l.Unit, l.Source, l.Numbers())
	}
	return l.Value
}

// followSteps follows the lines of a calculation.
func followSteps(t testing.TB, steps []Step) {
	t.Helper()
	if len(steps) == 0 {
		t.Error("no steps")
	}
	for _, s := range steps {
		if s.Symbol == "" || s.What == "" {
			t.Errorf("a step without symbol or meaning: %+v", s)
		}
		follow(t, s.Line)
	}
}

// size parses a conductor size.
func size(t testing.TB, label string) Size {
	t.Helper()
	return must[Size](t)(ParseSize(label))
}
