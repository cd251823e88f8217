package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Fill is a field of one kind of part that is missing, with the checks that lack it.
type Fill struct {
	Field    string   // "fuses.breaking_A_dc"; "" where no field is missing but something else
	What     string   // the field in words, or what is missing instead
	Subjects []string // ids of what lacks it; paths of fields of several poles
	Rules    []string
	Checks   int
	Vital    bool // safety rests on it
}

// String says what to fill in where: "breaking_A_dc of fuses main, key_fuse".
func (f Fill) String() string {
	if f.Field == "" {
		return f.What
	}
	kind, field, _ := strings.Cut(f.Field, ".")
	return field + " of " + kind + " " + strings.Join(f.Subjects, ", ")
}

// Fills lists what is missing of the vehicle, by field: what most checks wait for comes
// first. What is no field of a part comes after all fields.
func (v *Vehicle) Fills() []Fill {
	var list []Fill
	at := map[string]int{}
	for i := range v.Results {
		res := &v.Results[i]
		if !res.Verdict.Unmade() {
			continue
		}
		missing := cmp.Or(res.Missing, res.Message)
		field, subject := fieldOf(missing)
		key := cmp.Or(field, missing)
		k, ok := at[key]
		if !ok {
			k = len(list)
			at[key] = k
			f := Fill{Field: field, What: missing}
			if field != "" {
				_, f.What, _ = schema.FieldOf(missing)
			}
			list = append(list, f)
		}
		f := &list[k]
		f.Checks++
		f.Vital = f.Vital || res.Verdict == rules.CannotVouch
		f.Subjects = with(f.Subjects, cmp.Or(subject, res.Subject))
		f.Rules = with(f.Rules, res.Rule)
	}
	for i := range list {
		slices.Sort(list[i].Subjects)
		slices.Sort(list[i].Rules)
	}
	slices.SortFunc(list, func(a, b Fill) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), -cmp.Compare(a.Checks, b.Checks), cmp.Compare(a.Field, b.Field), cmp.Compare(a.What, b.What))
	})
	return list
}

// rank puts what can be filled in first.
func rank(f Fill) int {
	if f.Field == "" {
		return 1
	}
	return 0
}

// fieldOf is the field of a part that a path leads to, and the part: with its pole, if it
// has several. Both are "" for what is no field of a part.
func fieldOf(path string) (field, subject string) {
	name, _, _ := schema.FieldOf(path)
	if !strings.Contains(name, ".") || strings.HasPrefix(name, "vehicle.") || strings.HasPrefix(name, "policy.") {
		return "", ""
	}
	steps := strings.Split(path, ".")
	subject = steps[1]
	if steps[0] == "switches" && len(steps) > 3 && steps[2] == "poles" {
		subject += "." + steps[3]
	}
	return name, subject
}

// with adds a text to a list that does not have it.
func with(list []string, text string) []string {
	if slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}

// Gain says what filling in gains: "fill these 9 fields to gain 214 checks"; "" where
// nothing can be filled in. A field counts once for each part that lacks it.
func Gain(fills []Fill) string {
	fields, checks := 0, 0
	for _, f := range fills {
		if f.Field != "" {
			fields += len(f.Subjects)
			checks += f.Checks
		}
	}
	if fields == 0 {
		return ""
	}
	these := "these " + fmt.Sprint(fields) + " fields"
	if fields == 1 {
		these = "this field"
	}
	gain := fmt.Sprint(checks) + " checks"
	if checks == 1 {
		gain = "1 check"
	}
	return "fill " + these + " to gain " + gain
}

// Believed says what a result that passes as declared rests on.
func Believed(res rules.Result) string {
	var list []string
	for _, d := range res.Declared {
		list = append(list, d.What+" ("+d.Path+")")
	}
	return strings.Join(list, "; ")
}

// DraftText says that vehicles are drafts, and how much of what safety rests on is
// missing; "" where none is one.
func (c Counts) DraftText() string {
	switch {
	case c.Drafts == 0:
		return ""
	case c.VitalMissing == 0:
		return "DRAFT: no vital data missing"
	case c.VitalMissing == 1:
		return "DRAFT: 1 vital datum missing"
	}
	return fmt.Sprintf("DRAFT: %d vital data missing", c.VitalMissing)
}
