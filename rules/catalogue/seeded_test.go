package catalogue_test

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/oracle"
	"example.org/headroom/rules/ruletest"
)

const (
	// beyond is how far past its limit a fault must lie by the oracle: 15 %.
	beyond = 1.15
	// perMutation is how many faults of one kind are taken, spread over the vehicles.
	perMutation = 3
)

// change sets paths of a vehicle; nil deletes.
type change map[string]any

// fault is one way to spoil a vehicle: what the rule must name, and the same
// change in growing steps, of which the first that goes far enough is taken.
type fault struct {
	subject string
	steps   []change
}

// mutation is a kind of mistake that people make, and the rule that must see it.
type mutation struct {
	kind string
	rule string
	// given is why the fault breaks the rule by the way it is made. Without it
	// the oracle decides.
	given string
	find  func(v *oracle.Vehicle) []fault
}

// mutant is a fault that has been accepted.
type mutant struct {
	mutation
	vehicle string
	subject string
	change  change
	ratio   float64 // demand over capability, required headroom included; +Inf for a yes or no
	sound   *oracle.Vehicle
	spec    *oracle.Vehicle

	checking sync.Once
	outcome  outcome
}

func (m *mutant) String() string {
	return fmt.Sprintf("%s: %s, for %s %s (%v)", m.vehicle, m.kind, m.rule, m.subject, m.change)
}

// mutations lists all kinds.
func mutations() []mutation {
	return slices.Concat(
		circuitMutations(), fuseMutations(), conductorMutations(), contactMutations(), coilMutations(),
		switchMutations(), prechargeMutations(), meterMutations(), converterMutations(), loadMutations(),
		batteryMutations(), controllerMutations(), recordMutations(), waiverMutations(),
		parallelMutations(), diodeMutations(), seriesMutations(), enableMutations(), stringMutations(), unlikeMutations(),
		protectionMutations(), trustMutations(),
		solarMutations(), auxiliaryMutations(),
		connectorMutations(), bmsMutations(),
		timerMutations(), motorMutations(), breakerMutations(), cutoutMutations(), blockMutations(), keyedMutations(), senseMutations(), flatMutations(), insideMutations(), clampMutations(), regenerationMutations(),
	)
}

