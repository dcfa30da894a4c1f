package words

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// tripClause says on line 1 what the trip exceeds: "it may be driven as
// weighed, not with the front tank full: towball download 331 ± 24 against 310".
// Where it may not be driven as weighed either, or line 1 has said already how
// far it may, the trip is one more thing.
func (w *Words) tripClause(a *record.Args) string {
	i := w.tripCheck(a)
	at, load := w.atWords(i, a.Names), w.shortNoun(a.Rating, a.On)
	if at == "" {
		at = " with every load at its worst"
	}
	said := w.mustNotDrive() || w.does("within_known")
	switch {
	case a.Of == "not_known" && (said || w.does("drive_not_checked")):
		return "on the trip it is not known what " + w.loadNoun(a.Rating, a.On) + " comes to" + at
	case a.Of == "not_known":
		return "it may be driven as weighed; for the trip it is not known what " + w.loadNoun(a.Rating, a.On) + " comes to" + at
	case w.does("drive_not_checked"):
		return "not" + at + ": " + load + w.tripFigures(i, a) + unsettledMark(a)
	case said:
		return "on the trip," + at + ": " + load + w.tripFigures(i, a) + unsettledMark(a)
	}
	return "it may be driven as weighed, not" + at + ": " + load + w.tripFigures(i, a) + unsettledMark(a)
}

// does says whether line 1 has a code.
func (w *Words) does(code string) bool {
	return slices.ContainsFunc(w.Record.Do, func(d record.Do) bool { return d.Code == code })
}

func unsettledMark(a *record.Args) string {
	if a.Of == "unsettled" {
		return " (unsettled)"
	}
	return ""
}

// tripCheck is the place of the check of the trip that arguments name; -1: none.
func (w *Words) tripCheck(a *record.Args) int {
	if w.Record.Trip == nil {
		return -1
	}
	for i := range w.Record.Trip.Checks {
		c := &w.Record.Trip.Checks[i]
		if c.Rating == a.Rating && c.On == a.On && c.State == a.State && (a.Of == "" || c.Verdict == a.Of) {
			return i
		}
	}
	return -1
}

// tripFigures are the value at the worst corner of the i-th check, or of none, and
// its limit.
func (w *Words) tripFigures(i int, a *record.Args) string {
	against := " against "
	if a.Rating == "download_min" {
		against = " against at least "
	}
	if i >= 0 {
		if c := &w.Record.Trip.Checks[i]; c.ValueKN != nil && c.LimitKN != nil {
			return " " + w.figure(nil, nil, c.ValueKN, c.UKN) + against + *c.LimitKN + " kN"
		}
	}
	if a.Kg == nil || a.UKg == nil || a.LimitKg == nil {
		return ""
	}
	return " " + w.massU(*a.Kg, *a.UKg) + against + w.mass(*a.LimitKg)
}

// atWords says at which ends the loads are in the i-th check, or in none: " with
// the front tank full".
func (w *Words) atWords(i int, names []string) string {
	var with []string
	if i >= 0 {
		for _, at := range w.Record.Trip.Checks[i].At {
			if len(names) == 0 || slices.Contains(names, at.Load) {
				with = append(with, w.atEnd(at.Load, at.Kg))
			}
		}
	}
	if len(with) == 0 {
		for _, name := range names {
			with = append(with, "another mass of "+name)
		}
	}
	if len(with) == 0 {
		return ""
	}
	return " with " + listed(with)
}

// atEnd says a load at one of its ends: a tank "full" where the trip knows a
// smaller end of it, "empty" at nothing; else by its mass.
func (w *Words) atEnd(name, mass string) string {
	kg, ok := decimalOf(mass)
	if !ok {
		return name
	}
	if isTank(name) {
		switch {
		case kg.IsZero():
			return "the " + name + " empty"
		case w.largerEnd(name, kg):
			return "the " + name + " full"
		}
	}
	if kg.IsZero() {
		return "no " + name
	}
	return name + " at " + w.massText(mass) + " " + w.Unit
}

// isTank says whether a load's name is that of something that is filled.
func isTank(name string) bool {
	name = strings.ToLower(name)
	return slices.ContainsFunc([]string{"tank", "fuel", "water", "diesel", "petrol", "gas"}, func(s string) bool { return strings.Contains(name, s) })
}

