package words

import (
	"iter"
	"slices"
	"strings"

	"reconcile/internal/record"
)

// driveCodes are those that say how the outfit may be driven. Where one is
// there it comes first; the rest keep the order of the record, gravest first.
var driveCodes = []string{"drive", "drive_not_checked", "within_known", "not_on_trip"}

// doNow is line 1: what to do now, the gravest thing first, then every other
// class next to it.
func (w *Words) doNow() string {
	var parts []string
	for _, group := range w.doGroups() {
		if text := w.doClause(group, len(parts) == 0); text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, "; ")
}

// doGroups puts what has one code together: driving first, then the record's
// order. What the trip adds replaces the sentence that the outfit may be driven.
func (w *Words) doGroups() [][]record.Do {
	var order []string
	groups := map[string][]record.Do{}
	for _, d := range w.Record.Do {
		if groups[d.Code] == nil {
			order = append(order, d.Code)
		}
		groups[d.Code] = append(groups[d.Code], d)
	}
	if groups["not_on_trip"] != nil {
		order = slices.DeleteFunc(order, func(c string) bool { return c == "drive" })
	}
	var first, rest [][]record.Do
	for _, code := range order {
		if slices.Contains(driveCodes, code) && !w.mustNotDrive() {
			first = append(first, groups[code])
		} else {
			rest = append(rest, groups[code])
		}
	}
	return append(first, rest...)
}

// mustNotDrive says whether the verdict is one that forbids driving as weighed.
func (w *Words) mustNotDrive() bool { return w.Record.Verdict != "within" }

// doClause says all things of one code; lead says that they begin line 1.
func (w *Words) doClause(group []record.Do, lead bool) string {
	a := argsOf(group[0].Args)
	switch group[0].Code {
	case "compare":
		return w.compareClause(a)
	case "compare_ticket":
		return w.compareTickets(group)
	case "measure_again":
		return "measure the lengths again, or weigh again on level ground"
	case "over_anyway":
		return "do not drive it: " + w.namedLoads(group) + " over in any case"
	case "over":
		text := "do not drive it as weighed: " + w.actions(group)
		if w.Record.Do[0].Code == "look_again" {
			return "if that line is right, " + text
		}
		return text
	case "over_elsewhere":
		return w.overElsewhere(group)
	case "unsettled":
		return w.unsettledClause(group, lead)
	case "weigh":
		return w.weighClause(a, lead)
	case "find":
		return w.findClause(a, lead)
	case "give_ratings":
		return w.noRating()
	case "look_again":
		return w.lookClause(a, lead)
	}
	return w.driveClause(group[0].Code, a)
}

// argsOf is never nil.
func argsOf(a *record.Args) *record.Args {
	if a == nil {
		return &record.Args{}
	}
	return a
}

// noRating asks for ratings where none decides.
func (w *Words) noRating() string {
	return "fill in " + w.reader("ratings.csv", "the plates") + ": there is no rating to compare a load with"
}

// everyLine names all figures, to be compared with their tickets.
func (w *Words) everyLine() string {
	return w.reader("every line of tickets.csv with its ticket", "every line with its slip")
}

// compareClause sends the owner back to the ticket of the figure most in doubt.
func (w *Words) compareClause(a *record.Args) string {
	if a.AtLine == 0 {
		return "compare " + w.everyLine() + ", or weigh again"
	}
	name := ""
	if a.Ticket != "" {
		name = " (" + w.ticketOn(a.Ticket, a.On, a.AtLine) + ")"
	}
	return "compare " + w.formLine("tickets.csv", a.AtLine) + name + " with the ticket, or weigh again"
}

// compareTickets names the tickets whose figures cannot all be right.
func (w *Words) compareTickets(group []record.Do) string {
	var names []string
	for _, d := range group {
		a := argsOf(d.Args)
		what := w.reader("every line of tickets.csv", "every line of its slip")
		if len(a.Lines) > 0 {
			what = w.formLines("tickets.csv", a.Lines...)
		}
		names = addOnce(names, what+" with ticket "+a.Ticket)
	}
	return "compare " + listed(names) + ": the figures cannot all be right"
}

