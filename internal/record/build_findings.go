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
	r.CannotBe, r.Questions = cannotBeOf(job, f), questionsOf(f)
	r.Checks, r.NotGiven, r.Ratings = checksOf(f), ratingKeys(f.NotGiven), ratingsOf(job, f)
	r.Guides, r.Cautions = guidesOf(f), cautionsOf(f)
	r.Headroom, r.Levers = headroomOf(f), leversOf(f)
	r.Trip, r.HitchRange = tripOf(f), rangeOf(f)
}

func questionsOf(f *limits.Findings) []Question {
	all := make([]Question, 0, len(f.Questions))
	for i := range f.Questions {
		q := &f.Questions[i]
		args := argsOf(&q.Args)
		all = append(all, Question{q.Code, q.File, q.Line, q.Answered, &args})
	}
	return all
}

func checksOf(f *limits.Findings) []Check {
	checks := make([]Check, len(f.Checks))
	for i := range f.Checks {
		c, row := &f.Checks[i], &checks[i]
		// The rows of a line follow each other, and have one limit.
		if i > 0 && c.Line != nil && c.Line == f.Checks[i-1].Line {
			row.LimitKg, row.LimitKN = checks[i-1].LimitKg, checks[i-1].LimitKN
		}
		row.fill(c)
	}
	return checks
}

// fill fills in a check as the record has it; a limit that is there already stays.
func (row *Check) fill(c *limits.Check) {
	if row.LimitKg == nil && row.LimitKN == nil {
		row.LimitKg, row.LimitKN = typedOf(c.LimitKg), typedOf(c.LimitKN)
	}
	row.Rating, row.On, row.State, row.Set, row.Floor = c.Rating, c.On, string(c.State), c.Set, c.Floor
	if c.Line != nil {
		row.Line = &c.Line.Line
	}
	row.Verdict, row.Decides, row.HeldOn = string(c.Verdict), c.Decides, every(c.HeldOn)
	row.NeededKg, row.Checked, row.Assumed = c.NeededKg, c.Checked, every(c.Assumed)
	row.OnlyTensioned, row.PlatedKN = c.OnlyTensioned, c.PlatedKN
	found := c.Found
	if found == nil {
		return
	}
	row.POver = &found.POver
	if c.LimitKN.Valid {
		row.ValueKN, row.UKN, row.MarginKN = &found.Value, &found.U, &found.Margin
		return
	}
	row.ValueKg, row.UKg, row.MarginKg = &found.Value, &found.U, &found.Margin
	row.MistakeEffectKg = c.MistakeKg
}

// typedOf is a limit in digits; nil where there is none.
func typedOf(limit decimal.NullDecimal) *string {
	if !limit.Valid {
		return nil
	}
	digits := massDigits(limit.Decimal)
	return &digits
}

// massDigits is a limit, or a mass in kilograms, in digits. None is heavier than 100,000
// tonnes, so that whole ones are written as whole numbers, which takes less.
func massDigits(d decimal.Decimal) string {
	if d.Exponent() == 0 {
		return strconv.FormatInt(d.CoefficientInt64(), 10)
	}
	return d.String()
}

func ratingsOf(job *tickets.Job, f *limits.Findings) []rating {
	rows := make([]rating, 0, len(job.Ratings))
	for i := range job.Ratings {
		t := &job.Ratings[i]
		rows = append(rows, rating{
			Line: t.Line, Rating: t.Word, On: t.On, Value: t.Value, Unit: t.Unit, Kind: t.Kind, When: t.When, Set: t.Set,
			Source: t.Source, Certificate: t.Certificate, CertifiedOn: t.CertifiedOn.Printed, Note: t.Note,
			Status: string(f.Status[i]),
		})
	}
	return rows
}

func guidesOf(f *limits.Findings) []guide {
	rows := make([]guide, 0, len(f.Guides))
	for _, g := range f.Guides {
		rows = append(rows, guide{g.Guide, g.On, g.Value, g.U, g.Low, g.High, g.Kept, g.Source})
	}
	return rows
}

func cautionsOf(f *limits.Findings) []Note {
	rows := make([]Note, 0, len(f.Cautions))
	for i := range f.Cautions {
		c := &f.Cautions[i]
		rows = append(rows, Note{c.Code, c.Line, argsOf(&c.Args)})
	}
	return rows
}

func headroomOf(f *limits.Findings) []headroom {
	rows := make([]headroom, 0, len(f.Headroom))
	for _, h := range f.Headroom {
		rows = append(rows, headroom{h.Place, h.Kg, h.Rating, h.On, string(h.State)})
	}
	return rows
}

func leversOf(f *limits.Findings) []Lever {
	rows := make([]Lever, 0, len(f.Levers))
	for _, l := range f.Levers {
		rows = append(rows, Lever{l.Place, string(l.On), l.FrontKg, l.RearKg, l.TrailerKg, l.DownloadKg})
	}
	return rows
}

func cannotBeOf(job *tickets.Job, f *limits.Findings) []cannotBe {
	rows := []cannotBe{}
	for i := range f.CannotBe {
		c := &f.CannotBe[i]
		args := Args{Ticket: c.Ticket, Typed: c.Typed}
		if c.State != "" { // a load
			args = Args{Kg: &c.Kg, UKg: &c.U}
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
