package calc

import (
	"strings"
	"testing"
)

// A contactor opens while 40 A are fed back at 84 V (WF40, checked with ngspice).
func TestSurge(t *testing.T) {
	rows := 0
	for _, r := range published(t, "worked_examples_2") {
		if r["id"] != "WF40" {
			continue
		}
		rows++
		in := inputs{t: t, record: record{"expected": r["expected"]}}
		for _, pair := range strings.Split(r["inputs"], ";") {
			key, value, _ := strings.Cut(pair, "=")
			in.record[key] = value
		}
		want := in.list("expected", func(f float64) float64 { return f })
		for i, uF := range in.list("C_uF", func(f float64) float64 { return f }) {
			rate := must[Line](t)(SurgeRate(in.n("I"), uF))
			if r["output"] == "dV_dt" {
				near(t, "rate, V/us", follow(t, rate)/1000, want[i], r.num(t, "tol_percent"))
				continue
			}
			time := follow(t, SurgeTime(rate, in.n("V"), in.n("limit_V")))
			near(t, "time", time, want[i], r.num(t, "tol_percent"))
			near(t, "peak", follow(t, SurgePeak(rate, in.n("V"), 1000*time)), in.n("limit_V"), 1e-9)
		}
	}
	if rows != 2 {
		t.Errorf("%d rows", rows)
	}
	rate := must[Line](t)(SurgeRate(40, 3300))
	near(t, "above the limit", follow(t, SurgeTime(rate, 100, 98)), 0, 0)
	if _, err := SurgeRate(40, 0); err == nil {
		t.Error("no capacitance")
	}
}
