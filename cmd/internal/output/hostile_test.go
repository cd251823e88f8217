package output

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// hostileTexts are what is put into every text of a report, by class: none of it may be
// more than text in any output. Ordinary is text that must come through as it is.
var hostileTexts = []struct{ class, text string }{
	{"old command", "a##[command]b"},
	{"old command of a word", "a ##[error] b"},
	{"command of a pipeline", "a##vso[task.setvariable variable=x]b"},
	{"command in capitals", "##VSO[task.complete]b"},
	{"service message", "x##teamcity[message text='b']"},
	{"command", "::error::b"},
	{"command behind blanks", " \u00a0\u3000::set-output name=x::b"},
	{"command that stops others", "::stop-commands::b"},
	{"command that masks", "::add-mask::b"},
	{"command on a line of its own", "a\n::error::b\r::warning::c\r\n##[group]d"},
	{"colours", "a\x1b[31mb\x1b[0m"},
	{"hidden by colour", "a\x1b[8mb\x1b[2K"},
	{"title of a terminal", "a\x1b]0;b\x07"},
	{"control characters", "a\x00\x01\x07\x08\x0b\x0c\x1a\x7fb"},
	{"controls of eight bits", "a\u0080\u0085\u009b31mb\u009d"},
	{"tab and bell", "a\tb\a"},
	{"order of reading", "a\u202e\u202d\u202a\u202b\u202cb"},
	{"isolates", "a\u2066\u2067\u2068\u2069b"},
	{"marks of direction", "a\u200e\u200f\u061cb"},
	{"zero width", "a\u200b\u200c\u200d\u2060\ufeffb"},
	{"soft hyphen and fillers", "a\u00ad\u034f\u115f\u1160\u3164\uffa0\u180eb"},
	{"separators of lines", "a\u2028b\u2029c\u0085d"},
	{"tags", "a\U000e0001\U000e0061\U000e007fb"},
	{"variation selectors", "a\ufe00\ufe0f\U000e0100b"},
	{"no characters", "a\ufffe\uffff\U0001ffff\ufdd0b"},
	{"invalid bytes", "a\xff\xc0\xaf\xed\xa0\x80b\xe2\x80"},
	{"mention", "a @team @org/team b@c.example @"},
	{"reference", "a #1 org/repo#2 GH-3 !4 $5 %6 ~bug &7 ^8 #"},
	{"address", "a https://b.example http://c ftp://d www.e.example f@g.example mailto:h@i xmpp:j@k b"},
	{"link", "a [b](http://c) [d][e] <http://f> [g]: http://h"},
	{"image", "a ![b](http://c/d.png)"},
	{"HTML", `a <img src=x onerror=y> <b>c</b> <!-- d --> &lt; </details></summary> "e" 'f'`},
	{"script", "a</script><script>b</script><![CDATA[c]]>"},
	{"table", "a | b || c \\| d"},
	{"code", "a `b` ``c`` ``` d ~~~ e `"},
	{"emphasis", "*a* **b** _c_ __d__ ~~e~~ $f$ $`g`$"},
	{"emoji by name", "a :tada: :100: :+1:"},
	{"footnote", "a [^1] [[b]] [ ] [x]"},
	{"diagram", "a\"]; click b href \"c\" %%{init: {}}%% --> ```"},
	{"quick action", "/close"},
	{"block", "> a # b - c + d 1. e === f"},
	{"placeholders", "a {0} {b} {{c}} } {"},
	{"links to places", "a [b](1) [c](2) [d](#e) \\[f](3) [g\\](4) [h"},
	{"percent", "a %0A::error::b %25 %s %d %!"},
	{"assignment", "a=b; c `d` $(e) ${f}; g=h"},
	{"formula", "=1+2 @a"},
	{"backslash", `a\`},
}

var ordinary = []string{
	"Grüner Reiher für 2 Personen, 10 % Zuschlag", "5 Ω ± 1 %, 70 °C, 22 µF, 16 mm², Δ", "電気軽トラック №3", "электромобиль", "عربة", "⚡️ 👩‍🔧 🚚 1️⃣ 🇩🇪",
	"pack.plus -> main (w1), 3.5 A", "it's \"quoted\"", "café", "e\u0301",
}

// sample fills values by their types: each text with a name of its own and then what
// is given, so that a field that is added to a report is in the test at once. Texts of
// types of their own, such as levels, are the program's.
type sample struct {
	text  string
	given map[reflect.Type]any
	n     int
	begun map[reflect.Type]bool
}

var errorType = reflect.TypeFor[error]()

func (s *sample) fill(v reflect.Value) {
	if fixed, ok := s.given[v.Type()]; ok {
		v.Set(reflect.ValueOf(fixed))
		return
	}
	switch v.Kind() {
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() {
			s.n++
			v.SetString(s.text)
		}
	case reflect.Interface:
		if v.Type() == errorType {
			s.n++
			v.Set(reflect.ValueOf(errors.New(s.text)))
		}
	case reflect.Int, reflect.Int64:
		v.SetInt(1)
	case reflect.Float64:
		v.SetFloat(1.5)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Pointer:
		if !s.begun[v.Type()] {
			s.begun[v.Type()] = true
			v.Set(reflect.New(v.Type().Elem()))
			s.fill(v.Elem())
			s.begun[v.Type()] = false
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		s.fill(v.Index(0))
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		s.fill(key)
		s.fill(value)
		v.SetMapIndex(key, value)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				s.fill(v.Field(i))
			}
		}
	}
}

// filled is a value of a type with a text in all its fields.
func filled[T any](text string, given ...any) (value T, texts int) {
	s := sample{text: text, given: map[reflect.Type]any{
		reflect.TypeFor[rules.Level](): rules.Error, reflect.TypeFor[report.State](): report.New, reflect.TypeFor[report.PairState](): report.Changed,
		reflect.TypeFor[report.CommitState](): report.Moved, reflect.TypeFor[rules.Verdict](): rules.Failed, reflect.TypeFor[rules.OriginKind](): rules.FromSpec,
		reflect.TypeFor[report.HistoryEnd](): report.AtShallow, reflect.TypeFor[*report.Part](): (*report.Part)(nil),
	}, begun: map[reflect.Type]bool{}}
	for _, g := range given {
		s.given[reflect.TypeOf(g)] = g
	}
	s.fill(reflect.ValueOf(&value).Elem())
	return value, s.n
}

// hostileReport is a report of every kind of result with a text in all its fields.
func hostileReport(text string) *report.Report {
	r, _ := filled[report.Report](text)
	r.FailOn, r.WithPasses, r.Verbose, r.HideWaived = "note", true, true, false
	r.Home = "https://example.org/headroom" // of the program itself
	base := r.Vehicles[0]
	base.Err, base.Uncompared, base.Results, base.States = nil, nil, nil, map[string]report.State{}
	for i, verdict := range []rules.Verdict{
		rules.Failed, rules.Failed, rules.Failed, rules.Failed, rules.Failed, rules.AsDeclared, rules.Waived, rules.NotChecked, rules.CannotVouch, rules.Passed,
		rules.NotChecked, rules.AsDeclared,
	} {
		res, _ := filled[rules.Result](text, verdict, []rules.Level{rules.Error, rules.Note, rules.Warning}[i%3])
		res.Subject += fmt.Sprint(" ", i)
		res.Primary = ""
		if i == 1 {
			res.Primary = base.Results[0].Key() // a consequence
		}
		switch {
		case i == 2:
			base.States[res.Key()] = report.Standing
		case i >= 10:
			base.States[res.Key()] = report.Worse // lost
		}
		base.Results = append(base.Results, res)
	}
	r.Vehicles[0] = base
	r.Sort()
	return &r
}

func hostileDiff(text string) *report.Difference {
	d, _ := filled[report.Difference](text)
	d.Report = *hostileReport(text)
	base := d.Pairs[0]
	d.Pairs = nil
	for _, state := range []report.PairState{report.Changed, report.Renamed, report.Appeared, report.Gone, report.Hidden, report.Unreadable} {
		p := base
		p.State, p.Vehicle = state, &d.Vehicles[0]
		d.Pairs = append(d.Pairs, p)
	}
	return &d
}

func hostileHistory(text string) *report.History {
	h, _ := filled[report.History](text)
	base := h.Commits[0]
	h.Commits = nil
	for _, state := range []report.CommitState{report.Moved, report.Began, report.Ended, report.Relocated, report.Unloadable, report.Oldest} {
		for _, tooMany := range []bool{true, false} {
			c := base
			c.State, c.TooMany = state, tooMany
			h.Commits = append(h.Commits, c)
		}
	}
	return &h
}

// rendered is an output of a report whose texts are all the same.
type rendered struct {
	name  string
	kind  string // which reader reads it
	write func(w io.Writer, text string) error
}

// kinds says which reader reads a format: a new format must be in it.
var kinds = map[string]string{
	"text": "log", "sarif": "sarif", "json": "json", "markdown": "page", "github": "commands", "gitlab": "json", "junit": "xml", "dotenv": "dotenv",
}

func outputs(t *testing.T) []rendered {
	var list []rendered
	add(t, &list, "check", Formats(), hostileReport)
	add(t, &list, "diff", DiffFormats(), hostileDiff)
	add(t, &list, "history", HistoryFormats(), hostileHistory)
	list = append(list,
		rendered{"summary", "log", func(w io.Writer, text string) error { return Summary(w, hostileReport(text)) }},
		rendered{"summary of a difference", "log", func(w io.Writer, text string) error { return DiffSummary(w, hostileDiff(text)) }},
		rendered{"summary of a history", "log", func(w io.Writer, text string) error { return HistorySummary(w, hostileHistory(text)) }},
		rendered{"ratings", "log", func(w io.Writer, text string) error {
			return Ratings(w, hostileReport(text), 0, Options{Wide: true})
		}},
		rendered{"ratings in colour", "log", func(w io.Writer, text string) error { return Ratings(w, hostileReport(text), 0, Options{Colour: true}) }},
		rendered{"ratings as data", "json", func(w io.Writer, text string) error { return RatingsJSON(w, hostileReport(text)) }},
		rendered{"working", "log", func(w io.Writer, text string) error {
			r := hostileReport(text)
			for _, kind := range []rules.OriginKind{rules.FromSpec, rules.FromDefault, rules.FromStandard, rules.FromCircuit, rules.FromRun, rules.FromResult} {
				for _, res := range r.Vehicles[0].Results {
					for i := range res.Working {
						res.Working[i].Origin.Kind = kind
						if kind == rules.FromCircuit { // a number, not a text
							res.Working[i].Text = ""
						}
					}
					if err := Working(w, &r.Vehicles[0], res, Options{}); err != nil {
						return err
					}
				}
			}
			return nil
		}},
	)
	return list
}

func add[R any](t *testing.T, list *[]rendered, what string, formats []Format[R], of func(string) R) {
	for _, f := range formats {
		kind, ok := kinds[f.Name]
		if !ok {
			t.Fatalf("say in kinds how the format %s is read", f.Name)
		}
		*list = append(*list, rendered{what + " as " + f.Name, kind, func(w io.Writer, text string) error { return f.Write(w, of(text), Options{}) }})
		if f.Name == "text" {
			*list = append(*list, rendered{what + " in colour", kind, func(w io.Writer, text string) error { return f.Write(w, of(text), Options{Colour: true}) }})
		}
	}
}

// TestNothingFromOutsideIsActive puts each class of hostile text into every text of the
// reports and reads every output with a reader of its kind that shares nothing with the
// writers: none of it may be anything but text, and as text it must be there.
func TestNothingFromOutsideIsActive(t *testing.T) {
	for _, out := range outputs(t) {
		t.Run(out.name, func(t *testing.T) {
			read := readers(t)[out.kind]
			write := func(text string) string {
				var b strings.Builder
				if err := out.write(&b, text); err != nil {
					t.Fatal(err)
				}
				return b.String()
			}
			plain := read(t, write("a b c d"))
			for _, h := range hostileTexts {
				t.Run(h.class, func(t *testing.T) {
					got := read(t, write(h.text+" x"+h.text)) // at the start, and inside
					got.like(t, plain)
					if plain.has("a b c d") {
						got.shows(t, h.text)
					}
				})
			}
			for _, text := range ordinary {
				got := read(t, write(text))
				got.like(t, plain)
				if out.kind != "dotenv" && !got.has(text) && plain.has("a b c d") {
					t.Errorf("%q is not there as it was given", text)
				}
			}
			long := write(strings.Repeat("long ", 6000))
			if got := read(t, long); out.kind != "page" && out.kind != "sarif" { // which have less room then
				got.like(t, plain)
			}
			if most := 120 * len(write(strings.Repeat("x", 2000))); len(long) > most {
				t.Errorf("with texts of 30 000 characters the output has %d bytes", len(long))
			}
			if strings.Contains(long, "long long") && !strings.Contains(long, "...") && !strings.Contains(long, "…") {
				t.Error("a long text is cut, and nothing says so")
			}
		})
	}
}

// TestReportsAreFilled sees that the test of hostile text reaches the texts.
func TestReportsAreFilled(t *testing.T) {
	_, texts := filled[report.Report]("x")
	if texts < 40 {
		t.Errorf("%d texts of a report are filled", texts)
	}
}
