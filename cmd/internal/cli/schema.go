package cli

import (
	"io"

	"github.com/spf13/pflag"

	"example.org/headroom/schema"
)

func schemaCommand() command {
	return command{
		name: "schema", about: "print the definitions of the specification format, in CUE",
		help: `Every field with its unit, its meaning and where a datasheet gives it. Editors
and "cue vet" can use the definitions:

  headroom schema > headroom.cue
  cue vet -c -d '#Spec' headroom.cue cart.yaml`,
		run: func(c *Command, _ *pflag.FlagSet) func([]string) (int, error) {
			return func(args []string) (int, error) {
				if err := noArgs(args); err != nil {
					return ExitFailed, err
				}
				_, err := io.WriteString(c.Stdout, schema.Definitions())
				return ExitClean, err
			}
		},
	}
}
