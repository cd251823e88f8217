package calc

import "fmt"

// DeratingPoint is a point of a derating curve: percent of the rating at an
// ambient.
type DeratingPoint struct {
	AtC     float64
	Percent float64
}

// Derating is the percent of its rating that a part keeps in an ambient:
// straight between the points, level outside them, 100 without points. Points
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

// InputPower is the power in W that a converter takes for an output power. The
// losses are standbyW, whatever the load, and the rest of the losses stated at
// full load, in proportion to the load: so the efficiency of a small load is
// far below the stated one. With standbyW 0 it is output over efficiency.
// Source: energy balance; the split of the losses is common practice.
func InputPower(outputW, fullLoadW, efficiencyPercent, standbyW float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"output power", outputW, "W"}, quantity{"standby power", standbyW, "W"}),
		positive(quantity{"full output power", fullLoadW, "W"}),
		within(quantity{"efficiency", efficiencyPercent, "%"}, 1, 100),
	); err != nil {
		return 0, err
	}
	fullLosses := fullLoadW * (100/efficiencyPercent - 1)
	proportional := max(0, fullLosses-standbyW) / fullLoadW
	return outputW*(1+proportional) + standbyW, nil
}

// SupplyCurrent is the current in A that a converter draws from a voltage for an
// output power, without standby power: the power over the efficiency and the
// voltage. Source: as [InputPower].
func SupplyCurrent(outputW, efficiencyPercent, inputV float64) (Line, error) {
	in, err := InputPower(outputW, outputW+1, efficiencyPercent, 0)
	if err := firstError(err, positive(quantity{"input voltage", inputV, "V"})); err != nil {
		return Line{}, err
	}
	return line(in/inputV, "A", "P_out / (eta V_out)", "$1 / ($2/100 * $3)", outputW, efficiencyPercent, inputV), nil
}

// InputCurrent is the current in A for an input power at a voltage; worst at
// the lowest. Source: circuit theory.
func InputCurrent(inputW, inputV float64) (float64, error) {
	if err := firstError(notNegative(quantity{"input power", inputW, "W"}), positive(quantity{"input voltage", inputV, "V"})); err != nil {
		return 0, err
	}
	return inputW / inputV, nil
}

// LoadCurrent is the current in A of a load of a power stated at a voltage.
// Source: circuit theory.
func LoadCurrent(powerW, atV float64) (float64, error) {
	if err := firstError(notNegative(quantity{"power", powerW, "W"}), positive(quantity{"voltage", atV, "V"})); err != nil {
		return 0, err
	}
	return powerW / atV, nil
}

// FilamentInrush is the range of multiples of its steady current that a cold
// filament lamp draws at first; it halves in 5 to 10 ms. Source: relay and
// switch application notes.
func FilamentInrush() (least, greatest Line) {
	const source = "relay and switch application notes"
	return standard(10, "", source), standard(14, "", source)
}
