package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/cmd/internal/starter"
	"example.org/headroom/cmd/internal/transaction"
)

func initCommand() command {
	return command{
		name: "init", args: "[DIR]",
		about: "write a small sound specification to start from",
		help: `It describes an invented 48 V utility cart and passes every check. Change it part
by part into yours. No existing file is overwritten.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			format := &choice{value: "cue", allowed: []string{"cue", "yaml"}}
			flags.Var(format, "format", "the `format`: cue or yaml")
			return func(args []string) (int, error) { return c.init(args, format.value) }
		},
	}
}

func (c *Command) init(args []string, format string) (int, error) {
	dir := "."
	switch {
	case len(args) > 1:
		return ExitFailed, usagef("expected at most one DIR, found a second argument %q", args[1])
	case len(args) == 1:
		dir = args[0]
	}
	name, text := starter.CUE()
	if format == "yaml" {
		name, text = starter.YAML()
	}
	file := filepath.Join(dir, name)
	if err := createNew(dir, file, text, format); err != nil {
		return ExitFailed, err
	}
	shown, folder := filepath.ToSlash(file), filepath.ToSlash(dir)
	if strings.HasPrefix(folder, "-") { // in the commands it must not read as an option
		folder = "./" + folder
	}
	err := c.print(safe.Linef(`wrote %s

Next:
  headroom check %s       it passes; every number in it is invented
  change it into your vehicle, part by part, from the datasheets
  headroom ratings %s     where headroom is tightest
`, shown, folder, folder))
	if err == nil {
		c.caution()
	}
	return ExitClean, err
}

// createNew writes a file that must not exist yet. A CUE file would become part
// of the package of the CUE files beside it, so it wants a directory without any.
func createNew(dir, file string, text []byte, format string) error {
	if format == "cue" {
		if others, err := filepath.Glob(filepath.Join(dir, "*.cue")); err == nil && len(others) > 0 {
			return fmt.Errorf("%s already holds a CUE package (%s); give init another directory, nothing was written",
				filepath.ToSlash(dir), filepath.ToSlash(others[0]))
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("cannot create the directory %q: %w", dir, transaction.Reason(err))
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s exists already and is not overwritten; give init another directory", filepath.ToSlash(file))
	case err != nil:
		return fmt.Errorf("cannot write %q: %w", file, transaction.Reason(err))
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("cannot write %q: %w", file, transaction.Reason(err))
	}
	return nil
}
