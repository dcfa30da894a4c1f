package record

import "slices"

// compareFirst sends the reader to the figures in doubt, and says what is over
// whatever the mistake is.
func (r *Record) compareFirst(n *counts) []Do {
	var all []Do
	switch likely := r.likeliest(); {
	case len(r.CannotBe) > 0:
		all = r.compareCannotBe(likely)
	case n.onlyTies && !r.readingBeforeLength():
		all = append(all, Do{Code: "measure_again"})
	default:
		if likely == nil {
			likely = r.mostDoubtful()
		}
		all = append(all, r.compare(likely))
	}
	for _, c := range n.overAnyway {
		all = append(all, Do{"over_anyway", &Args{Rating: c.Rating, On: c.On, State: c.State}})
	}
	return all
}

// likeliest is the place of the likeliest mistake in tickets.csv; nil without one.
func (r *Record) likeliest() *Place {
	for i := range r.Mistakes {
		if m := &r.Mistakes[i]; m.File == "tickets.csv" && m.Line > 0 {
			return &Place{m.Line, m.Column}
		}
	}
	return nil
}

// mostDoubtful is the first of the readings with the largest |w|; nil where that
// is no reading.
func (r *Record) mostDoubtful() *Place {
	if len(r.Doubtful) > 0 && len(r.Doubtful[0]) > 0 && r.Doubtful[0][0].Line > 0 {
		return &r.Doubtful[0][0]
	}
	return nil
}

// readingBeforeLength says whether a mistake in a reading explains what does not
// fit better than a wrong length, or an outfit that was not level.
func (r *Record) readingBeforeLength() bool {
	reading, length := 0, 0
	for i := range r.Mistakes {
		switch m := &r.Mistakes[i]; {
		case m.Kind == "length_wrong" && length == 0:
			length = m.Rank
		case m.File == "tickets.csv" && reading == 0:
			reading = m.Rank
		}
	}
	return reading > 0 && (length == 0 || reading < length)
}

// compare names a figure to compare with its ticket; none: every line.
func (r *Record) compare(place *Place) Do {
	if place == nil {
		return Do{Code: "compare"}
	}
	t := r.readingAt(*place)
	if t == nil {
		return Do{Code: "compare"}
	}
	return Do{"compare", &Args{AtLine: place.Line, Column: place.Column, Ticket: t.Ticket, On: t.OnDeck}}
}

// readingAt gives the reading of a place; nil where none is there.
func (r *Record) readingAt(p Place) *Reading {
	for i := range r.Readings {
		if r.Readings[i].Line == p.Line && r.Readings[i].Column == p.Column {
			return &r.Readings[i]
		}
	}
	return nil
}

// compareCannotBe names, for what cannot be, the tickets to compare with their
// lines. One figure alone is named where every likeliest mistake is in it and
// it is among those; a figure that merely fits badly is not named, since it may
// be a right one.
func (r *Record) compareCannotBe(likely *Place) []Do {
	tickets := r.compareTickets()
	if likely == nil || !r.aloneLikeliest(*likely) {
		return tickets
	}
	sums := slices.ContainsFunc(r.CannotBe, func(c cannotBe) bool { return c.Code != "impossible" })
	named := slices.ContainsFunc(tickets, func(d Do) bool { return slices.Contains(d.Args.Lines, likely.Line) })
	switch {
	case sums && named:
		return tickets
	case sums:
		return append([]Do{r.compare(likely)}, tickets...)
	}
	return []Do{r.compare(likely)}
}

// aloneLikeliest says whether all mistakes of the first rank are on one line,
// and were tested.
func (r *Record) aloneLikeliest(p Place) bool {
	return !slices.ContainsFunc(r.Mistakes, func(m Mistake) bool {
		return m.Rank == r.Mistakes[0].Rank && (m.Line != p.Line || m.File != "tickets.csv" || m.PValue == nil)
	})
}

// compareTickets names the tickets with something that cannot be and the lines
// it rests on, each ticket once.
func (r *Record) compareTickets() []Do {
	var tickets []string
	lines := map[string][]int{}
	add := func(ticket string, line int) {
		tickets = once(tickets, ticket)
		lines[ticket] = once(lines[ticket], line)
	}
	for i := range r.CannotBe {
		c := &r.CannotBe[i]
		add(r.ticketOf(c.Args, c.Line), c.Line)
		if c.Args == nil {
			continue
		}
		for _, line := range c.Args.Lines {
			add(r.ticketOf(nil, line), line)
		}
		for _, f := range c.Args.Figures {
			add(c.Args.Ticket, f.Line)
		}
	}
	var all []Do
	for _, ticket := range tickets {
		slices.Sort(lines[ticket])
		all = append(all, Do{"compare_ticket", &Args{Ticket: ticket, Lines: lines[ticket]}})
	}
	return all
}

// ticketOf is the ticket that is named, else that of the line.
func (r *Record) ticketOf(a *Args, line int) string {
	if a != nil && a.Ticket != "" {
		return a.Ticket
	}
	for i := range r.Readings {
		if r.Readings[i].Line == line {
			return r.Readings[i].Ticket
		}
	}
	return ""
}
