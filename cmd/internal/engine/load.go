package cli

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/schema"
)

// side is what is loaded: a revision, or what lies on the disk.
type side struct {
	name  string
	files schema.Files // nil for the disk
	paths []string
	root  string // paths of vehicles are taken from here to find each other
	rev   string // the commit, "" for the disk

	stdin     []byte // for the path "-"
	stdinName string
	reads     func(*schema.Loaded) bool // which vehicles are wanted by their files; nil for all
}

// checked is a vehicle of one side, loaded and checked.
type checked struct {
	loaded *schema.Loaded
	report.Vehicle
	key      string // its path within the side
	unwanted bool   // it was read, and nobody asked for its check
}

// loadedSide is one side, found and checked.
type loadedSide struct {
	side
	vehicles   []*checked
	errs       []pathError
	passedOver []schema.PassedOver
	incomplete error             // why a revision cannot be read as a whole
	unknown    map[string]string // by path, the filter that keeps a file of a revision from being known
}

// wanted are the vehicles that were asked for, and checked.
func (l *loadedSide) wanted() []*checked {
	return slices.DeleteFunc(slices.Clone(l.vehicles), func(v *checked) bool { return v.unwanted })
}

// load finds and checks the vehicles of one side.
func (c *Command) load(ctx context.Context, s side) *loadedSide {
	l := &loadedSide{side: s}
	opts := func(files schema.Files) schema.Options {
		return schema.Options{Files: files, Stdin: bytes.NewReader(s.stdin), StdinName: s.stdinName, Probe: prober(c.Bound, s.stdin, s.stdinName, s.rev, files)}
	}
	finding := opts
	if s.files == nil { // what a revision holds was looked at when it was made
		finding = func(files schema.Files) schema.Options {
			o := opts(files)
			o.PassedOver = func(p schema.PassedOver) { l.passedOver = append(l.passedOver, p) }
			return o
		}
	}
	targets, errs := findTargets(s, finding)
	l.errs = errs
	l.vehicles = make([]*checked, len(targets))
	parallel.Each(len(targets), func(i int) {
		t := targets[i]
		loaded := schema.Read(ctx, t.Target, opts(t.files))
		path := shownPath(t.Target, opts(t.files))
		v := &checked{loaded: loaded, unwanted: s.reads != nil && !s.reads(loaded), Vehicle: report.Vehicle{Name: loaded.Name, Path: path, Err: loaded.Err}}
		if !v.unwanted {
			v.Vehicle = c.judge(loaded, path)
		}
		v.key = v.Path
		if s.root != "" {
			if relative, err := filepath.Rel(s.root, t.Path); err == nil {
				v.key = filepath.ToSlash(relative)
			}
		}
		l.vehicles[i] = v
	})
	if tree, ok := s.files.(*revision.Tree); ok {
		l.incomplete = cmp.Or(tree.Complete(), l.filtered(ctx, tree))
	}
	return l
}

// filtered is an error if a vehicle of a revision is stored through a filter, and
// notes other files of which one keeps from telling what they are.
func (l *loadedSide) filtered(ctx context.Context, tree *revision.Tree) error {
	filters, err := tree.Filtered(ctx)
	if err != nil || len(filters) == 0 {
		return err
	}
	for _, v := range l.vehicles {
		for _, file := range v.loaded.Files {
			if filter := filters[tree.Path(filepath.FromSlash(file))]; filter != "" {
				return fmt.Errorf("%s is stored through the filter %q, which is a program and not run here; take specifications out of it in .gitattributes", file, filter)
			}
		}
	}
	l.unknown = filters
	return nil
}

// target is a specification with the files that it may be read from.
type target struct {
	schema.Target
	files schema.Files
}

// pathError is what keeps a path from being checked.
type pathError struct {
	path string
	error
}

func (e pathError) Unwrap() error { return e.error }

// findTargets resolves the paths one by one, so that a bad one does not keep
// the others from being checked. A vehicle named twice is checked once.
func findTargets(s side, opts func(schema.Files) schema.Options) (targets []target, errs []pathError) {
	seen := make(map[string]bool)
	disks := map[string]*schema.Disk{}
	for _, p := range s.paths {
		files := s.filesOf(p, disks)
		found, err := schema.Find([]string{p}, opts(files))
		switch {
		case s.reads != nil && errors.Is(err, schema.ErrNoSpecification):
			// No vehicle, hence none that is wanted.
		case err != nil:
			for _, e := range joined(err) {
				errs = append(errs, pathError{p, e})
			}
		case len(found) == 0: // nothing checked must not look like nothing wrong
			errs = append(errs, pathError{p, fmt.Errorf("%s: no specification there", p)})
		}
		for _, t := range found {
			key := t.Path
			if t.Path != schema.Stdin {
				if abs, err := filepath.Abs(t.Path); err == nil {
					key = abs
				}
			}
			if !seen[key] {
				seen[key] = true
				targets = append(targets, target{t, files})
			}
		}
	}
	return targets, errs
}

// filesOf is where a path is read from: the side's revision, or the disk within
// the repository around the path.
func (s side) filesOf(path string, disks map[string]*schema.Disk) schema.Files {
	if s.files != nil {
		return s.files
	}
	if path == schema.Stdin {
		path = filepath.Dir(s.stdinName) // what it imports lies around its name
	}
	root := schema.RootOf(path)
	if disks[root] == nil {
		disks[root] = schema.Within(root)
	}
	return disks[root]
}

// joined lists the errors that were joined to one.
func joined(err error) (list []error) {
	several, many := err.(interface{ Unwrap() []error })
	if !many {
		return []error{err}
	}
	for _, e := range several.Unwrap() {
		list = append(list, joined(e)...)
	}
	return list
}

func textsOf(errs []pathError) (texts []string) {
	for _, e := range errs {
		texts = append(texts, e.Error())
	}
	return texts
}
