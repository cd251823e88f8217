package output

import (
	"strings"
	"testing"
)

// FuzzWriters puts arbitrary text into every text of the reports and reads the outputs,
// one at a time, with a reader of their kind that shares nothing with the writers.
func FuzzWriters(f *testing.F) {
	for i, h := range hostileTexts {
		f.Add(h.text, byte(i))
	}
	for i, text := range ordinary {
		f.Add(text, byte(i))
	}
	var all []rendered
	var plain []reading
	var read map[string]func(*testing.T, string) reading
	f.Fuzz(func(t *testing.T, text string, which byte) {
		if all == nil {
			all, read = outputs(t), readers(t)
			for _, out := range all {
				var b strings.Builder
				if err := out.write(&b, "a b c d"); err != nil {
					t.Fatal(err)
				}
				plain = append(plain, read[out.kind](t, b.String()))
			}
		}
		if text = strings.TrimSpace(text); text == "" || len(text) > 400 {
			return // lines and cells without a text may be left out; long texts are cut
		}
		i := int(which) % len(all)
		var b strings.Builder
		if err := all[i].write(&b, "x "+text+" x"); err != nil {
			t.Fatal(err)
		}
		read[all[i].kind](t, b.String()).like(t, plain[i])
	})
}
