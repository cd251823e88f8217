package circuit

import "sort"

// Course is what a transient came to.
type Course struct {
	Transient Transient
	// Failed says why the run stopped before its end; "" if it did not.
	Failed string
	// Chatter lists contacts and converters that find no rest at one instant.
	Chatter []string
	// Cycling lists contacts and converters that start and stop again and again
	// as the capacitors charge and discharge.
	Cycling []string
	// Events is what moved, in order.
	Events []Event

	network      *Network
	samples      []sample
	heat, square []float64 // by edge: integrals of v i and of i squared
	peak         []Peak    // by edge
	drawn        []Peak    // by edge, the current of its capacitor left out
}

// Event is a contactor or relay that operates or releases, or a converter that
// starts or stops.
type Event struct {
	S  float64 // when, s
	ID string
	On bool

	sample int // the state right after it
}

// Peak is a greatest current, without its sign.
type Peak struct {
	A float64 // A
	S float64 // when, s
}

// sample is the state at a time. Where something moves there are two at the same
// time: before and after.
type sample struct {
	s        float64
	v        []float64 // by node
	i        []float64 // by edge
	together []int
}

func newCourse(n *Network, t Transient) *Course {
	edges := len(n.Edges)
	return &Course{Transient: t, network: n, heat: make([]float64, edges), square: make([]float64, edges), peak: make([]Peak, edges),
		drawn: make([]Peak, edges)}
}

// EndS is the time at which the run ended, s.
func (c *Course) EndS() float64 {
	if len(c.samples) == 0 {
		return 0
	}
	return c.samples[len(c.samples)-1].s
}

// First returns the first time at which something operates or starts.
func (c *Course) First(id string) (Event, bool) {
	for _, e := range c.Events {
		if e.ID == id && e.On {
			return e, true
		}
	}
	return Event{}, false
}

// HeatJ is the heat, or the work done, in an edge over the run, in J.
func (c *Course) HeatJ(edge string) float64 {
	if e := c.network.byID[edge]; e != nil {
		return c.heat[e.index]
	}
	return 0
}

// SquareA2s is the integral of the square of an edge's current over the run, in A2s.
func (c *Course) SquareA2s(edge string) float64 {
	if e := c.network.byID[edge]; e != nil {
		return c.square[e.index]
	}
	return 0
}

// Peak is the greatest current of an edge over the run.
func (c *Course) Peak(edge string) Peak {
	if e := c.network.byID[edge]; e != nil {
		return c.peak[e.index]
	}
	return Peak{}
}

// Drawn is the same without the current of the edge's capacitor: what a
// controller or converter takes for itself.
func (c *Course) Drawn(edge string) Peak {
	if e := c.network.byID[edge]; e != nil {
		return c.drawn[e.index]
	}
	return Peak{}
}

// Moment is the state at one time of a course: that of a sample, or between
// samples a weighted sum of those around.
type Moment struct {
	course *Course
	first  int // sample
	weight []float64
}

// Before and After are the states right before and after an event.
func (c *Course) Before(e Event) Moment { return Moment{c, max(0, e.sample-1), []float64{1}} }

// After is the state right after an event.
func (c *Course) After(e Event) Moment { return Moment{c, e.sample, []float64{1}} }

// End is the state at the end of the run.
func (c *Course) End() Moment { return Moment{c, len(c.samples) - 1, []float64{1}} }

// At is the state at a time, after whatever moves then. Between samples it is
// interpolated by a cubic through the four around, within the stretch between
// two events.
func (c *Course) At(s float64) Moment {
	after := sort.Search(len(c.samples), func(k int) bool { return c.samples[k].s > s })
	if after == 0 || after == len(c.samples) || c.samples[after-1].s == s {
		return Moment{c, max(0, after-1), []float64{1}}
	}
	from, to := after-1, after
	// Two samples at one time are the end of a stretch.
	left := func() bool { return from > 0 && c.samples[from-1].s < c.samples[from].s }
	right := func() bool { return to+1 < len(c.samples) && c.samples[to+1].s > c.samples[to].s }
	for to-from < 3 && (left() || right()) {
		if left() && (!right() || after-from <= to-after+1) {
			from--
		} else {
			to++
		}
	}
	return c.between(s, from, to)
}

// between interpolates through the samples from one to another (Lagrange).
func (c *Course) between(s float64, from, to int) Moment {
	m := Moment{course: c, first: from}
	for i := from; i <= to; i++ {
		w := 1.0
		for j := from; j <= to; j++ {
			if j != i {
				w *= (s - c.samples[j].s) / (c.samples[i].s - c.samples[j].s)
			}
		}
		m.weight = append(m.weight, w)
	}
	return m
}

// Across is the voltage from one terminal to another; not ok as in Solution.Across.
func (m Moment) Across(a, b string) (volts float64, ok bool) {
	x, ok := m.course.network.Node(a)
	y, ok2 := m.course.network.Node(b)
	if !ok || !ok2 || m.first < 0 || len(m.course.samples) == 0 {
		return 0, false
	}
	for k, w := range m.weight {
		s := &m.course.samples[m.first+k]
		if s.together[x] != s.together[y] {
			return 0, false
		}
		volts += w * (s.v[x] - s.v[y])
	}
	return volts, true
}

// Current is the current of an edge from its From to its To node, that into its
// capacitor included.
func (m Moment) Current(edge string) (amperes float64) {
	e := m.course.network.byID[edge]
	if e == nil {
		return 0
	}
	for k, w := range m.weight {
		amperes += w * m.course.samples[m.first+k].i[e.index]
	}
	return amperes
}

// TimeTo is the first time at which the voltage from one terminal to another
// rises to a value, in s; for a value that it begins above, the first time at
// which it falls to it.
func (c *Course) TimeTo(a, b string, volts float64) (s float64, ok bool) {
	var last float64
	rising := false
	for k := range c.samples {
		v, known := Moment{c, k, []float64{1}}.Across(a, b)
		if !known {
			continue
		}
		if k == 0 {
			rising = v < volts
		}
		if v == volts || (v > volts) == rising {
			return c.bisect(a, b, volts, last, c.samples[k].s, rising), true
		}
		last = c.samples[k].s
	}
	return 0, false
}

func (c *Course) bisect(a, b string, volts, from, to float64, rising bool) float64 {
	for to-from > 1e-9*to {
		middle := (from + to) / 2
		if middle == from || middle == to {
			break
		}
		if v, _ := c.At(middle).Across(a, b); (v >= volts) == rising {
			to = middle
		} else {
			from = middle
		}
	}
	return to
}

// Times lists the times of the samples, in s: what a plot needs.
func (c *Course) Times() []float64 {
	var out []float64
	for _, s := range c.samples {
		out = append(out, s.s)
	}
	return out
}
