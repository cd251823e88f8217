package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules/catalogue"
)

// longHistory makes a repository of which every commit but each fifth moves the
// same headroom of the trike.
func longHistory(t testing.TB, commits int) *demo {
	t.Helper()
	d := emptyDemo(t)
	d.install("fleet")
	d.commit("fleet", "workshop", "The fleet as it stands")
	const name, old = "fleet/heron/house.cue", `to: "horn.pos", length_m: 0.60`
	text := d.read(name)
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q does not stand once in %s", old, name)
	}
	// Two hundred runs of git commit would take longer than what is measured.
	var b strings.Builder
	for i := range commits - 1 {
		file, content := name, strings.Replace(text, old, fmt.Sprintf(`to: "horn.pos", length_m: %.3f`, 0.6+0.01*float64(i)), 1)
		if i%5 == 4 {
			file, content = "README.md", fmt.Sprintf("# Fleet, page %d\n", i)
		}
		message := fmt.Sprintf("Change %d", i)
		fmt.Fprintf(&b, "commit refs/heads/main\ncommitter electrics <electrics@example.org> %d +0000\ndata %d\n%s\n", 1772352000+86400*(i+1), len(message), message)
		if i == 0 {
			b.WriteString("from refs/heads/main^0\n")
		}
		fmt.Fprintf(&b, "M 100644 inline %s\ndata %d\n%s\n", file, len(content), content)
	}
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Stdin = d.dir, strings.NewReader(b.String())
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("git fast-import: %v\n%s", err, out)
	}
	return d
}

func TestLongHistory(t *testing.T) {
	d := longHistory(t, 60)
	code, stdout, stderr := runDemo(t, d.dir, catalogue.All(), "history", "load-drop-high", "fleet/heron", "horn")
	moved := 0
	for line := range strings.SplitSeq(stdout, "\n") {
		if strings.Contains(line, " w_horn_pos length_m ") {
			moved++
		}
	}
	// 59 commits after the first, each fifth of another file, the very first as it was.
	if want := 59 - 11 - 1; code != ExitClean || moved != want {
		t.Errorf("exit code %d, %d commits moved it, want %d\n%s%s", code, moved, want, stdout, stderr)
	}
}

// BenchmarkHistory walks 200 commits, four in five of which move the headroom.
func BenchmarkHistory(b *testing.B) {
	d := longHistory(b, 200)
	for b.Loop() {
		code, _, stderr := runDemo(b, d.dir, catalogue.All(), "history", "load-drop-high", "fleet/heron", "horn")
		if code != ExitClean {
			b.Fatal(stderr)
		}
	}
}

// TestHistoryOfAGap follows a vehicle that was away for a while, was moved in a
// commit that broke it, and lost and regained the part that the check is about.
func TestHistoryOfAGap(t *testing.T) {
	d := emptyDemo(t)
	const breaking = "rated_A: 125, rated_V_dc: 80, breaking_A_dc: "
	commit := func(name, from, to, old, new string) {
		t.Helper()
		if old != "" {
			d.edit(from, old, new)
		}
		switch {
		case to == from:
		case to == "":
			d.remove(from)
		default:
			d.move(from, to)
		}
		d.commit(name, "workshop", "Commit "+name)
	}
	d.copy("../../../testdata/first/first.yaml", "cart.yaml")
	first := d.read("cart.yaml")
	commit("first", "cart.yaml", "cart.yaml", "", "")
	commit("spare", "cart.yaml", "cart.yaml", "breaking_A_dc: 10000, source: sheet FU-1", "breaking_A_dc: 9000, source: sheet FU-1")
	commit("away", "cart.yaml", "", "", "")
	commit("still", "", "", "", "")
	d.write("cart.yaml", first)
	commit("back", "cart.yaml", "cart.yaml", "", "")
	commit("moved", "cart.yaml", "carts/first.yaml", "fuses:\n", "fuses: [\n")
	commit("mended", "carts/first.yaml", "carts/first.yaml", "fuses: [\n", "fuses:\n")
	commit("less", "carts/first.yaml", "carts/first.yaml", breaking+"10000", breaking+"8000")

	_, stdout, stderr := runDemo(t, d.dir, few(), "history", "fuse-breaking-low", "carts", "main")
	golden(t, filepath.Join("testdata", "demo", "history-gap.txt"), d.named(stdout+stderr))
}

// TestHistoryThroughALink follows a vehicle whose library is a symbolic link to a
// folder outside of the module: its changes count although the module stays the
// same.
func TestHistoryThroughALink(t *testing.T) {
	d := emptyDemo(t)
	d.install("fleet")
	d.move("fleet/parts", "stock/parts")
	if err := os.Symlink("../stock/parts", d.path("fleet/parts")); err != nil {
		t.Fatal(err)
	}
	d.commit("fleet", "workshop", "The fleet")
	d.edit("stock/parts/fuses.cue", `_blade: {class: "blade", rated_V_dc: 32, breaking_A_dc: 1000`, `_blade: {class: "blade", rated_V_dc: 32, breaking_A_dc: 900`)
	d.commit("stock", "workshop", "Other blade fuses")
	d.write("README.md", "# Fleet\n")
	d.commit("notes", "workshop", "Notes")
	d.remove("fleet/parts")
	d.move("stock/parts", "fleet/parts")
	d.commit("folder", "workshop", "No link any more")
	for _, from := range []string{"{notes}", "{folder}"} {
		_, stdout, stderr := runDemo(t, d.dir, few(), d.hashes([]string{"history", "--from", from, "fuse-breaking-low", "fleet/heron", "coil_fuse"})...)
		if !strings.Contains(d.named(stdout), "<stock>") || !strings.Contains(stderr, "commits examined, 1 moved ") {
			t.Errorf("from %s:\n%s%s", from, d.named(stdout), stderr)
		}
	}
}