// largerEnd says whether another check of the trip has the load at less.
func (w *Words) largerEnd(load string, kg decimal.Decimal) bool {
	if w.Record.Trip == nil {
		return false
	}
	for i := range w.Record.Trip.Checks {
		for _, at := range w.Record.Trip.Checks[i].At {
			if other, ok := decimalOf(at.Kg); ok && at.Load == load && other.LessThan(kg) {
				return true
			}
		}
	}
	return false
}

// trip is what is said of the loads that vary; blank where none does.
type trip struct {
	Text   string      // the verdict over the trip
	Checks []tripCheck // in the record's order
}

// tripCheck is one check at its worst corner.
type tripCheck struct {
	Text    string        // all of it: "towball download: 331 ± 24 against 310, over, with the front tank full"
	Worst   Check         // as if it had been weighed so
	Value   string        // that of Worst: "331 ± 24"; "not known" where there is none
	At      string        // the ends at which it is worst: "with the front tank full"
	Weighed *record.Check // the same check as weighed; blank where there is none
}

func (w *Words) trip() trip {
	if w.Record.Trip == nil {
		return trip{}
	}
	out := trip{Text: say(w.tripText())}
	for i := range w.Record.Trip.Checks {
		c, weighed := &w.Record.Trip.Checks[i], w.weighedOf(i)
		worst := *weighed
		worst.Rating, worst.On, worst.State, worst.Verdict = c.Rating, c.On, c.State, c.Verdict
		worst.LimitKg, worst.ValueKg, worst.UKg, worst.MarginKg = c.LimitKg, c.ValueKg, c.UKg, c.MarginKg
		worst.LimitKN, worst.ValueKN, worst.UKN, worst.MarginKN = c.LimitKN, c.ValueKN, c.UKN, c.MarginKN
		said := tripCheck{say(w.tripCheckText(i)), w.check(&worst), w.figure(c.ValueKg, c.UKg, c.ValueKN, c.UKN), say(strings.TrimPrefix(w.atWords(i, nil), " ")), weighed}
		if said.Value == "" {
			said.Value = say("not known")
		}
		out.Checks = append(out.Checks, said)
	}
	return out
}

// weighedOf is the i-th check of the trip as weighed; blank where there is none.
func (w *Words) weighedOf(i int) *record.Check {
	t := &w.Record.Trip.Checks[i]
	for c := range w.deciding() {
		if c.Set == "" && c.Rating == t.Rating && c.On == t.On && c.State == t.State && sameLimit(c.LimitKg, t.LimitKg) && sameLimit(c.LimitKN, t.LimitKN) {
			return c
		}
	}
	return &record.Check{}
}

// sameLimit says whether two limits are the same, or both not there.
func sameLimit(a, b *string) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// sign is [headline.Sign].
func (w *Words) sign() string {
	r := w.Record
	switch {
	case w.mustNotDrive() || r.Trip == nil || r.Trip.Verdict == "within":
		return r.Verdict
	case r.Trip.Verdict == "over":
		return r.Trip.Verdict
	}
	return "unsettled" // not known too
}

// tripText says the verdict of the trip.
func (w *Words) tripText() string {
	if w.Record.Verdict == "conflict" {
		return "not to be relied on: the readings disagree"
	}
	switch w.Record.Trip.Verdict {
	case "within":
		return "within over the entire trip, whatever the loads that vary weigh"
	case "over":
		return "over at some point of the trip"
	case "unsettled":
		return "unsettled at some point of the trip"
	}
	return "not known for the entire trip: a length or position is missing"
}

// tripCheckText is the i-th check at its worst corner.
func (w *Words) tripCheckText(i int) string {
	c := &w.Record.Trip.Checks[i]
	text := w.keyLabel(c.Rating, c.On) + w.inState(c.State) + ": "
	value := w.figure(c.ValueKg, c.UKg, c.ValueKN, c.UKN)
	if value == "" {
		return text + "not known" + w.atWords(i, nil)
	}
	limit := ""
	switch {
	case c.LimitKN != nil:
		limit = " against " + *c.LimitKN + " kN"
	case c.LimitKg != nil:
		limit = " against " + w.limitFigure(*c.LimitKg)
	}
	if verdict := w.rowVerdict(c.Verdict); verdict != "" {
		limit += ", " + verdict
	}
	return strings.TrimSuffix(text+value+limit+","+w.atWords(i, nil), ",")
}
