package cli

import (
	"context"
	"fmt"
	"path"
	"path/filepath"
	"strings"

	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/review"
	"example.org/headroom/cmd/internal/revision"
	"example.org/headroom/rules"
)

// walker follows one check of one vehicle back through the commits. What the
// vehicle is at a commit is read once for each content of its module.
type walker struct {
	command    *Command // with the one rule
	repository *revision.Repository
	entries    []revision.Entry // newest first
	key        string           // of the check
	threshold  float64
	limit      int

	at       string            // where the vehicle is
	contents []string          // by commit, what the vehicle depends on; nil where not known
	links    bool              // what is read depends on more than the hashes of folders tell
	known    map[string]moment // by content
}

// moment is the check at one commit.
type moment struct {
	vehicle *checked     // nil where there is none
	result  rules.Result // of no rule where the vehicle has no such check
	why     string       // why the vehicle does not load
	links   bool         // it was read through a symbolic link
}

const (
	ahead      = 8   // how many contents are read at a time
	remembered = 200 // how many are kept, for reverts
)

// stop is a commit at which the vehicle was readable.
type stop struct {
	moment
	commit int // index of the oldest commit so far at which it stands like that
}

// walk fills the history.
func (w *walker) walk(ctx context.Context, h *report.History) error {
	newer := stop{commit: -1}
	var last *checked              // the vehicle when it was last there
	var unreadable []report.Commit // between newer and the commit looked at
	lost, content := false, ""
	for i := range w.entries {
		m, err := w.moment(ctx, i)
		if err == nil && m.vehicle == nil && !lost {
			m, lost, err = w.elsewhere(ctx, i, last)
		}
		if err != nil {
			return err
		}
		h.Looked = i + 1
		switch {
		case m.why != "":
			if w.contents[i] != content {
				unreadable = append(unreadable, w.commit(i, m, report.Unloadable))
			}
			content = w.contents[i]
			continue
		case m.vehicle != nil:
			last, lost = m.vehicle, false
		}
		content = w.contents[i]
		if newer.commit >= 0 {
			c, ok, err := w.compare(ctx, newer, stop{m, i})
			if err != nil {
				return err
			}
			if ok {
				h.Commits = append(h.Commits, c)
			}
		}
		h.Commits = append(h.Commits, unreadable...)
		unreadable = nil
		newer = stop{m, i}
		if w.limit > 0 && len(h.Commits) >= w.limit {
			h.Commits = h.Commits[:w.limit]
			if i < len(w.entries)-1 {
				h.End = report.AtLimit
				return nil
			}
		}
	}
	w.end(ctx, h, newer, unreadable)
	return nil
}

// end adds how the history begins.
func (w *walker) end(ctx context.Context, h *report.History, newer stop, unreadable []report.Commit) {
	remedy, cut := w.repository.CutOff(ctx, w.entries[len(w.entries)-1].Hash)
	h.End = report.AtFirst
	state := report.Began
	if cut {
		h.End, h.Remedy, state = report.AtShallow, remedy, report.Oldest
	}
	if newer.result.Rule != "" {
		c := w.commit(newer.commit, newer.moment, state)
		c.What = "the vehicle"
		h.Commits = append(h.Commits, c)
	}
	h.Commits = append(h.Commits, unreadable...)
	if w.limit > 0 && len(h.Commits) > w.limit {
		h.Commits, h.End = h.Commits[:w.limit], report.AtLimit
	}
}

func (w *walker) commit(i int, m moment, state report.CommitState) report.Commit {
	e := w.entries[i]
	c := report.Commit{Hash: e.Hash, Date: e.Date, Message: e.Subject, State: state, Result: m.result, Why: m.why}
	if m.vehicle != nil {
		c.Path = m.vehicle.Path
	}
	return c
}

// compare tells what the newer commit did to the check, and whether that is
// worth a line.
func (w *walker) compare(ctx context.Context, newer, older stop) (report.Commit, bool, error) {
	c := w.commit(newer.commit, newer.moment, report.Moved)
	if older.commit > newer.commit+1 {
		c.Against = w.entries[older.commit].Hash
	}
	if newer.vehicle != nil && older.vehicle != nil && newer.vehicle.Path != older.vehicle.Path {
		c.OldPath = older.vehicle.Path
	}
	is, was := newer.result.Rule != "", older.result.Rule != ""
	switch {
	case is && !was:
		c.State, c.What = report.Began, missing(older)
		return c, true, nil
	case was && !is:
		c.State, c.What, c.Result, c.Path = report.Ended, missing(newer), older.result, older.vehicle.Path
		return c, true, nil
	case !is:
		return c, false, nil
	}
	m, moved := review.MoveOf(older.result, newer.result, w.threshold)
	if !moved {
		c.State = report.Relocated
		return c, c.OldPath != "", nil
	}
	compared, err := review.Compare(ctx, older.revision(), newer.revision(), w.command.Rules, w.threshold)
	if err != nil {
		return c, false, fmt.Errorf("%s at %s: %w", newer.vehicle.Path, c.Short(), err)
	}
	for _, found := range compared.Moves {
		m = found
	}
	c.Move, c.Edits, c.TooMany = m, compared.Edits, compared.TooMany
	c.Inputs = review.Inputs(compared.Edits, older.result, newer.result)
	return c, true, nil
}

// missing names what a stop without the check does not have.
func missing(s stop) string {
	if s.vehicle == nil {
		return "the vehicle"
	}
	return "the check"
}

// revision is the vehicle with the one check that is followed.
func (s stop) revision() review.Revision {
	return review.Revision{Spec: s.vehicle.loaded.Spec, Results: []rules.Result{s.result}}
}

