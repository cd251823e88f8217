package calc

import "fmt"

// DeratingPoint is a point of a derating curve: percent of the rating at an
// ambient.
type DeratingPoint struct {
	AtC     float64
	Percent float64
}

// UncurvedC is the air in C up to which a rating without a derating curve is taken to
// hold: the ambient for which data sheets state it (common practice).
const UncurvedC = 40

// NotRatedError says that a part promises nothing in an ambient: it is hotter than the
// last point of its derating curve.
type NotRatedError struct{ LastC float64 }

func (e *NotRatedError) Error() string { return fmt.Sprintf("not rated above %g C", e.LastC) }

// Derating is the percent of its rating that a part keeps in an ambient: straight
// between the points, below the first what that one says, and 100 without points.
// Above the last point the part is not rated: the error is a [NotRatedError]. Points
// must stand in rising order of temperature. Source: the form of data sheets.
func Derating(points []DeratingPoint, ambientC float64) (percent Line, err error) {
	for i, p := range points {
		if err := within(quantity{fmt.Sprintf("derating point %d", i+1), p.Percent, "%"}, 0, 1000); err != nil {
			return Line{}, err
		}
		if i > 0 && !(p.AtC > points[i-1].AtC) {
			return Line{}, quantity{fmt.Sprintf("temperature of derating point %d", i+1), p.AtC, "C"}.fault("must be above that of the point before it")
		}
	}
	if !finite(ambientC) {
		return Line{}, quantity{"ambient temperature", ambientC, "C"}.fault("must be a number")
	}
	const rounding = 1e-9
	if n := len(points); n > 0 && ambientC > points[n-1].AtC+rounding {
		return Line{}, &NotRatedError{points[n-1].AtC}
	}
	return line(deratedPercent(points, ambientC), "%", "linear between the points of the derating curve", ""), nil
}

func deratedPercent(points []DeratingPoint, ambientC float64) float64 {
	if len(points) == 0 {
		return 100
	}
	if ambientC <= points[0].AtC {
		return points[0].Percent
	}
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; ambientC <= b.AtC {
			return a.Percent + (b.Percent-a.Percent)*(ambientC-a.AtC)/(b.AtC-a.AtC)
		}
	}
	return points[len(points)-1].Percent
}

// InputPower is the power in W that a converter takes for an output power, without
// what it takes on standby. Source: energy balance.
func InputPower(outputW, efficiencyPercent float64) float64 {
	return outputW / (efficiencyPercent / 100)
}

// InputCurrent is the current in A that a converter draws from a voltage for its
// output, without standby; worst at the lowest. The symbol is that of the input
// voltage. Source: as [InputPower].
func InputCurrent(outputV, outputA, efficiencyPercent float64, symbol string, inputV float64) Line {
	in := line(outputV*outputA/(efficiencyPercent/100*inputV), "A", "V_o I_o / (eta $0)", "$1 * $2 / ($3/100 * $4)",
		outputV, outputA, efficiencyPercent, inputV)
	in.symbol = symbol
	return in
}
