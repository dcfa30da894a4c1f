package record

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// EstimateOf writes down what the stated masses of a job come to.
func EstimateOf(job *tickets.Job, a *adjust.Estimated) *Estimate {
	base := estimateSet(&a.Cases[0])
	e := &Estimate{
		Schema: estimateSchema, Job: job.Name, Region: string(job.Region), Travels: string(job.Outfit.Travels), TrailerKind: job.Outfit.TrailerKind,
		Vehicle: base.Vehicle, Trailer: base.Trailer, Download: base.Download, Combination: base.Combination,
		PayloadKg: base.PayloadKg, PayloadLeft: base.PayloadLeft, Fits: base.Fits, TrailerFrom: base.TrailerFrom, VehicleFrom: base.VehicleFrom,
		StopsFirst: base.StopsFirst, PayloadSum: base.PayloadSum, TrailerSum: base.TrailerSum,
		Share:  downloadShare{a.Share.Value, a.Share.U, a.Share.From},
		Checks: []EstimateCheck{}, Sets: []EstimateSet{}, NotGiven: []RatingKey{}, Remarks: []remark{},
	}
	for i := range a.Checks {
		e.Checks = append(e.Checks, estimateCheck(&a.Checks[i]))
	}
	for i := range a.Cases[1:] {
		e.Sets = append(e.Sets, estimateSet(&a.Cases[i+1]))
	}
	for _, k := range a.NotGiven {
		e.NotGiven = append(e.NotGiven, RatingKey{k.Rating, k.On})
	}
	for _, r := range a.Remarks {
		e.Remarks = append(e.Remarks, remark{r.Code, r.Line, r.Name})
	}
	return e
}

func estimateSet(c *adjust.Case) EstimateSet {
	s := EstimateSet{
		Set: c.Set, Vehicle: statedMass(c.Vehicle), Trailer: statedMass(c.Trailer), Download: statedMass(c.Download), Combination: statedMass(c.Combination),
		PayloadKg: decimalText(c.Payload), PayloadLeft: statedMass(c.PayloadLeft),
		TrailerFrom: c.TrailerFrom, VehicleFrom: c.VehicleFrom, PayloadSum: sumSteps(c.PayloadSum), TrailerSum: sumSteps(c.TrailerSum),
	}
	if c.Fits.Ok {
		s.Fits = Fits{DownloadKg: &c.Fits.DownloadKg, TrailerKg: &c.Fits.TrailerKg}
	}
	if by := c.Fits.StopsFirst; by != nil {
		s.StopsFirst = &CheckKey{by.Line.Word, by.Line.On, estimateState(by.State)}
	}
	return s
}

func estimateCheck(c *adjust.StatedCheck) EstimateCheck {
	row := EstimateCheck{
		Rating: c.Line.Word, On: c.Line.On, State: estimateState(c.State), Set: c.Set, Verdict: string(c.Verdict), Assumed: c.Assumed,
		LimitKg: decimalText(c.LimitKg), LimitKN: decimalText(c.LimitKN),
	}
	switch v := c.Value; {
	case v == nil:
	case row.LimitKN != nil:
		row.ValueKN, row.UKN, row.MarginKN = &v.Value, &v.U, &v.Margin
	default:
		row.ValueKg, row.UKg, row.MarginKg = &v.Value, &v.U, &v.Margin
	}
	return row
}

// estimateState is a state of an estimate: coupled, however the bars are.
func estimateState(s derive.State) string {
	if s == derive.CoupledSlack || s == derive.CoupledTensioned {
		return "coupled"
	}
	return string(s)
}

func statedMass(m *adjust.Stated) *StatedMass {
	if m == nil {
		return nil
	}
	return &StatedMass{m.Kg, m.U}
}

// decimalText is a figure as a decimal string; null where there is none.
func decimalText(d decimal.NullDecimal) *string {
	if !d.Valid {
		return nil
	}
	text := d.Decimal.String()
	return &text
}

func sumSteps(all []adjust.Step) []SumStep {
	steps := []SumStep{}
	for _, s := range all {
		steps = append(steps, SumStep{s.Code, s.Name, s.Line, s.Kg, s.Then})
	}
	return steps
}
