package calc

// CopperYieldNmm2 is the stress in N/mm2 up to which a half-hard copper bar
// springs back (0.2 % proof stress). Source: EN 13601, R240 to R250, from memory.
const CopperYieldNmm2 = 200.0

// AluminiumYieldNmm2 is that of an aluminium bar of conductor alloy. Source: EN
// 755-2, EN AW-6101B T6, from memory.
const AluminiumYieldNmm2 = 160.0

// PlasticReserve is how far beyond its yield point a rectangular bar may be
// stressed in a short circuit before it stays bent. Source: IEC 60865-1, factor q
// of a rectangular section.
const PlasticReserve = 1.5

// BarStress is the bending stress in N/mm2 of a bar between two supports, that a
// force in N spread over its length presses across its thickness: F l/(8 Z) with
// Z = w d2/6. Source: IEC 60865-1, rigid conductors on two simple supports.
func BarStress(b Bar, forceN, spanMM float64) (Line, error) {
	if err := firstError(b.check(),
		notNegative(quantity{"force", forceN, "N"}),
		positive(quantity{"span", spanMM, "mm"}),
	); err != nil {
		return Line{}, err
	}
	z := b.SectionModulus().Value
	return line(forceN*1000*(spanMM/1000)/(8*z), "N/mm2", "F l / (8 Z)", "$1 * $2 / (8 * $3)", forceN, spanMM, z), nil
}

// SectionModulus is the section modulus in mm3 of a flat bar that is bent across
// its thickness: w d2/6. Source: mechanics of materials.
func (b Bar) SectionModulus() Line {
	return line(b.WidthMM*b.ThicknessMM*b.ThicknessMM/6, "mm3", "w d^2 / 6", "$1 * $2^2 / 6", b.WidthMM, b.ThicknessMM)
}

// Yield is the yield point of the bar's metal in N/mm2.
func (b Bar) Yield() Line {
	yield := CopperYieldNmm2
	if b.Metal.Name == "aluminium" {
		yield = AluminiumYieldNmm2
	}
	return standard(yield, "N/mm2", "EN 13601 and EN 755-2, from memory")
}
