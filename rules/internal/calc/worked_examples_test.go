package calc

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// outputs computes the outputs of an example by their names.
type outputs = map[string]func(in inputs) any

func conductorExamples() map[string]worked {
	drop := func(in inputs) float64 {
		return in.n("current_A") * in.v(Resistance(in.size(), in.n("loop_length_m"), in.n("t_C")))
	}
	// ABYC E-11 takes K = 10.75 Ohm circular mil/ft; the rules propose a size by its own
	// resistance, from the same table of areas.
	mils := func(in inputs) float64 {
		return in.n("K") * in.n("current_A") * in.n("loop_length_ft") / (in.n("system_V") * in.n("limit_percent") / 100)
	}
	gauge := func(in inputs, system System) any {
		s, _ := ThinnestSize(system, func(s Size) bool { return s.AreaMM2 >= AreaMM2(mils(in)) })
		return strings.TrimSuffix(s.Label, " "+string(system))
	}
	solid := func(in inputs) float64 {
		n := map[string]int{"10": 10, "4/0": -3}[in.record["awg"]]
		return AWGDiameterMM(n)
	}
	milliohm := func(in inputs) any { return 1000 * in.v(Resistance(in.size(), in.n("length_m"), in.n("t_C"))) }
	return map[string]worked{
		"WE01": {"ASTM B258", outputs{
			"diameter":      func(in inputs) any { return solid(in) },
			"area":          func(in inputs) any { return in.size().AreaMM2 },
			"circular_mils": func(in inputs) any { return in.size().AreaMM2 / AreaMM2(1) },
		}},
		"WE02": {"ASTM B258", outputs{
			"diameter": func(in inputs) any { return solid(in) },
			"area":     func(in inputs) any { return in.size().AreaMM2 },
			"r20":      func(in inputs) any { return 1000 * in.size().R20 / strandingFactor },
		}},
		"WE03": {"IEC 60228", outputs{"resistance": milliohm}},
		"WE04": {"IEC 60228, IEC 60028", outputs{
			"factor":     func(in inputs) any { return CopperFactor(in.n("t_C")) },
			"resistance": milliohm,
		}},
		"WE05": {"IEC 60228, IEC 60028", outputs{
			"drop":         func(in inputs) any { return drop(in) },
			"drop_percent": func(in inputs) any { return follow(in.t, DropPercent(drop(in), in.n("system_V"))) },
			"loss":         func(in inputs) any { return in.n("current_A") * drop(in) },
		}},
		"WE06": {"ABYC E-11", outputs{
			"circular_mils": func(in inputs) any { return mils(in) },
			"awg":           func(in inputs) any { return gauge(in, AWG) },
			"sae":           func(in inputs) any { return gauge(in, SAE) },
		}},
		"WE07": {"NFPA 70 Chapter 9 Table 8", outputs{
			"computed": func(in inputs) any {
				return 1000 * in.size().R20 / strandingFactor * CopperFactor(in.n("t_C"))
			},
			"table": func(in inputs) any { return in.v(Resistance(in.size(), 1000, in.n("t_C"))) },
		}},
		"WE08": {"SAE J1128", outputs{
			"area": func(in inputs) any { return in.size().AreaMM2 },
			"shortfall_vs_awg": func(in inputs) any {
				return 100 * (in.size().AreaMM2/size(in.t, in.record["sae"]+" AWG").AreaMM2 - 1)
			},
		}},
	}
}

