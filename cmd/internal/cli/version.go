package cli

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/pflag"

	"example.org/headroom/schema"
)

// Build says which build of the program runs.
type Build struct {
	Version string // such as "v1.2.0", or "(devel)"
	Module  string // module path
}

// readBuild asks the binary itself.
func readBuild() Build {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return Build{Version: "(devel)"}
	}
	return Build{Version: cmp.Or(info.Main.Version, "(devel)"), Module: info.Main.Path}
}

// home is the tool's page, which stands where its module does.
func (b Build) home() string {
	if b.Module == "" {
		return ""
	}
	return "https://" + b.Module
}

func versionCommand() command {
	return command{
		name: "version", about: "print the version, the Go release and the format version",
		run: func(c *Command, _ *pflag.FlagSet) func([]string) (int, error) {
			return func(args []string) (int, error) {
				if err := noArgs(args); err != nil {
					return ExitFailed, err
				}
				_, err := fmt.Fprintf(c.Stdout, "headroom %s\n%s %s/%s\nformat version %d\n",
					c.Build.Version, runtime.Version(), runtime.GOOS, runtime.GOARCH, schema.Version)
				return ExitClean, err
			}
		},
	}
}
