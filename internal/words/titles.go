package words

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// Title names the job, or, where it has no name, its outfit.
func (w *Words) Title() string {
	if w.r.Job != "" {
		return say("job " + w.r.Job)
	}
	o := w.r.Outfit
	vehicle, trailer := paired(o.Vehicle, o.VehicleID, " "), paired(o.Trailer, o.TrailerID, " ")
	if vehicle+trailer == "" {
		return say("outfit not named")
	}
	return say(paired(vehicle, trailer, " + "))
}

// paired joins two names, or gives the one that there is.
func paired(a, b, between string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

// ShortRemark says what the two pages leave out, and where it is.
func (w *Words) ShortRemark() string {
	return say("These are the two pages of a short summary. Readings, agreement, assumptions and footnotes are in the record attached to this file.")
}

// InUnit is a mass in the unit printed, for drawing to scale; what is printed
// is never read from it.
func (w *Words) InUnit(kg float64) float64 {
	if !w.lb {
		return kg
	}
	pound, _ := record.KgPerLb.Float64()
	return kg / pound
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
