package output

import (
	"io"

	"example.org/headroom/cmd/internal/report"
)

// DiffSARIF writes the findings of the new revision as SARIF, each with the
// state that it has against the old one. Findings that are gone are left out:
// code scanning closes their alerts by that.
func DiffSARIF(w io.Writer, d *report.Difference, o Options) error {
	r := d.Report
	r.Vehicles = nil
	for _, p := range d.Pairs {
		if p.Vehicle == nil {
			continue
		}
		v := *p.Vehicle
		v.States = map[string]report.State{}
		if p.Comparison != nil {
			for _, f := range p.Findings {
				if f.State != report.Fixed {
					v.States[f.Key()] = f.State
				}
			}
		}
		r.Vehicles = append(r.Vehicles, v)
	}
	return SARIF(w, &r, o)
}

// baseline is a state in the words of SARIF 2.1.0, 3.27.24.
func baseline(s report.State) string {
	switch s {
	case report.New:
		return "new"
	case report.Worse:
		return "updated"
	case report.Standing, report.Waived:
		return "unchanged"
	}
	return ""
}
