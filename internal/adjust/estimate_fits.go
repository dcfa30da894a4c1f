package adjust

import (
	"slices"

	"reconcile/internal/portable"
)

// inFits are the ratings that the heaviest trailer is sought under.
var inFits = []string{"gvm", "gcm", "atm", "gtm", "towing", "axle", "download_max"}

// fits is the largest T for which every known load keeps its limit on the
// values, with D = share·T:
//
//	base + (trailer + download·share)·T ≤ limit
//
// A load that grows with T bounds it from above, one that shrinks (the front
// axle) from below; one that does neither keeps its limit or nothing fits.
func (e *estimator) fits(m *masses, checks []statedCheck) fits {
	var f fits
	var most, least float64
	var floor *statedCheck
	for i := range checks {
		c := &checks[i]
		l := e.loadOf(&c.Applied, m)
		if l == nil || !c.LimitKg.Valid || !slices.Contains(inFits, c.Line.Word) {
			continue
		}
		perKg := l.trailer + float64(l.download*e.share.Value)
		room := c.LimitKg.Decimal.InexactFloat64() - l.base.kg
		if perKg == 0 {
			if portable.Kg(room) < 0 {
				return fits{StopsFirst: c}
			}
			continue
		}
		switch bound := portable.Kg(room / perKg); {
		case perKg > 0 && (f.StopsFirst == nil || bound < most):
			most, f.StopsFirst = bound, c
		case perKg < 0 && bound > least:
			least, floor = bound, c
		}
	}
	switch {
	case f.StopsFirst == nil || most < 0:
		return f
	case least > most:
		f.StopsFirst = floor
		return f
	}
	f.Ok, f.TrailerKg, f.DownloadKg = true, most, portable.Kg(float64(e.share.Value*most))
	return f
}
