package tickets

import (
	"fmt"
	"sync"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
	"reconcile/internal/shelf"
)

// lengthUnit is the unit of the lengths of a job.
type lengthUnit struct {
	ok     bool // false where the cell was refused
	stated bool
	unit   string
}

// lengthUnits are the units of length in millimetres, exact.
var lengthUnits = map[string]decimal.Decimal{
	"mm": decimal.NewFromInt(1),
	"cm": decimal.NewFromInt(10),
	"m":  decimal.NewFromInt(1000),
	"in": decimal.RequireFromString("25.4"),
}

// refusedRegion stands for a region whose cell was refused: what depends on it
// is not refused once more.
const refusedRegion = "?"

// longest is what no outfit measures, in millimetres.
var longest = decimal.NewFromInt(100_000)

// shortest is less than any length of an outfit but 0, in millimetres.
var shortest = decimal.NewFromInt(500)

// outfitTyped are cells of the outfit's line that other forms are checked
// against, as typed.
type outfitTyped struct{ people, brakes, kind string }

// readHead reads what the forms with one line per job say of it.
func (r *Reader) readHead(job string) head {
	h := head{outfit: Outfit{LengthUncertaintyMm: 10, Suspension: "springs"}, scope: scope{region: r.options.Region, units: lengthUnit{ok: true, unit: "mm"}}}
	if row := oneLine(r, &r.before.outfits, outfitForm, job); row != nil {
		h.readOutfit(r, row, job)
	}
	if h.scope.region == "" && r.unreadable(outfitForm) {
		h.scope.region = refusedRegion // which may be in what could not be read
	}
	h.issuer = r.readIssuer(job)
	return h
}

// readOutfit reads the outfit's line; the filled cells of the job's own line
// win over those of the line without a job.
func (h *head) readOutfit(r *Reader, row *outfitRow, job string) {
	o := &h.outfit
	h.typed = outfitTyped{people: row.People.text(), brakes: row.TrailerBrakes.text()}
	o.Line = row.Job.line()
	h.scope.region = r.readRegion(row.Region, job)
	o.readWords(row)
	if !row.Because.blank() {
		o.Because = row.Because.nameText()
	}
	o.RearAxles, h.axles.rear = countAxles(row.RearAxles)
	o.TrailerAxles, h.axles.trailer = countAxles(row.TrailerAxles)
	if n, ok := row.People.count(0, 99); ok {
		o.People = &n
	}
	h.readKind(row)
	travels, _ := row.Travels.choice(plain, slack, tensioned)
	if o.Semi && travels != "" && travels != plain {
		row.Travels.refuse(row.Travels.shown()+" does not go with trailer_kind semi", "plain, or travels left blank", "a semi-trailer has no load-distribution hitch")
	}
	o.Travels, o.TravelsPlain, o.TravelsStated = coupledState(travels == tensioned), travels == plain, !row.Travels.blank()
	o.TrailerBrakes, _ = row.TrailerBrakes.choiceOr("driver means worked from the vehicle, as electric brakes are; overrun, worked by the push of the trailer", "none", "overrun", "driver")
}

// readKind reads how the trailer is built and, after it, the lengths, which
// mean another thing on a semi-trailer.
func (h *head) readKind(row *outfitRow) {
	o := &h.outfit
	kind, _ := row.TrailerKind.choice("centre_axle", drawbar, semi)
	h.typed.kind = kind
	o.Drawbar, o.Semi = kind == drawbar, kind == semi
	suspension, _ := row.Suspension.choice("springs", "rocker")
	if suspension == "rocker" {
		o.Suspension = suspension
	}
	h.readLengths(row)
	c := row.DownloadShare
	if c.blank() {
		return
	}
	if n, ok := c.notNegative("a share of the trailer's mass in percent, like 10"); ok {
		if n.value.GreaterThan(decimal.NewFromInt(100)) {
			c.refuse(c.shown()+" is more than all of the trailer", "a share of the trailer's mass in percent, like 10", "")
			return
		}
		o.DownloadShare = decimal.NullDecimal{Decimal: n.value, Valid: true}
	}
}

// countAxles reads a number of axles, and what terms are checked against: where
// the cell is refused, any axle may be meant.
func countAxles(c cell) (axles, checked int) {
	n, ok := c.count(1, mostAxles)
	if !ok && !c.blank() {
		return 0, mostAxles
	}
	return n, n
}

// oneLine merges the line of a job with the line of no job, for a form that
// has one line per job; nil where it has neither.
func oneLine[R any, P row[R]](r *Reader, shelf *shelf.Shelf[R], kind int, job string) P {
	f := r.forms[kind]
	if f == nil {
		return nil
	}
	own := firstLine[R, P](r.before, shelf, f.records(r.before, f.byJob[job], r.faults))
	base := firstLine[R, P](r.before, shelf, f.shared)
	switch {
	case own == nil:
		return base
	case base != nil:
		overlay(own, base)
	}
	return own
}

