package calc

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Properties of annealed copper.
const (
	// CopperResistivity20 is the resistivity of standard annealed copper at
	// 20 C in Ohm mm2/m. Source: IEC 60028.
	CopperResistivity20 = 1.0 / 58
	// CopperAlpha20 is its temperature coefficient of resistance at constant
	// mass, per K from 20 C. Source: IEC 60028.
	CopperAlpha20 = 0.00393
	// CopperBetaC is minus the temperature in C at which the straight line of
	// its resistance meets zero. Source: IEC 60949.
	CopperBetaC = 234.5
	// mm2PerCircularMil is the area of a circle of one mil, in mm2.
	mm2PerCircularMil = math.Pi / 4 * 0.0254 * 0.0254
	// strandingFactor is how much longer the wires of a stranded conductor are
	// than the conductor: 2 %. Source: NFPA 70 Chapter 9 Table 8 against the
	// geometry of ASTM B258.
	strandingFactor = 1.02
)

// System is a way of naming conductor sizes.
type System string

// The systems of conductor sizes.
const (
	Metric System = "mm2" // IEC 60228, and the road-vehicle labels of ISO 19642-3
	AWG    System = "AWG" // ASTM B258
	SAE    System = "SAE" // SAE J1127 and J1128: less copper than the same AWG number
)

// Size is a stranded copper conductor of a standard size.
type Size struct {
	Label      string  // as it is written: "70 mm2", "2/0 AWG", "4 SAE"
	System     System  // how it is named
	AreaMM2    float64 // nominal area (Metric), by geometry (AWG), least allowed (SAE)
	R20        float64 // Ohm/m at 20 C, of uncoated wires
	DiameterMM float64 // over the strands
	WallMM     float64 // usual thickness of the insulation

	coating float64 // resistance with tinned wires over that with plain ones
}

// Tinned returns the size with tin-coated wires, whose resistance is 2 to 4 %
// higher. Source: IEC 60228 Table 3 where it has the size; 3 % for the other
// metric labels; 4 % for AWG and SAE, the middle of NFPA 70 Chapter 9 Table 8.
func (s Size) Tinned() Size {
	s.R20 *= s.coating
	s.coating = 1
	return s
}

// ResistanceSource says where the resistance comes from. Source: as [ParseSize].
func (s Size) ResistanceSource() string {
	source, tin := "IEC 60228 Table 3, class 5, plain wires", "IEC 60228 Table 3, class 5, tin-coated wires"
	switch {
	case s.System == AWG:
		source = "area by ASTM B258, copper by IEC 60028, 2 % more for stranding"
		tin = source + ", 4 % for tin (NFPA 70 Chapter 9 Table 8)"
	case s.System == SAE:
		source = "least area of SAE J1127 and J1128, copper by IEC 60028, 2 % more for stranding"
		tin = source + ", 4 % for tin (NFPA 70 Chapter 9 Table 8)"
	case oddSize(s):
		source = "ISO 19642-3, from memory"
		tin = source + ", 3 % for tin"
	}
	if s.coating == 1 {
		return tin
	}
	return source
}

// SameNumberSAE returns the vehicle size of the same number as an AWG size.
// Battery and primary cable sold as "AWG" for vehicles usually has it, with 3
// to 11 % less copper. Source: SAE J1127, J1128.
func (s Size) SameNumberSAE() (Size, bool) {
	number, ok := strings.CutSuffix(s.Label, " AWG")
	if !ok {
		return Size{}, false
	}
	v, err := ParseSize(number + " SAE")
	return v, err == nil
}

// ParseSize reads a conductor size: "70 mm2", "0.75 mm2", "2/0 AWG", "4 SAE".
//
// Resistance at 20 C: metric, the greatest of IEC 60228 Table 3 for class 5
// plain wires, or of ISO 19642-3 (from memory) for labels that only vehicle
// cable has; AWG, ASTM B258 geometry with 2 % for stranding; SAE, the least
// areas of SAE J1127 and J1128 with the same 2 %.
func ParseSize(s string) (Size, error) {
	text := strings.ToLower(strings.TrimSpace(s))
	for _, u := range []struct {
		suffix string
		system System
	}{{"mm2", Metric}, {"mm²", Metric}, {"awg", AWG}, {"sae", SAE}} {
		number, ok := strings.CutSuffix(text, u.suffix)
		if !ok {
			continue
		}
		number = strings.TrimSpace(number)
		label := normalNumber(number) + " " + string(u.system)
		for _, size := range allSizes(u.system) {
			if size.Label == label {
				return size, nil
			}
		}
		return Size{}, fmt.Errorf("no conductor size %q; %s sizes are %s", s, u.system, labels(u.system))
	}
	return Size{}, fmt.Errorf(`conductor size %q has no unit; write it like "70 mm2", "2/0 AWG" or "2/0 SAE"`, s)
}

