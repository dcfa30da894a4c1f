package record

import (
	"strconv"

	"github.com/shopspring/decimal"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// buildFindings fills in what the ratings say.
func (r *Record) buildFindings(job *tickets.Job, f *limits.Findings) {
	r.Verdict = string(f.Verdict)
	m := r.memory
	r.Questions = m.questionsOf(f)
	r.Checks, r.NotGiven, r.Ratings = m.checksOf(f), m.ratingKeys(f.NotGiven), m.ratingsOf(job, f)
	r.Guides, r.Cautions = m.guidesOf(f), m.cautionsOf(f)
	r.Headroom, r.Levers = m.headroomOf(f), m.leversOf(f)
	r.Trip, r.HitchRange = m.tripOf(f), m.rangeOf(f)
}

func (m *memory) questionsOf(f *limits.Findings) []question {
	all := make([]question, 0, len(f.Questions))
	for i := range f.Questions {
		q := &f.Questions[i]
		all = append(all, question{q.Code, q.File, q.Line, q.Answered, m.args.Of(m.argsOf(&q.Args))})
	}
	return all
}

func (m *memory) checksOf(f *limits.Findings) []Check {
	checks := every(m.checks.List(len(f.Checks)))
	for i := range f.Checks {
		c, row := &f.Checks[i], &checks[i]
		// The rows of a line follow each other, and have one limit.
		if i > 0 && c.Line != nil && c.Line == f.Checks[i-1].Line {
			row.LimitKg, row.LimitKN = checks[i-1].LimitKg, checks[i-1].LimitKN
		}
		m.fillCheck(row, c)
	}
	return checks
}

// fillCheck fills in a check as the record has it; a limit that is there already stays.
func (m *memory) fillCheck(row *Check, c *limits.Check) {
	if row.LimitKg == nil && row.LimitKN == nil {
		row.LimitKg, row.LimitKN = m.limitsOf(c)
	}
	row.Rating, row.On, row.State, row.Set, row.Floor = c.Rating, c.On, string(c.State), c.Set, c.Floor
	if c.Line != nil {
		row.Line = m.ints.Of(c.Line.Line)
	}
	row.Verdict, row.Decides, row.HeldOn = string(c.Verdict), c.Decides, every(copied(&m.texts, c.HeldOn))
	row.NeededKg, row.Checked, row.Assumed = m.number(c.NeededKg), c.Checked, every(copied(&m.texts, c.Assumed))
	row.OnlyTensioned, row.PlatedKN = c.OnlyTensioned, m.number(c.PlatedKN)
	found := c.Found
	if found == nil {
		return
	}
	row.POver = m.floats.Of(found.POver)
	value, u, margin := m.floats.Of(found.Value), m.floats.Of(found.U), m.floats.Of(found.Margin)
	if c.LimitKN.Valid {
		row.ValueKN, row.UKN, row.MarginKN = value, u, margin
		return
	}
	row.ValueKg, row.UKg, row.MarginKg = value, u, margin
	row.MistakeEffectKg = m.number(c.MistakeKg)
}

// limitsOf are the limits of a check in digits; nil where it has none of that unit.
func (m *memory) limitsOf(c *limits.Check) (kg, kN *string) {
	typed := ""
	if c.Line != nil {
		typed = c.Line.Value
	}
	if c.LimitKg.Valid {
		kg = m.texts.Of(massDigits(c.LimitKg.Decimal, typed))
	}
	if c.LimitKN.Valid {
		kN = m.texts.Of(massDigits(c.LimitKN.Decimal, typed))
	}
	return kg, kN
}

// massDigits is a limit, or a mass in kilograms, in digits: most were typed as those. None
// is heavier than 100,000 tonnes, so that whole ones are written as whole numbers,
// which takes less.
func massDigits(d decimal.Decimal, typed string) string {
	if d.Exponent() != 0 {
		return d.String()
	}
	var room [20]byte
	digits := strconv.AppendInt(room[:0], d.CoefficientInt64(), 10)
	if string(digits) == typed {
		return typed
	}
	return string(digits)
}

func (m *memory) ratingsOf(job *tickets.Job, f *limits.Findings) []rating {
	rows := every(m.ratings.List(len(job.Ratings)))
	for i := range job.Ratings {
		t := &job.Ratings[i]
		rows[i] = rating{
			Line: t.Line, Rating: t.Word, On: t.On, Value: t.Value, Unit: t.Unit, Kind: t.Kind, When: t.When, Set: t.Set,
			Source: t.Source, Certificate: t.Certificate, CertifiedOn: t.CertifiedOn.Printed, Note: t.Note,
			Status: string(f.Status[i]),
		}
	}
	return rows
}

func (m *memory) guidesOf(f *limits.Findings) []guide {
	rows := every(m.guides.List(len(f.Guides)))
	for i := range f.Guides {
		g, row := &f.Guides[i], &rows[i]
		row.Guide, row.On, row.Source = g.Guide, g.On, g.Source
		row.Value, row.U, row.Low, row.High = m.number(g.Value), m.number(g.U), m.number(g.Low), m.number(g.High)
		if g.Kept != nil {
			kept := *g.Kept
			row.Kept = &kept
		}
	}
	return rows
}

func (m *memory) cautionsOf(f *limits.Findings) []Note {
	rows := every(m.notes.List(len(f.Cautions)))
	for i := range f.Cautions {
		c := &f.Cautions[i]
		rows[i] = Note{c.Code, c.Line, m.argsOf(&c.Args)}
	}
	return rows
}

func (m *memory) headroomOf(f *limits.Findings) []headroom {
	rows := every(m.headroom.List(len(f.Headroom)))
	for i := range f.Headroom {
		h := &f.Headroom[i]
		rows[i] = headroom{h.Place, h.Kg, h.Rating, h.On, string(h.State)}
	}
	return rows
}

func (m *memory) leversOf(f *limits.Findings) []lever {
	rows := every(m.levers.List(len(f.Levers)))
	for i := range f.Levers {
		l := &f.Levers[i]
		rows[i] = lever{l.Place, string(l.On), m.number(l.FrontKg), m.number(l.RearKg), m.number(l.TrailerKg), m.number(l.DownloadKg)}
	}
	return rows
}
