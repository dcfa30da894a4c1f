package words

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// title names the job, or, where it has no name, its outfit.
func (w *Words) title() string {
	if w.Record.Job != "" {
		return "job " + w.Record.Job
	}
	o := w.Record.Outfit
	vehicle, trailer := paired(o.Vehicle, o.VehicleID, " "), paired(o.Trailer, o.TrailerID, " ")
	if vehicle+trailer == "" {
		return "outfit not named"
	}
	return paired(vehicle, trailer, " + ")
}

// paired joins two names, or gives the one that there is.
func paired(a, b, between string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

// Count prints a whole number, thousands separated.
func Count(n int) string { return grouped(decimal.NewFromInt(int64(n)).String()) }

// notDeciding says why a row of the ratings in force decides nothing: "not the
// lowest" or "not as it travels"; blank for one that decides.
func (w *Words) notDeciding(c record.Check) string {
	if c.Decides || c.Set != "" {
		return ""
	}
	return say(w.whyNotDeciding(c))
}
