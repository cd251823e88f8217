package calc

import (
	"math"
	"strings"
	"testing"
)

func TestMotorExamples(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range published(t, "worked_examples_2") {
		in := inputs{t: t, record: record{}}
		for _, pair := range strings.Split(r["inputs"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			in.record[key] = value
		}
		switch id := r["id"] + "/" + r["output"]; id {
		case "WF26/rms": // the first of the shapes
			sine, _, _ := strings.Cut(r["expected"], "|")
			near(t, id, follow(t, SineRMS(in.n("peak_A"))), record{"x": sine}.num(t, "x"), r.num(t, "tol_percent"))
			seen[id] = true
		case "WF27/time":
			compareWorked(t, r, in.line(PeakTime(in.n("peak_A"), in.n("continuous_A"), in.n("before_A"), in.n("tau_s"))))
			seen[id] = true
		case "WF28/dc_V":
			compareWorked(t, r, in.line(EMF(in.n("rpm"), in.n("kv_rpm_per_V"))))
			seen[id] = true
		case "WF29/length":
			compareWorked(t, r, follow(t, DoublingLength(in.n("rise_ns"), in.n("speed_m_us"))))
			seen[id] = true
		}
	}
	if len(seen) != 4 {
		t.Errorf("seen: %v", seen)
	}
	if l, err := PeakTime(90, 100, 80, 120); err != nil || !math.IsInf(l.Value, 1) {
		t.Errorf("a current that it takes continuously: %v s, %v", l.Value, err)
	}
	if _, err := PeakTime(250, 100, 110, 120); err == nil {
		t.Error("hotter than it may be before")
	}
	if _, err := EMF(100, 0); err == nil {
		t.Error("no speed constant")
	}
}
