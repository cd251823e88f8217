// Package report is the outcome of a run as plain data: what was checked, what
// was found, what could not be checked and what could not be run. Writers turn
// it into text, SARIF or JSON; it knows nothing of any of them.
package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Caution is what a person who builds from the output must know, what no rule
// looks at included: "all passed" must not read as "sound". It is shown once in
// a run.
const Caution = "Caution: Headroom checks arithmetic on declared data. It does not replace datasheets, local codes or a\n" +
	"qualified person's inspection. De-energise, lock out, wait for capacitors to discharge and measure\n" +
	"before touching.\n" +
	"Not checked: the layout of the panel, isolation resistance (measure it), mechanical strength and sealing,\n" +
	"electromagnetic compatibility, and what controllers and battery electronics are programmed to do."

// Report is the outcome of a run.
type Report struct {
	Version string // of the tool, such as "v1.2.0" or "(devel)"
	Home    string // the tool's own page, "" if it has none
	Rules   []*rules.Rule
	Prefix  string // the working folder as seen from the root of the repository: "" or "vehicles/cart"
	FailOn  string // error, warning, note or never
	Since   string // revision that findings are compared with, "" for none
	Strict  bool   // a check that could not be made fails the run too
	// Category tells the results of this run from those of another fleet in the same
	// repository; "" where there is one.
	Category string
	Exit     int // exit code of the run

	Vehicles []Vehicle
	Errors   []string // what could not be run and belongs to no vehicle
	Remarks  []Remark
	Part     *Part // of which run this is a shard; nil for a whole one

	// WithPasses asks writers of data to write what passed and what was not
	// checked too; Verbose asks the text writer to list what was not checked.
	WithPasses bool
	Verbose    bool
	// HideWaived asks writers whose readers may take a suppressed result for an
	// open one to leave waived findings out.
	HideWaived bool
}

// Vehicle is the outcome for one vehicle.
type Vehicle struct {
	Name    string
	Path    string // as the user would write it
	Files   []string
	Draft   bool // it says of itself that it is one
	Results []rules.Result
	Counted int   // passed checks that are not among the results, since nobody reads them
	Err     error // why the run for this vehicle could not be done
	// Uncompared is why a vehicle that was checked could not be compared with its older
	// self.
	Uncompared error
	// States says by rule and subject how findings stand against an older
	// revision; nil where there is none to compare with.
	States map[string]State
}

// Index is where a vehicle of the report stands in it.
func (r *Report) Index(v *Vehicle) int {
	for i := range r.Vehicles {
		if &r.Vehicles[i] == v {
			return i
		}
	}
	return -1
}

// Finding is a failed result with those that follow from it.
type Finding struct {
	rules.Result
	Vehicle *Vehicle
	// Follow are the findings that name this one, directly or by way of
	// another, as their primary one.
	Follow []rules.Result
}

// Findings returns the findings vehicle by vehicle, in the order in which a
// reader should meet them: see [Vehicle.Findings].
func (r *Report) Findings() []Finding {
	var all []Finding
	for i := range r.Vehicles {
		all = append(all, r.Vehicles[i].Findings()...)
	}
	return all
}

// Findings returns the vehicle's findings, those that follow from another one
// under that: those that an older revision has too last, else the gravest first,
// and in order of their places.
func (v *Vehicle) Findings() []Finding {
	n := 0
	for i := range v.Results { // a result is large: it is copied once
		if v.Results[i].IsFinding() {
			n++
		}
	}
	failed := make([]rules.Result, 0, n)
	for i := range v.Results {
		if res := &v.Results[i]; res.IsFinding() {
			failed = append(failed, *res)
		}
	}
	rules.SortBy(failed, compare)
	byKey := make(map[string]*rules.Result, len(failed))
	for i := range failed {
		byKey[failed[i].Key()] = &failed[i]
	}
	follow := make(map[string][]rules.Result)
	heads := make([]*rules.Result, 0, len(failed))
	for i := range failed {
		if head := v.headOf(&failed[i], byKey); head != "" {
			follow[head] = append(follow[head], failed[i])
		} else {
			heads = append(heads, &failed[i])
		}
	}
	findings := make([]Finding, len(heads))
	for i, res := range heads {
		key := res.Key()
		findings[i] = Finding{Result: *res, Vehicle: v, Follow: follow[key]}
		delete(follow, key) // shown once, even under a key that repeats
	}
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.standing(), b.standing()), cmp.Compare(b.Level.Rank(), a.Level.Rank()))
	})
	return findings
}

// Stands reports whether an older revision has the finding too.
func (f Finding) Stands() bool { return f.Vehicle.States[f.Key()] == Standing }

func (f Finding) standing() int {
	if f.Stands() {
		return 1
	}
	return 0
}

// headOf returns the key of the finding at the top of the chain of primaries
// that starts at res, or "" if res stands for itself: it names no primary, one
// that did not fail, or one that leads back to itself. What weighs more than its
// primary, by its level or because it is new, is not hidden under that.
func (v *Vehicle) headOf(res *rules.Result, failed map[string]*rules.Result) string {
	if res.Primary == "" {
		return ""
	}
	seen := map[string]bool{res.Key(): true}
	head := ""
	level, fresh := res.Level.Rank(), v.States[res.Key()] != Standing
	for res.Primary != "" {
		next, ok := failed[res.Primary]
		if !ok || next.Level.Rank() < level || fresh && v.States[next.Key()] == Standing {
			break
		}
		if seen[next.Key()] {
			return ""
		}
		seen[next.Key()] = true
		head, res = next.Key(), next
	}
	return head
}

// compare orders results by file, line, column, rule, subject and message.
func compare(a, b *rules.Result) int {
	if c := rules.ComparePlaces(a, b); c != 0 {
		return c
	}
	return rules.CompareChecks(a, b)
}

