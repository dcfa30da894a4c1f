package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// buildDerived fills in what was typed and what was derived from it; what it
// is held against comes after.
func (r *Record) buildDerived(job *tickets.Job, s *derive.Solution) {
	r.Agreement = string(s.Agreement())
	r.Fit = fitOf(s)
	r.Readings = readingsOf(job, s)
	r.Ties, r.Loads = tiesOf(s), loadsOf(job, s)
	r.buildQuantities(s)
	r.Declared = declaredOf(job)
	r.Doubtful = doubtfulOf(job, s)
	r.Outfit, r.Issuer, r.Scales = outfitOf(job), issuerOf(job), scalesOf(job)
	r.Inputs = inputsOf(job)
}

func fitOf(s *derive.Solution) Fit {
	all, bare := s.Fit(), s.FitWithoutTies()
	return Fit{
		Observations: all.Observations, DOF: all.DOF, ChiSquare: all.ChiSquare, PValue: pOf(all),
		WithoutTies: FitPart{DOF: bare.DOF, ChiSquare: bare.ChiSquare, PValue: pOf(bare)},
	}
}

func pOf(f derive.Fit) *float64 {
	if f.DOF == 0 {
		return nil
	}
	return &f.P
}

// buildQuantities puts every name of the model into the record, nil where it
// is not determined, with the budgets of those that are.
func (r *Record) buildQuantities(s *derive.Solution) {
	r.Quantities, r.Budgets = map[string]*Quantity{}, map[string][]Cause{}
	for _, q := range s.Quantities() {
		r.put(q.Name, InKg, q.Quantity, string(q.Basis))
		if causes := causesOf(s, q.Quantity); len(causes) > 0 {
			r.Budgets[q.Name] = causes
		}
	}
	r.put("download_share", InRatio, s.DownloadShare(), "")
	r.put("restoration", InRatio, s.Restoration(), "")
	r.put("hitch_moment", InKgM, s.HitchMoment(), "")
	r.put("vehicle_cg", InMm, s.VehicleCG(), "")
	r.put("trailer_cg", InMm, s.TrailerCG(), "")
	r.Routes, r.Imbalance = []Route{}, []Imbalance{}
	for _, route := range s.Routes() {
		r.Routes = append(r.Routes, Route{route.Name, route.Value, route.U})
	}
	for _, i := range s.Imbalances() {
		if v, u, ok := i.Number(); ok {
			r.Imbalance = append(r.Imbalance, Imbalance{i.Support, v, u})
		}
	}
}

// numbered is what a quantity and a figure have in common.
type numbered interface {
	Number() (value, u float64, ok bool)
}

func (r *Record) put(name, unit string, q numbered, basis string) {
	r.Quantities[name] = nil
	if v, u, ok := q.Number(); ok {
		r.Quantities[name] = &Quantity{Unit: unit, Value: v, U: u, Basis: basis}
	}
}

// causesOf names the contributions to a quantity's uncertainty.
func causesOf(s *derive.Solution, q derive.Quantity) []Cause {
	budget := s.Budget(q)
	causes := make([]Cause, 0, len(budget))
	for _, c := range budget {
		name := string(c.Kind) + " " + c.Name
		if c.Kind == derive.ByReading {
			name = readingName(&s.Job.Readings[c.Index])
		}
		causes = append(causes, Cause{trimmed(name), c.U})
	}
	return causes
}

// trimmed drops the space before a blank name, that of the unnamed scale.
func trimmed(name string) string {
	for len(name) > 0 && name[len(name)-1] == ' ' {
		name = name[:len(name)-1]
	}
	return name
}

// readingName is "reading L", or "reading L column".
func readingName(r *tickets.Reading) string {
	if r.Column == "" {
		return "reading " + strconv.Itoa(r.Line)
	}
	return "reading " + strconv.Itoa(r.Line) + " " + r.Column
}

func readingsOf(job *tickets.Job, s *derive.Solution) []Reading {
	rows := make([]Reading, len(job.Readings))
	for i := range job.Readings {
		rows[i] = readingOf(job, &job.Readings[i])
		if kg, ok := s.Reconciled(i); ok {
			correction := kg - job.Readings[i].Kg.InexactFloat64()
			rows[i].ReconciledKg, rows[i].CorrectionKg = &kg, &correction
		}
	}
	for _, o := range s.Observations {
		if o.Kind == derive.ByReading {
			rows[o.Index].observed(o)
		}
	}
	return rows
}

// observed adds how a used reading fared.
func (row *Reading) observed(o derive.Observation) {
	row.UKg, row.ResidualKg, row.Redundancy = &o.U, &o.Residual, &o.Redundancy
	row.Suspect = o.Suspect
	if o.Testable {
		row.Standardised, row.SmallestDetectableKg = &o.Standardised, &o.Smallest
	}
}

