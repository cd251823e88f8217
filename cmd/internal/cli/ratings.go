package cli

import (
	"bytes"
	"context"
	"fmt"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
)

func ratingsCommand() command {
	return command{
		name: "ratings", args: "[PATH...]",
		about: "list every headroom, tightest first",
		help: pathHelp + "\n\n" + `Headroom is capability / demand. The table is ordered by margin: how far the
headroom is above (+) or below (-) what its check requires.

Exit code: 0, or 2 if a part of the run could not be done; "check" is the gate.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			all := flags.Bool("all", false, fmt.Sprintf("show all rows, not the tightest %d of each vehicle", output.RatingsShown))
			out := &choice{value: "text", allowed: []string{"text", "json"}}
			flags.Var(out, "out", "write the table in `format` text, or json with all rows")
			c.todayFlag(flags)
			c.boundFlags(flags)
			var stdinName string
			stdinNameFlag(flags, &stdinName)
			colour := newColour()
			flags.Var(colour, "color", "colour the text: `when` is auto, always or never")
			return func(args []string) (int, error) {
				limit := output.RatingsShown
				if *all {
					limit = 0
				}
				return c.ratings(args, stdinName, out.value, limit, colour.value)
			}
		},
	}
}

func (c *Command) ratings(args []string, stdinName, format string, limit int, colour string) (int, error) {
	reading := report.Reading{Passes: report.PassesNumbers}
	if format == "json" {
		reading = everything()
	}
	r, err := c.run(context.Background(), engine.Request{Paths: args, StdinName: stdinName}, "", reading)
	if err != nil {
		return ExitFailed, err
	}
	var b bytes.Buffer
	if format == "json" {
		err = output.RatingsJSON(&b, r)
	} else {
		err = output.Ratings(&b, r, limit, output.Options{Colour: c.useColour(colour), Wide: !c.Terminal})
	}
	if err != nil {
		return ExitFailed, err
	}
	if _, err := b.WriteTo(c.Stdout); err != nil {
		return ExitFailed, fmt.Errorf("cannot write to standard output: %w", err)
	}
	c.runErrors(r)
	c.caution()
	if r.Broken() {
		return ExitFailed, nil
	}
	return ExitClean, nil
}
