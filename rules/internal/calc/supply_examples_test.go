package calc

import (
	"errors"
	"strconv"
	"strings"
	"testing"
)

// supplyRow is a row of the worked examples with its inputs by name.
type supplyRow struct {
	record
	in map[string]string
}

// supplyRows lists the rows of an example that give an output.
func supplyRows(t *testing.T, id, output string) (out []supplyRow) {
	t.Helper()
	for _, r := range published(t, "worked_examples_2") {
		if r["id"] != id || r["output"] != output {
			continue
		}
		in := map[string]string{}
		for pair := range strings.SplitSeq(r["inputs"], ";") {
			name, value, _ := strings.Cut(pair, "=")
			in[name] = value
		}
		out = append(out, supplyRow{r, in})
	}
	if len(out) == 0 {
		t.Fatalf("no row %s %s", id, output)
	}
	return out
}

func (r supplyRow) number(t *testing.T, name string) float64 {
	t.Helper()
	return r.list(t, r.in[name])[0]
}

func (r supplyRow) list(t *testing.T, text string) (out []float64) {
	t.Helper()
	for s := range strings.SplitSeq(text, "|") {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

// percent is the tolerance of a row.
func (r supplyRow) percent(t *testing.T) float64 { return r.num(t, "tol_percent") }

func TestSupplyExamples(t *testing.T) {
	t.Run("WF30 float over temperature", func(t *testing.T) {
		for _, r := range supplyRows(t, "WF30", "float") {
			want := r.list(t, r.record["expected"])
			for i, c := range r.list(t, r.in["t_C"]) {
				got := followed(t)(AtBattery(int(r.number(t, "cells")), r.number(t, "V_cell_25C"), r.number(t, "mV_per_K"), c), nil)
				near(t, r.in["t_C"], got, want[i], r.percent(t))
			}
		}
	})
	t.Run("WF31 fixed voltage per cell", func(t *testing.T) {
		v := supplyRows(t, "WF31", "per_cell")[0]
		verdict := strings.Split(supplyRows(t, "WF31", "verdict")[0].record["expected"], "|")
		want := v.list(t, v.record["expected"])
		for i, text := range strings.Split(v.in["chemistry"], "|") {
			chemistry, count, _ := strings.Cut(text, " ")
			n, err := strconv.Atoi(count)
			w, ok := ChargeVoltages(chemistry, "")
			if err != nil || !ok {
				t.Fatal(text)
			}
			cell := v.number(t, "V") / float64(n)
			near(t, text, cell, want[i], v.percent(t))
			got := "ok"
			switch { // as the rules about the battery of a converter have it
			case cell > w.NeverV:
				got = "overcharged"
			case cell < w.FloatMinV:
				got = "undercharged"
			}
			if got != verdict[i] {
				t.Errorf("%s: %s, want %s", text, got, verdict[i])
			}
		}
	})
	t.Run("WF34 beyond the last point", func(t *testing.T) {
		for _, r := range supplyRows(t, "WF34", "percent") {
			var curve []DeratingPoint
			for p := range strings.SplitSeq(r.in["points"], "|") {
				at, percent, _ := strings.Cut(p, ":")
				curve = append(curve, DeratingPoint{r.list(t, at)[0], r.list(t, percent)[0]})
			}
			for i, want := range strings.Split(r.record["expected"], "|") {
				at := r.list(t, r.in["ambient_C"])[i]
				got, err := Derating(curve, at)
				var beyond *NotRatedError
				if want == "not rated" {
					if !errors.As(err, &beyond) {
						t.Errorf("%g C: %g %%, want not rated", at, got.Value)
					}
					continue
				}
				near(t, want, followed(t)(got, err), r.list(t, want)[0], 1e-9)
			}
		}
	})
	t.Run("WF35 modules in the cold", func(t *testing.T) {
		for _, r := range supplyRows(t, "WF35", "string") {
			got := followed(t)(OpenVoltage(int(r.number(t, "in_series")), r.number(t, "Voc_25C"), r.number(t, "percent_per_K"), r.number(t, "t_C")), nil)
			want := r.num(t, "expected")
			near(t, "string", got, want, r.percent(t))
		}
		r := supplyRows(t, "WF35", "nec_factor_1_18")[0]
		got := OpenVoltage(int(r.number(t, "in_series")), r.number(t, "Voc_25C"), ModulePercentPerK, r.number(t, "t_C")).Value
		near(t, "unknown coefficient", got, r.num(t, "expected"), r.percent(t))
	})
	t.Run("WF36 lead of modules", func(t *testing.T) {
		r := supplyRows(t, "WF36", "conductor")[0]
		got := followed(t)(ModuleCableA(1, r.number(t, "Isc_A")), nil)
		near(t, "conductor", got, r.num(t, "expected"), r.percent(t))
	})
	t.Run("WF51 test voltage", func(t *testing.T) {
		r := supplyRows(t, "WF51", "basic_2U_1000")[0]
		near(t, "basic", followed(t)(BasicTestVoltage(r.number(t, "working_V"))), r.num(t, "expected"), 1e-9)
	})
}
