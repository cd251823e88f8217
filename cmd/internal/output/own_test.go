package output

import (
	"bytes"
	"strings"
	"testing"
)

// An earlier output is known by what is in it; nothing else is one.
func TestIsOwn(t *testing.T) {
	for _, f := range Formats() {
		var b bytes.Buffer
		if err := f.Write(&b, fixture(), Options{}); err != nil {
			t.Fatal(err)
		}
		if got, want := IsOwn(bytes.NewReader(b.Bytes())), f.Name == "json" || f.Name == "sarif"; got != want {
			t.Errorf("%s: %v, want %v", f.Name, got, want)
		}
		if cut := b.Bytes()[:b.Len()/2]; IsOwn(bytes.NewReader(cut)) {
			t.Errorf("half of %s is an output", f.Name)
		}
	}
	for name, text := range map[string]string{
		"nothing": "", "an array": `[{"format": "headroom-report"}]`, "empty": "{}", "of another tool": `{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "other"}}}]}`,
		"a specification": `{"headroom": 1, "vehicle": {}, "fuses": {}}`, "one that poses": `{"format": "headroom-report", "headroom": 1, "vehicle": {}}`,
		"one that poses at its end": `{"version": 1, "format": "headroom-report", "fuses": {}}`, "YAML": "format: headroom-report\n",
	} {
		if IsOwn(strings.NewReader(text)) {
			t.Errorf("%s is an output", name)
		}
	}
	for _, format := range []string{"report", "diff", "history", "ratings"} {
		if !IsOwn(strings.NewReader(`{"format": "headroom-` + format + `", "version": 1}`)) {
			t.Errorf("a %s is none", format)
		}
	}
}
