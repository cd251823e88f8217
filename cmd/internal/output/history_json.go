package output

import (
	"io"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// jsonHistory is a history as data; version 1 grows only by new members.
type jsonHistory struct {
	Format    string            `json:"format"` // always "headroom-history"
	Version   int               `json:"version"`
	Tool      jsonTool          `json:"tool"`
	Caution   string            `json:"caution"`
	From      string            `json:"from"`
	Vehicle   string            `json:"vehicle"`
	Path      string            `json:"path"`
	Rule      string            `json:"rule"`
	Subject   string            `json:"subject"`
	Now       jsonStanding      `json:"now"`       // at From
	Threshold any               `json:"threshold"` // relative change, such as 0.001
	Looked    int               `json:"commits_looked_at"`
	End       report.HistoryEnd `json:"end"`
	Remedy    string            `json:"remedy,omitempty"`
	Commits   []jsonCommit      `json:"commits"` // newest first
}

// jsonStanding is what a check says at one commit.
type jsonStanding struct {
	Verdict  rules.Verdict `json:"verdict"`
	Mode     string        `json:"mode,omitempty"`
	Headroom any           `json:"headroom,omitempty"`
	Required any           `json:"required,omitempty"`
	Missing  string        `json:"missing,omitempty"` // what a check that was not made needs
}

type jsonCommit struct {
	Hash    string             `json:"hash"`
	Date    string             `json:"date"`
	Message string             `json:"message"`
	State   report.CommitState `json:"state"`
	Path    string             `json:"path,omitempty"`
	OldPath string             `json:"old_path,omitempty"`
	What    string             `json:"what,omitempty"`    // began or ended: the check or the vehicle
	Why     string             `json:"why,omitempty"`     // it does not load
	Against string             `json:"against,omitempty"` // compared with this commit, not the one before
	After   *jsonStanding      `json:"after,omitempty"`
	Before  *jsonStanding      `json:"before,omitempty"`
	Factor  any                `json:"factor,omitempty"` // headroom after over before
	Edits   []jsonEdit         `json:"edits,omitempty"`  // those that moved it; all of them where too_many
	Inputs  []string           `json:"inputs,omitempty"` // paths of the edits that stand in the working
	Cause   *jsonCause         `json:"cause,omitempty"`
	TooMany bool               `json:"too_many,omitempty"`
}

// HistoryJSON writes a history as data.
func HistoryJSON(w io.Writer, h *report.History, _ Options) error {
	out := jsonHistory{
		Format: "headroom-history", Version: JSONVersion, Tool: jsonTool{"Headroom", h.Version}, Caution: plainText(report.Caution),
		From: h.From, Vehicle: h.Name, Path: h.Path, Rule: h.Rule, Subject: h.Subject, Now: *jsonStandingOf(h.Now),
		Threshold: number(h.Threshold), Looked: h.Looked, End: h.End, Remedy: h.Remedy, Commits: []jsonCommit{},
	}
	for _, c := range h.Commits {
		out.Commits = append(out.Commits, jsonCommitOf(c))
	}
	return encodeJSON(w, out)
}

func jsonCommitOf(c report.Commit) jsonCommit {
	out := jsonCommit{Hash: c.Hash, Date: c.Date, Message: c.Message, State: c.State, Path: c.Path, OldPath: c.OldPath,
		What: c.What, Why: c.Why, Against: c.Against, TooMany: c.TooMany}
	switch c.State {
	case report.Moved:
		out.Before, out.After = jsonStandingOf(c.Move.Old), jsonStandingOf(c.Move.New)
		out.Cause = jsonCauseOf(c.Move.Cause)
		if c.Move.Factor > 0 {
			out.Factor = number(c.Move.Factor)
		}
		edits := c.Edits
		if !c.TooMany {
			edits = nil
			for _, s := range c.Move.Cause.Shares {
				edits = append(edits, s.Change.Edits...)
			}
		}
		for _, e := range edits {
			out.Edits = append(out.Edits, jsonEditOf(e))
		}
		for _, e := range c.Inputs {
			out.Inputs = append(out.Inputs, e.Path)
		}
	case report.Ended:
		out.Before = jsonStandingOf(c.Result)
	case report.Began, report.Oldest, report.Relocated:
		out.After = jsonStandingOf(c.Result)
	}
	return out
}

func jsonEditOf(e report.Edit) jsonEdit {
	return jsonEdit{e.Path, e.Old, e.New, jsonPositionOf(e.OldAt), jsonPositionOf(e.NewAt), e.Shared}
}

func jsonStandingOf(r rules.Result) *jsonStanding {
	out := &jsonStanding{Verdict: r.Verdict, Mode: r.Mode, Missing: r.Missing}
	if report.HasHeadroom(r) {
		out.Headroom, out.Required = number(r.Headroom), number(r.Required)
	}
	return out
}
