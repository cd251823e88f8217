package cli

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
)

func diffCommand() command {
	return command{
		name: "diff", args: "OLD [NEW] [PATH...]",
		about: "what changed between two revisions: ratings, headroom, findings, and which edit caused it",
		help: `OLD and NEW are git revisions (a branch, a tag, a commit; A...B is the merge base
of A and B); without NEW the working tree is compared. Or they are two directories
or files. After "--" all arguments are paths.

Nothing is checked out: revisions are read from git's objects.

Exit code: 0; 1 if the difference fails --fail-on; 2 if a part of the run could
not be done, such as a revision that cannot be read.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			opts := diffOptions{
				out:    destinations[*report.Difference]{formats: output.DiffFormats()},
				failOn: &choice{value: "worse", allowed: []string{"new", "worse", "error", "warning", "never"}},
				colour: newColour(),
			}
			flags.Var(&opts.out, "out", outHelp(output.DiffFormats()))
			flags.Var(opts.failOn, "fail-on", "exit with 1 on a `change`: new findings (warnings and errors); worse: new or worsened ones; error or warning: any finding of that level in NEW; or never")
			flags.Float64Var(&opts.threshold, "threshold", 1, "how many `percent` a headroom must move to be listed")
			flags.BoolVar(&opts.all, "all", false, "also list headrooms that stay above twice the required one")
			flags.Var(&opts.category, "category", categoryHelp)
			c.todayFlag(flags)
			c.boundFlags(flags)
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
	compare := c.engine(opts.out.reads())
	r, err := compare.Report()
	if err != nil {
		return ExitFailed, err
	}
	r.FailOn, r.Category = opts.failOn.value, opts.category.value
	d := &report.Difference{Report: *r, Old: sides.Old.Name, New: sides.New.Name, Threshold: opts.threshold / 100, All: opts.all}
	inputs, err := compare.Compare(ctx, sides.Sides, d)
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

// sides are what is compared, with the revisions that are open for it.
type sides struct {
	engine.Sides
	trees []*revision.Tree
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
			return nil, usagef("expected at most OLD and NEW before \"--\", found %q too", named[2])
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
	s := &sides{Sides: engine.Sides{Repository: repository}}
	if s.Old, err = s.revision(ctx, repository, named[0], hash); err != nil {
		return nil, err
	}
	rest := named[1:]
	s.New = engine.Side{Name: "the working tree"}
	if len(rest) > 0 {
		newer, notRevision := resolve(rest[0])
		switch {
		case notRevision == nil && dash < 0 && exists(rest[0]):
			return nil, usagef("%q is both a revision and a path; write \"diff %s %s --\" for the revision, \"diff %s -- %s\" for the path", rest[0], named[0], rest[0], named[0], rest[0])
		case notRevision == nil:
			if s.New, err = s.revision(ctx, repository, rest[0], newer); err != nil {
				return nil, err
			}
			rest = rest[1:]
		case dash >= 0 || !exists(strings.TrimSuffix(rest[0], "...")) && rest[0] != "...":
			return nil, fmt.Errorf("%w; and there is no path %q", notRevision, rest[0])
		}
	}
	if s.New.Files == nil && !repository.HasWorkTree() {
		return nil, usagef("this is a bare repository, which has no files to compare %s with; give NEW, a revision too", named[0])
	}
	paths = slices.Concat(rest, paths)
	if len(paths) == 0 {
		paths = []string{"./..."}
	}
	s.Old.Paths, s.New.Paths = paths, paths
	return s, nil
}

func (s *sides) revision(ctx context.Context, r *revision.Repository, name, hash string) (engine.Side, error) {
	tree, err := r.Tree(ctx, hash)
	if err != nil {
		return engine.Side{}, err
	}
	s.trees = append(s.trees, tree)
	return engine.Side{Name: name, Files: tree, Rev: hash}, nil
}

// onDisk is the comparison of two directories or files.
func onDisk(named []string, notFound error) (*sides, error) {
	switch {
	case !exists(named[0]):
		return nil, fmt.Errorf("%w; and there is no such path", notFound)
	case len(named) != 2:
		return nil, usagef("%q is a path, not a revision; to compare paths give two of them, OLD and NEW", named[0])
	case !exists(named[1]):
		return nil, fmt.Errorf("there is no path %q to compare %q with", named[1], named[0])
	}
	s := &sides{}
	for i, at := range []*engine.Side{&s.Old, &s.New} {
		at.Name = filepath.ToSlash(named[i])
		at.Root, at.Paths = named[i], []string{named[i]}
		if engine.IsFolder(named[i]) {
			at.Paths = []string{filepath.Join(named[i], "...")}
		}
	}
	return s, nil
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
