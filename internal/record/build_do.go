package record

import (
	"slices"
	"strconv"

	"reconcile/internal/limits"
	"reconcile/internal/portable"
)

// counts is what line 1 says of the ratings and no other key of a record holds.
type counts struct {
	given      int // rating lines with a deciding row
	usualKnown int // of the region's usual ratings, those with a value
	usualAll   int
	overAnyway []checkKey     // over under every listed mistake
	found      []limits.Check // what each row of the record was made from
	onlyTies   bool           // the readings agree among themselves, the ties do not
}

// excess is what has to change until a row is within, in kilograms; nil where that is
// not known.
func (n *counts) excess(r *Record, row *Check) *float64 {
	for i := range n.found {
		if row == &r.Checks[i] {
			return r.memory.number(n.found[i].ExcessKg)
		}
	}
	return nil
}

// doExpected is room for what most records say; there may be more.
const doExpected = 4

// doOf says what to do now: the gravest thing, then every other class.
func (r *Record) doOf(n *counts) []Do {
	all := r.memory.does.List(doExpected)[:0]
	if r.Verdict == "conflict" {
		all = append(all, r.compareFirst(n)...)
	} else {
		all = append(all, r.tooMuch("over", n)...)
		all = append(all, r.overElsewhere()...)
		all = append(all, r.tooMuch("unsettled", n)...)
	}
	all = append(all, r.missing()...)
	if r.hardlyUncoupled() {
		all = append(r.lookAgain(), all...)
	} else {
		all = append(all, r.lookAgain()...)
	}
	if r.Verdict == "within" {
		all = append(all, r.drive(n))
	}
	return append(all, r.notOnTrip()...)
}

// absurdShare is the part of the trailer by which no coupling of an outfit on
// the road lifts (our choice, the share above which the download is asked).
const absurdShare = 0.25

// notUncoupled is the question whether the trailer was uncoupled.
const notUncoupled = "not_uncoupled"

// hardlyUncoupled says whether it is asked, and not answered, if the trailer was
// uncoupled, and the download is so far below nothing that it cannot have been;
// not where a likely mistake in a reading explains that.
func (r *Record) hardlyUncoupled() bool {
	asked := slices.ContainsFunc(r.Questions, func(q question) bool { return q.Code == notUncoupled && !q.Answered })
	if !asked || r.likeliest() != nil {
		return false
	}
	download, trailer := r.Quantities.Get("download"), r.Quantities.Get("trailer_mass")
	if trailer == nil {
		trailer = r.Quantities.Get("vehicle_alone.vehicle")
	}
	if download == nil || trailer == nil {
		return false
	}
	return download.Value+float64(2*download.U) < -float64(absurdShare*trailer.Value)
}

// deciding lists the checks that decide and have a verdict, in the record's order.
func (r *Record) deciding(verdict string) []*Check {
	var all []*Check
	for i := range r.Checks {
		if c := &r.Checks[i]; c.Decides && c.Verdict == verdict {
			all = append(all, c)
		}
	}
	return all
}

// someDecides says whether any check that decides is as asked.
func (r *Record) someDecides(asked func(*Check) bool) bool {
	for i := range r.Checks {
		if c := &r.Checks[i]; c.Decides && asked(c) {
			return true
		}
	}
	return false
}

// quantityKey says which load a check is about: several ratings on one load
// are named once.
type quantityKey struct {
	on, state string
	each      bool // one tyre or wheel
	force     bool
	least     bool
}

func keyOf(c *Check) quantityKey {
	k := quantityKey{state: c.State, each: c.Rating == "tyre" || c.Rating == "wheel", force: c.LimitKN != nil, least: c.Rating == "download_min"}
	for _, on := range c.HeldOn {
		k.on += on + "+"
	}
	return k
}

// tooMuch names the deciding loads with a verdict, the one of least margin
// first, each load once.
func (r *Record) tooMuch(verdict string, n *counts) []Do {
	var all []Do
	var seen []quantityKey
	checks := r.deciding(verdict)
	slices.SortStableFunc(checks, compareMargins)
	for _, c := range checks {
		if slices.Contains(seen, keyOf(c)) {
			continue
		}
		seen = append(seen, keyOf(c))
		all = append(all, Do{verdict, &Args{Rating: c.Rating, On: c.On, State: c.State, Kg: n.excess(r, c)}})
	}
	return all
}

