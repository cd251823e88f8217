package demand_test

import (
	"math"
	"slices"
	"testing"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// mode is a mode with a duration and the time from one beginning to the next,
// in s; 0 for none.
func mode(id string, lasts, every float64) *schema.Mode {
	m := &schema.Mode{ID: id}
	if lasts > 0 {
		m.LastsS = schema.Some(lasts)
	}
	if every > 0 {
		m.EveryS = schema.Some(every)
	}
	return m
}

func uses(list ...demand.Use) []demand.Use { return list }

func use(m *schema.Mode, a float64) demand.Use { return demand.Use{Mode: m, A: a} }

// The hottest moment of a drive by the thermal replica of IEC 60255-149, tau 600 s.
func TestHottest(t *testing.T) {
	roll, hill, once, idle := mode("roll", 0, 0), mode("hill", 60, 300), mode("once", 300, 0), mode("idle", 0, 0)
	cycle := []schema.CycleStep{{Mode: "hill", ForS: 60}, {Mode: "roll", ForS: 240}}
	for _, tt := range []struct {
		name  string
		cycle []schema.CycleStep
		uses  []demand.Use
		eqA   float64
		mode  string
		cycly bool
	}{
		{"continuously", nil, uses(use(roll, 80), use(idle, 5)), 80, "roll", false},
		// sqrt(50^2 + (150^2 - 50^2) (1 - exp(-0.1)) / (1 - exp(-0.5))) = 85.66 A.
		{"comes back over what flows continuously", nil, uses(use(hill, 150), use(roll, 50)), 85.66, "hill", false},
		{"the declared cycle", cycle, uses(use(hill, 150), use(roll, 50), use(idle, 5)), 85.66, "hill", true},
		// sqrt(50^2 + (400^2 - 50^2) (1 - exp(-0.5))) = 253.9 A.
		{"does not come back", nil, uses(use(once, 400), use(roll, 50)), 253.9, "once", false},
		// The cycle leaves its root mean square, sqrt((150^2 60 + 50^2 240)/300) = 80.62 A:
		// sqrt(80.62^2 + (400^2 - 80.62^2) (1 - exp(-0.5))) = 258.65 A.
		{"comes in the middle of the cycle", cycle, uses(use(hill, 150), use(roll, 50), use(once, 400)), 258.65, "once", false},
		{"less than what flows continuously", nil, uses(use(hill, 20), use(roll, 50)), 50, "roll", false},
		{"nothing but a step", nil, uses(use(hill, 150)), 150 * math.Sqrt((1-math.Exp(-0.1))/(1-math.Exp(-0.5))), "hill", false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := demand.Hottest(&schema.Spec{Cycle: tt.cycle}, tt.uses, 600)
			if !ok || math.Abs(got.EqA-tt.eqA) > 2e-4*tt.eqA || got.Mode.ID != tt.mode || got.Cycle != tt.cycly {
				t.Errorf("%v A in %v, cycle %v; want %v A in %s, %v", got.EqA, got.Mode, got.Cycle, tt.eqA, tt.mode, tt.cycly)
			}
		})
	}
	if _, ok := demand.Hottest(&schema.Spec{}, nil, 600); ok {
		t.Error("a duty without a mode")
	}
}

func TestTurns(t *testing.T) {
	hill, roll := mode("hill", 60, 50), mode("roll", 0, 0)
	lasting, turns := demand.Cycles(&schema.Spec{}, uses(use(hill, 150), use(roll, 50)))
	if len(lasting) != 1 || len(turns) != 1 || len(turns[0].Steps) != 1 || turns[0].RMS() != 150 {
		t.Errorf("a mode that comes back before it ends: %v, %v", lasting, turns)
	}
	step := demand.DutyStep{Use: demand.Use{A: 300}, S: 10}
	if before := demand.Before(step, lasting, nil); before.RMS() != 50 || before.Greatest().A != 300 || !math.IsInf(before.LengthS(), 1) {
		t.Errorf("a step at any time: %v", before)
	}
	short := demand.DutyCycle{Steps: []demand.DutyStep{{Use: demand.Use{A: 30}, S: 1}, {Use: demand.Use{A: 0}, S: 3}}}
	if rms, _, err := calc.RMS(short.Intervals()); err != nil || short.RMS() != rms || rms != 15 {
		t.Errorf("root mean square %v, %v", short.RMS(), rms)
	}
}

// Of what flows continuously only what is greater than all before is listed.
func TestContinuousThatCanBeGreatest(t *testing.T) {
	continuous, _ := demand.Cycles(&schema.Spec{}, uses(use(mode("a", 0, 0), 0), use(mode("b", 0, 0), 20), use(mode("c", 0, 0), 10),
		use(mode("d", 0, 0), 20), use(mode("e", 60, 300), 50), use(mode("f", 0, 0), 30)))
	var ids []string
	for _, u := range continuous {
		ids = append(ids, u.ModeID())
	}
	if want := []string{"a", "b", "f"}; !slices.Equal(ids, want) {
		t.Errorf("%v, want %v", ids, want)
	}
}
