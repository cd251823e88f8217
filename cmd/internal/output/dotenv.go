package output

import (
	"io"
	"strconv"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// Dotenv writes what a following step may want to know, one key=value on each
// line, for the outputs of a step or an artefact of variables. A value holds
// nothing that a shell would act on, whatever names a specification gives: such
// files are read by "source" too, and outputs are put into scripts.
func Dotenv(w io.Writer, r *report.Report, _ Options) error {
	p := newPrinter(w, Options{})
	put := func(key, value string) { p.printf("headroom_%s=%s\n", key, safe.Value(value)) }
	count := r.Count()
	for _, x := range []struct {
		key string
		n   int
	}{
		{"vehicles", count.Vehicles},
		{"checks", count.Checks},
		{"passes", count.Passes},
		{"as_declared", count.AsDeclared},
		{"errors", count.Errors},
		{"warnings", count.Warnings},
		{"notes", count.Notes},
		{"waived", count.Waived},
		{"not_checked", count.NotChecked},
		{"cannot_vouch", count.CannotVouch},
		{"vital_missing", count.VitalMissing},
		{"drafts", count.Drafts},
		{"standing", count.Standing},
	} {
		put(x.key, strconv.Itoa(x.n))
	}
	if text := count.DraftText(); text != "" {
		put("state", text)
	}
	if r.Since != "" {
		put("new", strconv.Itoa(count.Findings()-count.Standing))
	}
	if v, res := tightest(r); v != nil {
		put("tightest", report.Ratio(res.Headroom))
		put("tightest_check", res.Key()+"@"+v.Path)
	}
	put("exit_code", strconv.Itoa(r.Exit))
	return p.err
}

// tightest finds the check with the least margin over what it requires, notes
// left out.
func tightest(r *report.Report) (in *report.Vehicle, worst rules.Result) {
	for i := range r.Vehicles {
		for _, res := range report.Tightest(r.Vehicles[i].Results) {
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
