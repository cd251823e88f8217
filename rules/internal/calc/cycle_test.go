package calc

import (
	"math"
	"testing"
)

// The periodic state of two steps has a closed form: from IEC 60255-149, theta'
// = I2 + (theta - I2) exp(-t/tau) twice, set equal to where it began.
func TestPeriodicHeating(t *testing.T) {
	// 200 A for 60 s and 50 A for 240 s, tau 600 s. By hand: left over after the
	// steps exp(-0.1) = 0.904837 and exp(-0.4) = 0.670320.
	//   hot  = (40000 (1 - 0.904837) + 2500 (1 - 0.670320) 0.904837) / (1 - 0.606531) = 11569.6
	//   cool = 2500 + (hot - 2500) 0.670320 = 8579.6
	tests := []struct {
		name  string
		cycle []Interval
		tauS  float64
		want  []float64
	}{
		{"two steps", []Interval{{200, 60}, {50, 240}}, 600, []float64{math.Sqrt(11569.6), math.Sqrt(8579.6)}},
		{"begun elsewhere", []Interval{{50, 240}, {200, 60}}, 600, []float64{math.Sqrt(8579.6), math.Sqrt(11569.6)}},
		{"a step split in two", []Interval{{200, 20}, {200, 40}, {50, 240}}, 600, []float64{math.NaN(), math.Sqrt(11569.6), math.Sqrt(8579.6)}},
		// Ten thousand times shorter than tau: the root mean square, sqrt((200^2 1 + 50^2 4)/5) = 100.
		{"short against tau", []Interval{{200, 0.01}, {50, 0.04}}, 600, []float64{100, 100}},
		{"long against tau", []Interval{{200, 1e5}, {50, 1e5}}, 600, []float64{200, 50}},
		{"for ever between", []Interval{{200, 60}, {50, math.Inf(1)}}, 600,
			[]float64{math.Sqrt(2500 + 37500*(1-math.Exp(-0.1))), 50}},
		{"one current", []Interval{{80, 1}}, 600, []float64{80}},
		{"nothing", []Interval{{0, 1}}, 600, []float64{0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := PeriodicHeating(tt.cycle, tt.tauS)
			if err != nil || len(got) != len(tt.want) {
				t.Fatalf("%v, %v", got, err)
			}
			for i, want := range tt.want {
				if !math.IsNaN(want) {
					near(t, tt.name, got[i], want, 0.01)
				}
			}
		})
	}
}

// The replica asked for one step at a time leads to the same state, and its
// inverse gives the step's duration back. Source: IEC 60255-149.
func TestPeriodicHeatingAgreesWithTheReplica(t *testing.T) {
	cycle := []Interval{{120, 30}, {40, 200}, {90, 75}, {0, 20}}
	held, err := PeriodicHeating(cycle, 240)
	if err != nil {
		t.Fatal(err)
	}
	prior := held[len(held)-1]
	for i, step := range cycle {
		near(t, "heating", replicaHeldA(step.CurrentA, prior, 240, step.S), held[i], 1e-6)
		if held[i] > prior {
			near(t, "time", replicaTime(step.CurrentA, prior, held[i], 240), step.S, 1e-6)
		}
		prior = held[i]
	}
}

func TestPeriodicHeatingOutsideItsDomain(t *testing.T) {
	for name, f := range map[string]func() ([]float64, error){
		"no steps":          func() ([]float64, error) { return PeriodicHeating(nil, 600) },
		"no time constant":  func() ([]float64, error) { return PeriodicHeating([]Interval{{1, 1}}, 0) },
		"negative duration": func() ([]float64, error) { return PeriodicHeating([]Interval{{1, -1}}, 600) },
		"negative current":  func() ([]float64, error) { return PeriodicHeating([]Interval{{-1, 1}}, 600) },
		"no duration":       func() ([]float64, error) { return PeriodicHeating([]Interval{{1, 0}}, 600) },
	} {
		if got, err := f(); err == nil {
			t.Errorf("%s: %v", name, got)
		}
	}
}