func ampacityExamples() map[string]worked {
	// The factor of the printed table: the rules take the ambient itself, which
	// TestAmpacityFollowsAmbientLikeTheTables holds against these tables.
	factor := func(in inputs) float64 { return in.ambient("nec_ambient_correction", "f90") }
	raceway := func(in inputs) float64 { return in.table("nec_310_16", "awg", in.record["awg"], "a90_A") }
	freeAir := func(in inputs) float64 {
		return in.table("vde0298_free_air", "area_mm2", in.record["area_mm2"], "single_core_free_air_A")
	}
	flexible := func(in inputs) float64 {
		return in.table("flexible_cable_ampacity", "awg", in.record["awg"], "a90C_30C")
	}
	engine := func(inside bool) func(in inputs) any {
		return func(in inputs) any { return in.line(SmallCraftAmpacity(in.size(), in.n("insulation_C"), inside)) }
	}
	return map[string]worked{
		"WE09": {"33 CFR 183.425 Table 5", outputs{"outside": engine(false), "inside": engine(true)}},
		"WE10": {"NFPA 70 Tables 310.16, 310.15(B)(1)(1) and 310.15(C)(1)", outputs{
			"base":           func(in inputs) any { return raceway(in) },
			"ambient_factor": func(in inputs) any { return factor(in) },
			"corrected":      func(in inputs) any { return raceway(in) * factor(in) },
			"bundled": func(in inputs) any {
				return raceway(in) * factor(in) * in.line(GroupingFactor(int(in.n("conductors"))))
			},
		}},
		"WE12": {"DIN VDE 0298-4 Tables 11 and 17", outputs{
			"base": func(in inputs) any { return freeAir(in) },
			"corrected": func(in inputs) any {
				return freeAir(in) * in.ambient("vde0298_ambient", "factor")
			},
		}},
		"WE67": {"NFPA 70 Tables 400.5(A)(2) and 310.15(B)(1)(1)", outputs{
			"base":      func(in inputs) any { return flexible(in) },
			"factor":    func(in inputs) any { return factor(in) },
			"corrected": func(in inputs) any { return flexible(in) * factor(in) },
		}},
	}
}

func fuseExamples() map[string]worked {
	ampacity := func(in inputs) float64 { return in.line(SmallCraftAmpacity(in.size(), in.n("insulation_C"), false)) }
	next := func(in inputs) any {
		return in.list("ampacity_A", func(a float64) float64 { up, _ := NextRatingUp(ClassUL, a); return up })
	}
	blade := func(in inputs) *Curve { return curve(in.t, CurveSpec{Class: ClassBlade, RatedA: in.n("rating_A")}) }
	least := func(in inputs) float64 {
		l, _ := FuseClass(ClassUL).Loading()
		return in.n("continuous_A")/l.ContinuousFactor + in.n("other_A")
	}
	i2 := func(in inputs) float64 { a, _ := ConventionalFusingA(ClassGG, in.n("in_A")); return a }
	return map[string]worked{
		"WE13": {"33 CFR 183.425 Table 5", outputs{"ampacity": func(in inputs) any { return ampacity(in) }}},
		"WE14": {"33 CFR 183.425 Table 5", outputs{"ampacity": func(in inputs) any { return ampacity(in) }}},
		"WE15": {"NFPA 70 210.20(A) and 240.6(A)", outputs{
			"min_device": func(in inputs) any { return least(in) },
			"standard":   func(in inputs) any { a, _ := NextRatingUp(ClassUL, least(in)); return a },
		}},
		"WE16": {"ISO 8820-3, from memory", outputs{
			"percent": func(in inputs) any { return 100 * in.n("current_A") / in.n("rating_A") },
			"min":     func(in inputs) any { return blade(in).MinTime(in.n("current_A")) },
			"max":     func(in inputs) any { return blade(in).MaxTime(in.n("current_A")) },
		}},
		// The rule as the standard writes it, which no gG fuse near I_z passes;
		// OverloadLimitA has the exception that IEC 60269 earns gG links.
		"WE17": {"IEC 60364-4-43, 433.1", outputs{
			"i2":            func(in inputs) any { return i2(in) },
			"limit_1_45_iz": func(in inputs) any { return 1.45 * in.n("iz_A") },
			"ok":            func(in inputs) any { return i2(in) <= 1.45*in.n("iz_A") },
		}},
		"WE18": {"IEC 60269-1", outputs{
			"ratio": func(in inputs) any { return in.n("upstream_A") / in.n("downstream_A") },
			"ok":    func(in inputs) any { return in.n("upstream_A") >= SelectiveGGRatio*in.n("downstream_A") },
		}},
		"WE64": {"30 CFR 75.601-3", outputs{"fuse": next}},
		"WE65": {"30 CFR 75.601-3", outputs{"fuse": next}},
	}
}

