package circuit

import (
	"container/heap"
	"math"
	"slices"
	"sort"
	"sync"
)

// pattern is the symbolic LDL' factorisation of a symmetric matrix whose
// off-diagonal entries are the edges of a graph. It is computed once for a
// network and used for every state and corner: an open switch is an entry of
// value zero.
//
// Columns are held in elimination order, least degree first, which for the
// tree-like networks of a vehicle makes next to no fill.
type pattern struct {
	n        int
	position []int   // elimination position of each node
	node     []int   // node at each position
	rows     [][]int // rows of each column, as positions, ascending
	// target[p] lists, for each pair (i >= j) of rows of column p, where the
	// update of that pair goes: an index into the values, or into the diagonal
	// when i == j.
	target [][]int32
	start  []int // first value of each column
	values int
	edge   []int32 // value index of each edge, -1 for an edge from a node to itself

	updates func() [][]update // of each column; see findUpdates
	rooms   sync.Pool         // of *wayRoom: those that are free
}

// newPattern orders the nodes and computes the fill.
func newPattern(n int, edges []*Edge) *pattern {
	neighbours := make([]map[int]bool, n)
	for i := range neighbours {
		neighbours[i] = map[int]bool{}
	}
	for _, e := range edges {
		if e.From != e.To {
			neighbours[e.From][int(e.To)] = true
			neighbours[e.To][int(e.From)] = true
		}
	}
	p := &pattern{n: n, position: make([]int, n), node: make([]int, 0, n), rows: make([][]int, n)}
	columns := p.eliminate(neighbours)
	p.place(columns)
	p.updates = sync.OnceValue(p.findUpdates)
	p.edge = make([]int32, len(edges))
	for k, e := range edges {
		p.edge[k] = -1
		if e.From != e.To {
			p.edge[k] = int32(p.index(p.position[e.From], p.position[e.To]))
		}
	}
	return p
}

// eliminate removes the nodes in the order of least degree and returns the
// neighbours that each had when it went.
func (p *pattern) eliminate(neighbours []map[int]bool) [][]int {
	queue := &degreeQueue{}
	for v := range neighbours {
		heap.Push(queue, degree{len(neighbours[v]), v})
	}
	gone := make([]bool, p.n)
	columns := make([][]int, p.n)
	for queue.Len() > 0 {
		d := heap.Pop(queue).(degree)
		if gone[d.node] || d.degree != len(neighbours[d.node]) {
			continue // stale: the degree has changed since
		}
		v := d.node
		gone[v] = true
		p.position[v] = len(p.node)
		p.node = append(p.node, v)
		rest := make([]int, 0, len(neighbours[v]))
		for w := range neighbours[v] {
			rest = append(rest, w)
		}
		slices.Sort(rest)
		for i, a := range rest {
			delete(neighbours[a], v)
			for _, b := range rest[i+1:] {
				neighbours[a][b] = true
				neighbours[b][a] = true
			}
		}
		for _, a := range rest {
			heap.Push(queue, degree{len(neighbours[a]), a})
		}
		columns[p.position[v]] = rest
		neighbours[v] = nil
	}
	return columns
}

// place lays out the values and finds where each update goes.
func (p *pattern) place(columns [][]int) {
	p.start = make([]int, p.n)
	for c, nodes := range columns {
		rows := make([]int, len(nodes))
		for i, v := range nodes {
			rows[i] = p.position[v]
		}
		slices.Sort(rows)
		p.rows[c] = rows
		p.start[c] = p.values
		p.values += len(rows)
	}
	p.target = make([][]int32, p.n)
	for c, rows := range p.rows {
		targets := make([]int32, 0, len(rows)*(len(rows)+1)/2)
		for i, r := range rows {
			targets = append(targets, int32(r))
			for _, s := range rows[i+1:] {
				targets = append(targets, int32(p.index(r, s)))
			}
		}
		p.target[c] = targets
	}
}

// index returns where the value of a pair of positions stands; the pair must
// be in the pattern.
func (p *pattern) index(i, j int) int {
	if i > j {
		i, j = j, i
	}
	k, _ := slices.BinarySearch(p.rows[i], j)
	return p.start[i] + k
}

// factor is the numeric factorisation A = L D L'.
type factor struct {
	*pattern
	lower    []float64 // L, without its unit diagonal
	diagonal []float64 // D
	work     []float64

	undivided []float64 // the columns of L times D, where they are to be kept; see origin
	renewal   *renewal  // of the columns that are not those here; nil for none
}

// newFactor makes room for a factorisation.
func (p *pattern) newFactor() *factor {
	return &factor{pattern: p, lower: make([]float64, p.values), diagonal: make([]float64, p.n), work: make([]float64, p.n)}
}

