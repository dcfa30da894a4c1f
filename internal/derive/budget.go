package derive

import (
	"math"
	"sort"
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

// largestCauses is the number of causes a budget lists.
const largestCauses = 5

// Budget returns the largest contributions to u(q), at most five, largest
// first: |∂q/∂observation|·u. A tie's is parted into its own and its lengths'.
func (s *Solution) Budget(q Quantity) []Cause {
	if !q.determined {
		return nil
	}
	var causes []Cause
	lengths := map[string]float64{}
	d := s.fit.Sensitivity(q.row)
	first := len(s.Observations) - len(s.ties)
	for i := range s.Observations {
		o := &s.Observations[i]
		u := math.Abs(d[i]) * o.U
		if i >= first {
			t := &s.ties[i-first]
			u = math.Abs(d[i]) * t.t
			for _, l := range t.ratio.by {
				lengths[l.name] = math.Hypot(lengths[l.name], d[i]*s.amounts[i-first]*l.u)
			}
		}
		causes = append(causes, Cause{o.Kind, o.Index, o.Name, u})
	}
	for _, name := range []string{lengthW, lengthA, lengthL, lengthN} {
		causes = append(causes, Cause{Kind: ByLength, Name: name, U: lengths[name]})
	}
	return top(merged(causes))
}

// merged adds the two shares, along and across, of one load in quadrature.
func merged(causes []Cause) []Cause {
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
	sort.SliceStable(causes, func(a, b int) bool { return causes[a].U > causes[b].U })
	n := 0
	for n < len(causes) && n < largestCauses && causes[n].U > 1e-9 {
		n++
	}
	return causes[:n]
}
