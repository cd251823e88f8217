// Package cli is the command line: it reads arguments, finds and checks
// vehicles, and hands the outcome to the writers.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/cmd/internal/suggest"
	"example.org/headroom/cmd/internal/transaction"
	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
)

// Exit codes.
const (
	ExitClean    = 0 // no finding at or above --fail-on
	ExitFindings = 1 // at least one finding at or above --fail-on
	ExitFailed   = 2 // the run, or a part of it, could not be done
)

// Command is the program with everything that it touches of the world.
type Command struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Terminal       bool // standard output is a terminal
	Getenv         func(string) string
	Rules          []*rules.Rule
	Build          Build
	Bound          engine.Bound // of the evaluation of one specification
	Today          time.Time    // decides which waivers hold; zero means the date of the clock, UTC

	tuneMemory func(limit uint64) // before vehicles are read; nil leaves it as it is
}

// Default is the command as people run it.
func Default() *Command {
	return &Command{
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr,
		Terminal: term.IsTerminal(int(os.Stdout.Fd())),
		Getenv:   os.Getenv,
		Rules:    catalogue.All(),
		Build:    readBuild(),
		Bound:    engine.DefaultBound(),

		tuneMemory: tuneMemoryOnce(),
	}
}

// command is one of the program's commands.
type command struct {
	name   string
	args   string // what follows the flags
	about  string // one line
	help   string // what else there is to know
	hidden bool
	// run adds its flags to the set and returns what does the work once they are
	// parsed, so that flags live where they are used.
	run func(*Command, *pflag.FlagSet) func(args []string) (int, error)
}

// commands lists the commands in the order in which help shows them.
func commands() []command {
	return []command{
		checkCommand(), joinCommand(), ratingsCommand(), diffCommand(), historyCommand(), explainCommand(), rulesCommand(),
		schemaCommand(), initCommand(), completionCommand(), versionCommand(), evaluateCommand(), completeCommand(),
	}
}

// usageError is a mistake in the arguments.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

func usagef(format string, args ...any) error { return usageError{fmt.Sprintf(format, args...)} }

// Main runs the program and returns its exit code.
func (c *Command) Main(args []string) int {
	legible := *c
	legible.Stderr = safe.Stream(c.Stderr, safe.Text)
	code, err := legible.dispatch(args)
	if err == nil {
		return code
	}
	if stopped := (transaction.Interrupted{}); errors.As(err, &stopped) {
		stopped.Raise()
	}
	// What is wrong may be several things, each with its line. An argument with a line
	// break in it has such lines too: none looks like one of the program's own.
	for i, line := range strings.Split(err.Error(), "\n") {
		if i == 0 {
			legible.say("headroom: %s\n", line)
		} else {
			legible.say("    %s\n", line)
		}
	}
	if usage := (usageError{}); errors.As(err, &usage) {
		legible.say("Run \"headroom help\" for the commands and topics, \"headroom help NAME\" for one of them.\n")
	}
	return ExitFailed
}

// say writes to standard error; what cannot be written there is lost.
func (c *Command) say(format safe.Line, args ...any) { _ = safe.Printf(c.Stderr, format, args...) }

// print writes lines to standard output.
func (c *Command) print(lines ...safe.Line) error {
	if err := safe.Write(safe.Stream(c.Stdout, safe.Text), lines...); err != nil {
		return fmt.Errorf("cannot write to standard output: %w", err)
	}
	return nil
}

func (c *Command) dispatch(args []string) (int, error) {
	if len(args) == 0 {
		if err := writeOverview(c.Stderr); err != nil {
			return ExitFailed, err
		}
		return ExitFailed, usagef("no command given")
	}
	name, rest := args[0], args[1:]
	switch name {
	case "help", "-h", "--help":
		return c.help(rest)
	case "--version":
		name = "version"
	}
	cmd, err := find(name)
	if err != nil {
		return ExitFailed, err
	}
	return c.runCommand(cmd, rest)
}

// find returns the command of a name.
func find(name string) (command, error) {
	var names []string
	for _, cmd := range commands() {
		if cmd.name == name {
			return cmd, nil
		}
		if !cmd.hidden {
			names = append(names, cmd.name)
		}
	}
	if strings.HasPrefix(name, "-") {
		return command{}, usagef("expected a command before the flag %s, such as: headroom check %s", name, name)
	}
	if _, ok := findTopic(name); ok {
		return command{}, usagef("%q is a topic, not a command; read it with: headroom help %s", name, name)
	}
	return command{}, usagef("unknown command %q%s", name, suggest.DidYouMean(name, append(names, "help")))
}

func (c *Command) runCommand(cmd command, args []string) (int, error) {
	if err := ambiguous(args); err != nil {
		return ExitFailed, err
	}
	flags := newFlags(cmd)
	run := cmd.run(c, flags)
	err := flags.Parse(args)
	switch {
	case errors.Is(err, pflag.ErrHelp):
		return ExitClean, writeHelp(c.Stdout, cmd, flags)
	case err != nil:
		return ExitFailed, flagError(err, flags)
	}
	if c.Today.IsZero() {
		// The clock is read here alone, and once: all vehicles of a run are judged
		// by the same day.
		c.Today = time.Now().UTC()
	}
	return run(flags.Args())
}

// ambiguous is an error if an option is the name of a file too: a pattern of the
// shell may have put it among the names, and whoever named the file would have
// given the program an order.
func ambiguous(args []string) error {
	for _, arg := range args {
		if arg == "--" {
			return nil
		}
		if len(arg) < 2 || arg[0] != '-' {
			continue
		}
		if _, err := os.Lstat(arg); err == nil {
			return usagef("%q is both an option and the name of a file here; put -- before the names of files, or write ./%s", arg, arg)
		}
	}
	return nil
}

// help writes the overview, a command's help or a topic to standard output.
func (c *Command) help(args []string) (int, error) {
	if len(args) == 0 {
		return ExitClean, writeOverview(c.Stdout)
	}
	if t, ok := findTopic(args[0]); ok {
		_, err := fmt.Fprintf(c.Stdout, "%s.\n\n%s", upperFirst(t.about), t.text)
		return ExitClean, err
	}
	for _, cmd := range commands() {
		if cmd.name == args[0] {
			flags := newFlags(cmd)
			cmd.run(c, flags)
			return ExitClean, writeHelp(c.Stdout, cmd, flags)
		}
	}
	return ExitFailed, noHelp(args[0])
}
