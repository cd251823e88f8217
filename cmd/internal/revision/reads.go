package revision

import (
	"context"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
)

// Reads is what a reader of a tree looked up. Where two trees differ in nothing
// of it, the reader finds the same in both.
type Reads struct {
	mu      sync.Mutex
	files   map[string]bool
	folders map[string]bool // their files count, not those of folders in them
	absent  map[string]bool
}

func newReads() *Reads {
	return &Reads{files: map[string]bool{}, folders: map[string]bool{}, absent: map[string]bool{}}
}

func (r *Reads) add(to map[string]bool, name string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	to[name] = true
}

func (r *Reads) file(name string)    { r.add(r.files, name) }
func (r *Reads) folder(name string)  { r.add(r.folders, name) }
func (r *Reads) missing(name string) { r.add(r.absent, name) }

// looked lists the files that were looked up, in order.
func (r *Reads) looked() []string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Sorted(maps.Keys(r.files))
}

// DependOn reports whether a file that came, went or changed may make a
// difference; the path is from the root of the tree.
func (r *Reads) DependOn(file string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.files[file] || r.folders[path.Dir(file)] {
		return true
	}
	for name := file; name != "."; name = path.Dir(name) {
		if r.absent[name] { // it may be there now
			return true
		}
	}
	return false
}

// Pair is the hashes of two trees.
type Pair struct{ Old, New string }

// Differences lists for each pair the files that came, went or changed, by
// their paths from the root.
func (r *Repository) Differences(ctx context.Context, pairs []Pair) ([][]string, error) {
	var question strings.Builder
	heads := make([]string, len(pairs))
	for i, p := range pairs {
		heads[i] = p.Old + " " + p.New + "\n"
		question.WriteString(heads[i])
	}
	out, err := r.ask(ctx, question.String(), "diff-tree", "--stdin", "-r", "-z", "--name-only", "--no-renames", "--no-ext-diff", "--no-textconv")
	if err != nil {
		return nil, fmt.Errorf("git cannot compare commits: %w", r.withoutFetch(ctx, err))
	}
	files := make([][]string, len(pairs))
	at := -1
	for text := range strings.SplitSeq(strings.TrimSuffix(string(out), "\x00"), "\x00") {
		// The first file of a pair follows its head; a pair without any may have
		// a head or none.
		for next := at + 1; next < len(pairs); next++ {
			if name, ok := strings.CutPrefix(text, heads[next]); ok {
				at, text = next, name
			}
		}
		if at >= 0 && text != "" {
			files[at] = append(files[at], text)
		}
	}
	return files, nil
}
