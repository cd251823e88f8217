package output

import (
	"fmt"
	"io"
	"strconv"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// Dotenv writes what a following step may want to know, one key=value on each
// line, for the outputs of a step or an artefact of variables. A value never
// holds a line break, whatever names a specification gives.
func Dotenv(w io.Writer, r *report.Report, _ Options) error {
	p := printer{w: w}
	put := func(key, value string) { p.print("headroom_", key, "=", report.Plain(value), "\n") }
	count := r.Count()
	for _, x := range []struct {
		key string
		n   int
	}{
		{"vehicles", count.Vehicles},
		{"checks", count.Checks},
		{"passes", count.Passes},
		{"errors", count.Errors},
		{"warnings", count.Warnings},
		{"notes", count.Notes},
		{"waived", count.Waived},
		{"not_checked", count.NotChecked},
		{"standing", count.Standing},
	} {
		put(x.key, strconv.Itoa(x.n))
	}
	if r.Since != "" {
		put("new", strconv.Itoa(count.Findings()-count.Standing))
	}
	if v, res := tightest(r); v != nil {
		put("tightest", report.Ratio(res.Headroom))
		put("tightest_check", fmt.Sprintf("%s %s (%s)", res.Rule, res.Subject, v.Name))
	}
	put("exit_code", strconv.Itoa(r.Exit))
	return p.err
}

// tightest finds the check with the least margin over what it requires, notes
// left out.
func tightest(r *report.Report) (in *report.Vehicle, worst rules.Result) {
	for i := range r.Vehicles {
		for _, res := range Tightest(r.Vehicles[i].Results) {
			if res.Level == rules.Note {
				continue
			}
			if in == nil || report.Margin(res) < report.Margin(worst) {
				in, worst = &r.Vehicles[i], res
			}
			break
		}
	}
	return in, worst
}
