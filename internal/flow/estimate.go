package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// ReadStated reads the forms of a folder but for tickets.csv, whose readings an
// estimate does not look at.
func ReadStated(f Folder, o Options) tickets.Result {
	var forms []tickets.Form
	for _, form := range f.Forms {
		if form.Name != "tickets.csv" {
			forms = append(forms, form)
		}
	}
	f.Forms = forms
	return Read(f, o, false)
}

// Estimate adds up what a job states before anything is weighed.
func Estimate(job *tickets.Job) *record.Estimate {
	return record.EstimateOf(job, adjust.Estimate(job))
}
