package calc

import (
	"fmt"
	"math"
)

// Heating is how a conductor in still air heats in time, with resistance and
// heat flow at each temperature. It is the thermal replica without the
// replica's constant time constant: short times give the adiabatic limit, long
// times the steady state of the heat balance. Make one for a cable and ambient
// and ask it often: questions cost no heat balance. It does not change and may
// be shared.
//
// Source: C dT/dt = I2 R(T) - W(T), the equation behind IEC 60255-149, with W
// of [FreeAirAmpacity], C of [HeatCapacity] and R of [CopperFactor].
type Heating struct {
	ambientC float64
	stepC    float64
	metal    string    // "copper"
	capacity float64   // J/mK
	r20      float64   // Ohm/m
	alpha    float64   // per K from 20 C
	loss     []float64 // W/m at ambientC + i stepC
}

// heatingSteps is the number of pieces of the table of losses. Between its
// points the losses are taken as straight, which keeps temperatures within 0.2
// K and lets each piece be solved exactly.
const heatingSteps = 64

// NewHeating prepares the heating of a cable up to hottestC.
func NewHeating(c Cable, ambientC, hottestC float64) (*Heating, error) {
	flow, err := c.heatFlow(ambientC)
	if err != nil {
		return nil, err
	}
	capacity, err := HeatCapacity(c)
	if err != nil {
		return nil, err
	}
	return tabulate(Heating{ambientC: ambientC, metal: "copper", capacity: capacity, r20: c.Size.R20, alpha: CopperAlpha20}, hottestC, flow.loss)
}

// tabulate fills in the losses from ambient to hottest.
func tabulate(h Heating, hottest float64, loss func(tempC float64) float64) (*Heating, error) {
	if !finite(hottest) || hottest <= h.ambientC || hottest > hottestC {
		return nil, quantity{"highest temperature", hottest, "C"}.fault(
			fmt.Sprintf("must be above the ambient of %g C and at most %g C", h.ambientC, hottestC))
	}
	h.stepC = (hottest - h.ambientC) / heatingSteps
	h.loss = make([]float64, heatingSteps+1)
	for i := range h.loss {
		h.loss[i] = loss(h.node(i))
	}
	return &h, nil
}

// HottestC is the end of the range of temperatures.
func (h *Heating) HottestC() float64 { return h.node(heatingSteps) }

// LossWm is the heat in W/m that the conductor gives off at a temperature
// within the range, derating included: what it could be fed continuously there.
func (h *Heating) LossWm(tempC float64) float64 {
	i := h.piece(tempC)
	return h.loss[i] + (h.loss[i+1]-h.loss[i])*(tempC-h.node(i))/h.stepC
}

// OhmPerM is the resistance in Ohm/m at a temperature. Source: as
// [CopperFactor], for a bar with its metal's coefficient.
func (h *Heating) OhmPerM(tempC float64) float64 { return h.r20 * (1 + h.alpha*(tempC-20)) }

// node is the temperature of a point of the table.
func (h *Heating) node(i int) float64 { return h.ambientC + float64(i)*h.stepC }

// piece returns the index of the piece of the table that holds a temperature;
// one next to it where the temperature is a point of the table.
func (h *Heating) piece(tempC float64) int {
	return min(max(int((tempC-h.ambientC)/h.stepC), 0), heatingSteps-1)
}

// net is the heat in W/m that a current leaves in the conductor at a table
// point.
func (h *Heating) net(i int, squareA2 float64) float64 {
	return squareA2*h.r20*(1+h.alpha*(h.node(i)-20)) - h.loss[i]
}

// line returns the net heat as a + b T on a piece.
func (h *Heating) line(i int, squareA2 float64) (a, b float64) {
	n0, n1 := h.net(i, squareA2), h.net(i+1, squareA2)
	b = (n1 - n0) / h.stepC
	return n0 - b*h.node(i), b
}

