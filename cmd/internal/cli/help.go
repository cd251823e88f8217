package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/suggest"
)

// pathHelp says what a PATH is; commands that take one share it.
const pathHelp = `A PATH is a folder (the CUE package and the YAML and JSON specifications in it),
dir/... for a folder and everything below it, a file, or - for standard input.
Without a PATH the working directory is checked. "headroom help paths" says more.`

const exitHelp = `Exit code: 0 clean, 1 findings at or above --fail-on, 2 the run could not be done.`

func writeOverview(w io.Writer) error {
	var b strings.Builder
	b.WriteString("Headroom checks the electrical specification of small electric vehicles.\n\nCommands:\n")
	for _, cmd := range commands() {
		if !cmd.hidden {
			fmt.Fprintf(&b, "  %-33s %s\n", strings.TrimSpace(cmd.name+" "+cmd.args), cmd.about)
		}
	}
	fmt.Fprintf(&b, "  %-33s %s\n\nTopics, read with \"headroom help TOPIC\":\n", "help [COMMAND|TOPIC]", "this page, or one command or topic")
	for _, t := range topics() {
		fmt.Fprintf(&b, "  %-33s %s\n", t.name, t.about)
	}
	fmt.Fprintf(&b, "\n%s\n\n%s\n", pathHelp, exitHelp)
	_, err := io.WriteString(w, b.String())
	return err
}

func writeHelp(w io.Writer, cmd command, flags *pflag.FlagSet) error {
	var b strings.Builder
	fmt.Fprintf(&b, "headroom %s\n\n%s.\n", strings.TrimSpace(cmd.name+" [flags] "+cmd.args), upperFirst(cmd.about))
	if cmd.help != "" {
		fmt.Fprintf(&b, "\n%s\n", cmd.help)
	}
	if flags.HasAvailableFlags() {
		fmt.Fprintf(&b, "\nFlags:\n%s", flags.FlagUsagesWrapped(100))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func newFlags(cmd command) *pflag.FlagSet {
	flags := pflag.NewFlagSet(cmd.name, pflag.ContinueOnError)
	flags.SortFlags = false // in the order in which people need them
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	return flags
}

// flagError turns what the flag library says into one message with a suggestion.
func flagError(err error, flags *pflag.FlagSet) error {
	unknown := new(pflag.NotExistError)
	if errors.As(err, &unknown) {
		name := unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			return usagef("unknown flag -%s", name)
		}
		var names []string
		flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near, ok := suggest.Nearest(name, names); ok {
			return usagef("unknown flag --%s (did you mean --%s?)", name, near)
		}
		return usagef("unknown flag --%s", name)
	}
	invalid := new(pflag.InvalidValueError)
	if errors.As(err, &invalid) {
		return usagef("--%s: %v", invalid.GetFlag().Name, errors.Unwrap(invalid))
	}
	return usagef("%v", err)
}

// noArgs refuses arguments for a command that takes none.
func noArgs(args []string) error {
	if len(args) > 0 {
		return usagef("unexpected argument %q", args[0])
	}
	return nil
}