func readingOf(job *tickets.Job, t *tickets.Reading) Reading {
	site := ""
	if s := job.Scale(t.Scale); s != nil {
		site = s.Site
	}
	return Reading{
		Line: t.Line, Column: t.Column, Ticket: t.Ticket, WeighedAt: t.WeighedAt.Typed,
		Scale: t.Scale, Site: site, Setup: string(t.Setup), Hitch: string(t.Hitch),
		OnDeck: t.OnDeck, Use: string(t.Use), Reading: t.Typed, Unit: t.Unit,
		ReadingKg: t.Kg.String(), IntervalKg: t.IntervalKg.String(),
		Without: every(t.Without), With: every(t.With), People: t.People,
		VehicleID: t.VehicleID, TrailerID: t.TrailerID, Copy: t.Copy, Note: t.Note,
	}
}

// every is the list, never nil.
func every(list []string) []string { return append([]string{}, list...) }

func tiesOf(s *derive.Solution) []Tie {
	ties := []Tie{}
	for _, o := range s.Observations {
		if o.Kind != derive.ByTie {
			continue
		}
		t := Tie{Name: o.Name, ResidualKg: o.Residual, UKg: o.U, Redundancy: o.Redundancy, Suspect: o.Suspect}
		if o.Testable {
			w := o.Standardised
			t.Standardised = &w
		}
		ties = append(ties, t)
	}
	return ties
}

func loadsOf(job *tickets.Job, s *derive.Solution) []Load {
	loads := []Load{}
	for _, o := range s.Observations {
		if o.Kind != derive.ByLoad {
			continue
		}
		l := Load{Load: o.Name, DeclaredKg: job.Load(o.Name).Kg.String(), Redundancy: o.Redundancy, Suspect: o.Suspect}
		q, _ := s.LoadMass(o.Name)
		if solved, u, ok := q.Number(); ok {
			l.SolvedKg, l.UKg = &solved, &u
		}
		if o.Testable {
			w := o.Standardised
			l.Standardised = &w
		}
		loads = append(loads, l)
	}
	return loads
}

// declaredOf lists the loads that were away from some used weighing, or aboard
// only then: their masses are declared, not weighed.
func declaredOf(job *tickets.Job) []Declared {
	away := map[string]bool{}
	for _, r := range job.UsedReadings() {
		for _, name := range append(every(r.Without), r.With...) {
			away[name] = true
		}
	}
	declared := []Declared{}
	for _, l := range job.Loads {
		if away[l.Name] {
			declared = append(declared, Declared{l.Name, l.Kg.String()})
		}
	}
	return declared
}

// doubtfulOf names the readings that cannot be told apart; a tie, load, share
// or scale among them stands under line 0 with its name.
func doubtfulOf(job *tickets.Job, s *derive.Solution) [][]Place {
	sets := [][]Place{}
	for _, set := range s.Inseparable() {
		places := []Place{}
		for _, i := range set {
			o := s.Observations[i]
			if o.Kind == derive.ByReading {
				t := &job.Readings[o.Index]
				places = append(places, Place{t.Line, t.Column})
			} else {
				places = append(places, Place{0, trimmed(fmt.Sprintf("%s %s", o.Kind, o.Name))})
			}
		}
		sets = append(sets, places)
	}
	return sets
}

func outfitOf(job *tickets.Job) Outfit {
	o := &job.Outfit
	return Outfit{
		Owner: o.Owner, Vehicle: o.Vehicle, VehicleID: o.VehicleID, Trailer: o.Trailer, TrailerID: o.TrailerID,
		WeighedBy: o.WeighedBy, CheckedBy: o.CheckedBy, People: o.People,
		Travels: string(o.Travels), TravelsStated: o.TravelsStated, TrailerBrakes: o.TrailerBrakes,
		RearAxles: countOf(o.RearAxles), TrailerAxles: countOf(o.TrailerAxles),
		LengthsMm: Lengths{
			Wheelbase: lengthOf(o.Wheelbase), RearAxleToCoupling: lengthOf(o.RearAxleToCoupling),
			CouplingToTrailerAxle: lengthOf(o.CouplingToTrailerAxle), NoseSupportToTrailerAxle: lengthOf(o.NoseSupportToTrailerAxle),
			Uncertainty: &o.LengthUncertaintyMm,
		},
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
	return &l.Mm
}

func issuerOf(job *tickets.Job) Issuer {
	i := &job.Issuer
	return Issuer{i.Name, i.Address, i.Licence, i.Phone, i.Email, i.NextNumber, i.Number}
}

func scalesOf(job *tickets.Job) []Scale {
	scales := []Scale{}
	for i := range job.Scales {
		s := &job.Scales[i]
		row := Scale{
			Scale: s.Name, Site: s.Site, Operator: s.Operator, Class: string(s.Class), Deck: string(s.Deck),
			Interval: s.Typed["interval"], Unit: s.Typed["unit"], Max: s.Typed["max"], Certificate: s.Typed["certificate"],
			VerifiedOn: s.Typed["verified_on"], ExpandedUncertainty: s.Typed["expanded_uncertainty"],
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

func inputsOf(job *tickets.Job) []Input {
	inputs := []Input{}
	for _, in := range job.Inputs {
		inputs = append(inputs, InputOf(in.File, in.Bytes, tickets.LineText(in.Lines)))
	}
	return inputs
}

// InputOf names a file that is attached, with the hash of its bytes.
func InputOf(file string, b []byte, lines string) Input {
	sum := sha256.Sum256(b)
	return Input{File: file, SHA256: hex.EncodeToString(sum[:]), Lines: lines}
}
