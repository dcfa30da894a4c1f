package lsq

import (
	"math"
	"sync"
)

// matrix is a dense matrix, row after row; stride is from one row to the next.
type matrix struct {
	rows, cols, stride int
	data               []float64
}

// row is row i of m.
func (m matrix) row(i int) []float64 {
	at := i * m.stride
	return m.data[at : at+m.cols]
}

// columns views the columns from, …, to−1 of m.
func (m matrix) columns(from, to int) matrix {
	if m.rows == 0 || from == to {
		return matrix{rows: m.rows, cols: to - from}
	}
	return matrix{rows: m.rows, cols: to - from, stride: m.stride, data: m.data[from:]}
}

// below views the rows of m from one on.
func (m matrix) below(from int) matrix {
	return matrix{rows: m.rows - from, cols: m.cols, stride: m.stride, data: m.data[from*m.stride:]}
}

// arena hands out slices of zeros from one piece of memory, so that a solution
// of many small matrices costs few allocations.
type arena struct {
	floatsAll, free  []float64
	intsAll, intFree []int
}

// leastChunk is the number of numbers that an arena asks for at once.
const leastChunk = 256

// floats is n zeros.
func (a *arena) floats(n int) []float64 {
	out := a.take(n)
	clear(out)
	return out
}

// take is room for n numbers that are all written before they are read; a new
// piece of memory where the last one is used up.
func (a *arena) take(n int) []float64 {
	if n > len(a.free) {
		a.floatsAll = make([]float64, max(n, 2*len(a.floatsAll), leastChunk))
		a.free = a.floatsAll
	}
	out := a.free[:n:n]
	a.free = a.free[n:]
	return out
}

// order is the numbers from 0 to n−1.
func (a *arena) order(n int) []int {
	if n > len(a.intFree) {
		a.intsAll = make([]int, max(n, 2*len(a.intsAll), leastChunk))
		a.intFree = a.intsAll
	}
	out := a.intFree[:n:n]
	a.intFree = a.intFree[n:]
	for i := range out {
		out[i] = i
	}
	return out
}

// arenas keeps the memory of systems that were solved for the next ones: a job
// solves several small systems, and asking for memory each time would cost more
// than the arithmetic.
var arenas = sync.Pool{New: func() any { return new(arena) }}

// solutions keeps the memory of solutions that were released. It is separate from that
// of systems: pieces of memory that lived as long would keep each other from being
// of the right size.
var solutions = sync.Pool{New: func() any { return new(arena) }}

// largestKept is the number of numbers above which an arena is not kept.
const largestKept = 1 << 16

// reserve makes sure that n numbers fit into one piece of memory, of which nothing
// is in use.
func (a *arena) reserve(n int) {
	if n > len(a.floatsAll) {
		a.floatsAll = make([]float64, n)
	}
	a.free = a.floatsAll
}

// giveBack lets another system have the memory; no slice of it may be in use.
func (a *arena) giveBack() {
	if len(a.floatsAll) <= largestKept {
		a.free, a.intFree = a.floatsAll, a.intsAll
		arenas.Put(a)
	}
}

// copied copies numbers.
func (a *arena) copied(v []float64) []float64 {
	out := a.take(len(v))
	copy(out, v)
	return out
}

// room is a matrix of which every element is written before it is read.
func (a *arena) room(rows, cols int) matrix {
	return matrix{rows: rows, cols: cols, stride: cols, data: a.take(rows * cols)}
}

// matrix is a matrix of zeros.
func (a *arena) matrix(rows, cols int) matrix {
	return matrix{rows: rows, cols: cols, stride: cols, data: a.floats(rows * cols)}
}

// clone copies a matrix into memory of its own.
func (a *arena) clone(m matrix) matrix {
	c := a.room(m.rows, m.cols)
	for i, from := 0, 0; i < len(c.data); i, from = i+m.cols, from+m.stride {
		copy(c.data[i:i+m.cols], m.data[from:])
	}
	return c
}

// Every product is converted, here and below: the language lets a compiler
// fuse x*y + z, with other bits on other processors, unless it is.

// dot is Σ a·b, added from the first to the last: in another order, or in parallel,
// the last bit would be another.
func dot(a, b []float64) float64 {
	var sum float64
	b = b[:len(a)]
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// addTimes adds f·from to the slice to.
func addTimes(to []float64, f float64, from []float64) {
	to = to[:len(from)]
	for i, v := range from {
		to[i] += float64(f * v)
	}
}

// takeOff takes Σ factor·row off the slice to, row by row of m from the first:
//
//	to −= Σ over i of factors_i·row i
//
// Four columns go together, as in reflectRows, then the last ones one by one.
func takeOff(to, factors []float64, m matrix) {
	data := m.data
	for ; len(to) >= 4; to, data = to[4:], data[4:] {
		a, b, c, d := to[0], to[1], to[2], to[3]
		at := 0
		for _, f := range factors {
			row := data[at : at+4 : at+4]
			a -= float64(f * row[0])
			b -= float64(f * row[1])
			c -= float64(f * row[2])
			d -= float64(f * row[3])
			at += m.stride
		}
		to[0], to[1], to[2], to[3] = a, b, c, d
	}
	for j, a := range to {
		at := j
		for _, f := range factors {
			a -= float64(f * data[at])
			at += m.stride
		}
		to[j] = a
	}
}

// square is the squared length of a vector, norm its length. No scaling guards
// against overflow: sizes are bounded before any arithmetic.
func square(a []float64) float64 { return dot(a, a) }

func norm(a []float64) float64 { return math.Sqrt(square(a)) }

// frobenius is the norm of the upper triangle of m, where R is.
func frobenius(m matrix) float64 {
	var sum float64
	for i := range min(m.rows, m.cols) {
		sum += square(m.row(i)[i:])
	}
	return math.Sqrt(sum)
}

// finite says whether all are numbers: the difference of an infinity or of what
// is no number with itself is no number, and compares as unlike 0.
func finite(values ...float64) bool {
	for _, v := range values {
		if v-v != 0 {
			return false
		}
	}
	return true
}
