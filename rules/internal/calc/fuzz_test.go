package calc

import (
	"strings"
	"testing"
)

// FuzzSize reads arbitrary text as a size of conductor: what is taken has a resistance,
// and is the same size once it is written as its label.
func FuzzSize(f *testing.F) {
	for _, s := range []string{"70 mm2", "0.75mm²", "2/0 AWG", "00 awg", "4 SAE", "2.50 mm2", "1e1 mm2", "0x10 mm2", "-3 AWG", "", "mm2", "NaN mm2", "7_0 mm2", "000000000 AWG"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		size, err := ParseSize(s)
		if err != nil {
			if err.Error() == "" || strings.Contains(err.Error(), "%!") && !strings.Contains(s, "%") {
				t.Errorf("%q: error %q", s, err)
			}
			return
		}
		if !(size.R20 > 0 && size.AreaMM2 > 0 && size.DiameterMM > 0 && size.WallMM > 0) {
			t.Errorf("%q: %+v", s, size)
		}
		if again, err := ParseSize(size.Label); err != nil || again != size {
			t.Errorf("%q: %+v; read by its label %+v, %v", s, size, again, err)
		}
		if tin := size.Tinned(); tin.R20 <= size.R20 || tin.Tinned() != tin {
			t.Errorf("%q: tinned %+v", s, tin)
		}
		if !strings.ContainsAny(s, "0123456789") {
			t.Errorf("%q has no number and is %s", s, size.Label)
		}
	})
}