// normalNumber brings "00" to "2/0" and "2.50" to "2.5".
func normalNumber(s string) string {
	if n := len(s); n >= 1 && n <= 4 && strings.Trim(s, "0") == "" {
		return fmt.Sprintf("%d/0", n)
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return s
}

func labels(system System) string {
	var l []string
	for _, s := range allSizes(system) {
		number, _, _ := strings.Cut(s.Label, " ")
		l = append(l, number)
	}
	return strings.Join(l, ", ")
}

// CopperFactor is the resistance of copper at a temperature over that at 20 C:
// 1 + 0.00393 (T - 20). Source: IEC 60028.
func CopperFactor(tempC float64) float64 { return 1 + CopperAlpha20*(tempC-20) }

// AtTemperature carries a value of copper stated at 20 C, such as a resistance or
// the voltage of a coil whose ampere-turns are fixed, to another temperature T_c.
// The symbol is that of the stated value. Source: as [CopperFactor].
func AtTemperature(symbol string, at20 float64, unit string, tempC float64) Line {
	l := line(at20*CopperFactor(tempC), unit, "$0 (1 + $2 (T_c - 20))", "$1 * (1 + $2 * ($3 - 20))", at20, CopperAlpha20, tempC)
	l.symbol = symbol
	return l
}

// CopperCurrent is the current in A of a copper winding of a resistance stated at
// 20 C at a voltage and a temperature T_c. Source: circuit theory.
func CopperCurrent(volt, at20Ohm, tempC float64) Line {
	return line(volt/(at20Ohm*CopperFactor(tempC)), "A", "V_c / (R_20 (1 + $3 (T_c - 20)))", "$1 / ($2 * (1 + $3 * ($4 - 20)))",
		volt, at20Ohm, CopperAlpha20, tempC)
}

// JointedMOhm is the resistance in mOhm of a length of conductor at a temperature,
// with the joints at both its ends. Source: as [Resistance].
func (s Size) JointedMOhm(lengthM, jointMOhm, tempC float64) Line {
	return jointed(s.R20*lengthM, "$1 * $2", 1000*s.R20, lengthM, jointMOhm, tempC)
}

// jointed is the resistance in mOhm of a conductor of at20Ohm with its joints. Its
// own part is a template of $1, $2 and, for a bar, $6 and $7.
func jointed(at20Ohm float64, own string, metre, lengthM, jointMOhm, tempC float64, section ...float64) Line {
	numbers := own + " * (1 + $3 * ($4 - 20))"
	if jointMOhm != 0 {
		numbers = "(" + own + " + 2 * $5) * (1 + $3 * ($4 - 20))"
	}
	in := append([]float64{metre, lengthM, CopperAlpha20, tempC, jointMOhm}, section...)
	return line(1000*((at20Ohm+2*jointMOhm/1000)*CopperFactor(tempC)), "mOhm", "", numbers, in...)
}

// RatedDropMOhm is the resistance in mOhm of a part of which the drop in mV at its
// rated current is known. Source: circuit theory.
func RatedDropMOhm(dropMV, ratedA float64) Line {
	return line(dropMV/ratedA, "mOhm", "", "$1 / $2", dropMV, ratedA)
}

// Resistance is the resistance in Ohm of a length of conductor at a
// temperature. The length is terminal to terminal; out and back is twice it.
// Source: as [ParseSize] and [CopperFactor].
func Resistance(s Size, lengthM, tempC float64) (float64, error) {
	if err := firstError(
		positive(quantity{"resistance per metre", s.R20, "Ohm/m"}),
		notNegative(quantity{"length", lengthM, "m"}),
		within(quantity{"conductor temperature", tempC, "C"}, -100, 1000),
	); err != nil {
		return 0, err
	}
	return s.R20 * lengthM * CopperFactor(tempC), nil
}

// Sizes lists the sizes of a system that are on every dealer's shelf, thinnest
// first: what a fix may propose. The list is not to be changed.
func Sizes(system System) []Size { return usual()[system] }

var usual = sync.OnceValue(func() map[System][]Size {
	usual := map[System][]Size{}
	for system, all := range tables() {
		usual[system] = slices.DeleteFunc(slices.Clone(all), oddSize)
	}
	return usual
})

// oddSize tells the labels that only some makers keep: the metric sizes outside
// IEC 60228 and the odd gauge numbers but 1.
func oddSize(s Size) bool {
	number, _, _ := strings.Cut(s.Label, " ")
	if s.System == Metric {
		return !slices.ContainsFunc(metricTable[:], func(r metricRow) bool {
			return r.areaMM2 == s.AreaMM2 && r.coated > 0
		})
	}
	n, err := strconv.Atoi(number)
	return err == nil && n > 1 && n%2 == 1
}

// ThinnestSize is the thinnest usual size of a system that fits.
func ThinnestSize(system System, fits func(Size) bool) (Size, bool) {
	for _, c := range Sizes(system) {
		if fits(c) {
			return c, true
		}
	}
	return Size{}, false
}

// AreaMM2 converts an area in circular mils to mm2.
func AreaMM2(circularMils float64) float64 { return circularMils * mm2PerCircularMil }
