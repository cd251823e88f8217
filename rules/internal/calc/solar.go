package calc

// ModulePercentPerK is how the open-circuit voltage of a crystalline silicon module of
// unknown coefficient follows its temperature, in percent per K: 18 % more at -20 C.
// Source: factor 1.18 of NFPA 70 Table 690.7(A), from memory; data sheets say -0.25 to
// -0.35.
const ModulePercentPerK = -0.40

// OpenVoltage is the open-circuit voltage in V of modules in series at a temperature,
// from that of one at 25 C. Source: data sheets of modules (linear coefficient).
func OpenVoltage(series int, moduleV, percentPerK, tempC float64) Line {
	return line(float64(series)*moduleV*(1+percentPerK/100*(tempC-25)), "V", "n V_oc (1 + k (T - 25))", "$1 * $2 (1 + $3/100 ($4 - 25))",
		float64(series), moduleV, percentPerK, tempC)
}

// ModuleCableA is the current in A that the lead of strings of modules in parallel is
// rated for: 1.25 times for sun and reflection beyond the test conditions, and 1.25
// times for hours without a break. Source: NFPA 70 690.8 (secondary text).
func ModuleCableA(parallel int, shortA float64) Line {
	return line(1.25*1.25*float64(parallel)*shortA, "A", "1.25 * 1.25 n I_sc", "1.25 * 1.25 * $1 * $2", float64(parallel), shortA)
}

// LooseStrings is the number of strings in parallel up to which none needs a fuse: the
// others cannot drive more through a faulty one than it gives itself. Source: NFPA 70
// 690.9 (from memory); circuit theory.
const LooseStrings = 2
