package limits

import (
	"slices"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// The verdicts that a job has and a check has not. A job is the first of conflict,
// over, unsettled, incomplete, unconfirmed and within that applies.
//
// The order is the contract's (section 3, verdict). Conflict comes first since no row
// may be believed then; over before unsettled before incomplete, since a rating that is
// surely exceeded stays so whatever else is weighed; unconfirmed last, as the only thing
// in the way of within.
const (
	conflict    Verdict = "conflict"    // the readings disagree, or say what cannot be
	incomplete  Verdict = "incomplete"  // something that decides is not weighed, not given, or nothing decides
	unconfirmed Verdict = "unconfirmed" // a question is not answered
)

// judge gives the job its verdict, and counts what it rests on; conflict says that the
// readings contradict each other, or say what cannot be: that is a conflict also where
// χ² has nothing to test with.
func (f *Findings) judge(conflict bool) {
	f.Conflict = conflict
	f.Verdict = f.verdict()
	var counted *tickets.Rating
	// The rows of a line follow each other. The floor of the download is no rating that
	// was given, so that it is not counted among the N of "within the N ratings given".
	for _, c := range f.Deciding {
		if !c.Floor && c.Line != counted {
			f.Given, counted = f.Given+1, c.Line
		}
		f.NotCrossChecked = f.NotCrossChecked || !c.Checked
	}
	f.Governing = f.governing()
}

// verdict is that of the job, under the ratings in force.
func (f *Findings) verdict() Verdict {
	has := func(v Verdict) bool {
		return slices.ContainsFunc(f.Deciding, func(c *Check) bool { return c.Verdict == v })
	}
	// A floor that is kept is no reason to call an outfit within: nothing was compared
	// with anything that a plate says.
	onlyFloor := !slices.ContainsFunc(f.Deciding, func(c *Check) bool { return !c.Floor })
	switch {
	case f.Conflict:
		return conflict
	case has(Over):
		return Over
	// A reading that was left out, is not confirmed and would make a check over may be
	// the true one: at best unsettled.
	case has(Unsettled), f.leftOutOver:
		return Unsettled
	// A usual rating without a line may be the one that is exceeded.
	case has(notWeighed), len(f.NotGiven) > 0, onlyFloor:
		return incomplete
	case f.asks():
		return unconfirmed
	}
	return Within
}

// asks reports whether a question is not answered. A doubt about a planned rating is none
// about those in force.
func (f *Findings) asks() bool {
	return slices.ContainsFunc(f.Questions, func(q question) bool { return !q.Answered && q.Args.Set == "" })
}

// governing is the deciding check that gives the verdict, of those the one of
// least margin; where none gives it (the readings disagree, a rating is
// missing, a question is open), of all deciding ones. Margins in kilograms come
// before those in kilonewtons, what was not weighed last; of equal ones the first.
func (f *Findings) governing() *Check {
	// The row that gives the verdict is the one to name first. A conflict, a missing
	// rating and an open question are given by no row.
	wanted := f.Verdict
	if wanted == incomplete {
		wanted = notWeighed
	}
	var best, any *Check
	for _, c := range f.Deciding {
		if any == nil || c.lessMargin(any) {
			any = c
		}
		if c.Verdict == wanted && (best == nil || c.lessMargin(best)) {
			best = c
		}
	}
	if best == nil {
		return any
	}
	return best
}

func (c *Check) lessMargin(than *Check) bool {
	switch {
	case c.Found == nil || than.Found == nil:
		return c.Found != nil
	// A margin in kilonewtons cannot be compared with one in kilograms.
	case c.LimitKN.Valid != than.LimitKN.Valid:
		return than.LimitKN.Valid
	}
	return c.Found.Margin < than.Found.Margin
}

// choose adds to a list the checks that decide (set ""), or that would, if the ratings
// of a set applied.
func (f *Findings) choose(all []*Check, set string) []*Check {
	for i := range f.Checks {
		if f.Checks[i].Set == set && f.Checks[i].Governs {
			all = append(all, &f.Checks[i])
		}
	}
	return all
}

// FindCheck is the same check in other findings of the same ratings; nil where it
// is not there.
func (f *Findings) FindCheck(c *Check) *Check {
	for i := range f.Checks {
		if f.Checks[i].is(c) {
			return &f.Checks[i]
		}
	}
	return nil
}

// notGiven lists the region's usual ratings for which no line applies as the
// outfit travels and none was looked for in vain. A superseded plate, one not
// yet in force, a line of other brakes or of a state that never comes gives
// nothing.
func (h *checker) notGiven(checks []Check) []regions.On {
	var missing []regions.On
	for _, usual := range h.usual() {
		if !h.given(usual, checks, true) {
			missing = append(missing, usual)
		}
	}
	return missing
}

// usual lists the region's usual ratings; a hinged drawbar carries no download
// to rate.
//
// Regions list download_max among the usual ratings; of a drawbar trailer, whose
// coupling carries nothing, no plate could have it.
func (h *checker) usual() []regions.On {
	all := h.region.Usual
	if h.job.Outfit.Drawbar {
		all = slices.DeleteFunc(slices.Clone(all), func(o regions.On) bool { return o.Rating == "download_max" })
	}
	return all
}

// usualKnown counts the region's usual ratings that have a value.
func (h *checker) usualKnown(checks []Check) int {
	n := 0
	for _, usual := range h.usual() {
		if h.given(usual, checks, false) {
			n++
		}
	}
	return n
}

// given reports whether a usual rating is given; none counts only where asked.
func (h *checker) given(usual regions.On, checks []Check, orNone bool) bool {
	// What the trailer's axles carry is limited by gtm or by their axle rating,
	// whichever the plate has: one of them is enough. A group is given by its own line
	// or by lines for each of its axles.
	if usual.Rating != "axle" {
		return h.has(usual.Rating, "", checks, orNone)
	}
	on := usual.On
	if on == regions.TrailerOrGTM {
		on = string(tickets.Trailer)
		if h.has("gtm", "", checks, orNone) {
			return true
		}
	}
	return h.has("axle", on, checks, orNone) || h.hasEveryAxle(tickets.Group(on), checks, orNone)
}

// hasEveryAxle reports whether each axle of a group has a rating of its own.
func (h *checker) hasEveryAxle(g tickets.Group, checks []Check, orNone bool) bool {
	n := h.job.Outfit.Axles(g)
	for a := 1; a <= n; a++ {
		if !h.has("axle", tickets.Spell(tickets.Term{Group: g, Axle: a}), checks, orNone) {
			return false
		}
	}
	return n > 0
}

// has reports whether a rating has a row as the outfit travels, or, where that
// counts, a line that says none. on "" is any.
func (h *checker) has(word, on string, checks []Check, orNone bool) bool {
	now := h.job.Outfit.Travels
	for i := range checks {
		c := &checks[i]
		// A row as it travels, and not just a line: a superseded plate, one of other
		// brakes, or one for a state that never comes gives nothing.
		if c.Rating == word && !c.Floor && (on == "" || c.On == on) && c.Set == "" && (c.State == noState || c.State == now) {
			return true
		}
	}
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		// `none` with its source says that somebody looked: not missing, but no value
		// either, so that it does not count among the known ones.
		if orNone && h.st.status[i] == saysNone && r.Word == word && (on == "" || r.On == on) && r.Set == "" && h.st.names(r, now) {
			return true
		}
	}
	return false
}

// onlyWeighed reports whether a reading names a load as on board only when
// weighed.
func onlyWeighed(job *tickets.Job, load string) bool {
	for i := range job.Readings {
		if slices.Contains(job.Readings[i].With, load) {
			return true
		}
	}
	return false
}
