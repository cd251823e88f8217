package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// changedFiles asks for the vehicles below the working directory for which one
// of some files makes a difference.
func changedFiles(files []string) (request, error) {
	if len(files) == 0 {
		return request{}, usagef("--changed needs the files that changed")
	}
	var changed changes
	for _, f := range files {
		if f == schema.Stdin {
			return request{}, usagef("--changed goes by the names of files; standard input has none")
		}
		place, err := placeOf(f)
		if err != nil {
			return request{}, err
		}
		switch info, err := os.Stat(place); {
		case err == nil && info.IsDir():
			return request{}, usagef("--changed takes files, and %s is a folder; to check all in it leave --changed out", f)
		case err != nil && strings.HasPrefix(f, "-"):
			// The hook ends in "--", so that this is how options end that were added to it.
			return request{}, usagef("%q stands after --, so it is the name of a file, and there is none; options go before --: in .pre-commit-config.yaml give the whole entry, such as \"headroom check --changed --fail-on warning --\"", f)
		}
		changed = append(changed, place)
	}
	return request{paths: []string{"./..."}, reads: changed.concern}, nil
}

// changes are the places of files that came, went or changed.
type changes []string

// concern reports whether a vehicle, as it was read, depends on one of them.
func (c changes) concern(v *schema.Loaded) bool {
	var read []string
	for _, f := range v.Files {
		if place, err := placeOf(f); err == nil {
			read = append(read, place)
		}
	}
	target, err := placeOf(v.Target.Path)
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

// placeOf tells two ways to write the path of one file from paths of two. Of a
// file that is gone the folder tells.
func placeOf(file string) (string, error) {
	place, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return "", fmt.Errorf("cannot tell the working directory: %w", err)
	}
	if resolved, err := filepath.EvalSymlinks(place); err == nil {
		return resolved, nil
	}
	if folder, err := filepath.EvalSymlinks(filepath.Dir(place)); err == nil {
		return filepath.Join(folder, filepath.Base(place)), nil
	}
	return place, nil
}
