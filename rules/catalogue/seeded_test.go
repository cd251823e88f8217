package catalogue_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/oracle"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// updateSeeded rewrites the summary of the seeded faults.
var updateSeeded = flag.Bool("update", false, "rewrite testdata/seeded.txt")

const (
	// seededSeed chooses among the possible faults; the same seed, the same faults.
	seededSeed = 20270401
	// beyond is how far past its limit a fault must lie by the oracle: 15 %.
	beyond = 1.15
	// perMutation is how many faults of one kind are taken, spread over the vehicles.
	perMutation = 3
)

// seededDay is the day of the runs, on which waivers hold or not.
var seededDay = time.Date(2030, 6, 1, 0, 0, 0, 0, time.UTC)

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
}

func (m mutant) String() string {
	return fmt.Sprintf("%s: %s, for %s %s (%v)", m.vehicle, m.kind, m.rule, m.subject, m.change)
}

// mutations lists all kinds.
func mutations() []mutation {
	return slices.Concat(
		circuitMutations(), fuseMutations(), conductorMutations(), contactMutations(), coilMutations(),
		switchMutations(), prechargeMutations(), meterMutations(), converterMutations(), loadMutations(),
		batteryMutations(), controllerMutations(), recordMutations(), waiverMutations(),
		parallelMutations(), diodeMutations(), seriesMutations(), enableMutations(), stringMutations(), unlikeMutations(),
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

// excess is what the oracle says of a rule and subject: demand over capability
// times the required headroom; NaN if it knows nothing.
func excess(judges map[string]oracle.Judge, v *oracle.Vehicle, rule, subject string) float64 {
	judge := judges[rule]
	if judge == nil {
		return math.NaN()
	}
	required := 1.0
	if r := catalogue.Find(rule); r != nil && r.Required > 0 {
		required = r.Required
	}
	return judge(v, subject) * v.Number("policy.required."+rule, required)
}

// accept takes the mildest step of a fault that lies far enough beyond the limit.
func accept(judges map[string]oracle.Judge, v *oracle.Vehicle, m mutation, f fault) (mutant, bool) {
	if m.given == "" && excess(judges, v, m.rule, f.subject) > 1 {
		return mutant{}, false // no sound vehicle to begin with
	}
	for _, step := range f.steps {
		changed, err := v.Changed(step)
		if err != nil {
			return mutant{}, false
		}
		ratio := math.Inf(1)
		if m.given == "" {
			ratio = excess(judges, changed, m.rule, f.subject)
		}
		if ratio >= beyond {
			return mutant{mutation: m, subject: f.subject, change: step, ratio: ratio, sound: v, spec: changed}, true
		}
	}
	return mutant{}, false
}

// seed makes the faults of all kinds: of each kind up to perMutation, in turn
// from one vehicle after the other.
func seed(t *testing.T, judges map[string]oracle.Judge) []mutant {
	t.Helper()
	type sound struct {
		name    string
		vehicle *oracle.Vehicle
	}
	var all []sound
	for _, path := range soundVehicles(t) {
		source, err := ruletest.Load(t, path).JSON()
		if err != nil {
			t.Fatal(err)
		}
		v, err := oracle.Read(source)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, sound{vehicleName(path), v})
	}
	kinds := mutations()
	out := make([][]mutant, len(kinds))
	inParallel(len(kinds), func(i int) {
		m := kinds[i]
		random := rand.New(rand.NewPCG(seededSeed, uint64(i)))
		// Every goroutine has vehicles of its own: the oracle remembers solutions.
		queues := make([][]fault, len(all))
		own := make([]*oracle.Vehicle, len(all))
		for k, s := range all {
			own[k], _ = s.vehicle.Changed(nil)
			queues[k] = m.find(own[k])
			random.Shuffle(len(queues[k]), func(a, b int) { queues[k][a], queues[k][b] = queues[k][b], queues[k][a] })
		}
		first := random.IntN(len(all))
		for taken, left := 0, true; left && taken < perMutation; {
			left = false
			for k := range all {
				k = (k + first) % len(all)
				for len(queues[k]) > 0 && taken < perMutation {
					f := queues[k][0]
					queues[k] = queues[k][1:]
					left = true
					if one, ok := accept(judges, own[k], m, f); ok {
						one.vehicle = all[k].name
						out[i] = append(out[i], one)
						taken++
						break
					}
				}
			}
		}
	})
	return slices.Concat(out...)
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

// outcome is what the rules said of a mutant.
type outcome struct {
	broken    string // why it could not be checked
	caught    bool
	missed    string   // what the rule said instead
	followers int      // findings that follow from the expected one
	agreed    int      // extra findings that the oracle reckons as well
	argued    []string // extra findings justified by an entry of the table, with its reason
	open      []string // extra findings that nothing justifies
}

// proof is what the runs share.
type proof struct {
	judges map[string]oracle.Judge
	list   []*rules.Rule
	sound  sync.Map // what the severe oracle says of sound vehicles, by vehicle, rule and subject
}

// agrees reports whether the oracle, reckoning to the severe side, finds what a
// rule found: beyond the limit, and farther than before the change, so that
// what the change does not touch is never true because of it.
func (p *proof) agrees(m mutant, after *oracle.Vehicle, r rules.Result) bool {
	now := excess(p.judges, after, r.Rule, r.Subject)
	if !(now > 1) {
		return false
	}
	part, _, _ := strings.Cut(r.Subject, ".")
	if m.sound.Kind(part) == "" {
		return true
	}
	key := m.vehicle + " " + r.Key()
	was, known := p.sound.Load(key)
	if !known {
		was = excess(p.judges, m.sound.Severe(), r.Rule, r.Subject)
		p.sound.Store(key, was)
	}
	return !(was.(float64) > 1) || now > 1.0001*was.(float64)
}

// run checks a mutant and sorts its findings.
func (p *proof) run(t *testing.T, m mutant) outcome {
	source, err := m.spec.JSON()
	if err != nil {
		return outcome{broken: err.Error()}
	}
	path := ruletest.Write(t, t.TempDir(), m.vehicle+".json", string(source))
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		return outcome{broken: fmt.Sprint(err)}
	}
	loaded := schema.Read(t.Context(), targets[0], schema.Options{})
	if loaded.Err != nil || len(loaded.Problems) > 0 {
		return outcome{broken: fmt.Sprint(loaded.Err, loaded.Problems)}
	}
	results, err := rules.Run(loaded.Spec, p.list)
	if err != nil {
		return outcome{broken: err.Error()}
	}
	results = waiver.Apply(loaded.Spec, results, p.list, seededDay)
	expected := m.rule + "/" + m.subject
	primary := map[string]string{}
	var o outcome
	o.missed = "no result"
	for _, r := range results {
		if r.IsFinding() && r.Primary != "" {
			primary[r.Key()] = r.Primary
		}
		if r.Key() == expected {
			o.missed = fmt.Sprintf("%s, %.4g of %.4g %s %s", r.Verdict, r.Demand.Value, r.Capability.Value, r.Missing, r.Message)
			if r.IsFinding() {
				o.caught = true
			}
		}
	}
	// A finding follows from the expected one, or from another that is true.
	severe := m.spec.Severe()
	sure, argues := map[string]bool{expected: true}, map[string]string{}
	for _, r := range results {
		if !r.IsFinding() || r.Level == rules.Note {
			continue
		}
		if p.agrees(m, severe, r) {
			sure[r.Key()] = true
			continue
		}
		if reason, ok := argued(m.kind, m.rule, r.Rule); ok && r.Key() != expected {
			argues[r.Key()] = reason
		}
	}
	follows := func(key string) bool {
		for range 8 {
			if key = primary[key]; sure[key] || argues[key] != "" {
				return true
			}
		}
		return false
	}
	for _, r := range results {
		if !r.IsFinding() || r.Level == rules.Note || r.Key() == expected {
			continue
		}
		switch {
		case sure[r.Key()]:
			o.agreed++
		case follows(r.Key()):
			o.followers++
		case argues[r.Key()] != "":
			o.argued = append(o.argued, argues[r.Key()])
		default:
			o.open = append(o.open, fmt.Sprintf("%s %s %s (oracle %.3g, primary %q): %s", r.Level, r.Rule, r.Subject,
				excess(p.judges, severe, r.Rule, r.Subject), r.Primary, r.Message))
		}
	}
	return o
}

// checkNeeded reports arguments that no finding calls for any more.
func checkNeeded(t *testing.T, outcomes []outcome) {
	t.Helper()
	called := reasons(outcomes)
	for _, a := range arguments() {
		used := false
		for key := range called {
			used = used || strings.HasSuffix(key, ": "+a.reason) && strings.HasPrefix(key, a.extra+" beside "+a.rule)
		}
		if !used {
			t.Errorf("the argument for %s beside %s (%s) is not needed", a.extra, a.rule, a.kind)
		}
	}
}

// Realistic mistakes, each of which lies at least 15 % beyond a limit by a
// reckoning that shares nothing with the rules, are all found; and whatever
// else is found with them is true as well.
func TestSeededFaults(t *testing.T) {
	judges := oracle.Judges()
	mutants := seed(t, judges)
	outcomes := make([]outcome, len(mutants))
	shared := &proof{judges: judges, list: catalogue.All()}
	inParallel(len(mutants), func(i int) { outcomes[i] = shared.run(t, mutants[i]) })

	for i, m := range mutants {
		o := outcomes[i]
		switch {
		case o.broken != "":
			t.Errorf("%v: cannot be checked: %s", m, o.broken)
		case !o.caught:
			t.Errorf("MISS %v: oracle %.3g beyond the limit, the rule says: %s", m, m.ratio, o.missed)
		default:
			t.Logf("%v: %.3g", m, m.ratio)
		}
		for _, extra := range o.open {
			t.Errorf("EXTRA %v: %s", m, extra)
		}
	}
	if len(mutants) < 300 {
		t.Errorf("only %d faults seeded, want 300 at least", len(mutants))
	}
	checkEnough(t, mutants)
	checkNeeded(t, outcomes)
	summary := summarise(shared.list, mutants, outcomes)
	t.Log("\n" + summary)
	checkGolden(t, filepath.Join("testdata", "seeded.txt"), summary)
}

// summarise writes how many faults of each rule were seeded and caught, and
// what else was found.
func summarise(list []*rules.Rule, mutants []mutant, outcomes []outcome) string {
	type tally struct{ seeded, caught, others int }
	byRule := map[string]*tally{}
	caught, followers, agreed, argued := 0, 0, 0, 0
	for i, m := range mutants {
		o := outcomes[i]
		row := byRule[m.rule]
		if row == nil {
			row = &tally{}
			byRule[m.rule] = row
		}
		row.seeded++
		row.others += o.agreed + len(o.argued) + len(o.open)
		if o.caught {
			row.caught++
			caught++
		}
		followers, agreed, argued = followers+o.followers, agreed+o.agreed, argued+len(o.argued)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Seeded faults (seed %d): %d in %d rules, %d caught (%.1f %%).\n", seededSeed, len(mutants), len(byRule), caught,
		100*float64(caught)/float64(len(mutants)))
	fmt.Fprintf(&b, "Other findings of warning or error: %d follow from the one expected, %d the oracle reckons as well, %d are argued below.\n\n",
		followers, agreed, argued)
	fmt.Fprintf(&b, "%-30s seeded caught others\n", "rule")
	for _, r := range list {
		if row := byRule[r.ID]; row != nil {
			fmt.Fprintf(&b, "%-30s %6d %6d %6d\n", r.ID, row.seeded, row.caught, row.others)
		}
	}
	b.WriteString("\nWhy other findings are true where the oracle does not reckon them:\n")
	for reason, n := range schema.Sorted(reasons(outcomes)) {
		fmt.Fprintf(&b, "%4d  %s\n", n, reason)
	}
	return b.String()
}

// reasons counts how often each argument was called for.
func reasons(outcomes []outcome) map[string]int {
	out := map[string]int{}
	for _, o := range outcomes {
		for _, reason := range o.argued {
			out[reason]++
		}
	}
	return out
}

// checkGolden compares a text with a file, or rewrites the file.
func checkGolden(t *testing.T, path, got string) {
	t.Helper()
	if *updateSeeded {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("the summary changed; go test -update rewrites it (-want +got):\n%s", diff)
	}
}

// rarely gives the rules for which the sound vehicles leave room for fewer
// than three faults, with the reason.
func rarely() map[string]string {
	return map[string]string{
		"disconnect-single-pole": "only two vehicles have a disconnect of two poles above 60 V",
		"poles-voltage-low":      "only two vehicles have a switch with poles in two networks of which one is above 60 V",
	}
}

// checkEnough reports rules without three faults each, and kinds of mistake for
// a rule that does not exist. Rules of the format have none: their tests are the
// malformed specifications.
func checkEnough(t *testing.T, mutants []mutant) {
	t.Helper()
	seeded := map[string]int{}
	for _, m := range mutants {
		seeded[m.rule]++
	}
	for _, m := range mutations() {
		if catalogue.Find(m.rule) == nil {
			t.Errorf("%s: no rule %s", m.kind, m.rule)
		}
	}
	few := rarely()
	for _, r := range catalogue.All() {
		n := seeded[r.ID]
		switch _, excused := few[r.ID]; {
		case strings.HasPrefix(r.ID, "spec-"):
		case n == 0, n < 3 && !excused:
			t.Errorf("%d faults are seeded for %s, want three", n, r.ID)
		case n >= 3 && excused:
			t.Errorf("%s has %d faults and needs no excuse", r.ID, n)
		}
	}
}
