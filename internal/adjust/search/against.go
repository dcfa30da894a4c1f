package search

// against finds rows and places that cannot be met together: it begins with
// all, leaves out one after the other, last first, and keeps it out where the
// rest still cannot be met. So what remains is irreducible, and of several
// such sets the one that goes back furthest in the order of rows.
func (s *solver) against() (rows, places []int, irreducible bool) {
	t := task{aim: aimAny, skipRow: make([]bool, len(s.Limits)), skipPlace: make([]bool, len(s.Rooms))}
	s.dropUnused(&t)
	irreducible = true
	try := func(skip []bool, i int) {
		if skip[i] {
			return
		}
		skip[i] = true
		rest := s.minimise(t, nil)
		// It stays out only where the rest is proved impossible. A plan found
		// without it shows that it is needed; a search that ran out of nodes
		// shows nothing.
		if rest.x != nil || !rest.proved {
			skip[i] = false
			irreducible = irreducible && rest.x != nil
		}
	}
	for k := len(s.places) - 1; k >= 0; k-- {
		try(t.skipPlace, s.places[k])
	}
	for k := len(s.rows) - 1; k >= 0; k-- {
		try(t.skipRow, s.rows[k])
	}
	return kept(s.rows, t.skipRow), kept(s.places, t.skipPlace), irreducible
}

// dropUnused leaves out at once what the proof of infeasibility at the root, if
// there is one, does not use.
func (s *solver) dropUnused(t *task) {
	p := s.build(*t)
	tab := newTableau(p)
	r, _ := tab.optimise()
	if r < 0 {
		return
	}
	// With multipliers y under which the least of y·a·x + y·slack is above y·b,
	// the rows contradict each other; those with y = 0 had no part in that.
	y := tab.ray(r)
	if gap, _ := p.least(make([]float64, tab.n), y, tab.lo, tab.hi); gap <= 0 {
		return
	}
	for k, row := range s.rows { // the program's first rows, in this order
		t.skipRow[row] = y[k] == 0
	}
	for k, place := range s.places {
		t.skipPlace[place] = y[len(s.rows)+k] == 0
	}
}

// kept lists those of all that are not skipped, in their order.
func kept(all []int, skip []bool) []int {
	var keep []int
	for _, i := range all {
		if !skip[i] {
			keep = append(keep, i)
		}
	}
	return keep
}
