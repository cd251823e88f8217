package circuit

import (
	"math"
	"slices"
)

// step tries to go one step of time. It reports whether that was accepted, how
// long the step was that it tried last, and how long the next should be.
func (r *run) step(h float64) (took, next float64, ok bool) {
	before := slices.Clone(r.v)
	margin := make([]float64, len(r.movers))
	r.margins(func(i int, m float64) { margin[i] = m })
	for range 40 {
		deviation, err := r.stages(h)
		if err != nil {
			copy(r.v, before)
			return h, h / 4, false
		}
		grow := 0.9 * math.Cbrt(1/max(deviation, 1e-3))
		if deviation > 1 {
			copy(r.v, before)
			return h, h * max(0.1, grow), false
		}
		shorter, late := r.beforeMove(h, margin)
		if !late {
			r.accept(h)
			return h, h * min(5, max(0.2, grow)), true
		}
		copy(r.v, before)
		h = shorter
	}
	return h, h / 4, false
}

// beforeMove reports whether the step has gone past the point where something
// moves by more than is allowed, and the shorter step that ends there.
func (r *run) beforeMove(h float64, before []float64) (shorter float64, late bool) {
	allowed := stepError * r.scale
	shorter = h
	r.margins(func(i int, m float64) {
		from := before[i]
		if m >= -allowed || math.IsInf(m, 0) || math.IsInf(from, 0) || from < 0 {
			return
		}
		// A straight line, aimed a little past the point; when the line is far from
		// the curve at least a tenth and at most nine tenths of the step.
		share := (from + allowed/2) / (from - m)
		shorter, late = min(shorter, h*min(0.9, max(0.1, share))), true
	})
	if late && shorter < 1e-12*(1+r.t) {
		return h, false
	}
	return shorter, late
}

// stages computes the stages of one step and returns its error as a multiple of
// what is allowed.
func (r *run) stages(h float64) (deviation float64, err error) {
	clear(r.heat)
	clear(r.square)
	weights := [3][3]float64{{gamma}, {a21, gamma}, {b1, b2, gamma}}
	for stage, a := range weights {
		for i := range r.banks {
			b := &r.banks[i]
			held := b.v
			for j := range stage {
				held += h * a[j] * b.slope[j]
			}
			r.store[b.place], r.stored[b.place] = b.farad/(gamma*h), held
		}
		if err := r.settle(stepIterations, false); err != nil {
			return 0, err
		}
		for i := range r.banks {
			b := &r.banks[i]
			b.slope[stage] = (r.across(b.place) - r.stored[b.place]) / (gamma * h)
		}
		r.weigh(h * weights[2][stage])
	}
	for i := range r.banks {
		b := &r.banks[i]
		step := b1*b.slope[0] + b2*b.slope[1] + gamma*b.slope[2]
		plain := e1*b.slope[0] + e2*b.slope[1]
		deviation = max(deviation, math.Abs(h*(step-plain))/(stepError*r.scale))
	}
	return deviation, r.verify()
}

// weigh adds a stage's part to the heat and the square of every current.
func (r *run) weigh(weight float64) {
	add := func(k int, v, i float64) {
		r.heat[k] += weight * v * i
		r.square[k] += weight * i * i
	}
	for k, g := range r.wiring.conductance {
		v := r.voltage(r.Edges[k])
		add(k, v, g*v)
	}
	for j := range r.laws {
		e, l := r.elements[j].Edge, &r.laws[j]
		if l.form == open || !r.active(e) {
			continue
		}
		v := r.voltage(e)
		i, _ := l.of(v)
		add(e.index, v, i)
	}
}

// accept goes on to the end of the step and records the state there.
func (r *run) accept(h float64) {
	r.t += h
	for _, d := range r.delays {
		// The last digit of a sum of steps must not miss a delay.
		if math.Abs(d-r.t) < 1e-9*d {
			r.t = d
		}
	}
	if math.Abs(r.end-r.t) < 1e-9*r.end {
		r.t = r.end
	}
	for i := range r.banks {
		r.banks[i].v = r.across(r.banks[i].place)
	}
	for k := range r.heat {
		r.out.heat[k] += r.heat[k]
		r.out.square[k] += r.square[k]
	}
	r.record()
}

// consistent reports whether the laws themselves, not only their tangents, agree
// with the present voltages, and no element asks for another region.
func (s *solver) consistent() bool {
	for _, j := range s.steps {
		if l := s.laws[j]; l.step(s.across(j)) {
			return false
		}
	}
	_, _, ok := s.balance(tangentResidual)
	return ok
}

// tangentResidual is the share of the largest current that may be left over at a
// node for the iteration to rest.
const tangentResidual = 1e-8

// record keeps the present state.
func (r *run) record() {
	s := sample{s: r.t, v: slices.Clone(r.v), i: make([]float64, len(r.Edges)), together: slices.Clone(r.together)}
	keep := func(k int, i, drawn float64) {
		s.i[k] = i
		r.out.peak[k].raise(i, r.t)
		r.out.drawn[k].raise(drawn, r.t)
	}
	for k, g := range r.wiring.conductance {
		i := g * r.voltage(r.Edges[k])
		keep(k, i, i)
	}
	for j := range r.laws {
		i := r.flows(j)
		g, i0 := r.companion(j)
		keep(r.elements[j].index, i, i-g*r.across(j)-i0)
	}
	if n := len(r.out.samples); n > 0 && slices.Equal(r.out.samples[n-1].together, s.together) {
		s.together = r.out.samples[n-1].together
	}
	r.out.samples = append(r.out.samples, s)
}

// raise takes a current into account that flows at a time.
func (p *Peak) raise(amperes, s float64) {
	if a := math.Abs(amperes); a > p.A {
		*p = Peak{A: a, S: s}
	}
}
