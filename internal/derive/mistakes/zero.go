package mistakes

import "reconcile/internal/tickets"

// zeroMistakes: the zero of a scale had not returned, and all its readings are
// off by one amount. Not where its empty deck was read: its zero is an unknown of the
// solution already, and to free it would solve the same equations once more.
func (s *search) zeroMistakes() []hypothesis {
	var all []hypothesis
	for _, unread := range s.Doubts().Zeros {
		scale := unread.Scale
		var readings []int
		for _, r := range s.used {
			if s.Job.Readings[r].Scale == scale {
				readings = append(readings, r)
			}
		}
		// One reading and the unknown zero of its scale test nothing: the zero
		// takes up whatever residual the reading had.
		if len(readings) < 2 {
			continue
		}
		all = append(all, hypothesis{
			Mistake: Mistake{Kind: zeroWrong, Scope: oneScale, Readings: readings},
			prior:   priorOf(zeroWrong, "", 1), touched: s.observed(readings), zero: &scale,
		})
	}
	return all
}

// visitsWith lists, for each visit, the tickets that have a reading which passes,
// in the order of the form. A visit is a day; readings without a date make one of
// their own.
func (s *search) visitsWith(pass func(*tickets.Reading) bool) [][]group {
	var visits [][]group
	at, ticket := map[string]int{}, map[string]int{}
	for _, i := range s.used {
		r := &s.Job.Readings[i]
		if !pass(r) {
			continue
		}
		// A form without dates is mostly one of a single day.
		day := ""
		if r.WeighedAt.Known {
			day = r.WeighedAt.Time.Format("2006-01-02")
		}
		v, ok := at[day]
		if !ok {
			v = len(visits)
			at[day], visits = v, append(visits, nil)
		}
		// The number of a ticket identifies it within its day only.
		key := day + "\x00" + r.Ticket
		if n, ok := ticket[key]; ok {
			visits[v][n].readings = append(visits[v][n].readings, i)
			continue
		}
		ticket[key] = len(visits[v])
		visits[v] = append(visits[v], group{oneTicket, []int{i}})
	}
	return visits
}