// Sort orders the results of every vehicle by place, so that all writers walk
// them alike.
func (r *Report) Sort() {
	for i := range r.Vehicles {
		r.Vehicles[i].Sort()
	}
}

// Sort orders the vehicle's results.
func (v *Vehicle) Sort() { rules.SortBy(v.Results, compare) }

// Lost returns the checks that passed in the revision that the run is compared with,
// and lack their data or rest on a bare declaration now. Of what nobody can vouch for
// there is a finding.
func (r *Report) Lost() []rules.Result {
	var all []rules.Result
	for i := range r.Vehicles {
		all = append(all, r.Vehicles[i].Lost()...)
	}
	return all
}

// Lost returns those of the vehicle.
func (v *Vehicle) Lost() []rules.Result {
	var all []rules.Result
	for _, res := range v.Results {
		if v.lost(&res) {
			all = append(all, res)
		}
	}
	return all
}

// lost reports whether a check is one of those.
func (v *Vehicle) lost(res *rules.Result) bool {
	return (res.Verdict == rules.NotChecked || res.Verdict == rules.AsDeclared) && v.States[res.Key()] == Worse
}

// LostText says what became of a check that the revision still had the data for.
func LostText(res rules.Result, since string) string {
	if res.Verdict == rules.AsDeclared {
		return res.Subject + " passed in " + since + " and passes only as declared now: " + Believed(res)
	}
	needs := res.Message
	if res.Missing != "" {
		needs = "it needs " + res.Missing
	}
	return res.Subject + " passed in " + since + " and is no longer checked: " + needs
}

// NotChecked returns the results of all vehicles that lack their data.
func (r *Report) NotChecked() []rules.Result { return r.having(rules.NotChecked) }

// AsDeclared returns the results of all vehicles that rest on a bare declaration.
func (r *Report) AsDeclared() []rules.Result { return r.having(rules.AsDeclared) }

// Waived returns the findings of all vehicles that a waiver accepts.
func (r *Report) Waived() []rules.Result { return r.having(rules.Waived) }

// having returns the results of a verdict in order of their places.
func (r *Report) having(verdict rules.Verdict) []rules.Result {
	var all []rules.Result
	for i := range r.Vehicles {
		for _, res := range r.Vehicles[i].Results {
			if res.Verdict == verdict {
				all = append(all, res)
			}
		}
	}
	rules.SortBy(all, compare)
	return all
}

// Fails reports whether a finding is at or above the level named by FailOn, or,
// in a strict run, a check could not be made.
func (r *Report) Fails() bool {
	if c := r.Count(); r.Strict && c.NotChecked+c.CannotVouch > 0 {
		return true
	}
	threshold := rules.Level(r.FailOn).Rank()
	if threshold == 0 {
		return false
	}
	for i := range r.Vehicles {
		for _, res := range r.Vehicles[i].Results {
			state := r.Vehicles[i].States[res.Key()]
			if (res.IsFinding() && state != Standing || r.Vehicles[i].lost(&res)) && res.Level.Rank() >= threshold {
				return true
			}
		}
	}
	return false
}

// Hindrance says what in the specification itself keeps checks of a vehicle from
// being made, and the first of it with its place; what is "" if nothing does.
func (r *Report) Hindrance(v *Vehicle) (what string, first rules.Result) {
	spec := make(map[string]bool)
	for _, rule := range r.Rules {
		spec[rule.ID] = rule.Family == "spec"
	}
	mistakes := slices.Clone(v.Results)
	mistakes = slices.DeleteFunc(mistakes, func(res rules.Result) bool { return !spec[res.Rule] || !res.IsFinding() })
	if len(mistakes) == 0 {
		return "", first
	}
	rules.SortBy(mistakes, compare)
	text, prevents := "a mistake", "prevents"
	if n := len(mistakes); n > 1 {
		text, prevents = strconv.Itoa(n)+" mistakes", "prevent"
	}
	return text + " in the specification " + prevents + " checks", mistakes[0]
}

// Broken reports whether a part of the run could not be done.
func (r *Report) Broken() bool {
	return len(r.Errors) > 0 || slices.ContainsFunc(r.Vehicles, func(v Vehicle) bool { return v.runError() != nil })
}

// runError is what could not be done for the vehicle.
func (v *Vehicle) runError() error {
	if v.Uncompared != nil {
		return fmt.Errorf("%s: %w", v.Path, v.Uncompared)
	}
	return v.Err
}

// Remark is what a reader must know of a run that is no finding in a vehicle and
// did not keep anything from being done: a vehicle that is gone, a file that
// looks like a specification and is not read. It does not fail the run.
type Remark struct {
	Level rules.Level // warning or note
	Path  string      // that it is about, as the user would write it; it may not exist any more
	Text  string
}

// String renders the remark with its path, once.
func (m Remark) String() string {
	return RunError{Text: m.Text, At: schema.Position{File: m.Path}}.String()
}

// RunErrors returns what could not be run, in order, each with its place.
func (r *Report) RunErrors() []RunError {
	var all []RunError
	for _, text := range r.Errors {
		all = append(all, RunError{Text: text})
	}
	for _, v := range r.Vehicles {
		if err := v.runError(); err != nil {
			all = append(all, RunError{Text: err.Error(), At: schema.Position{File: v.Path}})
		}
	}
	return all
}

// RunError is something that could not be run. At is empty when no file is to blame.
type RunError struct {
	Text string
	At   schema.Position
}

// String renders the error with the path that it is about, once.
func (e RunError) String() string {
	if e.At.File == "" || strings.HasPrefix(e.Text, e.At.File+":") || strings.HasPrefix(e.Text, e.At.File+" ") {
		return e.Text
	}
	return e.At.File + ": " + e.Text
}
