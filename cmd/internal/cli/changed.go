package cli

import (
	"os"
	"strings"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/schema"
)

// changedFiles asks for the vehicles below the working directory for which one
// of some files makes a difference.
func changedFiles(files []string) (engine.Request, error) {
	if len(files) == 0 {
		return engine.Request{}, usagef("--changed needs the files that changed")
	}
	var changed engine.Changes
	for _, f := range files {
		if f == schema.Stdin {
			return engine.Request{}, usagef("--changed needs names of files; standard input has none")
		}
		place, err := engine.PlaceOf(f)
		if err != nil {
			return engine.Request{}, err
		}
		switch info, err := os.Stat(place); {
		case err == nil && info.IsDir():
			return engine.Request{}, usagef("--changed takes files, but %s is a folder; to check everything in it, leave out --changed", f)
		case err != nil && strings.HasPrefix(f, "-"):
			// The hook ends in "--", so that this is how options end that were added to it.
			return engine.Request{}, usagef("%q is after --, so it is the name of a file, but there is no such file; options go before --: in .pre-commit-config.yaml give the whole entry, such as \"headroom check --changed --fail-on warning --\"", f)
		}
		changed = append(changed, place)
	}
	return engine.Request{Paths: []string{"./..."}, Reads: changed.Concern}, nil
}
