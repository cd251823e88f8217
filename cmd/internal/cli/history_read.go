package cli

import (
	"context"
	"errors"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/parallel"
	"example.org/headroom/cmd/internal/revision"
)

// moment returns the check at a commit. It reads some older commits too, side
// by side.
func (w *walker) moment(ctx context.Context, i int) (moment, error) {
	if w.contents == nil {
		if err := w.findContents(ctx); err != nil {
			return moment{}, err
		}
	}
	if err := w.inherit(ctx, i); err != nil {
		return moment{}, err
	}
	if w.contents[i] == "" {
		return moment{}, nil
	}
	if m, ok := w.known[w.contents[i]]; ok {
		return m, nil
	}
	wanted, err := w.wanted(ctx, i)
	if err != nil {
		return moment{}, err
	}
	read, errs := make([]moment, len(wanted)), make([]error, len(wanted))
	parallel.Each(len(wanted), func(k int) { read[k], errs[k] = w.read(ctx, wanted[k]) })
	if err := errors.Join(errs...); err != nil {
		return moment{}, err
	}
	if len(w.known) > remembered {
		clear(w.known)
	}
	for k, m := range read {
		if m.links && !w.links {
			w.links, w.contents = true, nil
			return w.moment(ctx, i)
		}
		w.known[w.contents[wanted[k]]] = m
	}
	return w.known[w.contents[i]], nil
}

// inherit gives a commit the content of the next newer one where that changed
// nothing that was read there: other vehicles of the module, for one.
func (w *walker) inherit(ctx context.Context, i int) error {
	if i == 0 || w.contents[i] == w.contents[i-1] || w.contents[i] == "" {
		return nil
	}
	m, ok := w.known[w.contents[i-1]]
	if !ok {
		return nil
	}
	touched, err := w.touches(ctx, i-1, m.reads)
	if err == nil && !touched {
		w.contents[i] = w.contents[i-1]
	}
	return err
}

// wanted lists the commits that are to be read next, of different contents. Of
// those after the first it is a guess, by what was read last.
func (w *walker) wanted(ctx context.Context, i int) (commits []int, err error) {
	var reads *revision.Reads
	if i > 0 {
		reads = w.known[w.contents[i-1]].reads
	}
	asked := map[string]bool{}
	for j := i; j < min(i+atOnce, len(w.entries)) && len(commits) < ahead; j++ {
		content := w.contents[j]
		if _, ok := w.known[content]; ok || content == "" || asked[content] {
			continue
		}
		if reads != nil && j > i {
			touched, err := w.touches(ctx, j-1, reads)
			if err != nil {
				return nil, err
			}
			if !touched {
				continue
			}
		}
		asked[content] = true
		commits = append(commits, j)
	}
	return commits, nil
}

// touches reports whether a commit changed, against the next older one, a file
// that matters to a reader.
func (w *walker) touches(ctx context.Context, i int, reads *revision.Reads) (bool, error) {
	if _, ok := w.changed[i]; !ok {
		if err := w.findChanged(ctx, i); err != nil {
			return false, err
		}
	}
	return slices.ContainsFunc(w.changed[i], reads.DependOn), nil
}

// findChanged lists the files that a commit changed, and those of some older
// ones with it, since one question costs as much as many.
func (w *walker) findChanged(ctx context.Context, i int) error {
	to := min(i+atOnce, len(w.entries)-1)
	pairs := make([]revision.Pair, 0, atOnce)
	for k := i; k < to; k++ {
		pairs = append(pairs, revision.Pair{Old: w.entries[k+1].Tree, New: w.entries[k].Tree})
	}
	files, err := w.repository.Differences(ctx, pairs)
	if err != nil {
		return err
	}
	for k, list := range files {
		w.changed[i+k] = list
	}
	return nil
}

// read reads and checks the vehicle at a commit.
func (w *walker) read(ctx context.Context, i int) (moment, error) {
	vehicles, tree, _, err := w.load(ctx, w.entries[i].Hash, filepath.FromSlash(w.at))
	if err != nil {
		return moment{}, err
	}
	m := moment{links: tree.FollowedLink(), reads: tree.Reads()}
	for _, v := range vehicles {
		if v.Path != w.at {
			continue
		}
		m.vehicle, m.why = v, v.Unloadable()
		for _, r := range v.Results {
			if r.Key() == w.key {
				m.result = unwaived(r)
			}
		}
	}
	return m, nil
}

// load reads and checks what a path stands for at a commit. It returns the tree
// that it read, closed, and what of the path cannot be read.
func (w *walker) load(ctx context.Context, commit, path string) (vehicles []*engine.Vehicle, tree *revision.Tree, errs []string, err error) {
	if tree, err = w.repository.Tree(ctx, commit); err != nil {
		return nil, nil, nil, err
	}
	defer tree.Close() //nolint:errcheck // what was read is read
	fleet := w.command.engine(everything()).Load(ctx, engine.Side{Files: tree, Rev: commit, Paths: []string{path}})
	return fleet.Vehicles, tree, fleet.Texts(), fleet.Incomplete
}

// elsewhere looks for the vehicle of newer commits at a commit that does not
// have it at its place: first nearby, then in the whole repository.
func (w *walker) elsewhere(ctx context.Context, i int) (moment, error) {
	if w.last.vehicle == nil {
		return moment{}, nil
	}
	var broken *engine.Vehicle
	for _, folder := range []string{filepath.Dir(filepath.FromSlash(w.at)), w.repository.Top()} {
		all := filepath.Join(folder, "...")
		older, _, _, err := w.load(ctx, w.entries[i].Hash, all)
		if err != nil {
			return moment{}, err
		}
		// The others count too: what is still there is nobody else's past.
		now, _, _, err := w.load(ctx, w.entries[w.last.commit].Hash, all)
		if err != nil {
			return moment{}, err
		}
		for _, p := range engine.Match(older, now) {
			switch {
			case p.Old == nil:
			case p.Now == nil && p.Old.Loaded.Spec == nil:
				broken = p.Old
			case p.Now != nil && p.Now.Path == w.at:
				w.at, w.contents = p.Old.Path, nil
				return w.moment(ctx, i)
			}
		}
	}
	if broken != nil { // it may be the one; the next commit tells
		return moment{why: fmt.Sprintf("it is not at %s, and what is at %s cannot be read: %s", w.at, broken.Path, broken.Unloadable())}, nil
	}
	return moment{}, nil
}

// findContents finds out for every commit what the vehicle at its place depends
// on: its file, or the module of its package. Where that cannot be told from
// hashes, it is all files of the commit.
func (w *walker) findContents(ctx context.Context) error {
	if w.known == nil {
		w.known, w.changed = map[string]moment{}, map[int][]string{}
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
