package cli

import (
	"fmt"
	"path/filepath"
	"slices"
)

// changedFiles asks for the vehicles below the working directory that read one
// of some files. A file that is gone matches none.
func changedFiles(files []string) (request, error) {
	if len(files) == 0 {
		return request{}, usagef("--changed needs the files that changed")
	}
	var changed []string
	for _, f := range files {
		place, err := placeOf(f)
		if err != nil {
			return request{}, err
		}
		changed = append(changed, place)
	}
	reads := func(files []string) bool {
		return slices.ContainsFunc(files, func(f string) bool {
			place, err := placeOf(f)
			return err == nil && slices.Contains(changed, place)
		})
	}
	return request{paths: []string{"./..."}, reads: reads}, nil
}

// placeOf tells two ways to write the path of one file from paths of two.
func placeOf(file string) (string, error) {
	place, err := filepath.Abs(filepath.FromSlash(file))
	if err != nil {
		return "", fmt.Errorf("cannot tell the working directory: %w", err)
	}
	if resolved, err := filepath.EvalSymlinks(place); err == nil {
		place = resolved
	}
	return place, nil
}
