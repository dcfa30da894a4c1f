package record

import (
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// buildSolution fills in what was typed and what was derived from it.
func (r *Record) buildSolution(job *tickets.Job, s *derive.Solution) {
	m := r.memory
	r.Readings = m.readingsOf(job, s)
	r.Ties, r.Loads = m.tiesOf(s), m.loadsOf(job, s)
	r.Declared = declaredOf(job)
	r.CannotBe, r.Doubtful = cannotBeOf(s), doubtfulOf(job, s)
	r.Outfit, r.Scales = m.outfitOf(job), m.scalesOf(job)
}

func (m *memory) readingsOf(job *tickets.Job, s *derive.Solution) []Reading {
	rows, of := every(m.readings.List(len(job.Readings))), m.floats.Of
	for i := range job.Readings {
		t, row := &job.Readings[i], &rows[i]
		m.fillReading(row, t)
		if scale := job.Scale(t.Scale); scale != nil {
			row.Site = scale.Site
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

// reconcile puts beside every reading what a scale without error would have shown.
func (m *memory) reconcile(rows []Reading, job *tickets.Job, onDeck []derive.Quantity) {
	for i := range onDeck {
		if kg, _, ok := onDeck[i].Number(); ok {
			rows[i].ReconciledKg, rows[i].CorrectionKg = m.floats.Of(kg), m.floats.Of(portable.Kg(kg-job.Readings[i].Kg.InexactFloat64()))
		}
	}
}

// fillReading fills in what was typed of a reading.
func (m *memory) fillReading(row *Reading, t *tickets.Reading) {
	row.Line, row.Column, row.Ticket, row.WeighedAt = t.Line, t.Column, t.Ticket, t.WeighedAt.Printed
	row.Setup, row.Hitch = setupAndHitch(t)
	row.Scale, row.OnDeck, row.Use = t.Scale, t.OnDeck, useWord(t)
	row.Reading, row.Unit, row.ReadingKg = t.Typed, t.Unit, massDigits(t.Kg, t.Typed)
	row.IntervalKg, row.IntervalAssumed = massDigits(t.IntervalKg, ""), t.IntervalAssumed
	row.Without, row.With, row.People = every(copied(&m.texts, t.Without)), every(copied(&m.texts, t.With)), known(&m.ints, t.People)
	row.VehicleID, row.TrailerID, row.Copy, row.Note = t.VehicleID, t.TrailerID, t.Copy, t.Note
}

func (m *memory) tiesOf(s *derive.Solution) []tie {
	ties := every(m.ties.List(len(s.Ties)))
	for i := range s.Ties {
		o := &s.Ties[i]
		ties[i] = tie{o.Name, o.Residual, portable.Kg(o.U), m.standardised(o.Testable, o.Standardised), o.Redundancy, o.Suspect}
	}
	return ties
}

// standardised is Baarda's w; nil where the redundancy is too small for it.
func (m *memory) standardised(testable bool, w float64) *float64 {
	if !testable {
		return nil
	}
	return m.floats.Of(w)
}

func (m *memory) loadsOf(job *tickets.Job, s *derive.Solution) []load {
	loads := []load{}
	for _, o := range s.Masses {
		l := load{Load: o.Name, DeclaredKg: job.Load(o.Name).Kg.String(), Standardised: m.standardised(o.Testable, o.Standardised), Redundancy: o.Redundancy, Suspect: o.Suspect}
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
		if r.Used && !r.Empty && (slices.Contains(r.Without, load) || slices.Contains(r.With, load)) {
			return true
		}
	}
	return false
}

// cannotBeOf are the conflicts by themselves, each with what it is worked out of.
func cannotBeOf(s *derive.Solution) []cannotBe {
	job, rows := s.Job, []cannotBe{}
	for _, c := range s.Doubts().CannotBe {
		args := Args{Ticket: c.Ticket, Typed: c.Typed}
		if c.State != "" { // a load
			kg, u := c.Kg, c.U
			args = Args{Kg: &kg, UKg: &u}
			for _, i := range c.RestsOn {
				args.Lines = once(args.Lines, job.Readings[i].Line)
			}
		}
		for _, m := range c.Figures {
			t := &job.Readings[m.Reading]
			args.Figures = append(args.Figures, figure{t.Line, t.Column, t.OnDeck, m.Was, m.Should, m.Unit, m.Digit})
		}
		rows = append(rows, cannotBe{c.Code, "tickets.csv", c.Line, c.On, string(c.State), &args})
	}
	return rows
}

// doubtfulOf names the readings that cannot be separated; a tie, load, share
// or scale among them has line 0 and its kind and name.
func doubtfulOf(job *tickets.Job, s *derive.Solution) [][]Place {
	sets := [][]Place{}
	for _, set := range s.Doubts().Inseparable {
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

func (m *memory) outfitOf(job *tickets.Job) Outfit {
	o := &job.Outfit
	return Outfit{
		Owner: o.Owner, Vehicle: o.Vehicle, VehicleID: o.VehicleID, Trailer: o.Trailer, TrailerID: o.TrailerID,
		WeighedBy: o.WeighedBy, CheckedBy: o.CheckedBy, People: known(&m.ints, o.People),
		Travels: travelsWord(o), TravelsStated: o.TravelsStated, TrailerBrakes: o.TrailerBrakes,
		RearAxles: m.countOf(o.RearAxles), TrailerAxles: m.countOf(o.TrailerAxles),
		LengthsMm: lengths{
			Wheelbase: m.lengthOf(o.Wheelbase), RearAxleToCoupling: m.lengthOf(o.RearAxleToCoupling),
			CouplingToTrailerAxle: m.lengthOf(o.CouplingToTrailerAxle), NoseSupportToTrailerAxle: m.lengthOf(o.NoseSupportToTrailerAxle),
			Uncertainty: m.floats.Of(portable.Kg(o.LengthUncertaintyMm)),
		},
		TrailerKind: kindWord(o), Suspension: o.Suspension,
	}
}

func (m *memory) countOf(n int) *int {
	if n == 0 {
		return nil
	}
	return m.ints.Of(n)
}

func (m *memory) lengthOf(l tickets.Length) *float64 {
	if !l.Known {
		return nil
	}
	return m.floats.Of(portable.Kg(l.Mm))
}

func (m *memory) scalesOf(job *tickets.Job) []scale {
	scales := every(m.scales.List(len(job.Scales)))
	for i := range job.Scales {
		s := &job.Scales[i]
		scales[i] = scale{
			Scale: s.Name, Site: s.Site, Operator: s.Operator, Class: s.Class, Deck: deckWord(s),
			Interval: s.Typed["interval"], Unit: s.Typed["unit"], Max: s.Typed["max"], Certificate: s.Typed["certificate"],
			VerifiedOn: s.VerifiedOn.Printed, ExpandedUncertainty: s.Typed["expanded_uncertainty"],
			StatedAt: s.Typed["stated_at"], SplitUncertainty: s.Typed["split_uncertainty"], Copy: s.Copy,
		}
		if s.IntervalKg.Valid {
			scales[i].IntervalKg = m.texts.Of(massDigits(s.IntervalKg.Decimal, s.Typed["interval"]))
		}
	}
	return scales
}
