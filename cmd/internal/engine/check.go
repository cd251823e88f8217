package cli

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/schema"
)

// request is what a run is asked to check.
type request struct {
	paths     []string // none for the working folder
	stdinName string   // of the specification on standard input
	// reads leaves out the vehicles that read none of some files; nil for all.
	reads func(*schema.Loaded) bool
}

// run finds the vehicles of a request and checks them, several at a time.
// What cannot be done for one path or vehicle is in the report beside the
// results of the others.
func (c *Command) run(ctx context.Context, q request) (*report.Report, error) {
	r, now, err := c.runAll(ctx, q)
	if err != nil {
		return nil, err
	}
	r.Errors = append(r.Errors, textsOf(now.errs)...)
	for _, v := range now.wanted() {
		r.Vehicles = append(r.Vehicles, v.Vehicle)
	}
	r.Sort()
	return r, nil
}

// runAll is run before the vehicles and errors are put into the report, each
// vehicle still with the specification that it was read as.
func (c *Command) runAll(ctx context.Context, q request) (*report.Report, *loadedSide, error) {
	paths := q.paths
	if len(paths) == 0 {
		paths = []string{"."}
	}
	dir, err := os.Getwd()
	if err != nil {
		return nil, nil, fmt.Errorf("cannot tell the working directory: %w", err)
	}
	stdin, err := c.readStdin(paths)
	if err != nil {
		return nil, nil, err
	}
	r := &report.Report{Version: c.Build.Version, Home: c.Build.home(), Rules: c.Rules, Prefix: repositoryPrefix(dir)}
	now := c.load(ctx, side{paths: paths, stdin: stdin, stdinName: q.stdinName, reads: q.reads})
	r.Remarks = now.remarks()
	return r, now, nil
}

// readStdin reads standard input once if one of the paths asks for it, since
// it may have to be read again by the process that evaluates it.
func (c *Command) readStdin(paths []string) ([]byte, error) {
	if !slices.Contains(paths, schema.Stdin) {
		return nil, nil
	}
	// One byte above the limit is enough for the loader to see that it is one.
	data, err := io.ReadAll(io.LimitReader(c.Stdin, schema.DefaultLimits().FileBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read standard input: %w", err)
	}
	return data, nil
}

// judge applies the rules to a vehicle that was read.
func (c *Command) judge(loaded *schema.Loaded, path string) report.Vehicle {
	v := report.Vehicle{Name: loaded.Name, Path: path, Files: loaded.Files, Err: loaded.Err}
	if loaded.Err != nil {
		return v
	}
	v.Results = rules.FromProblems(loaded.Problems)
	if loaded.Spec != nil {
		results, err := rules.Run(loaded.Spec, c.Rules)
		v.Results, v.Err = append(v.Results, results...), err
		if err == nil { // of a part of the results a waiver cannot be judged
			v.Results = waiver.Apply(loaded.Spec, v.Results, c.Rules, c.Today)
		}
	}
	return v
}

// shownPath is the target's path as it is written in outputs: relative and
// slash-separated, standard input by the name that it was given.
func shownPath(target schema.Target, opts schema.Options) string {
	p := target.Path
	if p == schema.Stdin {
		return cmp.Or(opts.StdinName, "stdin")
	}
	if filepath.IsAbs(p) {
		if dir, err := os.Getwd(); err == nil {
			if rel, err := filepath.Rel(dir, p); err == nil {
				p = rel
			}
		}
	}
	return filepath.ToSlash(filepath.Clean(p))
}

// repositoryPrefix returns the directory as seen from the root of the git
// repository that it is in, slash-separated; "" at the root or outside of any.
func repositoryPrefix(dir string) string {
	for root := dir; ; root = filepath.Dir(root) {
		if _, err := os.Lstat(filepath.Join(root, ".git")); err == nil {
			rel, err := filepath.Rel(root, dir)
			if err != nil || rel == "." {
				return ""
			}
			return filepath.ToSlash(rel)
		}
		if root == filepath.Dir(root) {
			return ""
		}
	}
}
