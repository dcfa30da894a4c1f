package derive

import (
	"math"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// decidedBy lists the used readings, as indices into Job.Readings, that a
// quantity rests on at least half as much as on the one that it rests on most: any of them
// may be the wrong one.
func (s *Solution) decidedBy(q Quantity) []int {
	d := s.fit.sensitivity(q.row)
	largest := 0.0
	for i := range s.Observations {
		if s.Observations[i].Kind == ByReading {
			largest = math.Max(largest, math.Abs(d[i]))
		}
	}
	var all []int
	for i := range s.Observations {
		o := &s.Observations[i]
		if size := math.Abs(d[i]); o.Kind == ByReading && size > 0 && float64(2*size) >= largest {
			all = append(all, o.Index)
		}
	}
	return all
}

// ReadingU is the standard uncertainty, in kilograms, of a reading of which there
// are so many of the same kind (see [Solution.SameKind]); 1 where it is by itself.
func (s *Solution) ReadingU(r *tickets.Reading, repeats int) float64 {
	return portable.Kg(readingU(s.Job, r, repeats))
}

// ZeroShows is the part of an error common to all used readings of a scale, a
// zero that did not return, that is left in the residuals:
//
//	gᵀRg/gᵀg, g = k/u at each used reading of the scale, 0 elsewhere
//
// R is the covariance of the weighted residuals and k the number of weighers, each of
// which is off by the same. Near 0 the loads take up the error and no residual shows
// it. ok is false where the scale has no used reading.
func (s *Solution) ZeroShows(scale string) (share float64, ok bool) {
	var at []int
	var g []float64
	for i := range s.Observations {
		o := &s.Observations[i]
		if o.Kind != ByReading {
			continue
		}
		if r := &s.Job.Readings[o.Index]; r.Scale == scale {
			at = append(at, i)
			g = append(g, float64(weighers(&s.Job.Outfit, s.Job.Scale(scale), r))/o.U)
		}
	}
	whole, left := 0.0, 0.0
	for a, i := range at {
		whole += portable.Square(g[a])
		for b, j := range at {
			left += float64(float64(g[a]*g[b]) * s.fit.exact.ResidualCovariance(i, j))
		}
	}
	if whole <= 0 {
		return 0, false
	}
	return portable.Ratio(left / whole), true
}
