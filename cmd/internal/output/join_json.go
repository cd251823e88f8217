package output

import (
	"encoding/json"
	"fmt"
	"io"

	"example.org/headroom/cmd/internal/report"
)

// jsonJoined is jsonReport with the vehicles as they were written.
type jsonJoined struct {
	Format   string            `json:"format"`
	Version  int               `json:"version"`
	Tool     jsonTool          `json:"tool"`
	Caution  string            `json:"caution"`
	FailOn   string            `json:"fail_on"`
	Exit     int               `json:"exit_code"`
	Counts   report.Counts     `json:"counts"`
	Vehicles []json.RawMessage `json:"vehicles"`
	Errors   []string          `json:"errors"`
	Remarks  []jsonRemark      `json:"remarks"`
	Shard    *report.Part      `json:"shard,omitempty"`
}

// jsonPart is the JSON of a shard.
type jsonPart struct {
	partOf
	report jsonJoined
}

func (p *Parts) readJSON(name string, data []byte) error {
	part := jsonPart{partOf: partOf{name: name}}
	r := &part.report
	if err := json.Unmarshal(data, r); err != nil {
		return fmt.Errorf("%s cannot be read: %w", name, err)
	}
	if err := r.Shard.Fits(len(r.Vehicles), len(r.Errors)); err != nil {
		return fmt.Errorf("%s %w", name, err)
	}
	if err := checkExit(r.Exit); err != nil {
		return fmt.Errorf("%s %w", name, err)
	}
	about, err := json.Marshal([]any{r.Errors[:len(r.Errors)-len(r.Shard.ErrorPlaces)], r.Remarks})
	if err != nil {
		return err
	}
	part.Part, part.version, part.exit, part.counts, part.about = r.Shard, semanticVersion(r.Tool.Version), r.Exit, r.Counts, about
	p.json = append(p.json, part)
	return nil
}

// JoinJSON writes what one run would have written as JSON.
func JoinJSON(w io.Writer, p *Parts, _ Options) error {
	if len(p.json) == 0 {
		return fmt.Errorf("none of the files is the JSON of a shard")
	}
	out := p.json[0].report
	out.Shard, out.Counts, out.Exit = nil, report.Counts{}, 0
	var vehicles []placed[json.RawMessage]
	var parts []partOf
	var errs [][]string
	for _, part := range p.json {
		out.Counts.Add(part.counts)
		out.Exit = max(out.Exit, part.exit)
		for i, v := range part.report.Vehicles {
			vehicles = append(vehicles, placed[json.RawMessage]{part.Places[i], v})
		}
		parts, errs = append(parts, part.partOf), append(errs, part.report.Errors)
	}
	out.Vehicles, out.Errors = inPlace(vehicles), joinedErrors(parts, errs)
	return encodeJSON(w, out)
}
