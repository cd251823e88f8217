package engine

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/cmd/internal/whereabouts"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// standing is what an older revision is held against: the vehicles that stood
// there must all be checked, or be gone.
type standing struct {
	engine           *Engine
	old, now         *Fleet
	pairs            []Pair
	oldRoot, newRoot string // folders from which the paths of both sides are taken
	search           whereabouts.Search
}

// inRepository is what became of the vehicles of a repository's revision at
// another one or, where the newer side has none, in the work tree.
func (e *Engine) inRepository(ctx context.Context, r *revision.Repository, old, now *Fleet, pairs []Pair) (outcome, error) {
	s := standing{engine: e, old: old, now: now, pairs: pairs, oldRoot: r.Top(), newRoot: r.Top()}
	before := old.Files.(*revision.Tree)
	after, committed := now.Files.(*revision.Tree)
	var kept revision.Elsewhere
	if committed {
		kept = after.Elsewhere()
		s.search.Files = func() ([]string, error) { return after.Paths(), nil }
		s.search.Unchanged = func(file string) (bool, error) {
			return before.Hash(file) != "" && before.Hash(file) == after.Hash(file), nil
		}
	} else {
		var err error
		if kept, err = r.Elsewhere(ctx); err != nil {
			return outcome{}, err
		}
		defer kept.Close() //nolint:errcheck // what was read is read
		disk := schema.Within(r.Top())
		if !r.Bare() {
			s.search.Files = func() ([]string, error) { return r.Files(ctx) }
		}
		s.search.Unchanged = func(file string) (bool, error) {
			return sameOnDisk(before.Hash(file), disk, filepath.Join(r.Top(), filepath.FromSlash(file)))
		}
	}
	s.search.Kept = whereabouts.Kept{
		Why: kept.Why, Files: kept.Sparse(),
		Read: func(file string) ([]byte, error) { return kept.Read(ctx, file) },
	}
	return s.outcome(ctx)
}

// sameOnDisk reports whether a file has the content of a hash; that of none is "".
// A link holds nothing of its own, and is as it was.
func sameOnDisk(hash string, files schema.Files, name string) (bool, error) {
	info, err := os.Lstat(name)
	switch {
	case err != nil:
		return false, err
	case !info.Mode().IsRegular():
		return true, nil
	case hash == "":
		return false, nil
	}
	f, err := files.Open(name)
	if err != nil {
		return false, err
	}
	defer f.Close() //nolint:errcheck // nothing was written
	now, err := revision.HashOf(f, info.Size(), hash)
	return now == hash, err
}

// fates tells of each vehicle that stood where it is, if it is somewhere and is
// not checked; in the order of the pairs.
func (s standing) fates() ([]whereabouts.Fate, error) {
	search := s.search
	search.Old = whereabouts.Side{Files: filesWithin(s.old, s.oldRoot), Root: s.oldRoot}
	search.New = whereabouts.Side{Files: filesWithin(s.now, s.newRoot), Root: s.newRoot}
	read := map[string]bool{}
	for _, v := range s.now.Vehicles {
		for _, file := range append([]string{v.Loaded.Target.Path}, v.Loaded.Files...) {
			read[pathFrom(s.newRoot, file)] = true
		}
	}
	search.Checked = func(file string) bool { return read[file] }
	vehicles := make([]whereabouts.Vehicle, len(s.pairs))
	for i, p := range s.pairs {
		v := &vehicles[i]
		if p.Old != nil {
			v.Files, v.Data = ownFiles(search.Old, p.Old), dataOf(p.Old)
		}
		if p.Now != nil {
			v.Partner, v.PartnerData = ownFiles(search.New, p.Now), dataOf(p.Now)
		}
		v.InPlace, v.SameName = p.inPlace(), p.Old != nil && p.Now != nil && p.Old.Name == p.Now.Name
	}
	return search.Fates(vehicles)
}

// filesWithin are the files of a side: of its revision, or of the disk in a folder.
func filesWithin(l *Fleet, root string) schema.Files {
	if l.Files != nil {
		return l.Files
	}
	return schema.Within(root)
}

// dataOf is what a specification says, nil where that is not known or holds a
// mistake.
func dataOf(v *Vehicle) []byte {
	if v.data == nil && v.Loaded.Spec != nil && len(v.Loaded.Problems) == 0 {
		if text, err := v.Loaded.Spec.JSON(); err == nil {
			v.data = text
		}
	}
	return v.data
}

