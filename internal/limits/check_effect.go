package limits

import "reconcile/internal/tickets"

// Effect is what one kilogram of a load at a position adds to the value of a
// check, in the check's unit (for a D-value to first order): the shares of the
// lever law, with the tension moment unchanged. at is in millimetres as in Place. ok is
// false where the effect depends on a missing number; missing then names it: a
// length's column in outfit.csv, or place where hasAt is false.
func (c *Check) Effect(job *tickets.Job, on tickets.Unit, at float64, hasAt bool) (perKg float64, missing string, ok bool) {
	e := effectAt(job, position{on, at, hasAt}, c.parts)
	if !e.exact() {
		return 0, e.missing, false
	}
	return e.byMass, "", true
}