// firstLine is the one line of several, nil of none; the others are refused.
func firstLine[R any, P row[R]](d *desk, shelf *shelf.Shelf[R], lines []record) P {
	if len(lines) == 0 {
		return nil
	}
	refuseSecond(lines)
	return &decode[R, P](d, shelf, lines[:1])[0]
}

// refuseSecond refuses all lines but the first.
func refuseSecond(lines []record) {
	for i := range lines[1:] {
		rec := &lines[1+i]
		what := "second line for this job"
		switch {
		case rec.job != "":
			what = "second line for job " + quote(rec.job)
		case rec.shared:
			what = "second line for every job"
		}
		rec.cell(0).refuse(what, rec.form.spec.name+" takes one line per job", "")
	}
}

// regionWords lists the words of the regions.
var regionWords = sync.OnceValue(func() []string {
	var words []string
	for i := range regions.Table {
		if w := regions.Table[i].Region; w != "" {
			words = append(words, w)
		}
	}
	return words
})

func (r *Reader) readRegion(c cell, job string) string {
	w, ok := c.choice(regionWords()...)
	asked := r.options.Region
	switch {
	case !ok && asked == "":
		return refusedRegion
	case w == "":
	case asked != "" && w != asked:
		f := c.fault(fmt.Sprintf("%s differs from the region %s asked for", c.shown(), asked), "one region", "leave one of them out")
		f.Job = job
		r.faults.add(f)
	default:
		return w
	}
	return asked
}

func (o *Outfit) readWords(row *outfitRow) {
	o.Owner, o.Vehicle, o.Trailer = row.Owner.text(), row.Vehicle.text(), row.Trailer.text()
	o.VehicleID, o.TrailerID = row.VehicleID.code(), row.TrailerID.code()
	o.WeighedBy, o.CheckedBy = row.WeighedBy.text(), row.CheckedBy.text()
}

func (h *head) readLengths(row *outfitRow) {
	o, s := &h.outfit, &h.scope
	unit, ok := row.LengthUnit.choice("mm", "cm", "m", "in")
	s.units.ok, s.units.stated = ok, unit != ""
	if unit != "" {
		s.units.unit = unit
	}
	o.Wheelbase = s.length(row.Wheelbase)
	if o.Semi {
		o.RearAxleToCoupling = s.signedLength(row.RearAxleToCoupling)
	} else {
		o.RearAxleToCoupling = s.length(row.RearAxleToCoupling)
	}
	o.CouplingToTrailerAxle = s.length(row.CouplingToTrailerAxle)
	o.NoseSupportToTrailerAxle = s.length(row.NoseSupportToTrailerAxle)
	c := row.LengthUncertainty
	if c.blank() {
		return
	}
	n, ok := c.notNegative("a standard uncertainty, 0 or more")
	if !ok {
		return
	}
	if mm, ok := s.toMm(c, n); ok && mm.GreaterThan(decimal.NewFromInt(1000)) {
		c.refuse(c.shown()+" is more than a metre", "a standard uncertainty in length_unit", "")
	} else if ok {
		o.LengthUncertaintyMm = mm.InexactFloat64()
	}
}

// length reads a length of the outfit, which is more than 0.
func (s *scope) length(c cell) Length {
	if c.blank() {
		return Length{}
	}
	n, ok := c.positive("a length, like 3220")
	if !ok {
		return Length{}
	}
	return s.known(c, n)
}

// signedLength reads where the coupling of a semi-trailer is behind the rear
// axle: 0 over it, negative ahead of it.
func (s *scope) signedLength(c cell) Length {
	if c.blank() {
		return Length{}
	}
	n, ok := c.number("a length, like -300 where the coupling is ahead of the rear axle")
	if !ok {
		return Length{}
	}
	return s.known(c, n)
}

// known converts a length, and refuses one that is short for millimetres where
// nobody says what unit it has.
func (s *scope) known(c cell, n figure) Length {
	mm, ok := s.toMm(c, n)
	if ok && !s.units.stated && !mm.IsZero() && mm.Abs().LessThan(shortest) {
		c.refuse(c.shown()+" mm is implausibly short", "check the unit", "fill in length_unit: mm, cm, m or in")
		ok = false
	}
	return Length{Known: ok, Mm: mm.InexactFloat64()}
}

// toMm converts a length; without a unit it is in whole millimetres.
func (s *scope) toMm(c cell, n figure) (decimal.Decimal, bool) {
	mm := n.value
	if s.units.unit != "mm" {
		mm = mm.Mul(lengthUnits[s.units.unit])
	}
	switch {
	case !s.units.ok:
		return mm, false
	case n.hasPoint && !s.units.stated:
		c.refuse(c.shown()+" has a decimal sign and no length_unit", "whole millimetres, or length_unit filled in", "fill in length_unit: mm, cm, m or in")
		return mm, false
	case mm.Abs().GreaterThan(longest):
		c.refuse(c.shown()+" is longer than any outfit", "at most 100 m", "look at length_unit")
		return mm, false
	}
	return mm, true
}
