package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
)

// cause is one contribution to a quantity's standard uncertainty, in kilograms: of a
// reading by its place in tickets.csv, of all else by its name. It says where better
// readings, or a better known mass or length, would narrow the result.
type cause struct {
	Kind   kind
	Index  int    // of the reading in Job.Readings
	Line   int    // of the reading
	Column string // of the reading; blank for the reading cell
	Name   string // of the load, scale, tie or length
	U      float64
}

// byLength is the cause of what a length's uncertainty adds through the ties.
const byLength kind = "length"

// largestCauses is the number of causes a budget lists: more than five would only say
// that no single one matters.
const largestCauses = 5

// budget returns the largest contributions to u(q), at most five, largest
// first, equal ones in the order of the observations, then the lengths:
//
//	|∂q/∂y_i|·u_i,   u(q)² = Σ (∂q/∂y_i·u_i)²
//
// which holds for independent observations (JCGM 100:2008, 5.1.2). A tie's is
// divided into its own, t, and those of its lengths: u² = t² + (amount·u(ratio))²,
// u(ratio)² being a sum over the lengths. A length that several ties use is one
// cause: its error is the same in all of them.
func (s *Solution) budget(q Quantity) []cause {
	if !q.Determined {
		return nil
	}
	causes := s.causes[:0]
	var lengths [len(Lengths)]float64
	// Observations are independent, so their contributions add in quadrature to u²;
	// the lengths enter through the ties, each once for all ties that use it.
	d := s.fit.sensitivity(q.row)
	first := len(s.Observations) - len(s.ties)
	for i := range s.Observations {
		c := s.causeOf(i)
		c.U = float64(math.Abs(d[i]) * s.Observations[i].U)
		if i >= first { // the ties are the last observations
			t := &s.ties[i-first]
			c.U = float64(math.Abs(d[i]) * t.t)
			for _, l := range t.ratio.by {
				at := slices.Index(Lengths[:], l.name)
				lengths[at] = portable.Hypot(lengths[at], float64(float64(d[i]*s.amounts[i-first])*l.u))
			}
		}
		causes = append(causes, c)
	}
	for i, name := range Lengths {
		causes = append(causes, cause{Kind: byLength, Name: name, U: lengths[i]})
	}
	s.causes = causes
	return top(merged(causes))
}

// causeOf names an observation as a cause. The zero of a scale is the scale's, and
// that a hinged drawbar passes no load on counts as a tie.
func (s *Solution) causeOf(i int) cause {
	o := &s.Observations[i]
	c := cause{Kind: o.Kind, Index: o.Index, Name: o.Name}
	switch o.Kind {
	case byReading:
		r := &s.Job.Readings[o.Index]
		c.Line, c.Column = r.Line, r.Column
	case byZero:
		c.Kind = byScale
	case byDrawbar:
		c.Kind = byTie
	}
	return c
}

// merged adds in quadrature what has one name: the shares, along and across, of
// a load, and the gain and zero of a scale. A reader can do something about a load
// or a scale, not about one of its unknowns.
func merged(causes []cause) []cause {
	out := causes[:0]
	for _, c := range causes {
		same := -1
		if c.Kind == byShare || c.Kind == byScale {
			same = slices.IndexFunc(out, func(o cause) bool { return o.Kind == c.Kind && o.Name == c.Name })
		}
		if same >= 0 {
			out[same].U = portable.Hypot(out[same].U, c.U)
			continue
		}
		out = append(out, c)
	}
	return out
}

// top rounds the causes and returns the largest that are not nothing. It rounds
// first: what is printed as equal is then equal, and keeps its order. The causes are
// used up: one that was taken is nothing after.
func top(causes []cause) []cause {
	for i := range causes {
		causes[i].U = portable.Kg(causes[i].U)
	}
	largest := make([]cause, 0, largestCauses)
	for range largestCauses {
		at, most := -1, 0.0
		for i := range causes {
			if causes[i].U > most {
				at, most = i, causes[i].U
			}
		}
		if at < 0 {
			break
		}
		largest = append(largest, causes[at])
		causes[at].U = 0
	}
	return largest
}
