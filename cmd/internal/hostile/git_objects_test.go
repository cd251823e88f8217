package hostile

import (
	"encoding/hex"
	"os"
	"os/exec"
	"strings"
)

// object writes an object of git as it is, whatever git would say of it.
func (b *box) object(kind, text string) string {
	b.t.Helper()
	cmd := exec.Command("git", "hash-object", "--literally", "-t", kind, "-w", "--stdin")
	cmd.Dir, cmd.Env, cmd.Stdin = b.path("."), b.env(), strings.NewReader(text)
	out, err := cmd.Output()
	if err != nil {
		b.t.Skip("this git does not write such an object: ", err)
	}
	return strings.TrimSpace(string(out))
}

// treeEntry is an entry of a tree: mode and name, and the object.
func treeEntry(modeAndName, object string) string {
	id, _ := hex.DecodeString(object)
	return modeAndName + "\x00" + string(id)
}

// tree commits a tree with entries that all are the file v.yaml.
func (b *box) tree(entries ...string) {
	b.t.Helper()
	blob := b.git("rev-parse", "HEAD:v.yaml")
	text := ""
	for _, entry := range entries {
		text += treeEntry(entry, blob)
	}
	commit := b.object("commit", "tree "+b.object("tree", text)+"\nparent "+b.git("rev-parse", "HEAD")+
		"\nauthor T <t@example.org> 1900000000 +0000\ncommitter T <t@example.org> 1900000000 +0000\n\nx\n")
	b.git("update-ref", "refs/heads/main", commit)
}

func executable(b *box, name string) {
	b.t.Helper()
	if err := os.Chmod(b.path(name), 0o777); err != nil {
		b.t.Fatal(err)
	}
}
