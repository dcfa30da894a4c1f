package mistakes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"reconcile/internal/portable"
)

// ranked sorts by score, those that were tested first, equal ones in the order
// of kinds and places; it cuts the list and counts the ranks.
func ranked(found []Mistake) []Mistake {
	slices.SortStableFunc(found, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(order(a.Tested), order(b.Tested)), cmp.Compare(b.Score, a.Score), cmp.Compare(a.place, b.place))
	})
	// Thinned before ranks are counted, so that they have no gaps where alike
	// ones were left out.
	found = thinned(found)
	for i := range found {
		found[i].Rank = i + 1
		if i > 0 {
			first := found[i-1].Rank - 1
			// Compared with the first of its rank and not with the one before it:
			// a chain of small differences would make unequal ones equal.
			if found[first].Tested == found[i].Tested && portable.Ratio(found[first].Score-found[i].Score) <= worthNoMention {
				found[i].Rank = found[first].Rank
			}
		}
	}
	return found
}

// order puts what was tested first: nothing speaks for the rest but that
// nothing is left to speak against it.
func order(tested bool) int {
	if tested {
		return 0
	}
	return 1
}

// thinned keeps the best few of one kind in the same figures, so that ten
// digits of one reading do not crowd out the other explanations, and of those
// that would be said in the same words the best.
func thinned(found []Mistake) []Mistake {
	var kept []Mistake
	said := map[string]bool{}
	for i := range found {
		m := &found[i]
		alike := 0
		// Wrong lengths are in no reading and differ by their ties: all of them
		// would count as alike.
		for _, k := range kept {
			if k.Kind == m.Kind && slices.Equal(k.Readings, m.Readings) && k.Kind != lengthWrong {
				alike++
			}
		}
		if words := m.saying(); alike < mostAlike && len(kept) < longestList && !said[words] {
			kept, said[words] = append(kept, *m), true
		}
	}
	return kept
}

// saying is all of a mistake that its words depend on: the figures it is in and
// what each of them should have been.
func (m *Mistake) saying() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s|%s|%t|%q|%q", m.Kind, m.Load, m.OnBoard, m.Ties, m.Lengths)
	if m.Kind == lengthWrong { // a wrong length is not said of ties but of what they use
		b.Reset()
		fmt.Fprintf(&b, "%s|%q", m.Kind, m.Lengths)
	}
	for _, i := range m.Readings {
		fmt.Fprintf(&b, "|%d", i)
		// A load on board changes none of a reading's own figures; its name is in
		// the head.
		if m.Job != nil && m.Kind != loadWrong {
			r := &m.Job.Readings[i]
			fmt.Fprintf(&b, " %s %s %s %s %t %s", r.Typed, r.Unit, r.Kg, r.State, r.HitchUnknown, r.OnDeck)
		}
	}
	return b.String()
}
