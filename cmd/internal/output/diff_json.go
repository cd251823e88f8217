package output

import (
	"io"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// jsonDiff is the shape of a comparison as data; version 1 grows only by new
// members.
type jsonDiff struct {
	Format   string             `json:"format"` // always "headroom-diff"
	Version  int                `json:"version"`
	Tool     jsonTool           `json:"tool"`
	Caution  string             `json:"caution"`
	Old      string             `json:"old"`
	New      string             `json:"new"`
	FailOn   string             `json:"fail_on"`
	Exit     int                `json:"exit_code"`
	Counts   report.StateCounts `json:"counts"` // findings by state
	Checks   report.Counts      `json:"checks"` // of the new revision
	Vehicles []jsonPair         `json:"vehicles"`
	Errors   []string           `json:"errors"`
	Remarks  []jsonRemark       `json:"remarks"`
}

type jsonPair struct {
	Name     string           `json:"name"`
	Path     string           `json:"path"`
	OldPath  string           `json:"old_path,omitempty"`
	State    report.PairState `json:"state"`
	Why      string           `json:"why,omitempty"`
	Draft    string           `json:"draft,omitempty"` // what is missing of a vehicle that is one
	Edits    []jsonEdit       `json:"edits"`
	Moves    []jsonMove       `json:"moves"`
	Findings []jsonFinding    `json:"findings"`
}

type jsonEdit struct {
	Path   string        `json:"path"`
	Old    string        `json:"old,omitempty"`
	New    string        `json:"new,omitempty"`
	OldAt  *jsonPosition `json:"old_at,omitempty"`
	NewAt  *jsonPosition `json:"new_at,omitempty"`
	Shared bool          `json:"shared,omitempty"`
}

type jsonMove struct {
	Rule        string        `json:"rule"`
	Subject     string        `json:"subject"`
	Mode        string        `json:"mode,omitempty"`
	OldVerdict  rules.Verdict `json:"old_verdict"`
	NewVerdict  rules.Verdict `json:"new_verdict"`
	OldHeadroom any           `json:"old_headroom,omitempty"`
	NewHeadroom any           `json:"new_headroom,omitempty"`
	Required    any           `json:"required,omitempty"`
	Factor      any           `json:"factor,omitempty"` // headroom after over before
	Cause       *jsonCause    `json:"cause,omitempty"`
}

type jsonCause struct {
	Shares   []jsonShare `json:"shares"`
	Interact bool        `json:"interact,omitempty"`
}

type jsonShare struct {
	Edits  []string `json:"edits"`            // their paths
	Factor any      `json:"factor,omitempty"` // with this change alone; absent where it cannot stand alone
	Last   any      `json:"last,omitempty"`   // with all others carried out before, where they interact
}

type jsonFinding struct {
	State report.State `json:"state"`
	jsonResult
	Cause *jsonCause `json:"cause,omitempty"`
}

// DiffJSON writes the comparison as data.
func DiffJSON(w io.Writer, d *report.Difference, _ Options) error {
	out := jsonDiff{
		Format: "headroom-diff", Version: JSONVersion, Tool: jsonTool{"Headroom", d.Version}, Caution: plainText(report.Caution),
		Old: d.Old, New: d.New, FailOn: d.FailOn, Exit: d.Exit, Counts: d.CountStates(), Checks: d.Count(), Vehicles: []jsonPair{}, Errors: []string{}, Remarks: jsonRemarks(&d.Report),
	}
	for _, e := range d.RunErrors() {
		out.Errors = append(out.Errors, e.String())
	}
	for _, p := range d.Pairs {
		out.Vehicles = append(out.Vehicles, jsonPairOf(p))
	}
	return encodeJSON(w, out)
}

func jsonPairOf(p report.Pair) jsonPair {
	out := jsonPair{Name: p.Name, Path: p.Path, OldPath: p.OldPath, State: p.State, Why: p.Why, Draft: draftOf(p),
		Edits: []jsonEdit{}, Moves: []jsonMove{}, Findings: []jsonFinding{}}
	if p.Comparison == nil {
		return out
	}
	for _, e := range p.Edits {
		out.Edits = append(out.Edits, jsonEditOf(e))
	}
	for _, m := range p.Moves {
		r := latest(m)
		j := jsonMove{Rule: r.Rule, Subject: r.Subject, Mode: r.Mode, OldVerdict: m.Old.Verdict, NewVerdict: m.New.Verdict, Cause: jsonCauseOf(m.Cause)}
		if report.HasHeadroom(m.Old) {
			j.OldHeadroom = number(m.Old.Headroom)
		}
		if report.HasHeadroom(m.New) {
			j.NewHeadroom, j.Required = number(m.New.Headroom), number(m.New.Required)
		}
		if m.Factor > 0 {
			j.Factor = number(m.Factor)
		}
		out.Moves = append(out.Moves, j)
	}
	for _, f := range p.Findings {
		out.Findings = append(out.Findings, jsonFinding{f.State, jsonResultOf(f.Result), jsonCauseOf(f.Cause)})
	}
	return out
}

func jsonCauseOf(c report.Cause) *jsonCause {
	if len(c.Shares) == 0 {
		return nil
	}
	out := &jsonCause{Interact: c.Interact}
	for _, s := range c.Shares {
		share := jsonShare{Edits: []string{}}
		for _, e := range s.Change.Edits {
			share.Edits = append(share.Edits, e.Path)
		}
		if s.Factor > 0 {
			share.Factor = number(s.Factor)
		}
		if s.Last > 0 {
			share.Last = number(s.Last)
		}
		out.Shares = append(out.Shares, share)
	}
	return out
}
