package revision

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// What is read here may come from a stranger: the files of a pull request, or a
// copied repository with its settings. Git's settings can name programs, so git
// is called in such a way that none of them is ever started and nothing is
// fetched:
//
//   - a folder of plain files that looks like a bare repository is not one
//     (safe.bareRepository; see [Open] for real ones);
//   - no file-system monitor and no hook (set on the command line, which the
//     settings of a repository cannot override);
//   - no filter, text conversion or external diff: files are read as they are
//     stored, and one that a filter would change is refused;
//   - no fetch of objects that a partial clone lacks, and no protocol for it;
//   - and git finds no program by name, itself included, where its own program
//     can be called by its path.

// safely is what every call of git begins with.
var safely = []string{
	"--no-pager", "--no-optional-locks", "--no-replace-objects",
	"-c", "core.fsmonitor=false",
	"-c", "core.hooksPath=" + os.DevNull,
	"-c", "protocol.allow=never",
}

// noFetch is the environment of a git that asks nobody anything and fetches nothing.
var noFetch = []string{"LC_ALL=C", "GIT_TERMINAL_PROMPT=0", "GIT_NO_LAZY_FETCH=1", "GIT_ALLOW_PROTOCOL="}

// program is the git program, and what keeps it from finding any other.
type program struct {
	path string
	args []string
	env  []string
}

// findGit finds the git program. Behind the name on the search path may be a
// script that needs the search path itself, so the program proper is taken from
// git's own folder.
func findGit(ctx context.Context) (program, error) {
	named, err := exec.LookPath("git")
	if err != nil {
		return program{}, err
	}
	if runtime.GOOS == "windows" { // the search path also leads to git's own libraries
		return program{path: named}, nil
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	asked := exec.CommandContext(ctx, named, "--exec-path")
	asked.Env = untraced(asked.Environ())
	out, err := asked.Output()
	proper := filepath.Join(strings.TrimSpace(string(out)), "git")
	if info, statErr := os.Stat(proper); err != nil || statErr != nil || !info.Mode().IsRegular() || info.Mode()&0o111 == 0 {
		return program{path: named}, nil
	}
	// Nothing lies below a file.
	return program{path: proper, args: []string{"--exec-path=" + os.DevNull}, env: []string{"PATH=" + os.DevNull}}, nil
}

// command prepares a run of git in the repository's folder.
func (r *Repository) command(ctx context.Context, args ...string) *exec.Cmd {
	all := slices.Concat([]string{"-C", r.dir}, r.program.args, safely, []string{"-c", "safe.bareRepository=" + r.bareRepositories}, args)
	cmd := exec.CommandContext(ctx, r.program.path, all...)
	cmd.Env = slices.Concat(untraced(cmd.Environ()), r.places(), noFetch, r.program.env)
	return cmd
}

// untraced is an environment without what has git write of its work, to files or between
// its answers.
func untraced(env []string) []string {
	return slices.DeleteFunc(env, func(v string) bool { return strings.HasPrefix(v, "GIT_TRACE") })
}

// places are the variables that name git's files, from whatever folder git is
// called: by absolute paths.
func (r *Repository) places() (env []string) {
	for _, name := range []string{"GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_COMMON_DIR", "GIT_OBJECT_DIRECTORY"} {
		if value := os.Getenv(name); value != "" && !filepath.IsAbs(value) {
			if absolute, err := filepath.Abs(value); err == nil {
				env = append(env, name+"="+absolute)
			}
		}
	}
	return env
}

// line runs git and returns the one line that it prints.
func (r *Repository) line(ctx context.Context, args ...string) (string, error) {
	out, err := r.git(ctx, args...)
	return strings.TrimRight(string(out), "\r\n"), err
}

// git runs git and returns what it prints.
func (r *Repository) git(ctx context.Context, args ...string) ([]byte, error) {
	return r.run(ctx, nil, patience, args...)
}

// slowly is git for what may take a while before it prints something.
func (r *Repository) slowly(ctx context.Context, args ...string) ([]byte, error) {
	return r.run(ctx, nil, longPatience, args...)
}

// ask runs git with a question on its standard input.
func (r *Repository) ask(ctx context.Context, question string, args ...string) ([]byte, error) {
	return r.run(ctx, strings.NewReader(question), longPatience, args...)
}

// complaintOf is the fatal line of what git printed, or else the first: there may
// be warnings before it.
func complaintOf(printed string, err error) error {
	for line := range strings.SplitSeq(printed, "\n") {
		if text, fatal := strings.CutPrefix(line, "fatal: "); fatal {
			return errors.New(text)
		}
	}
	if first, _, _ := strings.Cut(strings.TrimSpace(printed), "\n"); first != "" {
		return errors.New(first)
	}
	return err
}
