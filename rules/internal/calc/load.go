package calc

import "math"

// OhmicCurrent is the current in A that a voltage drives through a resistance in
// Ohm; the symbol is that of the voltage. Source: Ohm's law.
func OhmicCurrent(symbol string, v, ohm float64) Line {
	i := line(v/ohm, "A", "$0 / R", "$1 / $2", v, ohm)
	i.symbol = symbol
	return i
}

// Milliamperes is a current stated in mA, in A; the symbol is that of the stated
// value.
func Milliamperes(symbol string, mA float64) Line {
	i := line(mA/1000, "A", "$0 / 1000", "$1 / 1000", mA)
	i.symbol = symbol
	return i
}

// LoadKind is the kind of a consumer, in the words of the format: led, electronic,
// motor, filament, resistive or inductive.
type LoadKind string

// LoadLaw is how the current of a consumer follows its voltage.
type LoadLaw int

const (
	ConstantResistance LoadLaw = iota // heaters and solenoids: I ~ V
	ConstantPower                     // regulated by electronics: I ~ 1 / V
	ConstantCurrent                   // a motor, whose torque sets its current
	Filament                          // a lamp, the hotter the higher its resistance: I ~ V^0.55
)

// Law is the law of a kind. Source: common practice.
func (k LoadKind) Law() LoadLaw {
	switch k {
	case "led", "electronic":
		return ConstantPower
	case "motor":
		return ConstantCurrent
	case "filament":
		return Filament
	}
	return ConstantResistance
}

// Linear is the law in a circuit that is solved, and in what is the most that a
// consumer draws: a filament is a resistance there, which keeps it out of the
// iteration. That is 4 % too much current at 10 % over-voltage, so it errs on the
// safe side where a rating is held against the highest voltage; at 10 % under-voltage
// it is 5 % too little, which takes as much off the drop in the lamp's own leads.
// Where the voltage is one number, as in the budget of a converter, [Filament] itself
// is right.
func (l LoadLaw) Linear() LoadLaw {
	if l == Filament {
		return ConstantResistance
	}
	return l
}

// Inrush is the multiple of its running current that a consumer of a kind draws at
// first: 6 of a motor that states no current at stall, 10 of a cold filament, which
// is the least of the range, and 1 of all others. Source: relay application notes.
func (k LoadKind) Inrush() Line {
	multiple := 1.0
	switch k {
	case "motor":
		multiple = 6
	case "filament":
		least, _ := FilamentInrush()
		return least
	}
	return standard(multiple, "", inrushSource)
}

const inrushSource = "relay application notes"

// FilamentInrush is the range of multiples of its steady current that a cold
// filament lamp draws at first; it halves in 5 to 10 ms. Source: relay application
// notes.
func FilamentInrush() (least, greatest Line) {
	return standard(10, "", inrushSource), standard(14, "", inrushSource)
}

// filamentExponent is how the current of a filament lamp follows its voltage
// (lamp practice, from memory).
const filamentExponent = 0.55

// Load is a consumer that draws PowerW at AtV.
type Load struct {
	Law         LoadLaw
	PowerW, AtV float64
}

// RatedA is the current in A at the voltage that its power is stated for. Source:
// circuit theory.
func (l Load) RatedA() float64 { return l.PowerW / l.AtV }

// Ohm is its resistance in Ohm at that voltage. Source: circuit theory.
func (l Load) Ohm() float64 { return l.AtV * l.AtV / l.PowerW }

// Current is the current in A at another voltage, by its law; the symbol is that of
// the voltage. Source: as [LoadLaw].
func (l Load) Current(symbol string, v float64) Line {
	var at Line
	switch l.Law {
	case ConstantPower:
		at = line(l.PowerW/v, "A", "P / $0", "$1 / $2", l.PowerW, v)
	case ConstantCurrent:
		at = line(l.RatedA(), "A", "P / U", "$1 / $2", l.PowerW, l.AtV)
	case Filament:
		at = line(l.RatedA()*math.Pow(v/l.AtV, filamentExponent), "A", "P / U ($0 / U)^0.55", "$1 / $2 ($3 / $2)^0.55", l.PowerW, l.AtV, v)
	default:
		at = line(l.PowerW*v/(l.AtV*l.AtV), "A", "P $0 / U^2", "$1 * $2 / $3^2", l.PowerW, v, l.AtV)
	}
	at.symbol = symbol
	return at
}
