package hostile

import (
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// box is the world of one entry: a folder repo with a repository, in which the
// program runs; a folder outside with what must not be read; and folders of its
// own for the home and for temporary files.
type box struct {
	t    *testing.T
	root string
}

// secret is in the files that must not be read, and so in no output.
const secret = "hunter2"

func newBox(t *testing.T) *box {
	t.Helper()
	root, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	b := &box{t, root}
	for _, dir := range []string{"repo/.git", "home", "tmp", "runner"} {
		b.dir("../" + dir)
	}
	b.write("../outside/spec.yaml", plainYAML(secret)+"fuses: {main: {class: blade, rated_A: 40, source: "+secret+"}}\n")
	b.write("../outside/lib.cue", "package parts\n\nname: \""+secret+"\"\n")
	return b
}

// path is that of a file named relative to the folder repo.
func (b *box) path(name string) string {
	return filepath.Join(b.root, "repo", filepath.FromSlash(name))
}

func (b *box) dir(name string) {
	b.t.Helper()
	if err := os.MkdirAll(b.path(name), 0o777); err != nil {
		b.t.Fatal(err)
	}
}

func (b *box) write(name, text string) {
	b.t.Helper()
	if err := os.MkdirAll(filepath.Dir(b.path(name)), 0o777); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(b.path(name), []byte(text), 0o666); err != nil {
		b.t.Fatal(err)
	}
}

func (b *box) read(name string) string {
	data, err := os.ReadFile(b.path(name))
	if err != nil {
		return ""
	}
	return string(data)
}

func (b *box) remove(name string) {
	b.t.Helper()
	if err := os.RemoveAll(b.path(name)); err != nil {
		b.t.Fatal(err)
	}
}

// link makes a symbolic link; where there are none the entry is left out.
func (b *box) link(name, target string) {
	b.t.Helper()
	if err := os.MkdirAll(filepath.Dir(b.path(name)), 0o777); err != nil {
		b.t.Fatal(err)
	}
	if err := os.Symlink(target, b.path(name)); err != nil {
		b.t.Skip("there are no symbolic links here: ", err)
	}
}

// pipe makes a named pipe that nobody writes to.
func (b *box) pipe(name string) {
	b.t.Helper()
	b.dir(filepath.ToSlash(filepath.Dir(name)))
	if err := makePipe(b.path(name)); err != nil {
		b.t.Fatal(err)
	}
}

// sparse makes a file of a size that takes no room.
func (b *box) sparse(name string, size int64) {
	b.t.Helper()
	b.write(name, "")
	if err := os.Truncate(b.path(name), size); err != nil {
		b.t.Fatal(err)
	}
}

// git runs git in the folder repo, or in another one with -C.
func (b *box) git(args ...string) string {
	b.t.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir = b.path(".")
	cmd.Env = append(b.env(), "GIT_AUTHOR_DATE=2027-01-01T00:00:00Z", "GIT_COMMITTER_DATE=2027-01-01T00:00:00Z",
		"GIT_AUTHOR_NAME=Team", "GIT_AUTHOR_EMAIL=team@example.org", "GIT_COMMITTER_NAME=Team", "GIT_COMMITTER_EMAIL=team@example.org")
	out, err := cmd.CombinedOutput()
	if err != nil {
		b.t.Fatalf("git %s: %v\n%s", strings.Join(args, " "), err, out)
	}
	return strings.TrimSpace(string(out))
}

// repository makes the folder repo one that git made.
func (b *box) repository() {
	b.t.Helper()
	b.remove(".git")
	b.git("init", "-q", "-b", "main")
}

// commit commits all that is there, ignored files and those of skipped folders too.
func (b *box) commit(message string) {
	b.t.Helper()
	b.git("add", "-A", "-f", ".")
	b.git("commit", "-q", "--allow-empty", "-m", message)
}

// env is the environment of all programs: nothing of the caller's but the search path.
func (b *box) env() []string {
	env := []string{
		"PATH=" + os.Getenv("PATH"), "HOME=" + filepath.Join(b.root, "home"), "TMPDIR=" + filepath.Join(b.root, "tmp"),
		"GIT_CONFIG_NOSYSTEM=1", "LC_ALL=C.UTF-8", "HOSTILE_BOX=" + b.root,
	}
	for _, name := range []string{"SYSTEMROOT", "WINDIR"} { // without which no program starts on Windows
		if value, ok := os.LookupEnv(name); ok {
			env = append(env, name+"="+value)
		}
	}
	return env
}

// snapshot says of each file in the box what tells whether it was written to.
func (b *box) snapshot() map[string]string {
	files := map[string]string{}
	err := filepath.WalkDir(b.root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			if path == b.root {
				return err
			}
			return nil // a folder that an entry made unreadable
		}
		info, err := entry.Info()
		if err != nil || entry.IsDir() {
			return nil
		}
		name, err := filepath.Rel(b.root, path)
		if err != nil {
			return err
		}
		files[filepath.ToSlash(name)] = fmt.Sprint(info.Mode(), info.Size(), info.ModTime().Format(time.RFC3339Nano))
		return nil
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return files
}

// written lists the files that are new, changed or gone since a snapshot.
func (b *box) written(before map[string]string) []string {
	var names []string
	after := b.snapshot()
	for name, state := range after {
		if before[name] != state {
			names = append(names, name)
		}
	}
	for name := range before {
		if _, ok := after[name]; !ok {
			names = append(names, name+" (gone)")
		}
	}
	return names
}
