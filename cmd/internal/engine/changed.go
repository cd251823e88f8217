package engine

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// Changes are the places of files that came, went or changed.
type Changes []string

// Concern reports whether a vehicle, as it was read, depends on one of them.
func (c Changes) Concern(v *schema.Loaded) bool {
	var read []string
	for _, f := range v.Files {
		if place, err := PlaceOf(f); err == nil {
			read = append(read, place)
		}
	}
	target, err := PlaceOf(v.Target.Path)
	isCUE := v.Target.Format == schema.FormatPackage || v.Target.Format == schema.FormatCUE
	return slices.ContainsFunc(c, func(place string) bool {
		switch {
		case slices.Contains(read, place) || err == nil && place == target:
			return true
		case !isCUE || filepath.Ext(place) != ".cue":
			return false
		case filepath.Base(filepath.Dir(place)) == "cue.mod": // it says what all imports of its module mean
			module := filepath.Dir(filepath.Dir(place))
			return err == nil && strings.HasPrefix(target+string(filepath.Separator), strings.TrimSuffix(module, string(filepath.Separator))+string(filepath.Separator))
		}
		if _, err := os.Stat(place); !errors.Is(err, fs.ErrNotExist) {
			return false
		}
		// It was part of the package of its folder, which is read without it now; or
		// that was all there was of it, and its name is not known to whoever imports it.
		return v.Spec == nil || slices.ContainsFunc(v.Problems, func(p schema.Problem) bool { return p.Rule == schema.RuleUnknownName }) ||
			slices.ContainsFunc(read, func(r string) bool { return filepath.Dir(r) == filepath.Dir(place) })
	})
}
