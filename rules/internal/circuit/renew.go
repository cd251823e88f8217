package circuit

import "slices"

// renewal are the columns of a factorisation that differ from those of another, of
// the same matrix with a few other entries. A column depends on those before it that
// reach it, so that only those on the way from a changed entry to the root differ.
// What is computed here is, to the last digit, what a whole factorisation would give.
type renewal struct {
	at      []int // positions of the columns, ascending
	columns []renewed
}

type renewed struct {
	lower, undivided []float64
	diagonal, half   float64
}

// equations are a matrix and a right-hand side, column by column.
type equations interface {
	// column is what stands at a position: the entry of the diagonal, those below
	// it as laid out by the pattern, in room of their own, and the right-hand side.
	column(position int) (diagonal float64, below []float64, rhs float64)
}

// origin is what a factorisation keeps, so that others may follow from it.
type origin struct {
	undivided []float64 // the columns of L times D, by value of the pattern
	half      []float64 // L^-1 of the right-hand side, by position
}

// renew returns the factors of other equations, which differ at some nodes only. It
// reports false when a pivot is not positive, or has lost its digits.
func (f *factor) renew(o *origin, nodes []Node, other equations) (*factor, bool) {
	r := &renewal{}
	for _, v := range nodes {
		r.at = f.appendWay(r.at, v)
	}
	slices.Sort(r.at)
	r.at = slices.Compact(r.at)
	r.columns = make([]renewed, len(r.at))
	room := f.room()
	for k, c := range r.at {
		room.place[c] = int32(k) + 1
	}
	defer func() {
		for _, c := range r.at {
			room.place[c] = 0
		}
		f.rooms.Put(room)
	}()
	updates := f.updates()
	for i, c := range r.at {
		var x renewed
		x.diagonal, x.undivided, x.half = other.column(c)
		whole := x.diagonal
		for _, u := range updates[c] {
			by := renewed{undivided: o.undivided[f.start[u.column]:][:len(f.rows[u.column])], diagonal: f.diagonal[u.column], half: o.half[u.column]}
			if k := room.place[u.column]; k > 0 {
				by = r.columns[k-1]
			}
			entry := by.undivided[u.row]
			l := entry / by.diagonal
			x.diagonal -= l * entry
			if by.half != 0 {
				x.half -= l * by.half
			}
			if l == 0 {
				continue
			}
			for k, below := range by.undivided[u.row+1:] {
				x.undivided[int(f.target[u.column][u.target+k])-f.start[c]] -= l * below
			}
		}
		if !(x.diagonal > 0) || whole/x.diagonal >= maxCancellation {
			return nil, false
		}
		x.lower = slices.Clone(x.undivided)
		for k := range x.lower {
			x.lower[k] /= x.diagonal
		}
		r.columns[i] = x
	}
	return &factor{pattern: f.pattern, lower: f.lower, diagonal: f.diagonal, renewal: r}, true
}

// wayToRoot lists the positions from a node's to that of the root.
func (p *pattern) wayToRoot(v Node) []int {
	return p.appendWay(nil, v)
}

// appendWay is wayToRoot in room of its own.
func (p *pattern) appendWay(way []int, v Node) []int {
	c := p.position[v]
	way = append(way, c)
	for len(p.rows[c]) > 0 {
		c = p.rows[c][0] // the parent: the first neighbour eliminated later
		way = append(way, c)
	}
	return way
}

// wayRoom is room for what is worked out along a way to the root.
type wayRoom struct {
	way   []int
	x     []float64
	place []int32 // by position, 1 + that in a list of positions; all 0 in a free room
}

// room takes a free room; it is to be put back.
func (p *pattern) room() *wayRoom {
	if r, ok := p.rooms.Get().(*wayRoom); ok {
		return r
	}
	return &wayRoom{place: make([]int32, p.n)}
}

// update is a column that takes part in making a later one: its row that is the
// later column, and where the targets of what stands below that row begin.
type update struct{ column, row, target int }

// findUpdates lists the updates of each column, in the order of elimination.
func (p *pattern) findUpdates() [][]update {
	out := make([][]update, p.n)
	for c, rows := range p.rows {
		target := 0
		for i, r := range rows {
			out[r] = append(out[r], update{c, i, target + 1}) // the first is that of the diagonal
			target += len(rows) - i
		}
	}
	return out
}

// entries are a column of L and its entry of D.
func (f *factor) entries(c int) (lower []float64, diagonal float64) {
	if f.renewal != nil {
		if k, ok := slices.BinarySearch(f.renewal.at, c); ok {
			return f.renewal.columns[k].lower, f.renewal.columns[k].diagonal
		}
	}
	return f.lower[f.start[c]:][:len(f.rows[c])], f.diagonal[c]
}

// at is the solution at one node, at the cost of the way to the root.
func (f *factor) at(o *origin, v Node) float64 {
	room := f.room()
	defer f.rooms.Put(room)
	room.way = f.appendWay(room.way[:0], v)
	way := room.way
	room.x = slices.Grow(room.x[:0], len(way))[:len(way)]
	x := room.x
	changed := 0 // of the columns that differ, those that may lie on the way yet
	if f.renewal != nil {
		changed = len(f.renewal.at)
	}
	for i, c := range slices.Backward(way) {
		half, lower, diagonal := o.half[c], f.lower[f.start[c]:][:len(f.rows[c])], f.diagonal[c]
		for changed > 0 && f.renewal.at[changed-1] > c {
			changed--
		}
		if changed > 0 && f.renewal.at[changed-1] == c {
			by := &f.renewal.columns[changed-1]
			half, lower, diagonal = by.half, by.lower, by.diagonal
		}
		x[i] = half / diagonal
		above := i + 1
		for k, r := range f.rows[c] {
			for way[above] != r {
				above++
			}
			x[i] -= lower[k] * x[above]
		}
	}
	return x[0]
}

// origin is what follows from the factors and a right-hand side, by node. The columns
// must have been kept.
func (f *factor) origin(rhs []float64) *origin {
	o := &origin{undivided: f.undivided, half: make([]float64, f.n)}
	for c, v := range f.node {
		o.half[c] = rhs[v]
	}
	f.halve(o.half)
	return o
}

// changed are the equations of a short circuit with other conductances of some
// elements, by the index of their edges.
type changed struct {
	*thevenin
	conductance map[int]float64
}

func (x changed) column(c int) (diagonal float64, below []float64, rhs float64) {
	t := x.thevenin
	v := Node(t.node[c])
	diagonal, below = t.wiring.diagonal[v], slices.Clone(t.wiring.values[t.start[c]:][:len(t.rows[c])])
	for _, e := range t.network.at[v] { // in the order in which the whole is added up
		if e.IsConductor() || e.From == e.To {
			continue
		}
		g, ok := x.conductance[e.index]
		if !ok {
			g = t.added[e.index-len(t.wiring.conductance)]
		}
		diagonal += g
		if k := int(t.edge[e.index]) - t.start[c]; k >= 0 && k < len(below) {
			below[k] -= g
		}
	}
	if slices.Contains(t.roots, v) {
		diagonal++
	}
	return diagonal, below, t.rhs[v]
}