// soundVehicles are the ways to the vehicles without a fault.
func soundVehicles(t *testing.T) []string {
	t.Helper()
	paths := []string{}
	for _, name := range vehicles(t) {
		paths = append(paths, filepath.Join(ruletest.Fleet(), name))
	}
	sound, err := filepath.Glob(filepath.Join(ruletest.Fleet(), "..", "sound", "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return append(append(paths, sound...), filepath.Join(ruletest.Fleet(), "..", "first", "first.yaml"))
}

func vehicleName(path string) string {
	return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
}

// seeding draws faults and checks them. What does not depend on the seed, it
// works out once.
type seeding struct {
	expectations map[string]oracle.Expectation
	list         []*rules.Rule
	byID         map[string]*rules.Rule
	kinds        []mutation
	vehicles     []soundVehicle
	candidates   [][][]*candidate // by kind and vehicle
	severe       map[string]*oracle.Vehicle
	before       sync.Map // what the severe oracle expects of sound vehicles, by vehicle, rule and subject
}

type soundVehicle struct {
	name    string
	vehicle *oracle.Vehicle
}

// candidate is a fault that may be drawn.
type candidate struct {
	fault
	accepting sync.Once
	accepted  *mutant // nil if it does not lie far enough beyond the limit
}

func newSeeding(t *testing.T) *seeding {
	t.Helper()
	s := &seeding{expectations: oracle.Expectations(), list: catalogue.All(), byID: map[string]*rules.Rule{}, kinds: mutations(), severe: map[string]*oracle.Vehicle{}}
	for _, r := range s.list {
		s.byID[r.ID] = r
	}
	if wanted := regexp.MustCompile(*seededRule); *seededRule != "" {
		s.kinds = slices.DeleteFunc(s.kinds, func(m mutation) bool { return !wanted.MatchString(m.rule) })
	}
	for _, path := range soundVehicles(t) {
		v, err := oracle.Read(sourceOf(t, path))
		if err != nil {
			t.Fatal(err)
		}
		s.vehicles = append(s.vehicles, soundVehicle{vehicleName(path), v})
		s.severe[vehicleName(path)] = v.Severe()
	}
	s.candidates = make([][][]*candidate, len(s.kinds))
	inParallel(len(s.kinds), func(i int) {
		s.candidates[i] = make([][]*candidate, len(s.vehicles))
		for k, v := range s.vehicles {
			for _, f := range s.kinds[i].find(v.vehicle) {
				s.candidates[i][k] = append(s.candidates[i][k], &candidate{fault: f})
			}
		}
	})
	return s
}

// faults draws, for a seed, up to perMutation faults of each kind, in turn from
// one vehicle after the other.
func (s *seeding) faults(seed uint64) []*mutant {
	out := make([][]*mutant, len(s.kinds))
	inParallel(len(s.kinds), func(i int) {
		for queues := s.draw(seed, i); len(queues) > 0 && len(out[i]) < perMutation; {
			queues = slices.DeleteFunc(queues, func(q *queue) bool {
				for len(q.left) > 0 && len(out[i]) < perMutation {
					next := q.left[0]
					q.left = q.left[1:]
					if m := s.accept(q.vehicle, s.kinds[i], next); m != nil {
						out[i] = append(out[i], m)
						return false
					}
				}
				return true
			})
		}
	})
	return slices.Concat(out...)
}

// queue holds the candidates of one kind and vehicle in the order drawn.
type queue struct {
	vehicle soundVehicle
	rank    uint64
	left    []*candidate
}

// draw puts vehicles and candidates of a kind in an order. Each vehicle and kind
// has random numbers of its own, so that a kind that is added, or moved in the
// list, changes nothing of what is drawn of the others.
func (s *seeding) draw(seed uint64, kind int) []*queue {
	queues := make([]*queue, len(s.vehicles))
	for k, v := range s.vehicles {
		name := fnv.New64a()
		fmt.Fprintf(name, "%s\n%s\n%s", v.name, s.kinds[kind].rule, s.kinds[kind].kind)
		random := rand.New(rand.NewPCG(seed, name.Sum64()))
		q := &queue{vehicle: v, rank: random.Uint64(), left: slices.Clone(s.candidates[kind][k])}
		random.Shuffle(len(q.left), func(a, b int) { q.left[a], q.left[b] = q.left[b], q.left[a] })
		queues[k] = q
	}
	slices.SortFunc(queues, func(a, b *queue) int { return cmp.Compare(a.rank, b.rank) })
	return queues
}

// excess is what the oracle expects of a rule and subject: demand over capability
// times the required headroom; NaN if it knows nothing.
func (s *seeding) excess(v *oracle.Vehicle, rule, subject string) float64 {
	expect := s.expectations[rule]
	if expect == nil {
		return math.NaN()
	}
	required := 1.0
	if r := s.byID[rule]; r != nil && r.Required > 0 {
		required = r.Required
	}
	return expect(v, subject) * v.Number("policy.required."+rule, required)
}

// accept takes the mildest step of a candidate that lies far enough beyond the
// limit; nil if none does.
func (s *seeding) accept(v soundVehicle, m mutation, c *candidate) *mutant {
	c.accepting.Do(func() {
		if m.given == "" && s.excess(v.vehicle, m.rule, c.subject) > 1 {
			return // no sound vehicle to begin with
		}
		for _, step := range c.steps {
			changed, err := v.vehicle.Changed(step)
			if err != nil {
				return
			}
			ratio := math.Inf(1)
			if m.given == "" {
				ratio = s.excess(changed, m.rule, c.subject)
			}
			if ratio >= beyond {
				c.accepted = &mutant{mutation: m, vehicle: v.name, subject: c.subject, change: step, ratio: ratio, sound: v.vehicle, spec: changed}
				return
			}
		}
	})
	return c.accepted
}

// inParallel does n things on all processors.
func inParallel(n int, do func(i int)) {
	var running sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		running.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	running.Wait()
}