// ownFiles are the files of a vehicle that no other one has: its package's in
// its own folder, or the one that it is; by their paths from the root.
func ownFiles(side whereabouts.Side, v *Vehicle) (files []string) {
	target := pathFrom(side.Root, v.Loaded.Target.Path)
	if v.Loaded.Target.Format != schema.FormatPackage {
		return []string{target}
	}
	for _, file := range v.Loaded.Files {
		if file := pathFrom(side.Root, file); path.Dir(file) == target {
			files = append(files, file)
		}
	}
	if len(files) > 0 {
		return files
	}
	// It could not be read: all that may be of it.
	entries, err := side.Files.ReadDir(filepath.Join(side.Root, filepath.FromSlash(target)))
	if err != nil {
		return nil
	}
	for _, e := range entries {
		if !e.IsDir() && path.Ext(e.Name()) == ".cue" {
			files = append(files, path.Join(target, e.Name()))
		}
	}
	return files
}

// pathFrom is the path of a file from a root, with slashes.
func pathFrom(root, file string) string {
	if relative, ok := schema.PathWithin(root, filepath.FromSlash(file)); ok {
		return relative
	}
	return file
}

// fromHere is the path of a file from the working folder, as it is shown; it is
// given from a root.
func fromHere(root, file string) string {
	if here, ok := schema.PathWithin(root, "."); ok {
		if relative, err := filepath.Rel(filepath.FromSlash(here), filepath.FromSlash(file)); err == nil {
			return filepath.ToSlash(relative)
		}
	}
	return shownPath(schema.Target{Path: filepath.Join(root, filepath.FromSlash(file))}, "")
}

// outcome is what became of the vehicles that stood at the older revision.
type outcome struct {
	errs    []string            // those that are still somewhere and not checked
	remarks []report.Remark     // those that are gone, or go by another path or name
	hidden  map[*Vehicle]string // the former, with where they are and why
}

// outcome tells what became of the vehicles that stood at the older revision.
func (s standing) outcome(ctx context.Context) (outcome, error) {
	o := outcome{hidden: map[*Vehicle]string{}}
	fates, err := s.fates()
	if err != nil {
		return o, err
	}
	for i, p := range s.pairs {
		switch fate := fates[i]; {
		case p.Old == nil:
		case fate.At != "" && p.Now != nil && p.Old.Name == p.Now.Name && !p.inPlace():
			o.errs = append(o.errs, fmt.Sprintf("%s: %s is now checked as %s, but it is also in %s", p.Old.Path, p.Old.Name, p.Now.Path, s.hidden(p.Old, fate)))
		case fate.At != "":
			o.hidden[p.Old] = "no longer checked, but it is still in " + s.hidden(p.Old, fate)
			o.errs = append(o.errs, fmt.Sprintf("%s: %s is %s", p.Old.Path, p.Old.Name, o.hidden[p.Old]))
		default:
			o.remarks = append(o.remarks, s.remark(ctx, p, fate.Kept)...)
		}
	}
	return o, nil
}

// remark says what is to be known of a vehicle that is not hidden: that it is gone,
// moved, called otherwise or made anew. What is checked in its place holds a share
// of it.
func (s standing) remark(ctx context.Context, p Pair, kept float64) []report.Remark {
	say := func(level rules.Level, at *Vehicle, format string, args ...any) []report.Remark {
		return []report.Remark{{Level: level, Path: at.Path, Text: fmt.Sprintf(format, args...)}}
	}
	base := s.old.Name
	if p.Now == nil {
		if data := dataOf(p.Old); data != nil {
			for _, v := range s.now.Vehicles {
				if bytes.Equal(data, dataOf(v)) {
					return say(rules.Note, v, "%s was also %s in %s", v.Name, p.Old.Path, base)
				}
			}
		}
		return say(rules.Warning, p.Old, "%s is gone since %s; %s", p.Old.Name, base, s.stoodOn(ctx, p.Old))
	}
	const much, half = 0.9, 0.5
	known := dataOf(p.Old) != nil && dataOf(p.Now) != nil
	switch {
	case !p.inPlace():
		return say(rules.Note, p.Now, "%s was %s in %s", p.Now.Name, p.Old.Path, base)
	case known && p.Old.Name != p.Now.Name && kept >= much:
		return say(rules.Note, p.Now, "%s was called %s in %s", p.Now.Name, p.Old.Name, base)
	case known && p.Old.Name != p.Now.Name:
		return say(rules.Warning, p.Now, "%s is gone since %s, %s is in its place; %s", p.Old.Name, base, p.Now.Name, s.stoodOn(ctx, p.Old))
	case known && kept < half:
		return say(rules.Warning, p.Now, "%s has almost nothing in common with what it was in %s; %s", p.Now.Name, base, s.stoodOn(ctx, p.Old))
	}
	return nil
}

