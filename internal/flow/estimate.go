package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// Estimate adds up what each job of a folder states before anything is weighed.
// It reads the forms but for tickets.csv, at whose readings it does not look.
func Estimate(f Folder, o Options) ([]*record.Estimate, []tickets.Fault) {
	var forms []tickets.Form
	for _, form := range f.Forms {
		if form.Name != "tickets.csv" {
			forms = append(forms, form)
		}
	}
	f.Forms = forms
	read := Read(f, o, false)
	var all []*record.Estimate
	for i := range read.Jobs {
		job := &read.Jobs[i]
		all = append(all, record.EstimateOf(job, adjust.Estimate(job)))
	}
	return all, read.Faults
}
