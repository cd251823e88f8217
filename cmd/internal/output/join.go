package output

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
)

// Parts are the outputs of the shards of one run, read back.
type Parts struct {
	json  []jsonPart
	sarif []sarifPart
}

// JoinFormats lists the formats in which the shards of a run are joined.
func JoinFormats() []Format[*Parts] {
	return []Format[*Parts]{
		{Name: "json", About: "from the JSON of the shards", write: JoinJSON, data: true},
		{Name: "sarif", About: "from the SARIF of the shards", write: JoinSARIF, data: true},
	}
}

// partOf is what the parts of both formats have in common.
type partOf struct {
	*report.Part
	name    string
	version string // of the program that wrote it
	exit    int
	counts  report.Counts
	about   []byte // what is said of the whole run: equal in all parts
}

// ReadPart adds the content of a file.
func (p *Parts) ReadPart(name string, data []byte) error {
	var kind struct {
		Format string            `json:"format"`
		Runs   []json.RawMessage `json:"runs"`
	}
	if err := json.Unmarshal(data, &kind); err != nil {
		return fmt.Errorf("%s is neither the JSON nor the SARIF of a shard: %w", name, err)
	}
	switch {
	case kind.Format == "headroom-report":
		return p.readJSON(name, data)
	case len(kind.Runs) == 1:
		return p.readSARIF(name, data)
	}
	return fmt.Errorf("%s is neither the JSON nor the SARIF of a shard", name)
}

// Check is an error if the parts are not all of one run, each once.
func (p *Parts) Check() error {
	var all, ofJSON, ofSARIF []partOf
	for _, part := range p.json {
		ofJSON = append(ofJSON, part.partOf)
	}
	for _, part := range p.sarif {
		ofSARIF = append(ofSARIF, part.partOf)
	}
	all = slices.Concat(ofJSON, ofSARIF)
	for _, part := range all {
		switch first := all[0]; {
		case part.version != first.version:
			return fmt.Errorf("%s was written by version %s and %s by version %s: check all shards with the same version", first.name, first.version, part.name, part.version)
		case part.Of != first.Of:
			return fmt.Errorf("%s is shard %s and %s is shard %s: their vehicles are split differently", first.name, first.Shard, part.name, part.Shard)
		case part.Split != first.Split:
			return fmt.Errorf("%s and %s are not from one run: they found different vehicles or have different options", first.name, part.name)
		}
	}
	return errors.Join(complete("JSON", ofJSON), complete("SARIF", ofSARIF))
}

// complete is an error unless the parts of a format, if there are any, are each
// shard once and say the same of the run.
func complete(format string, parts []partOf) error {
	if len(parts) == 0 {
		return nil
	}
	byNumber := map[int]partOf{}
	for _, part := range parts {
		if other, ok := byNumber[part.Number]; ok {
			return fmt.Errorf("%s and %s are both shard %s", other.name, part.name, part.Shard)
		}
		byNumber[part.Number] = part
		if !bytes.Equal(part.about, parts[0].about) {
			return fmt.Errorf("%s and %s are not from one run: they contradict each other about it", parts[0].name, part.name)
		}
	}
	for n := 1; n <= parts[0].Of; n++ {
		if _, ok := byNumber[n]; !ok {
			return fmt.Errorf("shard %s is missing among the %s files", report.Shard{Number: n, Of: parts[0].Of}, format)
		}
	}
	return nil
}

// checkExit is an error if no run ends with an exit code.
func checkExit(code int) error {
	if code < 0 || code > 2 {
		return fmt.Errorf("has the exit code %d, which no check ends with: it is 0, 1 or 2", code)
	}
	return nil
}

// Exit is the exit code of the whole run.
func (p *Parts) Exit() (code int) {
	for _, part := range p.json {
		code = max(code, part.exit)
	}
	for _, part := range p.sarif {
		code = max(code, part.exit)
	}
	return code
}

// JoinSummary writes the whole in one line.
func JoinSummary(w io.Writer, p *Parts) error {
	var c report.Counts
	n := len(p.json)
	for _, part := range p.json {
		c.Add(part.counts)
	}
	if n == 0 {
		n = len(p.sarif)
		for _, part := range p.sarif {
			c.Add(part.counts)
		}
	}
	parts := []string{plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), passed(c), plural(c.Errors, "error"), plural(c.Warnings, "warning"), plural(c.Notes, "note")}
	parts = append(parts, unmade(c)...)
	if text := c.DraftText(); text != "" {
		parts = append(parts, text)
	}
	return safe.Printf(safe.Stream(w, safe.Text), "%s joined: %s, exit code %d\n", plural(n, "shard"), strings.Join(parts, ", "), p.Exit())
}

// placed is something of a part, with its place in the whole.
type placed[T any] struct {
	place int
	value T
}

// inPlace puts what parts hold into the order of the whole.
func inPlace[T any](list []placed[T]) (values []T) {
	slices.SortStableFunc(list, func(a, b placed[T]) int { return cmp.Compare(a.place, b.place) })
	values = []T{}
	for _, p := range list {
		values = append(values, p.value)
	}
	return values
}

// joinedErrors are the errors of the whole run: those about all of it, which each
// part has first, then those about vehicles.
func joinedErrors[T any](parts []partOf, errorsOf [][]T) []T {
	var list []placed[T]
	for i, part := range parts {
		whole := len(errorsOf[i]) - len(part.ErrorPlaces)
		for k, e := range errorsOf[i] {
			switch {
			case k >= whole:
				list = append(list, placed[T]{part.ErrorPlaces[k-whole], e})
			case i == 0:
				list = append(list, placed[T]{-1, e})
			}
		}
	}
	return inPlace(list)
}