// inPlace reports whether a pair goes by one path.
func (p Pair) inPlace() bool {
	return p.Old != nil && p.Now != nil && (p.Old.key == p.Now.key || converted(p.Old, p.Now))
}

// hidden says where a vehicle still is, why it is not checked there, and what to
// do about it.
func (s standing) hidden(v *Vehicle, fate whereabouts.Fate) string {
	shown := func(file string) string { return fromHere(s.newRoot, file) }
	at := shown(fate.At)
	where, remedy := at+", where it was in "+s.old.Name, "restore it, or delete it if the vehicle is gone"
	if !slices.Contains(ownFiles(whereabouts.Side{Files: filesWithin(s.old, s.oldRoot), Root: s.oldRoot}, v), fate.At) {
		where, remedy = at+" now", "move it back, check it there too, or delete it if the vehicle is gone"
	}
	for i, file := range fate.Also {
		if i == 3 {
			where += fmt.Sprintf(", and in %d more files", len(fate.Also)-i)
			break
		}
		where += ", and in " + shown(file)
	}
	why := cmp.Or(fate.Why, "this run does not check it there")
	for _, p := range s.now.passedOver {
		if over := pathFrom(s.newRoot, p.Path); over == fate.At || strings.HasPrefix(fate.At, over+"/") {
			why, _, _ = strings.Cut(p.Why, ";")
		}
	}
	return fmt.Sprintf("%s: %s; %s", where, why, cmp.Or(fate.Remedy, remedy))
}

// stoodOn says what was found in a vehicle, with the most severe by name.
func (s standing) stoodOn(ctx context.Context, v *Vehicle) string {
	s.engine.check(ctx, v, rules.Reading{})
	if v.Err != nil {
		return "it could not be checked there"
	}
	r := report.Report{Vehicles: []report.Vehicle{v.Vehicle}}
	count := r.Count()
	var parts []string
	for _, n := range []struct {
		count     int
		one, many string
	}{
		{count.Errors, "error", "errors"}, {count.Warnings, "warning", "warnings"}, {count.Notes, "note", "notes"},
		{count.Waived, "waived finding", "waived findings"}, {count.NotChecked, "check not made", "checks not made"},
	} {
		switch {
		case n.count == 1:
			parts = append(parts, "1 "+n.one)
		case n.count > 1:
			parts = append(parts, fmt.Sprintf("%d %s", n.count, n.many))
		}
	}
	if len(parts) == 0 {
		return "nothing was found in it there"
	}
	text := "there it had " + strings.Join(parts, ", ")
	for _, f := range r.Findings() {
		if f.Level == rules.Error {
			return text + ", the first " + f.Rule + " of " + f.Subject
		}
	}
	return text
}

// remarks says what looks like a specification and is not read.
func (l *Fleet) remarks() (remarks []report.Remark) {
	said := map[string]bool{}
	for _, p := range l.passedOver {
		if !said[p.Path] {
			said[p.Path] = true
			remarks = append(remarks, report.Remark{Level: rules.Note, Path: filepath.ToSlash(p.Path), Text: p.String()})
		}
	}
	if names := slices.Sorted(maps.Keys(l.unknown)); len(names) > 0 {
		first := fromHere(l.Files.(*revision.Tree).Top(), names[0])
		text := fmt.Sprintf("whether it is a specification in %s is not known: it is stored through the filter %q, a program that is not run here", l.Name, l.unknown[names[0]])
		if n := len(names) - 1; n > 0 {
			text += fmt.Sprintf("; so are %d more", n)
		}
		remarks = append(remarks, report.Remark{Level: rules.Warning, Path: first, Text: text})
	}
	return remarks
}

// accounted takes away the errors of paths at which there is nothing any more,
// where the older revision had vehicles there: what became of them is told.
func accounted(errs []PathError, old *Fleet) []PathError {
	return slices.DeleteFunc(slices.Clone(errs), func(e PathError) bool {
		nothing := errors.Is(e, schema.ErrNoSpecification) || errors.Is(e, fs.ErrNotExist)
		return nothing && len(old.Vehicles) > 0 && !slices.ContainsFunc(old.Errors, func(o PathError) bool { return o.Path == e.Path })
	})
}
