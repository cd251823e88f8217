// Package engine finds vehicles, reads and checks them, and compares those of two
// sides: what a command, an editor and a watch have in common. It knows neither
// flags nor outputs.
package engine

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// Engine is what all checks of a run have in common.
type Engine struct {
	Rules         []*rules.Rule
	Today         time.Time // decides which waivers hold
	Bound         Bound     // of each vehicle, and of the run
	Version, Home string    // of the program, for reports
	Reading       report.Reading

	watch watch
}

// Side is what is loaded: a revision, or what lies on the disk.
type Side struct {
	Name  string
	Files schema.Files // nil for the disk
	Paths []string
	Root  string // paths of vehicles are taken from here to find each other
	Rev   string // the commit, "" for the disk

	Stdin     []byte // for the path "-"
	StdinName string
	Reads     func(*schema.Loaded) bool // which vehicles are wanted by their files; nil for all
	Shard     *report.Shard             // the only vehicles that are read; nil for all
}

// Vehicle is a vehicle of one side. It is read first and checked when that is asked
// for; once nobody asks for its specification any more it is let go.
type Vehicle struct {
	Loaded *schema.Loaded
	report.Vehicle
	key      string // its path within the side
	place    int    // among all vehicles that were found
	unwanted bool   // it was read, and nobody asked for its check
	checked  bool
	data     []byte        // see dataOf
	spent    time.Duration // of what the vehicle may take
}

// release lets go of all that is known of the specification but its files.
func (v *Vehicle) release() {
	v.Loaded = &schema.Loaded{Target: v.Loaded.Target, Name: v.Loaded.Name, Files: v.Loaded.Files, Err: v.Loaded.Err}
	v.data = nil
}

// Unloadable says why nothing can be said of the vehicle, "" where it loads.
func (v *Vehicle) Unloadable() string {
	switch {
	case v.Err != nil:
		return v.Err.Error()
	case len(v.Loaded.Problems) > 0:
		return v.firstProblem()
	case v.Loaded.Spec == nil:
		return "nothing in it can be read"
	}
	return ""
}

func (v *Vehicle) firstProblem() string {
	if len(v.Loaded.Problems) == 0 {
		return ""
	}
	p := v.Loaded.Problems[0]
	return fmt.Sprintf("%s: %s", p.At, p.Message)
}

// Fleet is the vehicles of one side, found and checked.
type Fleet struct {
	Side
	Vehicles   []*Vehicle
	Errors     []PathError
	Incomplete error    // why a revision cannot be read as a whole
	found      []string // the paths of all vehicles, those of other shards among them
	passedOver []schema.PassedOver
	unknown    map[string]string // by path, the filter that keeps a file of a revision from being known
}

// wanted are the vehicles that were asked for, and checked.
func (l *Fleet) wanted() []*Vehicle {
	return slices.DeleteFunc(slices.Clone(l.Vehicles), func(v *Vehicle) bool { return v.unwanted })
}

// Load finds and checks the vehicles of one side, several at a time.
func (e *Engine) Load(ctx context.Context, s Side) *Fleet {
	return e.read(ctx, s, func(ctx context.Context, v *Vehicle) { e.check(ctx, v, e.Reading.Of()) }, func(*Vehicle) {})
}

// read finds and reads the vehicles of one side, several at a time, and hands each
// to use at once, and to done in their order.
func (e *Engine) read(ctx context.Context, s Side, use func(context.Context, *Vehicle), done func(*Vehicle)) *Fleet {
	l := &Fleet{Side: s}
	opts := func(files schema.Files) schema.Options {
		return schema.Options{Files: files, Stdin: bytes.NewReader(s.Stdin), StdinName: s.StdinName, Probe: e.Bound.ofProbe().Probe(s, files)}
	}
	finding := opts
	if s.Files == nil { // what a revision holds was looked at when it was made
		finding = func(files schema.Files) schema.Options {
			o := opts(files)
			o.PassedOver = func(p schema.PassedOver) { l.passedOver = append(l.passedOver, p) }
			return o
		}
	}
	targets, errs := findTargets(s, finding)
	l.Errors = errs
	targets = l.share(targets)
	ctx, cancel := e.inTime(ctx, len(targets))
	defer cancel()
	l.Vehicles = make([]*Vehicle, len(targets))
	parallel.InOrder(len(targets), func(i int) {
		t := targets[i]
		v := &Vehicle{key: t.shown, place: t.place}
		loaded, err := within(ctx, e, &v.spent, func(ctx context.Context) (*schema.Loaded, error) {
			return schema.Read(ctx, t.Target, opts(t.files)), nil
		})
		if err != nil {
			loaded = &schema.Loaded{Target: t.Target, Name: t.shown, Err: err}
		}
		v.Loaded, v.unwanted = loaded, s.Reads != nil && !s.Reads(loaded)
		v.Vehicle = report.Vehicle{Name: loaded.Name, Path: t.shown, Files: loaded.Files, Err: loaded.Err}
		if s.Root != "" {
			if relative, err := filepath.Rel(s.Root, t.Path); err == nil {
				v.key = filepath.ToSlash(relative)
			}
		}
		use(ctx, v)
		l.Vehicles[i] = v
	}, func(i int) { done(l.Vehicles[i]) })
	if tree, ok := s.Files.(*revision.Tree); ok {
		l.Incomplete = cmp.Or(tree.Complete(), l.filtered(ctx, tree))
	}
	return l
}

// share notes the paths of all vehicles, and leaves those of the shard.
func (l *Fleet) share(targets []target) (own []target) {
	for i, t := range targets {
		t.place = i
		l.found = append(l.found, t.shown)
		if l.Shard == nil || l.Shard.Has(t.shown) {
			own = append(own, t)
		}
	}
	return own
}

// check applies the rules to a vehicle that was read, unless that was done before,
// and makes of the results what is read.
func (e *Engine) check(ctx context.Context, v *Vehicle, reading rules.Reading) {
	if v.checked || v.unwanted || v.Err != nil {
		return
	}
	v.checked = true
	v.Results = rules.FromProblems(v.Loaded.Problems)
	if spec := v.Loaded.Spec; spec != nil {
		v.Draft = spec.Vehicle.Draft
		results, err := within(ctx, e, &v.spent, func(ctx context.Context) ([]rules.Result, error) {
			return rules.RunFor(ctx, reading, spec, e.Rules)
		})
		if len(v.Results) > 0 {
			results = append(v.Results, results...)
		}
		v.Results, v.Err = results, err
		if err == nil { // of a part of the results a waiver cannot be judged
			v.Results = waiver.Apply(spec, v.Results, e.Rules, e.Today)
		}
	}
}

// finish cuts a vehicle that was checked down to what is read of it.
func (e *Engine) finish(v *Vehicle) {
	v.Sort()
	v.Reduce(e.Reading)
	v.release()
}

// filtered is an error if a vehicle of a revision is stored through a filter, and
// notes other files of which one keeps from telling what they are.
func (l *Fleet) filtered(ctx context.Context, tree *revision.Tree) error {
	filters, err := tree.Filtered(ctx)
	if err != nil || len(filters) == 0 {
		return err
	}
	for _, v := range l.Vehicles {
		for _, file := range v.Loaded.Files {
			if filter := filters[tree.Path(filepath.FromSlash(file))]; filter != "" {
				return fmt.Errorf("%s is stored through the filter %q, a program that is not run here; exclude specifications from it in .gitattributes", file, filter)
			}
		}
	}
	l.unknown = filters
	return nil
}