func faultExamples() map[string]worked {
	k := func(in inputs) any { return in.line(KFactor(Copper(), in.n("t_initial_C"), in.n("t_final_C"))) }
	withstand := func(in inputs, s Size) float64 { return follow(in.t, WithstandI2t(s.AreaMM2, in.n("k"))) }
	heat := func(in inputs) float64 { return in.n("current_A") * in.n("current_A") * in.n("time_s") }
	return map[string]worked{
		"WE20": {"IEC 60364-5-54 Annex A", outputs{"k": k}},
		"WE21": {"IEC 60364-5-54 Annex A", outputs{"k": k}},
		"WE22": {"IEC 60364-4-43, 434.5.2", outputs{
			"time": func(in inputs) any {
				return follow(in.t, WithstandI2t(in.n("area_mm2"), in.n("k"))) / (in.n("current_A") * in.n("current_A"))
			},
		}},
		"WE23": {"IEC 60364-5-54, 543.1.2; IEC 60228", outputs{
			"area": func(in inputs) any { return math.Sqrt(heat(in) / withstand(in, Size{AreaMM2: 1})) },
			"standard": func(in inputs) any {
				s, _ := ThinnestSize(Metric, func(s Size) bool { return withstand(in, s) >= heat(in) })
				return s.AreaMM2
			},
		}},
		"WE24": {"IEC 60949", outputs{
			"k_form": func(in inputs) any {
				k := in.line(KFactor(Copper(), in.n("t1_C"), in.n("t2_C")))
				return math.Sqrt(follow(in.t, WithstandI2t(in.size().AreaMM2, k)) / in.n("time_s"))
			},
		}},
	}
}

func capacitorExamples() map[string]worked {
	charging := func(in inputs) Charging {
		return Charging{SourceV: in.n("v"), SeriesOhm: in.n("r_ohm"), CapacitanceF: in.n("c_uF") / 1e6}
	}
	to := func(share float64) func(in inputs) any {
		return func(in inputs) any { return in.v(charging(in).TimeTo(share * in.n("v"))) }
	}
	// charged is the share of the source after a number of time constants.
	charged := func(in inputs) float64 {
		unit := Charging{SourceV: 1, SeriesOhm: 1, CapacitanceF: 1}
		return in.line(unit.VoltageAfter(in.n("time_constants")))
	}
	left := func(in inputs) float64 { return in.n("v") * (1 - charged(in)) }
	bleed := func(in inputs) float64 {
		return in.line(DischargeTime(in.n("r_ohm"), in.n("c_uF")/1e6, in.n("v0"), ClassALimitV))
	}
	return map[string]worked{
		"WE27": {"circuit theory", outputs{
			"tau":                func(in inputs) any { return in.line(charging(in).TimeConstant()) },
			"i0":                 func(in inputs) any { return in.v(charging(in).FirstCurrentA()) },
			"p0":                 func(in inputs) any { return in.n("v") * in.v(charging(in).FirstCurrentA()) },
			"t95":                to(0.95),
			"t99":                to(0.99),
			"energy_in_resistor": func(in inputs) any { return in.line(charging(in).ResistorEnergy()) },
		}},
		"WE28": {"circuit theory", outputs{
			"energy": func(in inputs) any { return CapacitorEnergyJ(in.n("c_uF")/1e6, in.n("v")) },
		}},
		"WE30": {"circuit theory", outputs{
			"delta_v": func(in inputs) any { return left(in) },
			"inrush":  func(in inputs) any { return in.line(Inrush(in.n("v"), in.n("v")-left(in), in.n("loop_mohm")/1000)) },
		}},
		"WE31": {"circuit theory", outputs{
			"fraction": func(in inputs) any { return 100 * charged(in) },
		}},
		"WE32": {"circuit theory; 60 V of ISO 6469-3", outputs{
			"time": func(in inputs) any { return bleed(in) },
			"ok":   func(in inputs) any { return bleed(in) <= in.n("limit_s") },
			"r_for_5s": func(in inputs) any {
				return in.v(DischargeResistor(in.n("limit_s"), in.n("c_uF")/1e6, in.n("v0"), ClassALimitV))
			},
			"p_at_v0": func(in inputs) any {
				r := in.v(DischargeResistor(in.n("limit_s"), in.n("c_uF")/1e6, in.n("v0"), ClassALimitV))
				return in.n("v0") * in.n("v0") / r
			},
		}},
	}
}

