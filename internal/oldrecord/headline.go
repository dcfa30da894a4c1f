package record

import (
	"math"
	"strconv"
	"unicode/utf8"
)

// HeadlineOptions is what the headline says that no key of a record holds.
type HeadlineOptions struct {
	// Ratings is the number of rating lines with a deciding row; 0 counts them
	// from the checks (RatingsHeld).
	Ratings int
	// OverAnyway are the checks that are over under every listed mistake; they
	// are named only where the readings disagree.
	OverAnyway []Check
}

// doNowWidth is what stands on a terminal's first line after "do now: ": the
// sentence is never longer, so that the verdict is the second line.
const doNowWidth = 72

// Headlines says page 1 in three sentences: what to do now, the verdict, and
// the rating that governs with its figures. It reads the verdict, agreement,
// checks, ties, fit, mistakes, doubtful and not_given of the record.
func Headlines(r *Record, o HeadlineOptions) Headline {
	if o.Ratings == 0 {
		o.Ratings = r.RatingsHeld()
	}
	return Headline{
		DoNow:       doNow(r, o),
		VerdictText: VerdictWord(r.Verdict, o.Ratings, r.CrossChecked()),
		HeldText:    heldText(r, o) + simpleRuleText(r),
	}
}

// simpleRuleText says that the value alone decided, where it did.
func simpleRuleText(r *Record) string {
	if r.Options.Rule != "simple" {
		return ""
	}
	return " (simple rule: the value alone decides, without its ±)"
}

// doNow is the one sentence of what to do now, in at most doNowWidth characters.
func doNow(r *Record, o HeadlineOptions) string {
	switch r.Verdict {
	case "conflict":
		return doNowConflict(r, o)
	case "over", "unsettled":
		if c := r.GovCheck(); c != nil {
			return doNowTooMuch(r, *c)
		}
	case "within":
		return doNowWithin(r, o)
	}
	return doNowIncomplete(r)
}

func doNowWithin(r *Record, o HeadlineOptions) string {
	text := "it may be driven as weighed, " + VerdictWord("within", o.Ratings, true)
	if !r.CrossChecked() {
		return "it may be driven as weighed; weigh once more to have it cross-checked"
	}
	return text
}

// doNowConflict sends the owner back to the weighbridge, first to the reading
// most in doubt; what is over in any case is said first.
func doNowConflict(r *Record, o HeadlineOptions) string {
	if len(o.OverAnyway) > 0 {
		load := r.loadNoun(o.OverAnyway[0]) + overWord(o.OverAnyway[0])
		return firstThatFits(
			"do not drive it: "+load+" in any case; weigh again",
			"do not drive it: a load is over in any case; weigh again")
	}
	if r.OnlyTiesDisagree() {
		return "measure the lengths again, or weigh again on level ground"
	}
	if line := r.firstDoubt(); line > 0 {
		return firstThatFits("check line "+strconv.Itoa(line)+" of tickets.csv against its ticket, or weigh again",
			"check tickets.csv against the tickets, or weigh again")
	}
	return "check tickets.csv against the tickets, or weigh again"
}

// firstDoubt gives the line of the likeliest mistake, else of the most
// doubtful reading, else 0.
func (r *Record) firstDoubt() int {
	for _, m := range r.Mistakes {
		if m.Line > 0 {
			return m.Line
		}
	}
	for _, set := range r.Doubtful {
		if len(set) > 0 {
			return set[0].Line
		}
	}
	return 0
}

// doNowTooMuch says how much has to go, by the governing check, until it is
// within; the guard is part of it unless the rule is simple.
func doNowTooMuch(r *Record, c Check) string {
	if c.Rating == "d_value" {
		if c.Verdict == "over" {
			return "do not drive it: the trailer is too heavy for the coupling's D-value"
		}
		return "tow less, or weigh again: the coupling's D-value is unsettled"
	}
	kg := Kg(r.excessKg(c))
	act := "take at least " + kg + " kg off " + r.placeNoun(c)
	if c.Rating == "download_min" {
		act = "put at least " + kg + " kg more on the coupling"
	}
	if c.Verdict == "over" {
		return firstThatFits("do not drive it as weighed: "+act, "do not drive it: "+act, act)
	}
	return firstThatFits(act+", or weigh it again to settle it", act+", or weigh again", act)
}

// excessKg is what has to change until a check is within: to the limit with U
// as it is, or to the limit alone with the simple rule; whole kilograms, up,
// at least 1.
func (r *Record) excessKg(c Check) float64 {
	if c.MarginKg == nil || c.UKg == nil {
		return 1
	}
	excess := -*c.MarginKg
	if r.Options.Rule != "simple" {
		excess += 2 * *c.UKg
	}
	const noise = 1e-6 // kg: a sum of decimals that is whole stays whole
	return max(1, math.Ceil(excess-noise))
}

// doNowIncomplete names what to weigh and what to find, or how many.
func doNowIncomplete(r *Record) string {
	weigh, find := r.toWeigh(), r.toFind()
	const before = "before driving, "
	weighAll, findAll := "weigh "+listed(weigh), "find the "+listed(find)
	weighCount, findCount := "weigh the "+counted(weigh, "load"), "find the "+counted(find, "rating")
	switch {
	case len(weigh) == 0 && len(find) == 0:
		return "fill in ratings.csv: there is no rating to hold a load against"
	case len(find) == 0:
		return firstThatFits(before+weighAll, before+weighCount+" named below")
	case len(weigh) == 0:
		return firstThatFits(before+findAll, before+findCount+" not given")
	}
	return firstThatFits(
		before+weighAll+"; "+findAll,
		before+weighAll+"; "+findCount+" not given",
		before+weighCount+" and "+findCount+" named below")
}

// counted is "3 loads", or "1 load".
func counted(things []string, word string) string {
	if len(things) == 1 {
		return "1 " + word
	}
	return strconv.Itoa(len(things)) + " " + word + "s"
}

// toWeigh names the loads that a deciding check lacks, each once.
func (r *Record) toWeigh() []string {
	var loads []string
	for _, c := range r.deciding() {
		if c.Verdict == "not_weighed" {
			loads = addOnce(loads, r.weighNoun(c))
		}
	}
	return loads
}

// toFind names the usual ratings without a line, without an article.
func (r *Record) toFind() []string {
	var ratings []string
	for _, entry := range r.NotGiven {
		ratings = append(ratings, r.NotGivenLabel(entry))
	}
	return ratings
}

// firstThatFits gives the first sentence that fits on the first line, else the
// last, which has to.
func firstThatFits(sentences ...string) string {
	for _, s := range sentences {
		if utf8.RuneCountInString(s) <= doNowWidth {
			return s
		}
	}
	return sentences[len(sentences)-1]
}
