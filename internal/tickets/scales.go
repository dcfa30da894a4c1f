package tickets

import (
	"slices"
	"strings"
)

// scaleEntry is a scale with the line that names it.
type scaleEntry struct {
	Scale
	row *scaleRow
}

func (e scaleEntry) key() cell { return e.row.Scale }

// classWords are the accuracy classes as they are written on a scale's plate
// or in a form; spaces and case do not matter.
var classWords = map[string]string{
	"iii": "III", "3": "III", "iiii": "IIII", "4": "IIII",
	"iiil": "III L", "none": "none",
}

// scaleLines reads what lines of scales.csv say by themselves.
func (r rowReader) scaleLines(records []record) []scaleEntry {
	rows := decode(r.desk, &r.desk.scales, records)
	all := make([]scaleEntry, 0, len(rows))
	for i := range rows {
		all = append(all, scaleEntry{r.scale(&rows[i]), &rows[i]})
	}
	return all
}

func (r rowReader) scale(row *scaleRow) Scale {
	row.Scale.require("the name used in tickets.csv", "")
	s := Scale{Line: row.Job.line(), Name: row.Scale.nameText(), Site: row.Site.text(), Operator: row.Operator.text(),
		VerifiedOn: row.VerifiedOn.date(r.region), Copy: row.Copy.copyName(r.copies), Typed: typed(row)}
	row.Certificate.code()
	r.scaleKind(&s, row)
	r.scaleRange(&s, row)
	s.ExpandedKg = row.ExpandedUncertainty.positiveKg("an expanded uncertainty in kg, k = 2")
	s.StatedAtKg = row.StatedAt.positiveKg("a load in kg")
	s.SplitKg = row.SplitUncertainty.mass(row.SplitUncertainty.notNegative, "a standard uncertainty in kg", "kg", true)
	checkScaleNeeds(s, row)
	return s
}

// scaleKind resolves deck and class: single and III where blank, IIII for pads.
func (r rowReader) scaleKind(s *Scale, row *scaleRow) {
	deck, _ := row.Deck.choice("single", multi, pads, padsInTurn, gauge)
	s.Multi, s.Gauge = deck == multi, deck == gauge
	s.InTurn = deck == padsInTurn
	s.Pads = deck == pads || s.InTurn
	s.Class = "III"
	if s.Pads {
		s.Class = "IIII"
	}
	if row.Class.blank() {
		return
	}
	class, ok := classWords[strings.ToLower(strings.Join(strings.Fields(row.Class.text()), ""))]
	if !ok {
		row.Class.refuse(row.Class.shown()+" is not an accuracy class", "III, IIII, III L or none", "3 and 4 mean III and IIII")
	}
	s.Class = class
}

// scaleRange reads interval and max, both in the scale's unit.
func (r rowReader) scaleRange(s *Scale, row *scaleRow) {
	if row.Interval.blank() && row.Max.blank() {
		if !row.Unit.blank() {
			row.Unit.massUnit(r.region)
		}
		return
	}
	unit, ok := row.Unit.massUnit(r.region)
	s.IntervalKg = row.Interval.mass(row.Interval.positive, "a scale interval, like 20", unit, ok)
	s.MaxKg = row.Max.mass(row.Max.positive, "a maximum load, like 60000", unit, ok)
	if s.IntervalKg.Valid && s.MaxKg.Valid && s.IntervalKg.Decimal.GreaterThan(s.MaxKg.Decimal) {
		row.Interval.refuse(row.Interval.shown()+" is larger than max "+quote(row.Max.text()), "the scale interval in the scale's unit", "look at unit")
	}
}

// checkScaleNeeds refuses what cannot be used without another cell.
func checkScaleNeeds(s Scale, row *scaleRow) {
	if s.Class == "none" && !s.Gauge && row.ExpandedUncertainty.blank() {
		row.ExpandedUncertainty.refuse("required cell expanded_uncertainty left blank", "the uncertainty of a scale of class none, in kg", "the certificate states it")
	}
	if !row.StatedAt.blank() && row.ExpandedUncertainty.blank() {
		row.StatedAt.refuse(row.StatedAt.shown()+" has no expanded_uncertainty", "the uncertainty stated at that load", "")
	}
}

// typed holds the trimmed cells of a line by column.
func typed(row *scaleRow) map[string]string {
	m := map[string]string{}
	for _, c := range row.cells(nil) {
		if c.name() != "job" {
			m[c.name()] = c.text()
		}
	}
	return m
}

// scaleFor gives the scale that a line names and adds it to the job. Where
// scales.csv has a line for the job, every name must be listed.
func (j *jobReader) scaleFor(c cell) *Scale {
	name := c.nameText()
	if s := j.job.Scale(name); s != nil {
		return s
	}
	var listed *scaleEntry
	if name != "" && j.lists(scalesForm) {
		listed = j.scales.find(name)
		if listed == nil && !j.unreadable(scalesForm) {
			c.refuse(c.shown()+" is not listed in scales.csv", "use a name from that form", nearestHint("scale", name, j.scales.names(), &j.guesses))
		}
	} else if other := j.respelt(name); other != "" {
		c.refuse(c.shown()+" is also spelt "+quote(other), "one spelling for each scale", "")
	}
	if listed != nil {
		j.job.Scales = append(j.job.Scales, listed.Scale)
	} else {
		j.job.Scales = append(j.job.Scales, Scale{Name: name, Class: "III", Typed: undeclared(name)})
	}
	return &j.job.Scales[len(j.job.Scales)-1]
}

// planScales keeps every listed scale where a visit is planned: no reading
// names one yet, and the plan is for the decks that there are.
func (j *jobReader) planScales() {
	if j.options.NeedTickets {
		return
	}
	for _, e := range append(slices.Clone(j.scales.own), j.scales.shared...) {
		if e.Name != "" && j.job.Scale(e.Name) == nil {
			j.job.Scales = append(j.job.Scales, e.Scale)
		}
	}
}

// undeclared is the record of a scale that no form describes.
func undeclared(name string) map[string]string {
	m := map[string]string{}
	for _, c := range specs[formRank("scales.csv")].columns[1:] {
		m[c] = ""
	}
	m["scale"] = name
	return m
}

// respelt finds a scale that is not listed and equals name but for case and spaces.
func (j *jobReader) respelt(name string) string {
	for _, s := range j.job.Scales {
		if foldName(s.Name) == foldName(name) {
			return s.Name
		}
	}
	return ""
}