func safetyExamples() map[string]worked {
	highest := func(in inputs) float64 {
		w, ok := CellVoltages(in.record["chemistry"])
		if !ok {
			in.t.Errorf("no cell window of %s", in.record["chemistry"])
		}
		return w.MaxV * in.n("series")
	}
	class := outputs{
		"v_max": func(in inputs) any { return highest(in) },
		"class": func(in inputs) any {
			if highest(in) <= ClassALimitV {
				return "A"
			}
			return "B"
		},
	}
	return map[string]worked{
		"WE35": {"ISO 6469-3", class},
		"WE36": {"ISO 6469-3", class},
	}
}

func coilExamples() map[string]worked {
	// at carries what is stated at one temperature to another as the rules do, which
	// know the value at 20 C.
	at := func(in inputs, value, fromC, toC float64) float64 {
		return follow(in.t, AtTemperature("x_20", value/CopperFactor(fromC), "", toC))
	}
	volts := func(in inputs) float64 { return at(in, in.n("v"), in.n("t1_C"), in.n("t2_C")) }
	ohms := func(in inputs) any { return at(in, in.n("r_ohm"), in.n("t1_C"), in.n("t2_C")) }
	voltage := func(in inputs) any { return volts(in) }
	cold := func(in inputs) float64 {
		return at(in, in.n("coil_V")*in.n("coil_V")/in.n("coil_W"), 20, in.n("t_C"))
	}
	return map[string]worked{
		"WE37": {"relay application notes", outputs{"r": ohms}},
		"WE38": {"relay application notes", outputs{"v": voltage}},
		"WE39": {"relay application notes", outputs{"v": voltage}},
		"WE40": {"relay application notes", outputs{
			"v":                voltage,
			"ok_on_20V_supply": func(in inputs) any { return volts(in) <= 20 },
		}},
		"WE41": {"relay application notes; ISO 16750-2 code C", outputs{
			"r": ohms, "v": voltage,
			"ok_at_code_C_9V": func(in inputs) any { return volts(in) <= 9 },
		}},
		"WE42": {"relay application notes", outputs{
			"factor": func(in inputs) any { return at(in, 1, in.n("t1_C"), in.n("t2_C")) },
		}},
		"WE44": {"ISO 16750-2 code C; IEC 60949", outputs{
			"r20":    func(in inputs) any { return in.n("coil_V") * in.n("coil_V") / in.n("coil_W") },
			"r_cold": func(in inputs) any { return cold(in) },
			"power":  func(in inputs) any { return in.n("supply_V") * in.n("supply_V") / cold(in) },
		}},
	}
}

func measuringExamples() map[string]worked {
	ohm := func(in inputs) any { return 1e6 * in.v(ShuntResistance(in.n("rated_A"), in.n("drop_mV"))) }
	scale := func(in inputs, key string) (a, mV float64) {
		if _, err := fmt.Sscanf(in.record[key], "%gA/%gmV", &a, &mV); err != nil {
			in.t.Fatal(err)
		}
		return a, mV
	}
	return map[string]worked{
		"WE45": {"common practice", outputs{
			"resistance": ohm,
		}},
		"WE46": {"common practice", outputs{"resistance": ohm}},
		"WE47": {"circuit theory", outputs{
			"reading": func(in inputs) any {
				a, mV := scale(in, "shunt")
				meterA, meterMV := scale(in, "meter")
				return in.line(MeterReading(a, mV, meterA, meterMV, in.n("current_A")))
			},
		}},
	}
}

