package cli

import (
	"fmt"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/transaction"
	"example.org/headroom/schema"
)

func joinCommand() command {
	return command{
		name: "join", args: "PART...",
		about: "join the JSON or SARIF of all shards into that of the whole run",
		help: `The PARTs are what "headroom check --shard N/M" wrote for each N from 1 to M, as
JSON, as SARIF, or both; all from one run: the same paths, options and files, the
same version of the program. The result is byte for byte what one run without
--shard would have written.

Exit code: that of the whole run; also 2 if the parts do not belong together.`,
		run: func(c *Command, flags *pflag.FlagSet) func([]string) (int, error) {
			out := destinations[*output.Parts]{formats: output.JoinFormats()}
			flags.Var(&out, "out", "write the whole as `FORMAT[=FILE]`, json or sarif; may repeat (default json to standard output)")
			return func(args []string) (int, error) { return c.join(args, out) }
		},
	}
}

// mostOfPart is the size up to which a part is read.
const mostOfPart = 256 << 20

func (c *Command) join(args []string, out destinations[*output.Parts]) (int, error) {
	if len(args) == 0 {
		return ExitFailed, usagef("join needs the PARTs, the files that check --shard wrote")
	}
	parts := &output.Parts{}
	for _, name := range args {
		data, err := schema.ReadFile(schema.Within(schema.RootOf(name)), name, mostOfPart)
		if err != nil {
			return ExitFailed, fmt.Errorf("cannot read the part %q: %w", name, transaction.Reason(err))
		}
		if err := parts.ReadPart(name, data); err != nil {
			return ExitFailed, err
		}
	}
	if err := parts.Check(); err != nil {
		return ExitFailed, err
	}
	if err := write(c, parts, out, args, "never"); err != nil {
		return ExitFailed, err
	}
	return parts.Exit(), output.JoinSummary(c.Stderr, parts)
}

// shard is a flag that takes a part of the vehicles, such as 3/8.
type shard struct{ value *report.Shard }

var _ pflag.Value = (*shard)(nil)

func (s *shard) String() string { return "" }
func (s *shard) Type() string   { return "N/M" }

func (s *shard) Set(text string) error {
	var got report.Shard
	const most = 10000
	_, err := fmt.Sscanf(text, "%d/%d", &got.Number, &got.Of)
	if err != nil || got.String() != text || got.Number < 1 || got.Number > got.Of || got.Of > most {
		return fmt.Errorf("expected the number of the shard and of all shards, such as 3/8, found %q", text)
	}
	s.value = &got
	return nil
}