// namedLoads names loads with their verb: "the rear axle is", "the rear axle
// and the GVM are".
func (w *Words) namedLoads(group []record.Do) string {
	var names []string
	for _, d := range group {
		a := argsOf(d.Args)
		names = addOnce(names, w.loadNoun(a.Rating, a.On))
	}
	if len(names) == 1 {
		return names[0] + " is"
	}
	return listed(names) + " are"
}

// actions says what has to come off what, and what to put on.
func (w *Words) actions(group []record.Do) string {
	var off, on []leastMass
	var all []string
	for _, d := range group {
		a := argsOf(d.Args)
		switch {
		case a.Rating == "d_value":
			all = addOnce(all, "the trailer is too heavy for the coupling's D-value")
		case a.Rating == "download_min":
			on = addMost(on, " more on the coupling", a.Kg)
		default:
			off = addMost(off, " off "+w.placeNoun(a.Rating, a.On), a.Kg)
		}
	}
	if len(on) > 0 {
		all = append([]string{"put at least " + w.leastMasses(on)}, all...)
	}
	if len(off) > 0 {
		all = append([]string{"take at least " + w.leastMasses(off)}, all...)
	}
	return strings.Join(all, ", and ")
}

// leastMass is what has to come off a load, or on it, at least.
type leastMass struct {
	where string
	kg    *float64
}

// addMost names each load once, with the greatest mass: that serves its other states
// and ratings too, and two masses of one load would be added up.
func addMost(all []leastMass, where string, kg *float64) []leastMass {
	for i := range all {
		if l := &all[i]; l.where == where {
			if kg != nil && (l.kg == nil || *kg > *l.kg) {
				l.kg = kg
			}
			return all
		}
	}
	return append(all, leastMass{where, kg})
}

// leastMasses lists masses with where they come off or on.
func (w *Words) leastMasses(all []leastMass) string {
	var texts []string
	for _, l := range all {
		texts = append(texts, w.upText(l.kg)+l.where)
	}
	return listed(texts)
}

// upText is a mass rounded up, with its unit.
func (w *Words) upText(kg *float64) string {
	if kg == nil {
		return "1 " + w.Unit
	}
	return w.massUp(*kg) + " " + w.Unit
}

// overElsewhere says what is over where it does not decide: "with the bars
// slack the rear axle is 61 over".
func (w *Words) overElsewhere(group []record.Do) string {
	var parts []string
	for _, d := range group {
		a := argsOf(d.Args)
		beyond := " over"
		if a.Rating == "download_min" {
			beyond = " too little"
		}
		by := ""
		if a.Kg != nil {
			by = " " + w.beyond(*a.Kg)
		}
		parts = addOnce(parts, w.withState(a.State)+w.loadNoun(a.Rating, a.On)+" is"+by+beyond)
	}
	return strings.Join(parts, ", ")
}

// beyond prints an excess as the tables do, rounded, but never as nothing.
func (w *Words) beyond(kg float64) string {
	if s := w.mass(kg); s != "0" {
		return s
	}
	return "1"
}

// withState begins a clause with the state that it is about, where that does
// not decide.
func (w *Words) withState(state string) string {
	switch {
	case state == "" || w.travelsIn(state) && state != "vehicle_alone":
		return "by a rating that is not the lowest "
	case state == "vehicle_alone":
		return "uncoupled, "
	case state == "coupled_tensioned":
		return "with the bars tensioned "
	}
	return "with the bars slack "
}

// unsettledClause says what would settle it where it is the gravest thing, else
// which loads are unsettled.
func (w *Words) unsettledClause(group []record.Do, lead bool) string {
	var names []string
	for _, d := range group {
		a := argsOf(d.Args)
		names = addOnce(names, w.shortNoun(a.Rating, a.On))
	}
	text := listed(names) + " unsettled"
	if !lead {
		return text
	}
	var reducible []record.Do
	for _, d := range group {
		if argsOf(d.Args).Rating != "d_value" {
			reducible = append(reducible, d)
		}
	}
	if len(reducible) == 0 {
		return "before driving, tow less or weigh again: " + text
	}
	return "before driving, " + w.actions(reducible) + ", or weigh again: " + text
}