func busbarExamples() map[string]worked {
	ampacity := func(in inputs) any {
		return in.v(BarAmpacity(copperBar(in.n("width_mm"), in.n("thickness_mm")), 40+in.n("rise_K"), 40))
	}
	force := func(in inputs) any { return in.line(BarForce(in.n("current_A"), in.n("spacing_m"), in.n("length_m"))) }
	return map[string]worked{
		"WE48": {"Copper Development Association, Publication 22", outputs{"current": ampacity}},
		"WE50": {"Copper Development Association, Publication 22", outputs{"current": ampacity}},
		"WE51": {"Copper Development Association, ampacity tables", outputs{
			"current": func(in inputs) any {
				ratio := CopperFactor(in.n("ambient_C")+50) / CopperFactor(in.n("ambient_C")+in.n("rise_K"))
				return RiseScaled(in.n("i_at_50K"), 50, in.n("rise_K")) * math.Sqrt(ratio)
			},
		}},
		"WE52": {"Copper Development Association; IEC 60028", outputs{
			"r": func(in inputs) any {
				b := Bar{in.n("width_mm"), in.n("thickness_mm"), Copper(), in.n("iacs_percent"), false}
				return 1e6 * in.v(BarResistance(b, 1, in.n("t_C")))
			},
		}},
		"WE53": {"IEC 60865-1", outputs{"force": force}},
		"WE54": {"IEC 60865-1", outputs{"force": force}},
	}
}

func spacingExamples() map[string]worked {
	creepage := func(in inputs) any {
		mm, _, err := Creepage(in.n("working_V"), int(in.n("pollution")), in.record["group"])
		return in.line(mm, err)
	}
	base := func(in inputs) float64 { return in.line(Clearance(1000*in.n("impulse_kV"), int(in.n("pollution")))) }
	factor := func(in inputs) float64 { return in.line(AltitudeFactor(in.n("altitude_m"))) }
	return map[string]worked{
		"WE55": {"IEC 60664-1 Table F.5", outputs{"creepage": creepage}},
		"WE56": {"IEC 60664-1 Table F.5", outputs{"creepage": creepage}},
		"WE57": {"IEC 60664-1 Tables F.2 and A.2", outputs{
			"base":      func(in inputs) any { return base(in) },
			"factor":    func(in inputs) any { return factor(in) },
			"clearance": func(in inputs) any { return base(in) * factor(in) },
		}},
	}
}

func converterExamples() map[string]worked {
	// "2x68" is two lamps of 68 W.
	watts := func(in inputs, keys ...string) float64 {
		var sum float64
		for _, key := range keys {
			count, each, many := strings.Cut(in.record[key], "x")
			if !many {
				count, each = "1", in.record[key]
			}
			sum += record{"n": count}.num(in.t, "n") * record{"w": each}.num(in.t, "w")
		}
		return sum
	}
	steady := []string{"dipped", "tail", "stop", "plate", "controller"}
	all := append(slices.Clone(steady), "horn_intermittent")
	amps := func(in inputs, keys []string) float64 {
		return follow(in.t, Load{Law: ConstantPower, PowerW: watts(in, keys...)}.Current("V_out", in.n("output_V")))
	}
	lamp := func(in inputs) float64 {
		return Load{Law: Filament, PowerW: in.n("watts"), AtV: in.n("volts")}.RatedA()
	}
	return map[string]worked{
		"WE59": {"relay and switch application notes", outputs{
			"steady":      func(in inputs) any { return lamp(in) },
			"inrush_low":  func(in inputs) any { low, _ := FilamentInrush(); return low.Value * lamp(in) },
			"inrush_high": func(in inputs) any { _, high := FilamentInrush(); return high.Value * lamp(in) },
		}},
		"WE60": {"UN R37 lamp watts; circuit theory", outputs{
			"continuous":               func(in inputs) any { return watts(in, steady...) },
			"continuous_current":       func(in inputs) any { return amps(in, steady) },
			"with_horn":                func(in inputs) any { return watts(in, all...) },
			"with_horn_current":        func(in inputs) any { return amps(in, all) },
			"load_fraction_continuous": func(in inputs) any { return 100 * amps(in, steady) / in.n("converter_A") },
			"ok_at_80_percent":         func(in inputs) any { return amps(in, steady) <= 0.8*in.n("converter_A") },
		}},
		"WE61": {"circuit theory", outputs{
			"input_current": func(in inputs) any {
				return follow(in.t, InputCurrent(1, in.n("output_W"), 100*in.n("efficiency"), "V_in", in.n("input_min_V")))
			},
		}},
	}
}
