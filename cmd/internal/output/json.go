package output

import (
	"bytes"
	"encoding/json"
	"io"
	"math"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// JSONVersion is the version of the shape that JSON writes. Fields may be
// added under the same version; a change of meaning raises it.
const JSONVersion = 1

// The shape of the JSON report. Absent numbers are left out: a yes-or-no
// check has neither demand nor headroom, and a headroom without limit (nothing
// is asked of the subject) is the string "unlimited".
type jsonReport struct {
	Format   string        `json:"format"` // always "headroom-report"
	Version  int           `json:"version"`
	Tool     jsonTool      `json:"tool"`
	Caution  string        `json:"caution"`
	FailOn   string        `json:"fail_on"`
	Exit     int           `json:"exit_code"`
	Counts   report.Counts `json:"counts"`
	Vehicles []jsonVehicle `json:"vehicles"`
	Errors   []string      `json:"errors"` // what of the run could not be done
	Remarks  []jsonRemark  `json:"remarks"`
	Shard    *report.Part  `json:"shard,omitempty"` // of a run that checked a part of the vehicles, for join
}

// jsonRemark is what is to be known of the run: a vehicle that is gone, a file
// that looks like a specification and is not read.
type jsonRemark struct {
	Level rules.Level `json:"level"` // warning or note
	Path  string      `json:"path"`
	Text  string      `json:"text"`
}

func jsonRemarks(r *report.Report) []jsonRemark {
	list := []jsonRemark{}
	for _, m := range r.Remarks {
		list = append(list, jsonRemark(m))
	}
	return list
}

type jsonTool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

type jsonVehicle struct {
	Name       string        `json:"name"`
	Path       string        `json:"path"`
	Files      []string      `json:"files"`
	Counts     report.Counts `json:"counts"`
	Error      string        `json:"error,omitempty"`
	Draft      bool          `json:"draft,omitempty"`
	Results    []jsonResult  `json:"results"`     // findings, by file and line, and what passes as declared; passes too where asked for
	NotChecked []jsonResult  `json:"not_checked"` // with what each needs; the verdict says whether that is vital
	Fill       []jsonFill    `json:"fill"`        // the same by what is missing, what most checks wait for first
}

// jsonFill is something that is missing, with the checks that would be made with it.
type jsonFill struct {
	Field    string   `json:"field,omitempty"` // "fuses.breaking_A_dc"; absent where no field is missing
	What     string   `json:"what"`            // in words
	Subjects []string `json:"subjects"`        // what lacks it
	Checks   int      `json:"checks"`
	Rules    []string `json:"rules"`
	Vital    bool     `json:"vital"` // safety rests on it
}

func jsonFills(v *report.Vehicle) []jsonFill {
	list := []jsonFill{}
	for _, f := range v.Fills() {
		list = append(list, jsonFill{f.Field, f.What, f.Subjects, f.Checks, f.Rules, f.Vital})
	}
	return list
}

// jsonDeclaration is what a check that passes as declared believes.
type jsonDeclaration struct {
	Path string `json:"path"`
	What string `json:"what"`
}

type jsonResult struct {
	Rule       string            `json:"rule"`
	Subject    string            `json:"subject"`
	Verdict    rules.Verdict     `json:"verdict"`
	Level      rules.Level       `json:"level,omitempty"`
	Message    string            `json:"message"`
	Fix        string            `json:"fix,omitempty"`
	Missing    string            `json:"missing,omitempty"`
	Declared   []jsonDeclaration `json:"declared,omitempty"`
	Mode       string            `json:"mode,omitempty"`
	Corner     string            `json:"corner,omitempty"`
	Demand     *jsonQuantity     `json:"demand,omitempty"`
	Capability *jsonQuantity     `json:"capability,omitempty"`
	Headroom   any               `json:"headroom,omitempty"`
	Required   any               `json:"required,omitempty"`
	Primary    string            `json:"primary,omitempty"` // rule/subject of the finding that this follows from
	State      report.State      `json:"state,omitempty"`   // against the revision of --since: new, worse, standing or waived
	Waiver     *jsonWaiver       `json:"waiver,omitempty"`  // who accepts it, of a waived finding
	At         *jsonPosition     `json:"at,omitempty"`
	Related    []jsonPlace       `json:"related,omitempty"`
	Working    []jsonStep        `json:"working,omitempty"`
}

type jsonQuantity struct {
	Value any    `json:"value"`
	Unit  string `json:"unit,omitempty"`
}

type jsonWaiver struct {
	Reason     string        `json:"reason"`
	ApprovedBy string        `json:"approved_by"`
	Expires    string        `json:"expires"` // the last day on which it holds
	DownTo     any           `json:"down_to,omitempty"`
	At         *jsonPosition `json:"at,omitempty"`
}

type jsonPosition struct {
	File      string `json:"file"`
	Line      int    `json:"line,omitempty"`
	Column    int    `json:"column,omitempty"`     // in Unicode code points, from 1
	EndColumn int    `json:"end_column,omitempty"` // the column after the last
}

type jsonPlace struct {
	jsonPosition
	Note string `json:"note"`
}

type jsonStep struct {
	Symbol  string     `json:"symbol"`
	What    string     `json:"what"`
	Formula string     `json:"formula,omitempty"`
	Numbers string     `json:"numbers,omitempty"`
	Value   any        `json:"value,omitempty"`
	Unit    string     `json:"unit,omitempty"`
	Text    string     `json:"text,omitempty"`
	Origin  jsonOrigin `json:"origin"`
}

type jsonOrigin struct {
	Kind rules.OriginKind `json:"kind"`
	Path string           `json:"path,omitempty"`
	Ref  string           `json:"ref,omitempty"`
	At   *jsonPosition    `json:"at,omitempty"`
}

// JSON writes the whole report as data in a documented, versioned shape.
func JSON(w io.Writer, r *report.Report, _ Options) error {
	out := jsonReport{
		Format:   "headroom-report",
		Version:  JSONVersion,
		Tool:     jsonTool{Name: "Headroom", Version: r.Version},
		Caution:  plainText(report.Caution),
		FailOn:   r.FailOn,
		Exit:     r.Exit,
		Counts:   r.Count(),
		Vehicles: []jsonVehicle{},
		Errors:   []string{},
		Remarks:  jsonRemarks(r),
		Shard:    r.WithErrors(),
	}
	for _, e := range r.RunErrors() {
		out.Errors = append(out.Errors, e.String())
	}
	for i := range r.Vehicles {
		out.Vehicles = append(out.Vehicles, jsonVehicleOf(&r.Vehicles[i], r.WithPasses))
	}
	return encodeJSON(w, out)
}

func jsonVehicleOf(v *report.Vehicle, passes bool) jsonVehicle {
	out := jsonVehicle{
		Name:       v.Name,
		Path:       v.Path,
		Files:      append([]string{}, v.Files...),
		Counts:     v.Count(),
		Draft:      v.Draft,
		Results:    []jsonResult{},
		NotChecked: []jsonResult{},
		Fill:       jsonFills(v),
	}
	if v.Err != nil {
		out.Error = v.Err.Error()
	}
	for _, res := range v.Results {
		switch {
		case res.Verdict.Unmade():
			out.NotChecked = append(out.NotChecked, jsonResultOf(res))
		case res.Verdict != rules.Passed || passes:
			one := jsonResultOf(res)
			one.State = v.States[res.Key()]
			out.Results = append(out.Results, one)
		}
	}
	return out
}

func jsonResultOf(res rules.Result) jsonResult {
	out := jsonResult{
		Rule: res.Rule, Subject: res.Subject, Verdict: res.Verdict, Level: res.Level,
		Message: res.Message, Fix: res.Fix, Missing: res.Missing, Mode: res.Mode, Corner: res.Corner,
		Primary: res.Primary, At: jsonPositionOf(res.At), Working: jsonWorking(res.Working),
	}
	for _, d := range res.Declared {
		out.Declared = append(out.Declared, jsonDeclaration(d))
	}
	if report.HasHeadroom(res) {
		out.Demand = &jsonQuantity{number(res.Demand.Value), res.Demand.Unit}
		out.Capability = &jsonQuantity{number(res.Capability.Value), res.Capability.Unit}
		out.Headroom = number(res.Headroom)
		out.Required = number(res.Required)
	}
	if w := res.Waiver; w != nil {
		out.Waiver = &jsonWaiver{Reason: w.Reason, ApprovedBy: w.ApprovedBy, Expires: w.Expires, At: jsonPositionOf(w.At)}
		if w.DownTo.Known {
			out.Waiver.DownTo = number(w.DownTo.Value)
		}
	}
	for _, p := range res.Related {
		place := jsonPlace{Note: p.Note}
		if at := jsonPositionOf(p.Position); at != nil {
			place.jsonPosition = *at
		}
		out.Related = append(out.Related, place)
	}
	return out
}

func jsonWorking(steps []rules.Step) []jsonStep {
	var out []jsonStep
	for _, s := range steps {
		step := jsonStep{
			Symbol: s.Symbol, What: s.What, Formula: s.Formula, Numbers: s.Numbers, Unit: s.Unit, Text: s.Text,
			Origin: jsonOrigin{s.Origin.Kind, s.Origin.Path, s.Origin.Ref, jsonPositionOf(s.Origin.At)},
		}
		if s.Text == "" {
			step.Value = number(s.Value)
		}
		out = append(out, step)
	}
	return out
}

func jsonPositionOf(at schema.Position) *jsonPosition {
	if at.File == "" {
		return nil
	}
	return &jsonPosition{at.File, at.Line, at.Column, at.EndColumn}
}

// number makes a number fit for JSON, which knows neither infinity nor NaN. What is
// beyond the digits of [report.Rounded] is the rounding of the arithmetic.
func number(v float64) any {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return report.Number(v, 4)
	}
	return report.Rounded(v)
}

// encodeJSON writes v indented, with <, > and & as they are, and nothing hidden in it:
// see [safe.JSON].
func encodeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(safe.JSON(b.Bytes()))
	return err
}
