package schema

import (
	"cmp"
	"context"
	"fmt"
	"strings"

	"example.org/headroom/schema/internal/check"
	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/read"
	"example.org/headroom/schema/internal/source"
)

// Loaded is the outcome of loading one vehicle.
type Loaded struct {
	Target   Target
	Name     string    // the vehicle's name, or the path when it has none
	Spec     *Spec     // nil when too little of the file can be read
	Problems []Problem // what is wrong with the specification, by position; each has a file, a line and a column
	Files    []string  // the files that were read, in order
	Err      error     // the run for this vehicle could not be done
}

// Read reads, checks and decodes one specification. What is wrong with it is
// in Problems; Err says that it could not be judged at all: an unreadable
// file, an evaluation without end. Read may be called concurrently.
func Read(ctx context.Context, target Target, opts Options) (loaded *Loaded) {
	loaded = &Loaded{Target: target, Name: opts.Display(target.Path)}
	defer func() {
		// The evaluator is large and the input may be anything: its failure
		// must not take the other vehicles down.
		if fault := recover(); fault != nil {
			loaded.Spec, loaded.Problems = nil, nil
			loaded.Err = fmt.Errorf("%s: internal error while reading it (%v); please report this with the file", loaded.Name, fault)
		}
	}()
	if err := ctx.Err(); err != nil {
		loaded.Err = fmt.Errorf("%s: %w", loaded.Name, err)
		return loaded
	}
	limits := opts.Limits.OrDefault()
	problems := source.NewCollector(limits.Mistakes)
	given, err := read.Values(ctx, target, opts, problems)
	whole := true
	if err == nil {
		whole = problems.UntilFull(func() { err = loaded.finish(given, problems, limits) })
	}
	if err != nil || !whole {
		loaded.Spec, loaded.Err = nil, err
	}
	loaded.Problems = problems.Sorted()
	for _, t := range given.Texts {
		loaded.Files = append(loaded.Files, t.Name)
	}
	loaded.place()
	return loaded
}

// place gives every problem a line and a column in a file. What is wrong with a file as
// a whole is shown at its beginning.
func (l *Loaded) place() {
	whole := l.Name
	if len(l.Files) > 0 {
		whole = l.Files[0]
	}
	for i := range l.Problems {
		at := &l.Problems[i].At
		at.File = cmp.Or(at.File, whole)
		at.Line, at.Column = max(at.Line, 1), max(at.Column, 1)
	}
}

// Evaluate evaluates a specification and forgets the outcome. The command runs
// it in a process of its own, to find out whether it ends.
func Evaluate(target Target, opts Options) error {
	opts.Probe = func(context.Context, Target) error { return nil }
	return Read(context.Background(), target, opts).Err
}

// finish checks the values and decodes them.
func (l *Loaded) finish(g *read.Given, problems *source.Collector, limits Limits) error {
	root := g.Root
	if root == nil {
		return nil
	}
	spec := define.Spec()
	k := check.New(problems, root, partKinds())
	if !k.Values(g, spec, limits.Entities) {
		return nil
	}
	s := &Spec{source: &sourceMap{given: root, root: root.Value.Position(), broken: problems.Broken}}
	m := &assembly{Collector: problems, root: root, spec: spec, parts: map[string]Part{}}
	if err := m.build(s); err != nil {
		return fmt.Errorf("%s: internal error while decoding it: %w", l.Name, err)
	}
	k.References(m.terminals)
	for _, prune := range m.prune {
		prune()
	}
	if name := strings.TrimSpace(s.Vehicle.Name); name != "" {
		l.Name = name
	}
	l.Spec = s
	return nil
}
