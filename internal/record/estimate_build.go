package record

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/adjust"
	"reconcile/internal/tickets"
)

// EstimateOf writes down what the stated masses of a job come to.
func EstimateOf(job *tickets.Job, a *adjust.Estimated) *Estimate {
	sets := estimateSets(a)
	base := sets[0]
	e := &Estimate{
		Schema: estimateSchema, Job: job.Name, Region: job.Region, Travels: travelsWord(&job.Outfit), TrailerKind: kindWord(&job.Outfit),
		Vehicle: base.Vehicle, Trailer: base.Trailer, Download: base.Download, Combination: base.Combination,
		PayloadKg: base.PayloadKg, PayloadLeft: base.PayloadLeft, Fits: base.Fits, TrailerFrom: base.TrailerFrom, VehicleFrom: base.VehicleFrom,
		StopsFirst: base.StopsFirst, PayloadSum: base.PayloadSum, TrailerSum: base.TrailerSum,
		Share:  downloadShare{a.Share.Value, a.Share.U, a.Share.From},
		Checks: estimateChecks(a), Sets: append([]estimateSet{}, sets[1:]...), NotGiven: []RatingKey{}, Remarks: []remark{},
	}
	for _, k := range a.NotGiven {
		e.NotGiven = append(e.NotGiven, RatingKey{k.Rating, k.On})
	}
	e.Verdict = gravest(e.Checks)
	for _, r := range a.Remarks {
		e.Remarks = append(e.Remarks, remark{r.Code, r.Line, r.Name})
	}
	return e
}

// estimateSets are the masses under the ratings in force, then under each set.
func estimateSets(a *adjust.Estimated) []estimateSet {
	var all []estimateSet
	for i := range a.Cases {
		c := &a.Cases[i]
		s := estimateSet{
			Set: c.Set, Vehicle: (*StatedMass)(c.Vehicle), Trailer: (*StatedMass)(c.Trailer), Download: (*StatedMass)(c.Download), Combination: (*StatedMass)(c.Combination),
			PayloadKg: decimalText(c.Payload), PayloadLeft: (*StatedMass)(c.PayloadLeft),
			TrailerFrom: c.TrailerFrom, VehicleFrom: c.VehicleFrom, PayloadSum: []sumStep{}, TrailerSum: []sumStep{},
		}
		for _, step := range c.PayloadSum {
			s.PayloadSum = append(s.PayloadSum, sumStep(step))
		}
		for _, step := range c.TrailerSum {
			s.TrailerSum = append(s.TrailerSum, sumStep(step))
		}
		if c.Fits.Ok {
			s.Fits = fits{DownloadKg: &c.Fits.DownloadKg, TrailerKg: &c.Fits.TrailerKg}
		}
		if by := c.Fits.StopsFirst; by != nil {
			s.StopsFirst = &statedKey{by.Line.Word, by.Line.On, estimateState(by.State)}
		}
		all = append(all, s)
	}
	return all
}

func estimateChecks(a *adjust.Estimated) []estimateCheck {
	all := []estimateCheck{}
	for i := range a.Checks {
		c := &a.Checks[i]
		row := estimateCheck{
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
		all = append(all, row)
	}
	return all
}

// estimateState is a state of an estimate: coupled, however the bars are.
func estimateState(s tickets.State) string {
	setup, _ := s.Cells()
	return setup
}

// decimalText is a figure as a decimal string; null where there is none.
func decimalText(d decimal.NullDecimal) *string {
	if !d.Valid {
		return nil
	}
	text := d.Decimal.String()
	return &text
}