// moment returns the check at a commit. It reads some older commits too, side
// by side.
func (w *walker) moment(ctx context.Context, i int) (moment, error) {
	if w.contents == nil {
		if err := w.findContents(ctx); err != nil {
			return moment{}, err
		}
	}
	if w.contents[i] == "" {
		return moment{}, nil
	}
	if m, ok := w.known[w.contents[i]]; ok {
		return m, nil
	}
	if len(w.known) > remembered {
		clear(w.known)
	}
	var wanted []int
	asked := map[string]bool{}
	for j := i; j < len(w.entries) && len(wanted) < ahead; j++ {
		content := w.contents[j]
		if _, ok := w.known[content]; !ok && content != "" && !asked[content] {
			asked[content] = true
			wanted = append(wanted, j)
		}
	}
	read, errs := make([]moment, len(wanted)), make([]error, len(wanted))
	parallel.Each(len(wanted), func(k int) { read[k], errs[k] = w.read(ctx, wanted[k]) })
	for k, m := range read {
		if errs[k] != nil {
			return moment{}, errs[k]
		}
		if m.links && !w.links {
			w.links, w.contents = true, nil
			return w.moment(ctx, i)
		}
		w.known[w.contents[wanted[k]]] = m
	}
	return w.known[w.contents[i]], nil
}

// read reads and checks the vehicle at a commit.
func (w *walker) read(ctx context.Context, i int) (moment, error) {
	vehicles, links, _, err := w.load(ctx, w.entries[i].Hash, filepath.FromSlash(w.at))
	if err != nil {
		return moment{}, err
	}
	m := moment{links: links}
	for _, v := range vehicles {
		if v.Path != w.at {
			continue
		}
		m.vehicle, m.why = v, unloadable(v)
		for _, r := range v.Results {
			if r.Key() == w.key {
				m.result = unwaived(r)
			}
		}
	}
	return m, nil
}

// load reads and checks what a path stands for at a commit. It reports whether
// that was reached through symbolic links, and what of the path cannot be read.
func (w *walker) load(ctx context.Context, commit, path string) (vehicles []*checked, links bool, errs []string, err error) {
	tree, err := w.repository.Tree(ctx, commit)
	if err != nil {
		return nil, false, nil, err
	}
	defer tree.Close() //nolint:errcheck // what was read is read
	vehicles, errs = w.command.load(ctx, side{files: tree, rev: commit, paths: []string{path}})
	return vehicles, tree.FollowedLink(), errs, nil
}

// elsewhere looks for the vehicle of newer commits at a commit that does not
// have it at its place: first nearby, then in the whole repository. It is lost
// where there is none; a vehicle that does not load may be the one, so that the
// next commit has to be looked through too.
func (w *walker) elsewhere(ctx context.Context, i int, last *checked) (m moment, lost bool, err error) {
	if last == nil {
		return moment{}, true, nil
	}
	lost = true
	for _, folder := range []string{filepath.Dir(filepath.FromSlash(w.at)), w.repository.Top()} {
		vehicles, _, _, err := w.load(ctx, w.entries[i].Hash, filepath.Join(folder, "..."))
		if err != nil {
			return moment{}, false, err
		}
		for _, p := range match(vehicles, []*checked{last}) {
			if p.now != nil && p.old != nil {
				w.at, w.contents = p.old.Path, nil
				m, err = w.moment(ctx, i)
				return m, false, err
			}
		}
		for _, v := range vehicles {
			lost = lost && v.loaded.Spec != nil
		}
	}
	return moment{}, lost, nil
}

// findContents finds out for every commit what the vehicle at its place depends
// on: its file, or the module of its package. Where that cannot be told from
// hashes, it is all files of the commit.
func (w *walker) findContents(ctx context.Context) error {
	if w.known == nil {
		w.known = map[string]moment{}
	}
	w.contents = make([]string, len(w.entries))
	place, inside := w.repository.Path(filepath.FromSlash(w.at))
	if w.links || !inside || strings.ContainsAny(place, "\n\r") {
		for i, e := range w.entries {
			w.contents[i] = w.at + " in " + e.Tree
		}
		return nil
	}
	folders := above(place)
	names := make([]string, 0, len(w.entries)*(2*len(folders)))
	for _, e := range w.entries {
		for _, folder := range folders {
			names = append(names, e.Hash+":"+folder, e.Hash+":"+path.Join(folder, "cue.mod/module.cue"))
		}
	}
	objects, err := w.repository.Objects(ctx, names)
	if err != nil {
		return err
	}
	for i, e := range w.entries {
		w.contents[i] = w.content(e, objects[2*len(folders)*i:2*len(folders)*(i+1)])
	}
	return nil
}

// above lists a place and the folders above it, the root, as git names it, last.
func above(place string) []string {
	if place == "." {
		return []string{""}
	}
	var folders []string
	for ; place != "."; place = path.Dir(place) {
		folders = append(folders, place)
	}
	return append(folders, "")
}

// content is what the vehicle depends on at a commit, "" where it is not there.
// The objects are the place of the vehicle and the folders above it, each with
// the module file in it.
func (w *walker) content(e revision.Entry, objects []revision.Object) string {
	own := objects[0]
	switch {
	case own.Hash == "":
		return ""
	case own.Kind == "blob" && path.Ext(w.at) != ".cue":
		return w.at + " is " + own.Hash
	}
	for k := 0; k < len(objects); k += 2 {
		if objects[k+1].Hash != "" {
			return w.at + " in " + objects[k].Hash
		}
	}
	return w.at + " is " + own.Hash
}