// weighClause names the deciding loads that were not weighed.
func (w *Words) weighClause(a *record.Args, lead bool) string {
	var nouns, labels []string
	for _, k := range a.Checks {
		nouns = addOnce(nouns, w.weighNoun(k.Rating, k.On))
		labels = addOnce(labels, w.ratingNoun(k.Rating, k.On))
	}
	if lead {
		return "before driving, weigh " + listed(nouns)
	}
	return "not weighed: " + strings.Join(labels, ", ")
}

// findClause names the usual ratings that are not given.
func (w *Words) findClause(a *record.Args, lead bool) string {
	names := w.ratingNouns(a.Ratings)
	switch {
	case lead:
		return "before driving, find the " + listed(names)
	case w.Record.Verdict == "incomplete":
		return "find the " + listed(names) + " (not given)"
	}
	return "not given: " + strings.Join(names, ", ")
}

// lookClause names the first line to look at again, and what is asked there.
func (w *Words) lookClause(a *record.Args, lead bool) string {
	text := "look again at " + w.formLine(a.File, a.AtLine)
	more := ""
	if n := a.Number; n != nil && *n > 1 {
		more = counted(*n-1, "more question") + " below"
	}
	switch {
	case lead && len(w.doGroups()) > 1: // another clause follows
		return text + " (" + strings.TrimSpace(w.shortQuestion(a.Name)+" "+more) + ")"
	case lead:
		text += ": " + w.shortQuestion(a.Name)
	}
	if more != "" {
		text += " (" + more + ")"
	}
	return text
}

// driveClause says how far the outfit may be driven.
func (w *Words) driveClause(code string, a *record.Args) string {
	switch code {
	case "drive":
		return "you may drive it as weighed, " + within(number(a.Number))
	case "drive_not_checked":
		return "you may drive it as weighed, " + within(number(a.Number)) + ", not cross-checked: a mistake in one reading may not show"
	case "within_known":
		return withinKnown(number(a.Number), number(a.OfAll)) + ": ask the maker for the others before driving"
	case "not_on_trip":
		return w.tripClause(a)
	}
	return codeWord(code)
}

func number(n *int) int {
	if n == nil {
		return 0
	}
	return *n
}

func within(ratings int) string {
	if ratings == 1 {
		return "within the 1 rating given"
	}
	return "within the " + itoa(ratings) + " ratings given"
}

func withinKnown(ratings, all int) string {
	if ratings == 1 {
		return "within the 1 rating known, of " + itoa(all)
	}
	return "within the " + itoa(ratings) + " ratings known, of " + itoa(all)
}

// verdict is line 2: the verdict of the job.
func (w *Words) verdict() string {
	switch w.Record.Verdict {
	case "conflict":
		return "the readings disagree"
	case "unconfirmed":
		return "look again"
	case "within":
		text := within(w.ratingsGiven())
		if a := w.doArgs("within_known"); a != nil {
			text = withinKnown(number(a.Number), number(a.OfAll))
		}
		if !w.crossChecked() {
			text += ", not cross-checked"
		}
		return text
	}
	return codeWord(w.Record.Verdict)
}

// doArgs are the arguments of the first thing to do with a code.
func (w *Words) doArgs(code string) *record.Args {
	for _, d := range w.Record.Do {
		if d.Code == code {
			return argsOf(d.Args)
		}
	}
	return nil
}

// ratingsGiven counts the rating lines with a deciding row; the floor is none.
func (w *Words) ratingsGiven() int {
	lines := map[int]bool{}
	for c := range w.deciding() {
		if c.Line != nil && !c.Floor {
			lines[*c.Line] = true
		}
	}
	return len(lines)
}

// crossChecked says whether a mistake in any reading that a deciding check
// rests on would show.
func (w *Words) crossChecked() bool {
	for c := range w.deciding() {
		if !c.Checked && c.Verdict != "not_weighed" {
			return false
		}
	}
	return true
}

// deciding gives the checks that decide, in the record's order.
func (w *Words) deciding() iter.Seq[*record.Check] {
	return func(yield func(*record.Check) bool) {
		for i := range w.Record.Checks {
			if c := &w.Record.Checks[i]; c.Decides && !yield(c) {
				return
			}
		}
	}
}
