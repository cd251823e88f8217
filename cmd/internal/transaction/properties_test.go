package transaction

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Whatever transactions come one after the other, over whatever folders: what is on disk
// are the outputs of those that succeeded, each of them whole, and nothing else.
func TestTransactionsAreAllOrNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root, err := os.MkdirTemp("", "transactions")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(root)
		folders := []string{"a", "b", filepath.Join("b", "c")}
		for _, folder := range folders {
			if err := os.MkdirAll(filepath.Join(root, folder), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		names := rapid.SampledFrom([]string{"x", "y.json", strings.Repeat("long", 60), "ü z"})
		want := map[string]string{}
		for range rapid.IntRange(1, 3).Draw(t, "transactions") {
			files := map[string]string{}
			for range rapid.IntRange(1, 4).Draw(t, "files") {
				files[filepath.Join(rapid.SampledFrom(folders).Draw(t, "folder"), names.Draw(t, "name"))] = rapid.StringN(0, 40, -1).Draw(t, "content")
			}
			hopeless := rapid.SampledFrom([]string{"", "", "a folder that is not there", "a stream that cannot be opened"}).Draw(t, "trouble")
			var list []File
			for name, content := range files {
				list = append(list, File{Name: name, Place: filepath.Join(root, name), Data: []byte(content), Mode: 0o666})
			}
			switch hopeless {
			case "a folder that is not there":
				list = append(list, File{Name: "no/x", Place: filepath.Join(root, "no", "x"), Mode: 0o666})
			case "a stream that cannot be opened":
				list = append(list, File{Name: "no/stream", Place: filepath.Join(root, "no", "stream"), Stream: true})
			}
			err := Write(list, func(string) error { return nil }, func(said string) { t.Errorf("repaired: %s", said) })
			if (err != nil) != (hopeless != "") {
				t.Fatalf("%s: error %v", hopeless, err)
			}
			if err == nil {
				for name, content := range files {
					want[name] = content
				}
			}
			got := map[string]string{}
			err = filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
				if err != nil || d.IsDir() {
					return err
				}
				content, err := os.ReadFile(path)
				name, _ := filepath.Rel(root, path)
				got[name] = string(content)
				return err
			})
			if diff := cmp.Diff(want, got); diff != "" || err != nil {
				t.Fatalf("%v, on disk (-want +got):\n%s", err, diff)
			}
		}
	})
}
