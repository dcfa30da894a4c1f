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
	jobs, faults := Read(f, o, false).All()
	var all []*record.Estimate
	for _, job := range jobs {
		all = append(all, record.EstimateOf(job, adjust.Estimate(job)))
	}
	return all, faults
}
