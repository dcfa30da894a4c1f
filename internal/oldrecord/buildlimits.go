package record

import (
	"strings"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// Made says what made a record, with which choices.
type Made struct {
	Program string
	Options Options
}

// Beyond is what was tried beyond the job as typed: the likely mistakes of a
// conflict, the checks that are over under every one of them, and what to do next.
type Beyond struct {
	Mistakes   []derive.Mistake
	OverAnyway []*limits.Check
	Advice     *adjust.Advice
}

// Build makes the record of a job from what was derived, what it was held
// against, and what was tried beyond it. Every sentence in it is written here
// or in the files of words beside.
func Build(m Made, job *tickets.Job, s *derive.Solution, f *limits.Findings, b Beyond) *Record {
	r := &Record{
		Schema: Schema, Program: m.Program, Model: Model, Job: job.Name, Options: m.Options,
		Verdict: verdictWord(f.Verdict), NotGiven: notGivenWords(f.NotGiven),
	}
	r.buildDerived(job, s)
	r.buildPayload(f)
	r.Checks = checksOf(f)
	r.Ratings = ratingsOf(job, f)
	r.Guides, r.Cautions, r.Headroom = guidesOf(f), cautionsOf(f), headroomOf(f)
	r.buildFootnotes(job, s, f)
	r.Mistakes, r.Advice = r.MistakesOf(job, b.Mistakes), []Advice{}
	if b.Advice != nil {
		r.Advice = r.AdviceOf(job, b.Advice)
	}
	var over []Check
	for _, c := range b.OverAnyway {
		over = append(over, checkOf(c))
	}
	r.Headline = Headlines(r, HeadlineOptions{Ratings: f.Given, OverAnyway: over})
	return r
}

func (r *Record) buildPayload(f *limits.Findings) {
	for name, a := range map[string]*limits.Amount{
		"payload_used": f.Payload.Used, "payload_left": f.Payload.Left,
		"trailer_payload_used": f.Payload.TrailerUsed, "trailer_payload_left": f.Payload.TrailerLeft,
		"unlisted": f.Payload.Unlisted,
	} {
		r.Quantities[name] = nil
		if a != nil {
			r.Quantities[name] = &Quantity{Unit: InKg, Value: a.Value, U: a.U, Basis: string(a.Basis)}
		}
	}
}

func checksOf(f *limits.Findings) []Check {
	checks := []Check{}
	for i := range f.Checks {
		if !f.Checks[i].Floor {
			checks = append(checks, checkOf(&f.Checks[i]))
		}
	}
	return checks
}

func checkOf(c *limits.Check) Check {
	row := Check{
		Rating: c.Rating, On: c.On, State: string(c.State), Set: c.Set, Verdict: string(c.Verdict),
		Decides: c.Decides, HeldAgainst: strings.Join(c.HeldOn, " and "), NeededKg: c.NeededKg, Checked: c.Checked,
		Assumed: assumedText(c), OnlyTensioned: c.OnlyTensioned, Source: sourceOf(c),
	}
	if c.LimitKN.Valid {
		limit := c.LimitKN.Decimal.String()
		row.LimitKN = &limit
	}
	if c.LimitKg.Valid {
		limit := c.LimitKg.Decimal.String()
		row.LimitKg = &limit
	}
	if c.Found == nil {
		return row
	}
	found := *c.Found
	row.POver = &found.POver
	if c.LimitKN.Valid {
		row.ValueKN, row.UKN, row.MarginKN = &found.Value, &found.U, &found.Margin
		return row
	}
	row.ValueKg, row.UKg, row.MarginKg = &found.Value, &found.U, &found.Margin
	row.MistakeEffectKg = c.MistakeKg
	return row
}

func ratingsOf(job *tickets.Job, f *limits.Findings) []Rating {
	rows := []Rating{}
	for i := range job.Ratings {
		t := &job.Ratings[i]
		rows = append(rows, Rating{
			Line: t.Line, Rating: t.Word, On: t.On, Value: t.Value, Unit: t.Unit, Kind: t.Kind, When: t.When, Set: t.Set,
			Source: t.Source, Certificate: t.Certificate, CertifiedOn: t.CertifiedOn.Typed, Note: t.Note,
			Status: string(f.Status[i]),
		})
	}
	return rows
}

func guidesOf(f *limits.Findings) []Guide {
	rows := []Guide{}
	for _, g := range f.Guides {
		rows = append(rows, Guide{strings.TrimSpace(g.Guide + " " + g.On), g.Value, g.U, g.Low, g.High, g.Kept, g.Source})
	}
	return rows
}

func cautionsOf(f *limits.Findings) []Caution {
	rows := []Caution{}
	for _, c := range f.Cautions {
		rows = append(rows, Caution{c.Code, cautionText(c)})
	}
	return rows
}

func headroomOf(f *limits.Findings) []Headroom {
	rows := []Headroom{}
	for _, h := range f.Headroom {
		rows = append(rows, Headroom{h.Place, h.Kg, h.Rating, h.On, string(h.State)})
	}
	return rows
}
