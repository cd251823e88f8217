package cli

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/schema"
)

func diffCommand() command {
	return command{
		name: "diff", args: "OLD [NEW] [PATH...]",
		about: "what changed between two revisions: ratings, headroom, findings, and which edit did it",
		help: `OLD and NEW are git revisions (a branch, a tag, a commit; A...B stands for where A
and B parted); without NEW the working tree is compared. Or they are two
directories or files. After "--" all arguments are paths.

Nothing is checked out: revisions are read from git's objects.

Exit code: 0; 1 if the difference fails --fail-on; 2 if a part of the run could
not be done, a revision that cannot be read among them.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			opts := diffOptions{
				out:    destinations[*report.Difference]{formats: output.DiffFormats()},
				failOn: &choice{value: "worse", allowed: []string{"new", "worse", "error", "warning", "never"}},
				colour: newColour(),
			}
			flags.Var(&opts.out, "out", outHelp(output.DiffFormats()))
			flags.Var(opts.failOn, "fail-on", "exit with 1 on a `change`: new findings (warning or graver); worse: new or worsened ones; error or warning: any finding of that level in NEW; or never")
			flags.Float64Var(&opts.threshold, "threshold", 1, "how many `percent` a headroom must move to be listed")
			flags.BoolVar(&opts.all, "all", false, "list the headrooms too that stay above twice what is required")
			flags.Var(&opts.category, "category", categoryHelp)
			c.todayFlag(flags)
			flags.Var(opts.colour, "color", "colour the text: `when` is auto, always or never")
			return func(args []string) (int, error) {
				dash := flags.ArgsLenAtDash()
				return c.diff(context.Background(), args, dash, opts)
			}
		},
	}
}

type diffOptions struct {
	out       destinations[*report.Difference]
	failOn    *choice
	colour    *choice
	threshold float64
	all       bool
	category  category
}

func (c *Command) diff(ctx context.Context, args []string, dash int, opts diffOptions) (int, error) {
	if opts.threshold < 0 {
		return ExitFailed, usagef("--threshold is %g percent; it must not be negative", opts.threshold)
	}
	sides, err := c.sides(ctx, args, dash)
	if err != nil {
		return ExitFailed, err
	}
	defer sides.close()
	dir, err := os.Getwd()
	if err != nil {
		return ExitFailed, fmt.Errorf("cannot tell the working directory: %w", err)
	}
	d := &report.Difference{
		Report:    report.Report{Version: c.Build.Version, Home: c.Build.home(), Rules: c.Rules, Prefix: repositoryPrefix(dir), FailOn: opts.failOn.value, Category: opts.category.value},
		Old:       sides.old.name,
		New:       sides.new.name,
		Threshold: opts.threshold / 100,
		All:       opts.all,
	}
	inputs, err := c.compareSides(ctx, sides, d)
	if err != nil {
		return ExitFailed, err
	}
	d.Exit = ExitClean
	switch {
	case d.Broken():
		d.Exit = ExitFailed
	case d.Gates():
		d.Exit = ExitFindings
	}
	if err := write(c, d, opts.out, inputs, opts.colour.value); err != nil {
		return ExitFailed, err
	}
	c.runErrors(&d.Report)
	if err := output.DiffSummary(c.Stderr, d); err != nil {
		return ExitFailed, err
	}
	c.caution()
	return d.Exit, nil
}

type sides struct {
	old, new   side
	trees      []*revision.Tree
	repository *revision.Repository // nil for two folders or files
}

func (s *sides) close() {
	for _, t := range s.trees {
		_ = t.Close() // what was read is read
	}
}

// sides tells from the arguments what is compared with what.
func (c *Command) sides(ctx context.Context, args []string, dash int) (*sides, error) {
	named, paths := args, []string(nil)
	if dash >= 0 {
		named, paths = args[:dash], args[dash:]
		if len(named) > 2 {
			return nil, usagef("expected OLD and NEW at most before \"--\", found %q too", named[2])
		}
	}
	if len(named) == 0 {
		return nil, usagef("diff needs OLD: a revision such as main or HEAD~1, or a directory or file")
	}
	repository, err := revision.Open(ctx, ".")
	resolve := func(name string) (string, error) {
		if err != nil {
			return "", err
		}
		return repository.Commit(ctx, name)
	}
	hash, notFound := resolve(named[0])
	if notFound != nil || dash < 0 && len(named) == 2 && exists(named[0]) && exists(named[1]) {
		return onDisk(named, notFound)
	}
	s := &sides{repository: repository}
	if s.old, err = s.revision(ctx, repository, named[0], hash); err != nil {
		return nil, err
	}
	rest := named[1:]
	s.new = side{name: "the working tree"}
	if len(rest) > 0 {
		newer, notRevision := resolve(rest[0])
		switch {
		case notRevision == nil && dash < 0 && exists(rest[0]):
			return nil, usagef("%q is a revision and a path; write \"diff %s %s --\" for the revision, \"diff %s -- %s\" for the path", rest[0], named[0], rest[0], named[0], rest[0])
		case notRevision == nil:
			if s.new, err = s.revision(ctx, repository, rest[0], newer); err != nil {
				return nil, err
			}
			rest = rest[1:]
		case dash >= 0 || !exists(strings.TrimSuffix(rest[0], "...")) && rest[0] != "...":
			return nil, fmt.Errorf("%w; and there is no path %q", notRevision, rest[0])
		}
	}
	if s.new.files == nil && !repository.HasWorkTree() {
		return nil, usagef("this is a bare repository, which has no files to compare %s with; give NEW, a revision too", named[0])
	}
	paths = slices.Concat(rest, paths)
	if len(paths) == 0 {
		paths = []string{"./..."}
	}
	s.old.paths, s.new.paths = paths, paths
	return s, nil
}

func (s *sides) revision(ctx context.Context, r *revision.Repository, name, hash string) (side, error) {
	tree, err := r.Tree(ctx, hash)
	if err != nil {
		return side{}, err
	}
	s.trees = append(s.trees, tree)
	return side{name: name, files: tree, rev: hash}, nil
}

// onDisk is the comparison of two directories or files.
func onDisk(named []string, notFound error) (*sides, error) {
	switch {
	case !exists(named[0]):
		return nil, fmt.Errorf("%w; and there is no such path", notFound)
	case len(named) != 2:
		return nil, usagef("%q is a path and no revision; to compare paths give two of them, OLD and NEW", named[0])
	case !exists(named[1]):
		return nil, fmt.Errorf("there is no path %q to compare %q with", named[1], named[0])
	}
	s := &sides{}
	for i, at := range []*side{&s.old, &s.new} {
		at.name = filepath.ToSlash(named[i])
		at.root, at.paths = named[i], []string{named[i]}
		if isFolder(named[i]) {
			at.paths = []string{filepath.Join(named[i], "...")}
		}
	}
	return s, nil
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// compareSides checks both sides and compares vehicle by vehicle. It returns what
// was read, from the disk or by the same name from a revision.
func (c *Command) compareSides(ctx context.Context, s *sides, d *report.Difference) (inputs []string, err error) {
	old, now := c.load(ctx, s.old), c.load(ctx, s.new)
	if err := cmp.Or(old.incomplete, now.incomplete); err != nil {
		return nil, err
	}
	pairs := match(old.vehicles, now.vehicles)
	became, err := s.outcome(ctx, old, now, pairs)
	if err != nil {
		return nil, err
	}
	// A path that one side does not have is what a difference is about.
	d.Errors = append(both(textsOf(old.errs), textsOf(now.errs)), became.errs...)
	d.Remarks = append(old.remarks(), now.remarks()...)
	d.Pairs = make([]report.Pair, len(pairs))
	errs := make([]error, len(pairs))
	parallel.Each(len(pairs), func(i int) {
		d.Pairs[i], errs[i] = c.comparePair(ctx, pairs[i], d.Threshold)
	})
	for i := range d.Pairs {
		if why := became.hidden[pairs[i].old]; why != "" && pairs[i].now == nil {
			d.Pairs[i].State, d.Pairs[i].Why = report.Hidden, why
		}
		if v := d.Pairs[i].Vehicle; v != nil {
			d.Vehicles = append(d.Vehicles, *v)
		}
		if errs[i] != nil {
			d.Errors = append(d.Errors, fmt.Sprintf("%s: %v", d.Pairs[i].Path, errs[i]))
		}
	}
	d.Sort()
	for _, v := range slices.Concat(old.vehicles, now.vehicles) {
		inputs = append(append(inputs, v.loaded.Target.Path), v.loaded.Files...)
	}
	return inputs, nil
}

// outcome tells what became of the vehicles of the older side. Those that are
// gone or moved are in the difference anyway.
func (s *sides) outcome(ctx context.Context, old, now *loadedSide, pairs []pair) (outcome, error) {
	switch {
	case s.repository != nil:
		return inRepository(ctx, s.repository, old, now, pairs)
	case isFolder(old.root) && isFolder(now.root):
		return standing{old: old, now: now, pairs: pairs, oldRoot: absolute(old.root), newRoot: absolute(now.root)}.outcome()
	}
	return outcome{}, nil // two files, each of which was named
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func absolute(path string) string {
	if a, err := filepath.Abs(path); err == nil {
		return a
	}
	return path
}

// both lists the errors that the two sides have in common.
func both(a, b []string) (out []string) {
	for _, e := range a {
		if slices.Contains(b, e) {
			out = append(out, e)
		}
	}
	return out
}

// pair is a vehicle at both sides; one of them may be nil.
type pair struct{ old, now *checked }

// match finds which vehicle of one side is which of the other: by path and name,
// else by name, else by path, else by what most of its parts are called.
func match(old, now []*checked) []pair {
	var pairs []pair
	left := map[*checked]bool{}
	for _, o := range old {
		left[o] = true
	}
	take := func(same func(o, n *checked) bool) func(n *checked) *checked {
		return func(n *checked) *checked {
			var found *checked
			for _, o := range old {
				if left[o] && same(o, n) {
					if found != nil {
						return nil // which of the two is not clear
					}
					found = o
				}
			}
			delete(left, found)
			return found
		}
	}
	partner := map[*checked]*checked{}
	for _, by := range []func(o, n *checked) bool{
		func(o, n *checked) bool { return o.key == n.key && o.Name == n.Name },
		func(o, n *checked) bool { return o.Name == n.Name && o.loaded.Spec != nil && n.loaded.Spec != nil },
		func(o, n *checked) bool { return o.key == n.key },
		func(o, n *checked) bool {
			return o.loaded.Spec != nil && n.loaded.Spec != nil && review.Likeness(o.loaded.Spec, n.loaded.Spec) > 0.6
		},
	} {
		find := take(by)
		for _, n := range now {
			if partner[n] == nil {
				if o := find(n); o != nil {
					partner[n] = o
				}
			}
		}
	}
	for _, n := range now {
		pairs = append(pairs, pair{partner[n], n})
	}
	for _, o := range old {
		if left[o] {
			pairs = append(pairs, pair{o, nil})
		}
	}
	return pairs
}

// comparePair compares one vehicle.
func (c *Command) comparePair(ctx context.Context, p pair, threshold float64) (report.Pair, error) {
	switch {
	case p.now == nil:
		return report.Pair{State: report.Gone, Name: p.old.Name, Path: p.old.Path}, nil
	case p.old == nil:
		out := report.Pair{State: report.Appeared, Name: p.now.Name, Path: p.now.Path, Vehicle: &p.now.Vehicle}
		comparison, err := review.Compare(ctx, review.Revision{}, review.Revision{Spec: p.now.loaded.Spec, Results: p.now.Results}, c.Rules, threshold)
		out.Comparison = comparison
		return out, err
	}
	if p.now.loaded.Spec == nil { // its name cannot be read
		p.now.Name = p.old.Name
	}
	out := report.Pair{State: report.Changed, Name: p.now.Name, Path: p.now.Path, Vehicle: &p.now.Vehicle}
	if p.old.key != p.now.key && !converted(p.old, p.now) {
		out.State, out.OldPath = report.Renamed, p.old.Path
	}
	before := review.Revision{Spec: p.old.loaded.Spec, Results: p.old.Results}
	if n := len(p.old.loaded.Problems); n > 0 || p.old.Err != nil {
		out.State, out.Why = report.Unreadable, "it cannot be compared: its specification holds a mistake there: "+firstProblem(p.old)
		if n > 1 {
			out.Why = fmt.Sprintf("it cannot be compared: its specification holds %d mistakes there, the first %s", n, firstProblem(p.old))
		}
		if p.old.Err != nil {
			out.Why = "it cannot be compared: " + p.old.Err.Error()
		}
		before = review.Revision{}
	}
	now := review.Revision{Spec: p.now.loaded.Spec, Results: p.now.Results}
	if len(p.now.loaded.Problems) > 0 {
		now.Spec = nil // what it holds is not known; its findings say so
	}
	comparison, err := review.Compare(ctx, before, now, c.Rules, threshold)
	if err != nil {
		return out, err
	}
	out.Comparison = comparison
	if out.State == report.Changed && len(comparison.Edits)+len(comparison.Moves) == 0 && now.Spec != nil {
		out.State = report.Same
	}
	return out, nil
}

// converted reports whether a vehicle stays in its folder and is only written in
// another format: a package goes by the folder, YAML and JSON by the file.
func converted(a, b *checked) bool {
	if b.loaded.Target.Format == schema.FormatPackage {
		a, b = b, a
	}
	return a.loaded.Target.Format == schema.FormatPackage && b.loaded.Target.Format != schema.FormatPackage && path.Dir(b.key) == a.key
}

func firstProblem(v *checked) string {
	if len(v.loaded.Problems) == 0 {
		return ""
	}
	p := v.loaded.Problems[0]
	return fmt.Sprintf("%s: %s", p.At, p.Message)
}
