package calc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"strings"
	"testing"
)

func TestLine(t *testing.T) {
	l := line(2*3, "A", "$0 (1 + $2)", "$1e-6 * $2 + $10", 3.1415926, 100000, 3, 4, 5, 6, 7, 8, 9, 12.5)
	l.symbol = "I_20"
	if got, want := l.Formula(), "I_20 (1 + 100000)"; got != want {
		t.Errorf("formula %q, want %q", got, want)
	}
	if got, want := l.Numbers(), "3.1416e-6 * 100000 + 12.5"; got != want {
		t.Errorf("numbers %q, want %q", got, want)
	}
	if l := standard(3, "mm", "a table"); l.Formula() != "" || l.Numbers() != "" {
		t.Errorf("a value that is looked up is computed: %q, %q", l.Formula(), l.Numbers())
	}
}

// What takes several lines, over the sizes, metals and temperatures that the
// tables of the other tests have.
func TestStepsAreFollowed(t *testing.T) {
	for _, label := range []string{"1.5 mm2", "16 mm2", "70 mm2", "2/0 AWG", "8 SAE"} {
		s := size(t, label)
		for _, at := range [][2]float64{{90, 40}, {70, 30}, {125, -10}} {
			for _, derating := range []float64{0, 0.56, 1} {
				c := Cable{Size: s, Derating: derating}
				b := must[HeatBalance](t)(FreeAirBalance(c, at[0], at[1]))
				followSteps(t, c.MetreSteps(at[0]))
				followSteps(t, c.DiameterSteps())
				followSteps(t, append(b.SurfaceSteps("w1"), b.InsulationStep()))
				near(t, label, followed(t)(b.Ampacity()), must[float64](t)(FreeAirAmpacity(c, at[0], at[1])), 0)
				followSteps(t, must[HeatStore](t)(HeatStoreOf(c)).Steps("w1"))
				followHeating(t, must[*Heating](t)(NewHeating(c, at[1], at[0]+60)), at[0])
			}
		}
		for _, joint := range []float64{0, 0.05} {
			ohm := must[float64](t)(Resistance(s, 0.8, 70)) + 2*joint/1000*CopperFactor(70)
			near(t, label, follow(t, s.JointedMOhm(0.8, joint, 70)), 1000*ohm, 1e-9)
		}
	}
	for _, metal := range []Metal{Copper(), Aluminium()} {
		for _, painted := range []bool{false, true} {
			b := Bar{WidthMM: 25, ThicknessMM: 3, Metal: metal, Painted: painted}
			for _, barC := range []float64{40, 90, 105} {
				steps := must[[]Step](t)(b.AmpacitySteps("b1", barC, 40))
				followSteps(t, steps)
				near(t, "I_z", steps[len(steps)-1].Value, must[float64](t)(BarAmpacity(b, barC, 40)), 0)
			}
			near(t, "C", follow(t, b.HeatCapacity()), must[*Heating](t)(NewBarHeating(b, 40, 150)).capacity, 0)
			followHeating(t, must[*Heating](t)(NewBarHeating(b, 40, 150)), 105)
			for _, joint := range []float64{0, 0.05} {
				ohm := (must[float64](t)(BarResistance(b, 0.3, 20)) + 2*joint/1000) * CopperFactor(70)
				near(t, metal.Name, follow(t, b.JointedMOhm(0.3, joint, 70)), 1000*ohm, 1e-9)
			}
		}
	}
}

// followHeating follows a heating to a temperature at currents that take long, take
// a moment, and never reach it. They are round: what the rounding of a current does to
// a small difference of its heat and the loss is more than the tolerance.
func followHeating(t *testing.T, h *Heating, toC float64) {
	t.Helper()
	holds := math.Sqrt(h.LossWm(toC) / h.OhmPerM(toC))
	half := math.Ceil(holds / 2)
	from, _ := h.Steady(half)
	for _, share := range []float64{0.9, 1.5, 10} {
		followSteps(t, h.TimeSteps("w1", HeatingSymbols{"t", "T_0", "T_c"}, math.Ceil(share*holds), from, toC))
	}
	steady := h.SteadySteps("w1", half)
	if from, stays := steady[0].Value, steady[1]; math.Abs(h.stays(half, from)) > 1e-9 || !strings.HasSuffix(stays.Numbers(), " - "+Term(h.LossWm(from))) {
		t.Errorf("%v W/m stay at %v C: %s", stays.Value, from, stays.Numbers())
	}
}

