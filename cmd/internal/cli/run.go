package cli

import (
	"context"
	"fmt"
	"io"
	"slices"

	"example.org/headroom/cmd/internal/engine"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// engine is what checks the vehicles for writers who read so much of the results.
func (c *Command) engine(reading report.Reading) *engine.Engine {
	if c.tuneMemory != nil {
		c.tuneMemory(c.Bound.Memory)
	}
	return &engine.Engine{Reading: reading, Rules: c.Rules, Today: c.Today, Bound: c.Bound, Version: c.Build.Version, Home: c.Build.home()}
}

// everything is read by who picks from the results.
func everything() report.Reading {
	return report.Reading{Passes: report.PassesWhole, Workings: rules.AllWorkings}
}

// run checks what is asked for, against a revision if one is named.
func (c *Command) run(ctx context.Context, q engine.Request, since string, reading report.Reading) (*report.Report, error) {
	var err error
	if q.Stdin, err = c.readStdin(q.Paths); err != nil {
		return nil, err
	}
	if since != "" {
		return c.engine(reading).CheckSince(ctx, q, since)
	}
	return c.engine(reading).Check(ctx, q)
}

// readStdin reads standard input once if one of the paths asks for it, since
// it may have to be read again by the process that evaluates it.
func (c *Command) readStdin(paths []string) ([]byte, error) {
	if !slices.Contains(paths, schema.Stdin) {
		return nil, nil
	}
	// One byte above the limit is enough for the loader to see that it is one.
	data, err := io.ReadAll(io.LimitReader(c.Stdin, schema.DefaultLimits().FileBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read standard input: %w", err)
	}
	return data, nil
}
