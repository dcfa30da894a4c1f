package derive

import (
	"cmp"
	"math"
	"slices"
)

// Cause is one contribution to a quantity's standard uncertainty.
type Cause struct {
	Kind  Kind
	Index int    // of the reading in Job.Readings
	Name  string // of the load, scale, tie or length
	U     float64
}

// ByLength is the cause of what a length's uncertainty adds through the ties.
const ByLength Kind = "length"

// lengthNames are the lengths that a budget may name, in this order.
var lengthNames = [...]string{lengthW, lengthA, lengthL, lengthN}

// largestCauses is the number of causes a budget lists.
const largestCauses = 5

// Budget returns the largest contributions to u(q), at most five, largest
// first: |∂q/∂observation|·u. A tie's is parted into its own and its lengths'.
func (s *Solution) Budget(q Quantity) []Cause {
	if !q.determined {
		return nil
	}
	causes := make([]Cause, 0, len(s.Observations)+len(lengthNames))
	var lengths [len(lengthNames)]float64
	d := s.fit.Sensitivity(q.row)
	first := len(s.Observations) - len(s.ties)
	for i := range s.Observations {
		o := &s.Observations[i]
		u := math.Abs(d[i]) * o.U
		if i >= first {
			t := &s.ties[i-first]
			u = math.Abs(d[i]) * t.t
			for _, l := range t.ratio.by {
				at := slices.Index(lengthNames[:], l.name)
				lengths[at] = math.Hypot(lengths[at], d[i]*s.amounts[i-first]*l.u)
			}
		}
		causes = append(causes, Cause{o.Kind, o.Index, o.Name, u})
	}
	for i, name := range lengthNames {
		causes = append(causes, Cause{Kind: ByLength, Name: name, U: lengths[i]})
	}
	return top(merged(causes))
}

// merged adds the two shares, along and across, of one load in quadrature.
func merged(causes []Cause) []Cause {
	if !slices.ContainsFunc(causes, func(c Cause) bool { return c.Kind == ByShare }) {
		return causes
	}
	var out []Cause
	at := map[string]int{}
	for _, c := range causes {
		if c.Kind == ByShare {
			if i, ok := at[c.Name]; ok {
				out[i].U = math.Hypot(out[i].U, c.U)
				continue
			}
			at[c.Name] = len(out)
		}
		out = append(out, c)
	}
	return out
}

// top keeps the largest causes that are not nothing.
func top(causes []Cause) []Cause {
	slices.SortStableFunc(causes, func(a, b Cause) int { return cmp.Compare(b.U, a.U) })
	n := 0
	for n < len(causes) && n < largestCauses && causes[n].U > 1e-9 {
		n++
	}
	return causes[:n]
}
