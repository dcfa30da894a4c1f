package limits

import (
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// TestPublishedPlates: what published definitions and plates allow is not
// asked, and what they rule out is. The figures of the plates of two published
// examples are used as they are; the others are made up to lie on and beyond
// the definition named.
func TestPublishedPlates(t *testing.T) {
	us := func(j *tickets.Job) { j.Region = "us" }
	uk := func(j *tickets.Job) { j.Region = "uk" }
	for _, c := range []struct {
		source string
		lines  []tickets.Rating
		job    func(*tickets.Job)
		code   string
		asked  bool
	}{
		{"NHTSA letter aiam1472: the sum of GAWR must at least equal the GVWR; equal",
			[]tickets.Rating{rate("gvm", "", 3200), rate("axle", "front", 1400), rate("axle", "rear", 1800)}, us, "axles_below_gvm", false},
		{"NHTSA letter aiam1472: the sum of GAWR must at least equal the GVWR; 10 kg short",
			[]tickets.Rating{rate("gvm", "", 3200), rate("axle", "front", 1400), rate("axle", "rear", 1790)}, us, "axles_below_gvm", true},
		{"NHTSA letter nht76-3.20: a trailer's GAWR may be less than its GVWR, which includes what the vehicle carries",
			[]tickets.Rating{rate("atm", "", 2800), rate("gtm", "", 2550)}, us, "gtm_above_atm", false},
		{"ADR Definitions: ATM includes the mass imposed on the drawing vehicle, GTM does not: it cannot be above",
			[]tickets.Rating{rate("atm", "", 2800), rate("gtm", "", 2850)}, func(*tickets.Job) {}, "gtm_above_atm", true},
		{"Road Safety Authority (IE), towing capacity from a plate: 2,930 − 1,820 = 1,110",
			[]tickets.Rating{rate("gvm", "", 1820), rate("gcm", "", 2930), rate("towing", "", 1110)}, uk, "gcm_above_sum", false},
		{"trade association (UK), towing capacity from a plate: 4,200 − 2,505 = 1,695",
			[]tickets.Rating{rate("gvm", "", 2505), rate("gcm", "", 4200), rate("towing", "", 1695)}, uk, "gcm_above_sum", false},
		{"the same plate with its figures exchanged, and what may be towed with them: a train lighter than the vehicle",
			[]tickets.Rating{rate("gvm", "", 4200), rate("gcm", "", 2505), rate("towing", "", 1695)}, uk, "gcm_below_gvm", true},
	} {
		job := au(slices.Clone(c.lines)...)
		c.job(job)
		if got := asks(found(t, job), c.code); (got != "") != c.asked {
			t.Errorf("%s: %s asked %q (want asked %v)", c.source, c.code, got, c.asked)
		}
	}
}
