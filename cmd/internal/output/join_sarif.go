package output

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// sarifJoined is sarifLog with what is taken over as it was written.
type sarifJoined struct {
	Schema  string           `json:"$schema"`
	Version string           `json:"version"`
	Runs    []sarifJoinedRun `json:"runs"`
}

type sarifJoinedRun struct {
	Tool               json.RawMessage       `json:"tool"`
	Invocations        []sarifJoinedInvoking `json:"invocations"`
	OriginalURIBaseIDs json.RawMessage       `json:"originalUriBaseIds"`
	AutomationDetails  sarifAutomation       `json:"automationDetails"`
	ColumnKind         string                `json:"columnKind"`
	Results            []json.RawMessage     `json:"results"`
	Properties         map[string]any        `json:"properties,omitempty"`
}

type sarifJoinedInvoking struct {
	ExecutionSuccessful bool              `json:"executionSuccessful"`
	ExitCode            int               `json:"exitCode"`
	Notifications       []json.RawMessage `json:"toolExecutionNotifications,omitempty"`
}

// sarifPart is the SARIF of a shard.
type sarifPart struct {
	partOf
	log             sarifJoined
	caution         string
	errors, remarks []json.RawMessage
}

func (p *Parts) readSARIF(name string, data []byte) error {
	part := sarifPart{partOf: partOf{name: name}}
	var more struct {
		Runs []struct {
			Tool       sarifTool         `json:"tool"`
			Invoked    []sarifInvocation `json:"invocations"`
			Properties struct {
				Caution string        `json:"caution"`
				Counts  report.Counts `json:"counts"`
				Shard   *report.Part  `json:"shard"`
			} `json:"properties"`
		} `json:"runs"`
	}
	for _, into := range []any{&part.log, &more} {
		if err := json.Unmarshal(data, into); err != nil {
			return fmt.Errorf("%s cannot be read: %w", name, err)
		}
	}
	run := &part.log.Runs[0]
	shard := more.Runs[0].Properties.Shard
	if len(run.Invocations) != 1 {
		return fmt.Errorf("%s is not the SARIF of a shard", name)
	}
	for i, n := range more.Runs[0].Invoked[0].Notifications {
		switch raw := run.Invocations[0].Notifications[i]; n.Descriptor.Index {
		case notifyRunFailed:
			part.errors = append(part.errors, raw)
		case notifyRemark:
			part.remarks = append(part.remarks, raw)
		}
	}
	if err := shard.Fits(len(run.Results), len(part.errors)); err != nil {
		return fmt.Errorf("%s %w", name, err)
	}
	about, err := json.Marshal([]any{part.errors[:len(part.errors)-len(shard.ErrorPlaces)], part.remarks, run.Tool, run.AutomationDetails})
	if err != nil {
		return err
	}
	if err := checkExit(run.Invocations[0].ExitCode); err != nil {
		return fmt.Errorf("%s %w", name, err)
	}
	part.Part, part.version, part.exit, part.about = shard, more.Runs[0].Tool.Driver.Version, run.Invocations[0].ExitCode, about
	part.counts, part.caution = more.Runs[0].Properties.Counts, more.Runs[0].Properties.Caution
	p.sarif = append(p.sarif, part)
	return nil
}

// sarifPlaced is a result with what orders it: findings come first, the gravest in
// front, then waived ones, then what raises no alarm.
type sarifPlaced struct {
	group, rank, place int
	suppressed         bool
	raw                []byte
}

func sarifPlacedOf(raw json.RawMessage, place int) (sarifPlaced, error) {
	var seen struct {
		Kind         string            `json:"kind"`
		Level        string            `json:"level"`
		Suppressions []json.RawMessage `json:"suppressions"`
	}
	var text bytes.Buffer
	if err := cmp.Or(json.Unmarshal(raw, &seen), json.Compact(&text, raw)); err != nil {
		return sarifPlaced{}, err
	}
	p := sarifPlaced{group: 2, place: place, suppressed: len(seen.Suppressions) > 0, raw: text.Bytes()}
	if seen.Kind == "fail" {
		p.group, p.rank = 0, -rules.Level(seen.Level).Rank()
	}
	if p.suppressed {
		p.group = 1
	}
	return p, nil
}

// notSuppressed ends a result in a run that has suppressed ones, see settleSuppressions.
var notSuppressed = []byte(`,"suppressions":[]}`)

// settled makes a result say, or not say, that it is not suppressed.
func (p sarifPlaced) settled(say bool) json.RawMessage {
	plain := bytes.TrimSuffix(p.raw, notSuppressed)
	if len(plain) < len(p.raw) {
		plain = append(slices.Clone(plain), '}')
	}
	if !say || p.suppressed {
		return plain
	}
	return append(slices.Clone(plain[:len(plain)-1]), notSuppressed...)
}

// JoinSARIF writes what one run would have written as SARIF.
func JoinSARIF(w io.Writer, p *Parts, _ Options) error {
	if len(p.sarif) == 0 {
		return fmt.Errorf("none of the files is the SARIF of a shard")
	}
	var all []sarifPlaced
	var counts report.Counts
	var parts []partOf
	var errs [][]json.RawMessage
	cut, limit := 0, sarifShown
	for _, part := range p.sarif {
		counts.Add(part.counts)
		cut += part.LeftOut
		for i, raw := range part.log.Runs[0].Results {
			one, err := sarifPlacedOf(raw, part.Places[i])
			if err != nil {
				return err
			}
			if all = append(all, one); one.group == 2 { // passes were asked for
				limit = sarifLimit
			}
		}
		parts, errs = append(parts, part.partOf), append(errs, part.errors)
	}
	slices.SortStableFunc(all, func(a, b sarifPlaced) int {
		return cmp.Or(cmp.Compare(a.group, b.group), cmp.Compare(a.rank, b.rank), cmp.Compare(a.place, b.place))
	})
	if len(all) > limit {
		all, cut = all[:limit], cut+len(all)-limit
	}
	first := p.sarif[0]
	log := first.log
	run := log.Runs[0]
	run.Results = []json.RawMessage{}
	say := slices.ContainsFunc(all, func(r sarifPlaced) bool { return r.suppressed })
	for _, one := range all {
		run.Results = append(run.Results, one.settled(say))
	}
	invocation := sarifJoinedInvoking{ExecutionSuccessful: true, Notifications: append(joinedErrors(parts, errs), first.remarks...)}
	for _, part := range p.sarif {
		invocation.ExecutionSuccessful = invocation.ExecutionSuccessful && part.log.Runs[0].Invocations[0].ExecutionSuccessful
		invocation.ExitCode = max(invocation.ExitCode, part.exit)
	}
	if cut > 0 {
		var notice bytes.Buffer
		if err := encodeJSON(&notice, cutNotice(cut)); err != nil {
			return err
		}
		invocation.Notifications = append(invocation.Notifications, notice.Bytes())
	}
	run.Invocations = []sarifJoinedInvoking{invocation}
	run.Properties = runProperties(counts, first.caution)
	log.Runs = []sarifJoinedRun{run}
	return encodeJSON(w, log)
}
