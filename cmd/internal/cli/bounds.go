package cli

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/engine"
)

// boundFlags adds the flags that set what vehicles and the run may cost.
func (c *Command) boundFlags(flags *pflag.FlagSet) {
	flags.Var(duration{&c.Bound.Time}, "vehicle-time", "give a vehicle up that takes more processor `time` than this, such as 30s (default "+engine.DefaultBound().Time.String()+"); the others are checked")
	flags.Var(mebibytes{&c.Bound.Memory}, "vehicle-memory", "give a vehicle up with which more memory than `MIB` is in use (default "+strconv.FormatUint(engine.DefaultBound().Memory>>20, 10)+")")
	flags.Var(duration{&c.Bound.Run}, "run-time", "give the rest up after this processor `time` (default 1.25 times that of one vehicle, and 0.25s for each)")
}

// duration is a flag that takes a time above zero.
type duration struct{ value *time.Duration }

var _ pflag.Value = duration{}

func (d duration) String() string { return "" }
func (d duration) Type() string   { return "time" }

func (d duration) Set(s string) error {
	v, err := time.ParseDuration(s)
	if err != nil || v < 100*time.Millisecond || v > 24*time.Hour {
		return errors.New("expected a time with its unit, between 0.1s and 24h, such as 30s or 5m, found " + strconv.Quote(s))
	}
	*d.value = v
	return nil
}

// mebibytes is a flag that takes an amount of memory.
type mebibytes struct{ bytes *uint64 }

var _ pflag.Value = mebibytes{}

func (m mebibytes) String() string { return "" }
func (m mebibytes) Type() string   { return "MIB" }

func (m mebibytes) Set(s string) error {
	v, err := strconv.ParseUint(strings.TrimSuffix(s, "MiB"), 10, 32)
	if err != nil || v < 64 {
		return errors.New("expected a number of MiB from 64 on, found " + strconv.Quote(s))
	}
	*m.bytes = v << 20
	return nil
}
