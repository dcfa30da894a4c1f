package record

import (
	"math"
	"strings"

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
	for _, name := range unknownLoads(s) {
		line := 0
		if l := job.Load(name); l != nil {
			line = l.Line
		}
		r.note("share_unknown", line, name+": "+curesOf(s, name))
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

// unknownLoads names the loads with an unknown share, each once.
func unknownLoads(s *derive.Solution) []string {
	var names []string
	for _, u := range s.Unknown {
		names = addOnce(names, u.Load)
	}
	return names
}

// curesOf names what would take a load's assumed shares away.
func curesOf(s *derive.Solution, load string) string {
	var cures, sides []string
	for _, u := range s.Unknown {
		switch {
		case u.Load != load:
		case u.Missing == "side":
			sides = addOnce(sides, string(u.Group))
		case u.Missing == "place":
			cures = addOnce(cures, "a place for it in loads.csv, with at in places.csv, would settle it")
		default:
			cures = addOnce(cures, u.Missing+" in outfit.csv would settle it")
		}
	}
	if len(sides) > 0 {
		cures = append(cures, "left or right of the "+listed(sides)+" axle is not known; weigh with it aboard to settle that")
	}
	return strings.Join(cures, "; ")
}

// assumedLines lists the rating lines that rest on an equal share, once each.
func assumedLines(f *limits.Findings) []int {
	var lines []int
	seen := map[int]bool{}
	for i := range f.Checks {
		c := &f.Checks[i]
		if assumedText(&f.Checks[i]) != "" && c.Found != nil && !seen[c.Line.Line] {
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
