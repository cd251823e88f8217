// Package ngspice runs, for tests, the general-purpose circuit simulator of that name
// (the SPICE of Nagel, UCB/ERL M520, 1975, and its successors).
package ngspice

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// Printed is what the simulator printed: numbers by their expression.
type Printed map[string]float64

// Parse reads lines of the form "expression = number" and passes over others.
func Parse(text []byte) Printed {
	r := Printed{}
	lines := bufio.NewScanner(bytes.NewReader(text))
	for lines.Scan() {
		i := strings.LastIndex(lines.Text(), " = ")
		if i < 0 {
			continue
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(lines.Text()[i+3:]), 64); err == nil {
			r[lines.Text()[:i]] = v
		}
	}
	return r
}

// Run runs the simulator on a deck and returns what it printed; an error where one of
// the expressions that are wanted is not among it. The error is [exec.ErrNotFound] where
// there is no simulator: who asks for a live comparison must get one.
func Run(deck string, wanted ...string) (Printed, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, "ngspice", "-b", filepath.Base(deck))
	cmd.Dir = filepath.Dir(deck)
	text, err := cmd.CombinedOutput()
	if errors.Is(err, exec.ErrNotFound) {
		return nil, fmt.Errorf("%w (Debian has it as the package ngspice)", err)
	}
	r := Parse(text)
	for _, expression := range wanted {
		if _, ok := r[expression]; !ok && err == nil {
			err = fmt.Errorf("printed no %q", expression)
		}
	}
	for _, complaint := range []string{"aborted", "solution failed", "rror:"} {
		if bytes.Contains(text, []byte(complaint)) && err == nil {
			err = fmt.Errorf("says %q", complaint)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("ngspice on %s: %w\n%s", deck, err, text)
	}
	return r, nil
}

// Node is a terminal, such as "k.coil_pos", as a node of a deck.
func Node(terminal string) string { return strings.ReplaceAll(terminal, ".", "_") }
