package starter

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// TestBothFormatsAreTheSameVehicle holds the two texts together; that they
// pass every check is tested where the catalogue is at hand.
func TestBothFormatsAreTheSameVehicle(t *testing.T) {
	read := func(name string, text []byte) string {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, text, 0o666); err != nil {
			t.Fatal(err)
		}
		targets, err := schema.Find([]string{file}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("Find(%s) = %v, %v", name, targets, err)
		}
		loaded := schema.Read(context.Background(), targets[0], schema.Options{})
		if loaded.Err != nil || len(loaded.Problems) > 0 {
			t.Fatalf("%s: error %v, problems %v", name, loaded.Err, loaded.Problems)
		}
		data, err := loaded.Spec.JSON()
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	if diff := cmp.Diff(read(CUE()), read(YAML())); diff != "" {
		t.Errorf("cart.cue and cart.yaml differ (-CUE +YAML):\n%s", diff)
	}
}
