package derive

import (
	"math"

	"reconcile/internal/portable"
)

// behind is what a quantity rests on, and how far that is checked by the rest.
type behind struct {
	// Readings are the used readings, as indices into Job.Readings, that affect it: a
	// kilogram more on their display changes it by more than 10 g.
	Readings []int
	// Most is the reading that it rests on most, the one with the largest |∂q/∂reading|;
	// of equal ones the first. A question about it is asked of that line. −1: it rests
	// on none.
	Most int
	// Checked says whether a mistake in any of Readings would show: false if one of
	// them has a redundancy below 0.01.
	Checked bool
	// MistakeKg is the largest |∂q/∂reading|·4.1321·u/√redundancy of the checked ones, in
	// kilograms, and Tested whether there is one. 4.1321·u/√redundancy is the smallest error of
	// a reading that the test of its residual finds in 80 of 100 cases (Baarda 1968: δ₀
	// at α = 0.001), and this what it would do to the quantity if it were not found.
	MistakeKg float64
	Tested    bool
}

// Behind returns what a quantity rests on; nothing where it is not determined. Its list of
// readings is the solution's, to look at.
func (s *Solution) Behind(q Quantity) behind {
	b := behind{Most: -1}
	if !q.Determined {
		return b
	}
	b.Checked, b.Readings = true, s.indices.List(len(s.Used))[:0]
	largest, d := 0.0, s.sensitivity(q)
	for i := range s.Used {
		o, size := &s.Used[i], math.Abs(d[i])
		if size > largest {
			b.Most, largest = o.Index, size
		}
		if size <= noticeable {
			continue
		}
		b.Readings = append(b.Readings, o.Index)
		if o.Testable {
			b.MistakeKg, b.Tested = max(b.MistakeKg, float64(size*o.Smallest)), true
		} else {
			b.Checked = false
		}
	}
	b.MistakeKg = portable.Kg(b.MistakeKg)
	return b
}

// decidedBy lists the used readings, as indices into Job.Readings, that a
// quantity rests on at least half as much as on the one that it rests on most: any of
// them may be the wrong one.
func (s *Solution) decidedBy(q Quantity) []int {
	d := s.sensitivity(q)
	largest := 0.0
	for i := range s.Used {
		largest = math.Max(largest, math.Abs(d[i]))
	}
	var all []int
	for i := range s.Used {
		if size := math.Abs(d[i]); size > 0 && float64(2*size) >= largest {
			all = append(all, s.Used[i].Index)
		}
	}
	return all
}