// compute computes the factors of the matrix with the given diagonal (by
// node) and off-diagonal values (as laid out by the pattern). It reports false
// when a pivot is not positive: the matrix is not positive definite.
func (f *factor) compute(diagonal, offDiagonal []float64) bool {
	copy(f.lower, offDiagonal)
	for c, v := range f.node {
		f.diagonal[c] = diagonal[v]
	}
	for c, rows := range f.rows {
		d := f.diagonal[c]
		if !(d > 0) || math.IsInf(d, 1) {
			return false
		}
		column := f.lower[f.start[c] : f.start[c]+len(rows)]
		t := f.target[c]
		for i, r := range rows {
			l := column[i] / d
			f.diagonal[r] -= l * column[i]
			t = t[1:]
			if l == 0 {
				t = t[len(rows)-i-1:]
				continue
			}
			for _, below := range column[i+1:] {
				f.lower[t[0]] -= l * below
				t = t[1:]
			}
		}
		if f.undivided != nil {
			copy(f.undivided[f.start[c]:], column)
		}
		for i := range column {
			column[i] /= d
		}
	}
	return true
}

// solve solves for a right-hand side; both are by node and may be the same slice.
func (f *factor) solve(rhs, solution []float64) {
	x := f.work
	for c, v := range f.node {
		x[c] = rhs[v]
	}
	f.halve(x)
	for c := f.n - 1; c >= 0; c-- {
		x[c] /= f.diagonal[c]
		for i, r := range f.rows[c] {
			x[c] -= f.lower[f.start[c]+i] * x[r]
		}
	}
	for c, v := range f.node {
		solution[v] = x[c]
	}
}

// halve is the first half of solving, by position: it puts L^-1 x in the place of x.
func (f *factor) halve(x []float64) {
	for c, rows := range f.rows {
		if x[c] == 0 {
			continue
		}
		for i, r := range rows {
			x[r] -= f.lower[f.start[c]+i] * x[c]
		}
	}
}

// column is L^-1 e for a unit vector: the few positions that it touches, on the
// way from its node to the root, and their values.
type column struct {
	at    []int
	value []float64
	// direct says that each position is the parent of the one before it: the next that
	// this depends on in numbers. Two ways of this kind that meet stay together.
	direct bool
	self   float64 // the product with itself
}

// forward computes L^-1 e of a node. The product of two such columns over D is
// an entry of the inverse, at the cost of the path to the root.
func (f *factor) forward(v Node) *column {
	// The rows of a column all lie on the way from it to the root.
	way := f.wayToRoot(v)
	out := &column{at: way, value: make([]float64, len(way)), direct: true}
	out.value[0] = 1
	kept, parent := 0, way[0]
	for i, c := range out.at {
		x := out.value[i]
		if x == 0 {
			continue
		}
		out.direct = out.direct && c == parent
		parent = noParent
		below := i + 1
		lower, _ := f.entries(c)
		for k, r := range f.rows[c] {
			for out.at[below] != r {
				below++
			}
			if parent == noParent && lower[k] != 0 {
				parent = r
			}
			out.value[below] -= lower[k] * x
		}
		out.at[kept], out.value[kept] = c, x
		kept++
	}
	out.direct = out.direct && parent == noParent
	out.at, out.value = out.at[:kept], out.value[:kept]
	out.self = f.along(0, out.at, out.value, out.value)
	return out
}

const noParent = -1

// product returns one entry of the inverse, from two columns.
func (f *factor) product(a, b *column) (sum float64) {
	if a == b {
		return a.self
	}
	if a.direct && b.direct {
		m, n := len(a.at), len(b.at)
		shared := sort.Search(min(m, n), func(k int) bool { return a.at[m-1-k] != b.at[n-1-k] })
		return f.along(0, a.at[m-shared:], a.value[m-shared:], b.value[n-shared:])
	}
	for i, j := 0, 0; i < len(a.at) && j < len(b.at); {
		switch {
		case a.at[i] < b.at[j]:
			i++
		case a.at[i] > b.at[j]:
			j++
		default:
			sum = f.along(sum, a.at[i:i+1], a.value[i:], b.value[j:])
			i++
			j++
		}
	}
	return sum
}

// along adds to a sum the products of the values of two columns over D at the same
// positions.
func (f *factor) along(sum float64, at []int, a, b []float64) float64 {
	if f.renewal != nil {
		for i, c := range at {
			_, d := f.entries(c)
			sum += a[i] * b[i] / d
		}
		return sum
	}
	a, b = a[:len(at)], b[:len(at)]
	for i, c := range at {
		sum += a[i] * b[i] / f.diagonal[c]
	}
	return sum
}

// cancellation is the most digits, as a ratio, that elimination has taken off
// a diagonal entry: what is left of the precision of a solution is the
// precision of a double over it.
func (f *factor) cancellation(diagonal []float64) float64 {
	worst := 1.0
	for c, v := range f.node {
		worst = max(worst, diagonal[v]/f.diagonal[c])
	}
	return worst
}

type degree struct{ degree, node int }

// degreeQueue is a heap of nodes by degree, then by number.
type degreeQueue []degree

func (q degreeQueue) Len() int { return len(q) }
func (q degreeQueue) Less(i, j int) bool {
	return q[i].degree < q[j].degree || q[i].degree == q[j].degree && q[i].node < q[j].node
}
func (q degreeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *degreeQueue) Push(x any)   { *q = append(*q, x.(degree)) }
func (q *degreeQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