func TestFinSteps(t *testing.T) {
	for _, amps := range []float64{100, 300, 450} {
		for _, end2 := range []float64{80, 90} {
			cable := must[Fin](t)(ShortCable(Cable{Size: size(t, "35 mm2")}, 0.2, amps, 40, 90, end2))
			followSteps(t, cable.Steps())
			bar := must[Fin](t)(ShortBar(Bar{WidthMM: 20, ThicknessMM: 3, Metal: Aluminium()}, 0.1, amps, 40, 90, end2))
			followSteps(t, bar.Steps())
		}
	}
}

func TestSingleLines(t *testing.T) {
	cycle := []Interval{{120, 10}, {30, 45}, {0, 5}}
	near(t, "AtTemperature", follow(t, AtTemperature("R_20", 24, "Ohm", 85)), 24*CopperFactor(85), 0)
	near(t, "CopperCurrent", follow(t, CopperCurrent(12, 24, -10)), 12/(24*CopperFactor(-10)), 0)
	near(t, "RatedDropMOhm", follow(t, RatedDropMOhm(60, 300)), 0.2, 1e-9)
	for _, given := range []bool{false, true} {
		rms, _, _ := RMS(cycle)
		near(t, "RMSLine", followed(t)(RMSLine(cycle, given)), rms, 0)
	}
	near(t, "RepeatedRMS", followed(t)(RepeatedRMS(120, 30, 50, 300)), math.Sqrt((120*120*30+50*50*270)/300.0), 1e-9)
	near(t, "MeterReading", followed(t)(MeterReading(300, 50, 200, 75, 300)), 400.0/3, 1e-9)
	near(t, "MeterReading", followed(t)(MeterReading(300, 50, 200, 75, 30)), 40.0/3, 1e-9)
	near(t, "Inrush", followed(t)(Inrush(84, 80, 0.1)), 40, 1e-9)
	near(t, "Derating", follow(t, must[FuseLoading](t)(loading(ClassBlade)).Derating(75)), 0.9, 1e-9)
	near(t, "Least", follow(t, (&Damage{}).Least(3)), 5, 0)
	if l := NoAmpacity(); follow(t, l) != 0 || l.Formula() == "" {
		t.Errorf("%+v", l)
	}
	for _, endless := range []bool{false, true} {
		if endless {
			cycle = append(cycle, Interval{25, math.Inf(1)})
		}
		held, err := PeriodicHeating(cycle, 20)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "HottestHeld", followed(t)(HottestHeld(cycle, 20)), max(held[0], held[1], held[2]), 0)
	}
}

func loading(class FuseClass) (FuseLoading, error) {
	l, ok := class.Loading()
	if !ok {
		return l, ErrNoCurve
	}
	return l, nil
}

// Every function that gives lines is followed somewhere in the tests.
func TestEveryLineIsFollowed(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	var give []string
	tests := ""
	for _, f := range files {
		switch {
		case strings.HasSuffix(f.Name(), "_test.go"):
			text, err := os.ReadFile(f.Name())
			if err != nil {
				t.Fatal(err)
			}
			tests += string(text)
		case strings.HasSuffix(f.Name(), ".go"):
			file, err := parser.ParseFile(token.NewFileSet(), f.Name(), nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range file.Decls {
				if fn, ok := d.(*ast.FuncDecl); ok && fn.Name.IsExported() && givesLines(fn) {
					give = append(give, fn.Name.Name)
				}
			}
		}
	}
	if len(give) < 40 {
		t.Errorf("%d functions give lines", len(give))
	}
	for _, name := range give {
		if !strings.Contains(tests, name+"(") {
			t.Errorf("no test follows the lines of %s: call it within followed, follow or followSteps", name)
		}
	}
}

// givesLines reports whether a function gives a line or steps.
func givesLines(fn *ast.FuncDecl) bool {
	if fn.Type.Results == nil {
		return false
	}
	for _, r := range fn.Type.Results.List {
		kind := r.Type
		if list, ok := kind.(*ast.ArrayType); ok {
			kind = list.Elt
		}
		if name, ok := kind.(*ast.Ident); ok && (name.Name == "Line" || name.Name == "Step") {
			return true
		}
	}
	return false
}