// TimeTo is the time in s in which a current brings the conductor from one
// temperature to a higher one: +Inf if it never does, 0 if it is there already.
// A target above the range counts as the range's end, a start below the
// ambient as the ambient.
func (h *Heating) TimeTo(currentA, fromC, toC float64) float64 {
	toC = min(toC, h.HottestC())
	square := currentA * currentA
	tempC := max(fromC, h.ambientC)
	var s float64
	for i := h.piece(tempC); tempC < toC && i < heatingSteps; i++ {
		end := min(h.node(i+1), toC)
		if end <= tempC {
			continue
		}
		a, b := h.line(i, square)
		n0, n1 := a+b*tempC, a+b*end
		if !(n0 > 0 && n1 > 0) {
			return math.Inf(1)
		}
		s += h.capacity * (end - tempC) / logMean(n0, n1)
		tempC = end
	}
	return s
}

// logMean is the logarithmic mean (x - y)/ln(x/y) of two positive numbers.
func logMean(x, y float64) float64 {
	// With r = (x-y)/(x+y) it is (x+y)/2 r/atanh(r); near equality the series
	// of that avoids both the cancellation and the logarithm.
	if r := (x - y) / (x + y); math.Abs(r) < 0.05 {
		q := r * r
		return (x + y) / 2 * (1 - q/3 - 4*q*q/45)
	}
	return (x - y) / math.Log(x/y)
}

// After is the temperature in C after s seconds at a current, heating or
// cooling. It is false, with the range's end, if it leaves the range, and false
// with the starting temperature if the current or the time is no number or the
// time is negative.
func (h *Heating) After(currentA, fromC, s float64) (tempC float64, ok bool) {
	square := currentA * currentA
	tempC = max(fromC, h.ambientC)
	if !finite(currentA) || !(s >= 0) {
		return tempC, false
	}
	i := h.piece(tempC)
	for range 2 * heatingSteps { // it passes each piece once, for heating never turns into cooling
		a, b := h.line(i, square)
		heat := a + b*tempC
		switch {
		case heat > 0 && tempC >= h.node(i+1):
			if i++; i == heatingSteps {
				return h.HottestC(), false
			}
			continue
		case heat < 0 && tempC <= h.node(i):
			if i--; i < 0 {
				return h.ambientC, true
			}
			continue
		}
		var used float64
		if tempC, used = h.advance(i, square, tempC, s); used >= s {
			break
		}
		s -= used
	}
	return tempC, tempC <= h.HottestC()
}

// advance follows the temperature within a piece for at most s seconds.
func (h *Heating) advance(i int, square, tempC, s float64) (next, used float64) {
	a, b := h.line(i, square)
	n0 := a + b*tempC
	end := h.node(i + 1)
	if n0 < 0 {
		end = h.node(i)
	}
	if n1 := a + b*end; n0*n1 > 0 {
		t := h.capacity * (end - tempC) / (math.Copysign(1, n0) * logMean(math.Abs(n0), math.Abs(n1)))
		if t <= s {
			return end, t
		}
	}
	// The time ends inside the piece: T moves by n0/b (exp(b s/C) - 1).
	if x := b * s / h.capacity; math.Abs(x) > 1e-12 {
		return tempC + n0/b*math.Expm1(x), s
	}
	return tempC + n0*s/h.capacity, s
}

// Steady is the steady temperature in C of a current, or false if it lies above
// the range.
func (h *Heating) Steady(currentA float64) (tempC float64, ok bool) {
	square := currentA * currentA
	for i := range heatingSteps {
		if n0, n1 := h.net(i, square), h.net(i+1, square); n1 <= 0 {
			if n0 <= 0 {
				return h.node(i), true
			}
			return h.node(i) + h.stepC*n0/(n0-n1), true
		}
	}
	return h.HottestC(), false
}

// CyclePeak is the highest temperature in C of a cycle of currents that is
// repeated until it no longer changes, or false if it leaves the range.
func (h *Heating) CyclePeak(cycle []Interval) (peakC float64, ok bool) {
	rms, _, err := RMS(cycle)
	if err != nil {
		return 0, false
	}
	// Starting from the steady temperature of the RMS leaves little to settle;
	// if even that leaves the range, so does the cycle.
	tempC, ok := h.Steady(rms)
	if !ok {
		return tempC, false
	}
	for range 1000 {
		start := tempC
		peakC = start
		for _, i := range cycle {
			if tempC, ok = h.After(i.CurrentA, tempC, i.S); !ok {
				return tempC, false
			}
			peakC = max(peakC, tempC)
		}
		if math.Abs(tempC-start) < 0.01 {
			return peakC, true
		}
	}
	return peakC, true
}
