package record

import (
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// buildSolution fills in what was typed and what was derived from it.
func (r *Record) buildSolution(job *tickets.Job, s *derive.Solution) {
	r.Readings = readingsOf(job, s)
	r.Ties, r.Loads = tiesOf(s), loadsOf(job, s)
	r.Declared = declaredOf(job)
	r.Doubtful = doubtfulOf(job, s)
	r.Outfit, r.Scales = outfitOf(job), scalesOf(job)
}

func readingsOf(job *tickets.Job, s *derive.Solution) []Reading {
	rows := make([]Reading, len(job.Readings))
	numbers := make([]float64, 0, 7*len(rows)) // of all rows, in one piece of memory
	of := func(v float64) *float64 {
		numbers = append(numbers, v)
		return &numbers[len(numbers)-1]
	}
	for i := range job.Readings {
		t, row := &job.Readings[i], &rows[i]
		row.fill(t)
		if scale := job.Scale(t.Scale); scale != nil {
			row.Site = scale.Site
		}
		onDeck, _ := s.Expected(i)
		if kg, _, ok := onDeck.Number(); ok {
			row.ReconciledKg, row.CorrectionKg = of(kg), of(portable.Kg(kg-t.Kg.InexactFloat64()))
		}
	}
	for i := range s.Used { // how each of them fared
		o := &s.Used[i]
		row := &rows[o.Index]
		row.UKg, row.ResidualKg, row.Redundancy = of(portable.Kg(o.U)), of(o.Residual), of(o.Redundancy)
		row.Suspect = o.Suspect
		if o.Testable {
			row.Standardised, row.SmallestDetectableKg = of(o.Standardised), of(o.Smallest)
		}
	}
	return rows
}

// fill fills in what was typed of a reading.
func (row *Reading) fill(t *tickets.Reading) {
	row.Line, row.Column, row.Ticket, row.WeighedAt = t.Line, t.Column, t.Ticket, t.WeighedAt.Printed
	row.Scale, row.Setup, row.Hitch, row.OnDeck, row.Use = t.Scale, string(t.Setup), string(t.Hitch), t.OnDeck, t.Use
	row.Reading, row.Unit, row.ReadingKg = t.Typed, t.Unit, massDigits(t.Kg)
	row.IntervalKg, row.IntervalAssumed = massDigits(t.IntervalKg), t.IntervalAssumed
	row.Without, row.With, row.People = every(t.Without), every(t.With), t.People
	row.VehicleID, row.TrailerID, row.Copy, row.Note = t.VehicleID, t.TrailerID, t.Copy, t.Note
}

// every is the list, never nil.
func every[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func tiesOf(s *derive.Solution) []tie {
	ties := make([]tie, 0, len(s.Ties))
	for i := range s.Ties {
		o := &s.Ties[i]
		ties = append(ties, tie{o.Name, o.Residual, portable.Kg(o.U), standardised(o.Testable, o.Standardised), o.Redundancy, o.Suspect})
	}
	return ties
}

// standardised is Baarda's w; nil where the redundancy is too small for it.
func standardised(testable bool, w float64) *float64 {
	if !testable {
		return nil
	}
	return &w
}

func loadsOf(job *tickets.Job, s *derive.Solution) []load {
	loads := []load{}
	for _, o := range s.Masses {
		l := load{Load: o.Name, DeclaredKg: job.Load(o.Name).Kg.String(), Standardised: standardised(o.Testable, o.Standardised), Redundancy: o.Redundancy, Suspect: o.Suspect}
		q := s.Sum(derive.Part{Factor: 1, Load: o.Name})
		if solved, u, ok := q.Number(); ok {
			l.SolvedKg, l.UKg = &solved, &u
		}
		loads = append(loads, l)
	}
	return loads
}

// declaredOf lists the loads that were away from some used weighing, or on
// board only then: their masses are stated, not weighed.
func declaredOf(job *tickets.Job) []declared {
	all := []declared{}
	for i := range job.Loads {
		if l := &job.Loads[i]; wasAway(job, l.Name) {
			all = append(all, declared{l.Name, l.Kg.String()})
		}
	}
	return all
}

// wasAway says whether a used weighing was without a load, or with one that else is not
// there.
func wasAway(job *tickets.Job, load string) bool {
	for i := range job.Readings {
		r := &job.Readings[i]
		if r.Use == tickets.UseYes && !r.Empty && (slices.Contains(r.Without, load) || slices.Contains(r.With, load)) {
			return true
		}
	}
	return false
}

// doubtfulOf names the readings that cannot be separated; a tie, load, share
// or scale among them has line 0 and its kind and name.
func doubtfulOf(job *tickets.Job, s *derive.Solution) [][]Place {
	sets := [][]Place{}
	for _, set := range s.Inseparable() {
		places := []Place{}
		for _, i := range set {
			o := &s.Observations[i]
			if i < len(s.Used) {
				places = append(places, placeOf(job, o.Index))
			} else {
				places = append(places, Place{0, string(o.Kind) + "." + o.Name})
			}
		}
		sets = append(sets, places)
	}
	return sets
}

// placeOf is where a reading, by its index, is in tickets.csv.
func placeOf(job *tickets.Job, reading int) Place {
	t := &job.Readings[reading]
	return Place{t.Line, t.Column}
}

func outfitOf(job *tickets.Job) Outfit {
	o := &job.Outfit
	uncertainty := portable.Kg(o.LengthUncertaintyMm)
	return Outfit{
		Owner: o.Owner, Vehicle: o.Vehicle, VehicleID: o.VehicleID, Trailer: o.Trailer, TrailerID: o.TrailerID,
		WeighedBy: o.WeighedBy, CheckedBy: o.CheckedBy, People: o.People,
		Travels: string(o.Travels), TravelsStated: o.TravelsStated, TrailerBrakes: o.TrailerBrakes,
		RearAxles: countOf(o.RearAxles), TrailerAxles: countOf(o.TrailerAxles),
		LengthsMm: lengths{
			Wheelbase: lengthOf(o.Wheelbase), RearAxleToCoupling: lengthOf(o.RearAxleToCoupling),
			CouplingToTrailerAxle: lengthOf(o.CouplingToTrailerAxle), NoseSupportToTrailerAxle: lengthOf(o.NoseSupportToTrailerAxle),
			Uncertainty: &uncertainty,
		},
		TrailerKind: o.TrailerKind, Suspension: o.Suspension,
	}
}

func countOf(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

func lengthOf(l tickets.Length) *float64 {
	if !l.Known {
		return nil
	}
	mm := portable.Kg(l.Mm)
	return &mm
}

func scalesOf(job *tickets.Job) []scale {
	scales := make([]scale, 0, len(job.Scales))
	for i := range job.Scales {
		s := &job.Scales[i]
		row := scale{
			Scale: s.Name, Site: s.Site, Operator: s.Operator, Class: s.Class, Deck: s.Deck,
			Interval: s.Typed["interval"], Unit: s.Typed["unit"], Max: s.Typed["max"], Certificate: s.Typed["certificate"],
			VerifiedOn: s.VerifiedOn.Printed, ExpandedUncertainty: s.Typed["expanded_uncertainty"],
			StatedAt: s.Typed["stated_at"], SplitUncertainty: s.Typed["split_uncertainty"], Copy: s.Copy,
		}
		if s.IntervalKg.Valid {
			kg := s.IntervalKg.Decimal.String()
			row.IntervalKg = &kg
		}
		scales = append(scales, row)
	}
	return scales
}
