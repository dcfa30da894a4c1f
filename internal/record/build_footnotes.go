package record

import (
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// notesExpected is room for the remarks of deriving and comparing that most records
// have; there may be more.
const notesExpected = 2

// footnotesOf lists every remark, in the order in which they are numbered:
// those of reading in the forms' order, then those of deriving and comparing.
func (r *Record) footnotesOf(job *tickets.Job, s *derive.Solution, f *limits.Findings) []Note {
	all := r.memory.notes.List(len(job.Notes) + notesExpected)[:0]
	for i := range job.Notes {
		all = append(all, noteOf(job, i))
	}
	for _, l := range f.NotInForce {
		all = append(all, Note{Code: "rating_not_in_force", Line: l.Line, Args: Args{Rating: l.Word, On: l.On}})
	}
	for _, load := range unknownLoads(s) {
		note := Note{Code: "share_unknown", Args: Args{Name: load, Names: missingOf(s, load)}}
		if l := job.Load(load); l != nil {
			note.Line = l.Line
		}
		all = append(all, note)
	}
	if s.Agreement.Strained {
		all = append(all, Note{Code: "strained"})
	}
	all = append(all, equalShares(f)...)
	all = append(all, r.unasked(job)...)
	if r.roundingShows() {
		all = append(all, Note{Code: "sum_rounded"})
	}
	return all
}

// noteOf is note i of reading with the arguments that its code has.
func noteOf(job *tickets.Job, i int) Note {
	n := &job.Notes[i]
	f := Note{Code: n.Code, Line: n.Line}
	column := n.Column
	if column == "reading" {
		column = "" // the cell of a line without reading columns
	}
	switch n.Code {
	case "looks_calculated", "does_not_add_up", "taken_as_calculated":
		f.Column = column
	case "not_a_multiple":
		f.Column, f.Typed = column, n.Detail
	case "below_minimum", "above_max":
		f.Column, f.Name = column, scaleAt(job, n.Line)
	case "interval_assumed":
		f.Typed = n.Detail
	case "scale_verified_later", "scale_assumed":
		f.Name = n.Detail
	case "nose_off_deck":
		f.Kg = massAt(job, n.Line)
	}
	return f
}

// scaleAt is the scale of a line of tickets.csv.
func scaleAt(job *tickets.Job, line int) string {
	for i := range job.Readings {
		if job.Readings[i].Line == line {
			return job.Readings[i].Scale
		}
	}
	return ""
}

// massAt is the sum of a line's readings in kilograms.
func massAt(job *tickets.Job, line int) *float64 {
	var sum tickets.Reading
	for i := range job.Readings {
		if job.Readings[i].Line == line {
			sum.Kg = sum.Kg.Add(job.Readings[i].Kg)
		}
	}
	kg := sum.Kg.InexactFloat64()
	return &kg
}

// unknownLoads names the loads with an unknown share, each once.
func unknownLoads(s *derive.Solution) []string {
	var names []string
	for _, u := range s.Unknown {
		names = once(names, u.Load)
	}
	return names
}

// once adds what is not there yet.
func once[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// missingOf names what would take a load's assumed shares away: place, columns
// of outfit.csv, or side.rear where left or right of the rear axle is open.
func missingOf(s *derive.Solution, load string) []string {
	var missing []string
	for _, u := range s.Unknown {
		switch {
		case u.Load != load:
		case u.Missing == "side":
			missing = once(missing, "side."+string(u.Group))
		default:
			missing = once(missing, u.Missing)
		}
	}
	return missing
}

// equalShares notes the rating lines whose value rests on an equal share of the
// wheels, once each.
func equalShares(f *limits.Findings) []Note {
	var all []Note
	var lines []int
	for i := range f.Checks {
		c := &f.Checks[i]
		if c.Found == nil || c.Unequal == 0 || slices.Contains(lines, c.Line.Line) {
			continue
		}
		lines = append(lines, c.Line.Line)
		all = append(all, Note{Code: "equal_share", Line: c.Line.Line, Args: Args{Rating: c.Rating, On: c.On}})
	}
	return all
}

// printedSums are the sums that a reader will add up on the page: a total,
// then its parts.
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

// kgPerLb is the international pound in kilograms, exact by definition.
var kgPerLb = decimal.RequireFromString("0.45359237")

// roundingShows says whether a sum of parts in whole units misses its total in
// whole units, those that the pages print.
func (r *Record) roundingShows() bool {
	return slices.ContainsFunc(printedSums, func(names []string) bool {
		rest := 0.0
		for i, name := range names {
			q := r.Quantities.Get(name)
			if q == nil {
				return false
			}
			if printed := r.wholeUnits(q.Value); i == 0 {
				rest = printed
			} else {
				rest -= printed
			}
		}
		return rest != 0
	})
}

// wholeUnits is a mass in the unit that the pages print, rounded as they do.
func (r *Record) wholeUnits(kg float64) float64 {
	if r.Options.Unit == "lb" {
		return decimal.NewFromFloat(kg).Div(kgPerLb).Round(0).InexactFloat64()
	}
	return math.Round(kg)
}

// unasked notes every code in confirmed that was not asked of its line. A
// figure that does not add up is confirmed without being asked.
func (r *Record) unasked(job *tickets.Job) []Note {
	var all []Note
	note := func(file string, line int, confirmed []string) {
		for _, code := range confirmed {
			asked := slices.ContainsFunc(r.Questions, func(q question) bool { return q.Code == code && q.File == file && q.Line == line })
			note := Note{Code: "confirmed_unasked", Line: line, Args: Args{File: file, Name: code}}
			known := slices.ContainsFunc(all, func(f Note) bool { return f.Line == line && f.File == file && f.Name == code })
			if !asked && !known {
				all = append(all, note)
			}
		}
	}
	for i := range job.Readings {
		t := &job.Readings[i]
		note("tickets.csv", t.Line, slices.DeleteFunc(slices.Clone(t.Confirmed), func(code string) bool {
			return code == "does_not_add_up" && t.Calculated
		}))
	}
	for i := range job.Ratings {
		note("ratings.csv", job.Ratings[i].Line, job.Ratings[i].Confirmed)
	}
	return all
}
