package revision

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
)

// Filtered tells of the files that were looked up so far, by their paths from the
// root, through which filter each is stored that a program of the settings would
// change on its way into a work tree. Such a program is not run, so that what was
// read is not what a work tree would hold. The attributes are those of the work
// tree and those of the commit.
func (t *Tree) Filtered(ctx context.Context) (map[string]string, error) {
	r := t.repository
	programs, err := r.filterPrograms(ctx)
	if err != nil || len(programs) == 0 {
		return nil, err
	}
	found := map[string]string{}
	take := func(out []byte, err error) error {
		if err != nil {
			return fmt.Errorf("git cannot tell the attributes of files: %w", err)
		}
		fields := strings.Split(string(out), "\x00")
		for i := 0; i+2 < len(fields); i += 3 {
			if file, filter := fields[i], fields[i+2]; programs[filter] {
				found[file] = filter
			}
		}
		return nil
	}
	at := *r
	at.dir = r.top // attributes are asked for by path from the root
	question := strings.Join(t.reads.looked(), "\x00")
	if err := take(at.ask(ctx, question, "check-attr", "-z", "--stdin", "filter")); err != nil {
		return nil, err
	}
	if t.namesFilters() {
		index, err := os.MkdirTemp("", "headroom-index-")
		if err != nil {
			return nil, fmt.Errorf("a temporary index cannot be made: %w", err)
		}
		defer os.RemoveAll(index) //nolint:errcheck // a folder of our own
		at.program.env = append(at.program.env[:len(at.program.env):len(at.program.env)], "GIT_INDEX_FILE="+filepath.Join(index, "index"))
		if _, err := at.slowly(ctx, "read-tree", t.Commit); err != nil {
			return nil, fmt.Errorf("git cannot tell the attributes of files: %w", r.withoutFetch(ctx, err))
		}
		if err := take(at.ask(ctx, question, "check-attr", "--cached", "-z", "--stdin", "filter")); err != nil {
			return nil, err
		}
	}
	return found, nil
}

// namesFilters reports whether the commit has attributes that name a filter.
func (t *Tree) namesFilters() bool {
	for name, e := range t.entries {
		if path.Base(name) == ".gitattributes" && e.mode.IsRegular() {
			if content, err := e.content(); err != nil || strings.Contains(string(content), "filter") {
				return true
			}
		}
	}
	return false
}

// filterPrograms are the filters for which the settings of git name a program
// that writes into a work tree.
func (r *Repository) filterPrograms(ctx context.Context) (map[string]bool, error) {
	out, err := r.git(ctx, "config", "-z", "--name-only", "--get-regexp", `^filter\..*\.(smudge|process)$`)
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) && exit.ExitCode() == 1 {
		return nil, nil // there is none
	} else if err != nil {
		return nil, fmt.Errorf("git cannot read its settings: %w", err)
	}
	programs := map[string]bool{}
	for name := range strings.SplitSeq(string(out), "\x00") {
		if name, ok := strings.CutPrefix(name, "filter."); ok {
			programs[name[:strings.LastIndexByte(name, '.')]] = true
		}
	}
	return programs, nil
}
