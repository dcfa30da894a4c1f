package record

import (
	"math"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// buildFootnotes numbers every remark: those of reading in the forms' order,
// then those of deriving and holding.
func (r *Record) buildFootnotes(job *tickets.Job, s *derive.Solution, f *limits.Findings) {
	r.Footnotes = []Footnote{}
	for _, n := range job.Notes {
		r.note(n.Code, n.Line, n.Detail)
	}
	for _, u := range s.Unknown {
		line := 0
		if l := job.Load(u.Load); l != nil {
			line = l.Line
		}
		r.note("share_unknown", line, u.Load+": "+cureOf(u))
	}
	if s.Agreement() == derive.Strained {
		r.note("strained", 0, "")
	}
	for _, line := range assumedLines(f) {
		r.note("equal_share", line, "")
	}
	if r.roundingShows() {
		r.note("sum_rounded", 0, "")
	}
}

func (r *Record) note(code string, line int, detail string) {
	r.Footnotes = append(r.Footnotes, Footnote{Code: code, Line: line, Text: FootnoteText(code, line, detail, r)})
}

// cureOf names the number that would take an assumed share away.
func cureOf(u derive.UnknownShare) string {
	switch u.Missing {
	case "place":
		return "give it a place, with at, to settle it"
	case "side":
		return "left or right of the " + string(u.Group) + " axle is not known; weigh with it aboard to settle it"
	}
	return u.Missing + " in outfit.csv would settle it"
}

// assumedLines lists the rating lines that rest on an equal share, once each.
func assumedLines(f *limits.Findings) []int {
	var lines []int
	seen := map[int]bool{}
	for i := range f.Checks {
		c := &f.Checks[i]
		if c.Assumed != "" && c.Found != nil && !seen[c.Line.Line] {
			seen[c.Line.Line] = true
			lines = append(lines, c.Line.Line)
		}
	}
	return lines
}

// printedSums are the sums that a reader will add up on the page.
var printedSums = [][]string{
	{"vehicle_alone.vehicle", "vehicle_alone.front", "vehicle_alone.rear"},
	{"trailer_mass", "trailer_alone.trailer", "trailer_alone.nose"},
	{"coupled_slack.vehicle", "coupled_slack.front", "coupled_slack.rear"},
	{"coupled_tensioned.vehicle", "coupled_tensioned.front", "coupled_tensioned.rear"},
	{"combination", "coupled_slack.front", "coupled_slack.rear", "coupled_slack.trailer"},
	{"combination", "coupled_tensioned.front", "coupled_tensioned.rear", "coupled_tensioned.trailer"},
	{"trailer_mass", "coupled_slack.trailer", "download"},
	{"coupled_slack.vehicle", "vehicle_alone.vehicle", "download"},
}

// roundingShows says whether a sum of printed parts misses its printed total.
func (r *Record) roundingShows() bool {
	for _, names := range printedSums {
		total, whole := 0.0, true
		for i, name := range names {
			q := r.Quantities[name]
			if q == nil {
				whole = false
				break
			}
			if kg := math.Round(q.Value); i == 0 {
				total = kg
			} else {
				total -= kg
			}
		}
		if whole && total != 0 {
			return true
		}
	}
	return false
}
