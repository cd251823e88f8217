package cli

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

func checkCommand() command {
	return command{
		name: "check", args: "[PATH...]",
		about: "check specifications and report what is wrong with them",
		help: pathHelp + "\n\n" + `Findings go to standard output, one line each:

  path:line:column: level: message [rule]

with the numbers, the fix and related places indented below. Within a vehicle
errors come first, then warnings, then notes. A summary goes to standard error.
"headroom explain RULE PATH SUBJECT" shows the working behind one result;
"headroom help results" says how to read them.

` + exitHelp,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			opts := checkOptions{
				out:    destinations[*report.Report]{formats: output.Formats()},
				failOn: &choice{value: "error", allowed: []string{"error", "warning", "note", "never"}},
				waived: &choice{value: "show", allowed: []string{"show", "hide"}},
				colour: newColour(),
			}
			flags.Var(&opts.out, "out", outHelp(output.Formats()))
			flags.Var(opts.failOn, "fail-on", "exit with 1 if there is a finding of this `level` or above: error, warning, note, or never")
			flags.BoolVar(&opts.strict, "fail-on-not-checked", false, "also exit with 1 if a check lacks its data")
			flags.BoolVarP(&opts.verbose, "verbose", "v", false, "list every note, all consequences of a finding, waived findings, and the checks not made with what each needs")
			flags.BoolVar(&opts.passes, "include-passes", false, "write passed checks to SARIF and JSON too (not meant for upload to code scanning)")
			flags.Var(opts.waived, "waived", "in SARIF, `show` waived findings as suppressed results, or hide them where a code host shows those as open")
			flags.StringVar(&opts.since, "since", "", "compare with a git `revision` (A...B for their merge base): findings that are already in it do not fail the run, and a new one is placed on the line that caused it")
			flags.BoolVar(&opts.changed, "changed", false, "the PATHs are changed files: check the vehicles below the working directory that read one of them, shared libraries included")
			flags.Var(&opts.shard, "shard", "check one of several shares of the vehicles, such as `3/8`; \"headroom join\" makes the JSON or SARIF of all shares that of the whole run")
			flags.Var(&opts.category, "category", categoryHelp)
			c.todayFlag(flags)
			c.boundFlags(flags)
			stdinNameFlag(flags, &opts.stdinName)
			flags.Var(opts.colour, "color", "colour the text: `when` is auto, always or never")
			return func(args []string) (int, error) {
				opts.asked = c.askedBy(flags)
				return c.check(args, opts)
			}
		},
	}
}

type checkOptions struct {
	out       destinations[*report.Report]
	failOn    *choice
	waived    *choice
	colour    *choice
	strict    bool
	verbose   bool
	passes    bool
	changed   bool
	category  category
	shard     shard
	asked     []string // see [engine.Request]
	stdinName string
	since     string
}

func (c *Command) check(args []string, opts checkOptions) (int, error) {
	q := engine.Request{Paths: args, StdinName: opts.stdinName}
	if opts.changed {
		var err error
		if q, err = changedFiles(args); err != nil {
			return ExitFailed, err
		}
	}
	q.Shard, q.Asked = opts.shard.value, opts.asked
	reading := opts.out.reads()
	if opts.passes && reading.Workings > rules.NoWorkings { // by a writer of data
		reading = everything()
	}
	out, stream := opts.out, (*output.TextStream)(nil)
	if out.onlyText() {
		stream = output.NewTextStream(c.Stdout, opts.since, opts.verbose, output.Options{Colour: c.useColour(opts.colour.value)})
		q.Done = stream.Findings
	}
	r, err := c.run(context.Background(), q, opts.since, reading)
	if err != nil {
		return ExitFailed, err
	}
	r.FailOn, r.Strict, r.Verbose, r.WithPasses = opts.failOn.value, opts.strict, opts.verbose, opts.passes
	r.HideWaived, r.Category = opts.waived.value == "hide", opts.category.value
	if opts.changed && len(r.Vehicles) == 0 && !r.Broken() {
		c.say("No vehicle reads these files.\n")
	} else if opts.shard.value != nil && len(r.Vehicles) == 0 && !r.Broken() {
		c.say("No vehicle is in shard %s.\n", opts.shard.value)
	}
	r.Exit = exitCode(r)
	if stream != nil {
		if err := stream.Rest(r); err != nil {
			return ExitFailed, fmt.Errorf("cannot write to standard output: %w", err)
		}
	} else if err := write(c, r, out, filesOf(r.Vehicles), opts.colour.value); err != nil {
		return ExitFailed, err
	}
	c.runErrors(r)
	if err := output.Summary(c.Stderr, r); err != nil {
		return ExitFailed, err
	}
	if len(r.Vehicles) > 0 {
		c.caution()
	}
	return r.Exit, nil
}

// askedBy are the options that make a difference to a report, and the day.
func (c *Command) askedBy(flags *pflag.FlagSet) []string {
	asked := []string{"today=" + c.Today.Format(time.DateOnly)}
	flags.VisitAll(func(f *pflag.Flag) {
		switch f.Name {
		case "fail-on", "fail-on-not-checked", "include-passes", "waived", "category":
			asked = append(asked, f.Name+"="+f.Value.String())
		}
	})
	return asked
}

// exitCode is what the run ends with. What could not be run weighs more than
// what was found: the findings may not be all.
func exitCode(r *report.Report) int {
	switch {
	case r.Broken():
		return ExitFailed
	case r.Fails():
		return ExitFindings
	}
	return ExitClean
}

// filesOf lists the files that vehicles were read from, and what was named for each.
func filesOf(vehicles []report.Vehicle) (files []string) {
	for _, v := range vehicles {
		files = append(append(files, v.Path), v.Files...)
	}
	return files
}

// write renders every output before it writes the first, the files before
// standard output, so that a failure leaves nothing half-written. Without any
// it is the first format, to standard output. The inputs are files that no output
// may replace.
func write[R any](c *Command, r R, out destinations[R], inputs []string, colour string) error {
	var files []pendingFile
	var stdout *bytes.Buffer
	for _, d := range out.listed() {
		var b bytes.Buffer
		if err := d.format.Write(&b, r, output.Options{Colour: d.file == "" && c.useColour(colour)}); err != nil {
			return fmt.Errorf("cannot write %s: %w", d.format.Name, err)
		}
		if d.file == "" {
			stdout = &b
		} else {
			files = append(files, pendingFile{d.file, b.Bytes()})
		}
	}
	if err := c.writeFiles(files, inputs); err != nil {
		return err
	}
	if stdout != nil {
		if _, err := stdout.WriteTo(c.Stdout); err != nil {
			return fmt.Errorf("cannot write to standard output: %w", err)
		}
	}
	return nil
}

// runErrors reports on standard error what could not be run, and before it what
// else is to be known of the run.
func (c *Command) runErrors(r *report.Report) {
	for _, m := range r.Remarks {
		c.say("headroom: %s: %s\n", m.Level, m)
	}
	for _, e := range r.RunErrors() {
		c.say("headroom: %s\n", e)
	}
}

// caution is shown once where a person acts on output.
func (c *Command) caution() { c.say(report.Caution + "\n") }
