package output

import (
	"fmt"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// foldedFinding is a finding with the notes that say the same of other subjects.
type foldedFinding struct {
	report.Finding
	alike []rules.Result
}

// likeness is what notes have in common that are read once: five times the
// advice to write down a torque pushes what matters off the page. Two waiting
// times differ in the fix, and are two.
type likeness struct {
	vehicle   *report.Vehicle
	rule, fix string
	state     report.State
}

// fold joins notes that are alike, whether they stand for themselves or follow
// from the first, unless all are asked for. Errors, warnings and what compares
// a demand with a capability are never folded.
func fold(findings []report.Finding, all bool) []foldedFinding {
	var folded []foldedFinding
	first := make(map[likeness]int) // index in folded
	for _, f := range findings {
		like, ok := likenessOf(f.Vehicle, f.Result)
		if all || !ok {
			folded = append(folded, foldedFinding{Finding: f})
			continue
		}
		if i, met := first[like]; met && len(f.Follow) == 0 {
			folded[i].alike = append(folded[i].alike, f.Result)
			continue
		}
		head := foldedFinding{Finding: f}
		head.Follow = nil
		for _, res := range f.Follow {
			if other, ok := likenessOf(f.Vehicle, res); ok && other == like {
				head.alike = append(head.alike, res)
			} else {
				head.Follow = append(head.Follow, res)
			}
		}
		first[like] = len(folded)
		folded = append(folded, head)
	}
	return folded
}

// likenessOf returns what a note has in common with others, and false for a
// result that is to be read by itself.
func likenessOf(v *report.Vehicle, res rules.Result) (likeness, bool) {
	return likeness{v, res.Rule, res.Fix, v.States[res.Key()]}, res.Level == rules.Note && !report.HasHeadroom(res)
}

// subjectsNamed is how many subjects a line names.
const subjectsNamed = 8

// subjects names what results are about.
func subjects(results []rules.Result) string {
	var names []string
	for i, res := range results {
		if i == subjectsNamed {
			names = append(names, fmt.Sprintf("%d others", len(results)-i))
			break
		}
		names = append(names, res.Subject)
	}
	return strings.Join(names, ", ")
}