// overElsewhere names what is over in a state, or against a line, that does not
// decide, where no deciding row on the same load says so already.
func (r *Record) overElsewhere() []Do {
	var seen []quantityKey
	for _, c := range r.deciding("over") {
		seen = append(seen, keyOf(c))
	}
	var checks []*Check
	for i := range r.Checks {
		if c := &r.Checks[i]; c.Set == "" && !c.Decides && c.Verdict == "over" {
			checks = append(checks, c)
		}
	}
	slices.SortStableFunc(checks, compareMargins)
	var all []Do
	for _, c := range checks {
		if slices.Contains(seen, keyOf(c)) {
			continue
		}
		seen = append(seen, keyOf(c))
		args := Args{Rating: c.Rating, On: c.On, State: c.State}
		if c.MarginKg != nil {
			kg := portable.Kg(-*c.MarginKg)
			args.Kg = &kg
		}
		all = append(all, Do{"over_elsewhere", &args})
	}
	return all
}

// missing names what is not weighed and not given.
func (r *Record) missing() []Do {
	var all []Do
	var checks []checkKey
	for _, c := range r.deciding("not_weighed") {
		checks = once(checks, checkKey{c.Rating, c.On, c.State})
	}
	if len(checks) > 0 {
		all = append(all, Do{"weigh", &Args{Checks: checks}})
	}
	if len(r.NotGiven) > 0 {
		all = append(all, Do{"find", &Args{Ratings: r.NotGiven}})
	}
	rated := r.someDecides(func(c *Check) bool { return !c.Floor })
	if !rated && len(r.NotGiven) == 0 {
		all = append(all, Do{Code: "give_ratings"})
	}
	return all
}

// lookAgain names the first question that is not answered, and how many are not;
// the one on which everything rests goes before the others.
func (r *Record) lookAgain() []Do {
	var first *question
	open := 0
	for i := range r.Questions {
		q := &r.Questions[i]
		if q.Answered || q.Args != nil && q.Args.Set != "" {
			continue
		}
		if open++; first == nil || q.Code == notUncoupled && r.hardlyUncoupled() {
			first = q
		}
	}
	if first == nil {
		return nil
	}
	return []Do{{"look_again", &Args{File: first.File, AtLine: first.Line, Name: first.Code, Number: &open}}}
}

// drive says what it is within of.
func (r *Record) drive(n *counts) Do {
	m := r.memory
	if 2*n.usualKnown < n.usualAll {
		return Do{"within_known", m.args.Of(Args{Number: m.ints.Of(n.usualKnown), OfAll: m.ints.Of(n.usualAll)})}
	}
	code := "drive"
	if !r.crossChecked() {
		code = "drive_not_checked"
	}
	return Do{code, m.args.Of(Args{Number: m.ints.Of(n.given)})}
}

// crossChecked says whether a mistake in any reading behind a deciding check
// would show.
func (r *Record) crossChecked() bool {
	return !r.someDecides(func(c *Check) bool { return !c.Checked && c.Verdict != "not_weighed" })
}

// gravity orders the verdicts of a trip, and those of a job next to them.
var gravity = map[string]int{
	"within": 0, "unconfirmed": 0, "not_known": 1, "incomplete": 1, "unsettled": 2, "over": 3, "conflict": 4,
}

// notOnTrip says where the trip is graver than the outfit as weighed.
func (r *Record) notOnTrip() []Do {
	if r.Trip == nil || gravity[r.Trip.Verdict] <= gravity[r.Verdict] {
		return nil
	}
	var worst *tripCheck
	for i := range r.Trip.Checks {
		c := &r.Trip.Checks[i]
		if c.Verdict == r.Trip.Verdict && (worst == nil || marginLess(c.MarginKg, worst.MarginKg)) {
			worst = c
		}
	}
	if worst == nil {
		return nil
	}
	a := Args{Rating: worst.Rating, On: worst.On, State: worst.State, Of: worst.Verdict, Kg: worst.ValueKg, UKg: worst.UKg}
	a.LimitKg = massOf(worst.LimitKg)
	for _, at := range worst.At {
		a.Names = once(a.Names, at.Load)
	}
	return []Do{{"not_on_trip", &a}}
}

// massOf reads a mass as typed; nil where there is none.
func massOf(typed *string) *float64 {
	if typed == nil {
		return nil
	}
	kg, err := strconv.ParseFloat(*typed, 64)
	if err != nil {
		return nil
	}
	return &kg
}

// compareMargins orders checks by margin: kilograms, kilonewtons, nothing.
func compareMargins(a, b *Check) int {
	switch {
	case marginLess(a.MarginKg, b.MarginKg):
		return -1
	case marginLess(b.MarginKg, a.MarginKg):
		return 1
	case a.MarginKg == nil && marginLess(a.MarginKN, b.MarginKN):
		return -1
	case a.MarginKg == nil && marginLess(b.MarginKN, a.MarginKN):
		return 1
	}
	return 0
}

// marginLess puts the smaller margin first, and one that is not there last.
func marginLess(a, b *float64) bool {
	switch {
	case a == nil:
		return false
	case b == nil:
		return true
	}
	return *a < *b
}
