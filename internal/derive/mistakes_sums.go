package derive

import (
	"math"

	"reconcile/internal/tickets"
)

// calculatedFigures: a total or a net that a ticket prints was typed as a
// reading. It must be a sum or difference of other figures of its ticket, to
// one interval, or what conservation of mass makes of two of any ticket.
func (s *Solution) calculatedFigures() []hypothesis {
	var all []hypothesis
	rows := s.deckRows()
	for _, i := range s.system.usedIndex {
		which := ""
		switch {
		case s.addsUp(i, rows):
		case s.addsUpAcross(i, rows):
			which = "other ticket"
		default:
			continue
		}
		all = append(all, hypothesis{
			Mistake: Mistake{Kind: Calculated, Scope: oneFigure, Readings: []int{i}},
			prior:   priorOf(Calculated, which, 1), touched: s.observed([]int{i}),
			change: func(j *tickets.Job) { j.Readings[i].Use = tickets.UseCalculated },
		})
	}
	return all
}

// deckRows is, for each reading that names solved supports, the row of what was
// on its deck, without gain and zero; nil for the others.
func (s *Solution) deckRows() [][]float64 {
	rows := make([][]float64, len(s.Job.Readings))
	for i := range s.Job.Readings {
		r := &s.Job.Readings[i]
		if row, ok := s.deckNow(r); ok && !r.Empty() && r.Use != tickets.UseNo {
			rows[i] = row
		}
	}
	return rows
}

// mostOnTicket bounds the other figures of a ticket that are tried in sums.
const mostOnTicket = 8

// addsUp says whether a reading is a sum or difference of two or more other
// figures of its ticket, to one interval. Of wheels read separately many sums
// meet by chance: there its supports and states have to fit too.
func (s *Solution) addsUp(index int, rows [][]float64) bool {
	r := &s.Job.Readings[index]
	var others []int
	for i := range s.Job.Readings {
		o := &s.Job.Readings[i]
		if i != index && o.Ticket == r.Ticket && o.Use != tickets.UseNo && !o.Empty() && len(others) < mostOnTicket {
			others = append(others, i)
		}
	}
	fits := func([]int) bool { return true }
	if onWheels(r) {
		fits = func(signs []int) bool { return s.conserved(index, others, signs, rows) }
	}
	figures := make([]float64, len(others))
	for n, i := range others {
		figures[n] = s.Job.Readings[i].Kg.InexactFloat64()
	}
	return sumsTo(r.Kg.InexactFloat64(), tolerance(r), figures, nil, fits)
}

// tolerance is one interval, and a hair for the rounding of the sum.
func tolerance(r *tickets.Reading) float64 {
	return float64(r.IntervalKg.InexactFloat64() * (1 + 1e-9))
}

// onWheels says whether a reading is of an axle of a group, or of a side.
func onWheels(r *tickets.Reading) bool {
	for _, t := range r.Terms {
		if t.Axle > 0 || t.Side != tickets.Both {
			return true
		}
	}
	return false
}

// sumsTo tries each figure added, taken off and left out; signs has what was
// decided so far, and fits judges a sum that meets.
func sumsTo(rest, tolerance float64, figures []float64, signs []int, fits func([]int) bool) bool {
	if len(figures) == 0 {
		taken := 0
		for _, n := range signs {
			taken += n * n
		}
		return taken >= 2 && math.Abs(rest) <= tolerance && fits(signs)
	}
	f, more := figures[0], figures[1:]
	return sumsTo(rest-f, tolerance, more, append(signs, 1), fits) ||
		sumsTo(rest+f, tolerance, more, append(signs, -1), fits) ||
		sumsTo(rest, tolerance, more, append(signs, 0), fits)
}

// addsUpAcross says whether a reading is, to one interval, the sum or difference
// of two figures of any ticket of the job that conservation of mass makes it:
// coupled, all is vehicle alone and trailer alone.
func (s *Solution) addsUpAcross(index int, rows [][]float64) bool {
	r := &s.Job.Readings[index]
	kg, within := r.Kg.InexactFloat64(), tolerance(r)
	for a := range rows {
		if a == index || rows[a] == nil {
			continue
		}
		x := s.Job.Readings[a].Kg.InexactFloat64()
		for b := range rows {
			if b == index || b == a || rows[b] == nil {
				continue
			}
			y := s.Job.Readings[b].Kg.InexactFloat64()
			if b > a && math.Abs(kg-x-y) <= within && s.conserved(index, []int{a, b}, []int{1, 1}, rows) ||
				math.Abs(kg-x+y) <= within && s.conserved(index, []int{a, b}, []int{1, -1}, rows) {
				return true
			}
		}
	}
	return false
}

// conserved says whether what was on the deck of one reading is the signed sum
// of what was on others', whatever the loads are: the difference of the rows is
// nothing, or a sum of the exact constraints.
func (s *Solution) conserved(index int, others, signs []int, rows [][]float64) bool {
	if rows[index] == nil {
		return false
	}
	left := make([]float64, len(rows[index]))
	copy(left, rows[index])
	for n, i := range others {
		if signs[n] == 0 {
			continue
		}
		if rows[i] == nil {
			return false
		}
		for c, v := range rows[i] {
			left[c] -= float64(float64(signs[n]) * v)
		}
	}
	for _, apart := range []float64{0, 1, -1} {
		for _, tension := range []float64{0, 1, -1} {
			if s.isConstraint(left, apart, tension) {
				return true
			}
		}
	}
	return false
}

func (s *Solution) isConstraint(row []float64, apart, tension float64) bool {
	for c, v := range row {
		if math.Abs(v-float64(apart*s.system.balance[0][c])-float64(tension*s.system.balance[1][c])) > negligible {
			return false
		}
	}
	return true
}
