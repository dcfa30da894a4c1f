package tickets

import (
	"fmt"

	"github.com/shopspring/decimal"
)

// lengthUnit is the unit of the lengths of a job.
type lengthUnit struct {
	ok     bool // false where the cell was refused
	stated bool
	mm     decimal.Decimal
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
const refusedRegion Region = "?"

// longest is what no outfit measures, in millimetres.
var longest = decimal.NewFromInt(100_000)

// readOutfit reads the outfit's line; the filled cells of the job's own line
// win over those of the line without a job.
func (j *jobReader) readOutfit() {
	o := &j.job.Outfit
	o.LengthUncertaintyMm = 10
	j.job.Region = j.options.Region
	j.units = lengthUnit{ok: true, mm: decimal.NewFromInt(1)}
	row, ok := ownOrShared[outfitRow](j, "outfit.csv")
	if !ok {
		return
	}
	j.outfit, j.hasLine = row, true
	o.Line = row.Job.line()
	j.readRegion(row.Region)
	j.readWords(o, row)
	j.readLengths(o, row)
	o.RearAxles, j.axles.rear = countAxles(row.RearAxles)
	o.TrailerAxles, j.axles.trailer = countAxles(row.TrailerAxles)
	if n, ok := row.People.count(0, 99); ok {
		o.People = &n
	}
	travels, _ := row.Travels.choice("plain", "slack", "tensioned")
	o.Travels, o.TravelsStated = Travels(travels), !row.Travels.blank()
	o.TrailerBrakes, _ = row.TrailerBrakes.choiceOr("driver means worked from the vehicle, as electric brakes are; overrun, worked by the push of the trailer", "none", "overrun", "driver")
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

// ownOrShared merges the line of a job with the line of no job, for a form
// that has one line a job.
func ownOrShared[R any](j *jobReader, name string) (R, bool) {
	var none R
	f := j.form(name, j.job.Name)
	if f == nil {
		return none, false
	}
	own, base := f.byJob[j.job.Name], f.noJob
	if j.job.Name == "" {
		own = nil
	}
	refuseSecond(own)
	once(j.reader, name+" lines", func() bool { refuseSecond(base); return true })
	switch {
	case len(own) == 0 && len(base) == 0:
		return none, false
	case len(own) == 0:
		return decode[R](base[:1])[0], true
	case len(base) == 0:
		return decode[R](own[:1])[0], true
	}
	return overlay(decode[R](own[:1])[0], decode[R](base[:1])[0]), true
}

// refuseSecond refuses all lines but the first.
func refuseSecond(lines []*record) {
	for _, rec := range lines[min(1, len(lines)):] {
		what := "a second line"
		if rec.job != "" {
			what += " for job " + quote(rec.job)
		}
		rec.cell(0).refuse(what, "one line a job in "+rec.form.spec.name, "")
	}
}

func (j *jobReader) readRegion(c cell) {
	w, ok := c.choice("au", "nz", "uk", "eu", "us")
	asked := j.options.Region
	switch {
	case !ok && asked == NoRegion:
		j.job.Region = refusedRegion
	case w == "":
	case asked != NoRegion && Region(w) != asked:
		c.refuseFor(j.job.Name, fmt.Sprintf("%s differs from the region %s asked for", c.shown(), asked), "one region", "leave one of them out")
	default:
		j.job.Region = Region(w)
	}
}

func (j *jobReader) readWords(o *Outfit, row outfitRow) {
	o.Owner, o.Vehicle, o.Trailer = row.Owner.text, row.Vehicle.text, row.Trailer.text
	o.VehicleID, o.TrailerID = row.VehicleID.code(), row.TrailerID.code()
	o.WeighedBy, o.CheckedBy = row.WeighedBy.text, row.CheckedBy.text
}

func (j *jobReader) readLengths(o *Outfit, row outfitRow) {
	unit, ok := row.LengthUnit.choice("mm", "cm", "m", "in")
	j.units.ok, j.units.stated = ok, unit != ""
	if unit != "" {
		j.units.mm = lengthUnits[unit]
	}
	o.Wheelbase = j.length(row.Wheelbase)
	o.RearAxleToCoupling = j.length(row.RearAxleToCoupling)
	o.CouplingToTrailerAxle = j.length(row.CouplingToTrailerAxle)
	o.NoseSupportToTrailerAxle = j.length(row.NoseSupportToTrailerAxle)
	c := row.LengthUncertainty
	if c.blank() {
		return
	}
	n, ok := c.notNegative("a standard uncertainty, 0 or more")
	if !ok {
		return
	}
	if mm, ok := j.toMm(c, n); ok && mm.GreaterThan(decimal.NewFromInt(1000)) {
		c.refuse(c.shown()+" is more than a metre", "a standard uncertainty in length_unit", "")
	} else if ok {
		o.LengthUncertaintyMm = mm.InexactFloat64()
	}
}

// length reads a length of the outfit, which is more than 0.
func (j *jobReader) length(c cell) Length {
	if c.blank() {
		return Length{}
	}
	n, ok := c.positive("a length, like 3220")
	if !ok {
		return Length{}
	}
	mm, ok := j.toMm(c, n)
	if ok && !j.units.stated && mm.LessThan(decimal.NewFromInt(500)) {
		c.refuse(c.shown()+" is short for millimetres", "millimetres, or length_unit filled in", "fill in length_unit: mm, cm, m or in")
		ok = false
	}
	return Length{Known: ok, Mm: mm.InexactFloat64()}
}

// toMm converts a length; without a unit it is in whole millimetres.
func (j *jobReader) toMm(c cell, n figure) (decimal.Decimal, bool) {
	mm := n.value.Mul(j.units.mm)
	switch {
	case !j.units.ok:
		return mm, false
	case n.hasPoint && !j.units.stated:
		c.refuse(c.shown()+" has a decimal sign and no length_unit", "whole millimetres, or length_unit filled in", "fill in length_unit: mm, cm, m or in")
		return mm, false
	case mm.Abs().GreaterThan(longest):
		c.refuse(c.shown()+" is longer than any outfit", "at most 100 m", "look at length_unit")
		return mm, false
	}
	return mm, true
}
