package adjust

import (
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// onLoad is the load that a rating limits as base + trailer·T + download·D, so
// that one answer serves the value and the heaviest trailer. nil is not known.
type onLoad struct {
	base              *amount
	trailer, download float64
}

// value is the load with the trailer as stated.
func (l *onLoad) value(m *masses) *amount {
	if l == nil {
		return nil
	}
	v := l.base
	if l.trailer != 0 {
		v = v.plus(l.trailer, m.trailer)
	}
	if l.download != 0 {
		v = v.plus(l.download, m.download)
	}
	return v
}

// alone reports a row of the vehicle by itself.
func alone(a *limits.Applied) bool { return a.State == tickets.VehicleAlone }

// compare makes the rows of one set. The vehicle alone has a row where that may
// be the heavier case, or where a line applies only there: coupled, the
// download adds to the vehicle and its rear axle, and lifts the front.
func (e *estimator) compare(m *masses) []statedCheck {
	var checks []statedCheck
	for i := range e.applied {
		if a := &e.applied[i]; a.Set == m.set && (!alone(a) || e.ownRow(a, m)) {
			checks = append(checks, e.check(a, m))
		}
	}
	return checks
}

// ownRow reports whether a line has a row for the vehicle alone.
func (e *estimator) ownRow(a *limits.Applied, m *masses) bool {
	for i := range e.applied {
		if c := &e.applied[i]; c.Line == a.Line && c.Set == a.Set && !alone(c) {
			k, known := e.lever()
			return a.On == tickets.Front && m.front != nil && (!known || k > 0 && e.share.Value > 0)
		}
	}
	return true
}

// lever is a/w; nothing is on the coupling of a hinged drawbar, whose lever is 0.
func (e *estimator) lever() (k float64, known bool) {
	if e.share.From == "drawbar" {
		return 0, true
	}
	front, missing := frontOnCoupling(e.job)
	return -front, missing == ""
}

// loadOf is the load that a line limits:
//
//	gvm V + D; gcm V + T; atm T; gtm T − D; towing T, or in the eu T − D
//	front V1 − (a/w)·D; rear V2 + (1 + a/w)·D; trailer T − D; download D
func (e *estimator) loadOf(a *limits.Applied, m *masses) *onLoad {
	switch {
	case a.Force:
		return nil // no sum of masses
	case a.On != "":
		return e.onGroup(a, m)
	case a.Vehicle:
		return with(m.vehicle, a.Trailer, a.Download)
	}
	return with(&amount{}, a.Trailer, a.Download)
}

func with(base *amount, trailer, download float64) *onLoad {
	if base == nil {
		return nil
	}
	return &onLoad{base, trailer, download}
}

// onGroup is the load of an axle group; of one axle of several nothing is known.
func (e *estimator) onGroup(a *limits.Applied, m *masses) *onLoad {
	download := 1.0
	if alone(a) {
		download = 0
	}
	if a.On == tickets.Trailer && !a.Part {
		return with(&amount{}, 1, -1)
	}
	k, known := e.lever()
	switch {
	case a.Part || download > 0 && !known:
		return nil
	case a.On == tickets.Front:
		return with(m.front, 0, float64(-k*download))
	}
	return with(m.rear, 0, float64((1+k)*download))
}

// check compares one line.
func (e *estimator) check(a *limits.Applied, m *masses) statedCheck {
	c := statedCheck{Applied: *a, Verdict: notKnown}
	v := e.loadOf(a, m).value(m)
	switch {
	case a.Force:
		v = e.force(m)
	case a.OneTyre && v != nil:
		v = oneOf(v, a)
	}
	switch {
	case v == nil:
		e.whyNot(a, m)
	case a.LimitKN.Valid:
		c.judge(portable.Ratio(v.kg), portable.Ratio(v.u()), portable.Ratio(a.LimitKN.Decimal.InexactFloat64()), portable.Ratio)
	case a.LimitKg.Valid:
		c.judge(portable.Kg(v.kg), portable.Kg(v.u()), portable.Kg(a.LimitKg.Decimal.InexactFloat64()), portable.Kg)
	}
	return c
}

// oneOf is what one of the tyres of a group carries: an equal share, with
//
//	u² = (u/n)² + (0.06·share)²
//
// or 0.12 for 0.06, as limits has it for a group that was weighed as one.
func oneOf(group *amount, a *limits.Applied) *amount {
	if a.Tyres <= 0 {
		return nil
	}
	share := group.times(1 / a.Tyres)
	share.parts = append(share.parts, float64(a.Unequal*share.kg))
	return share
}

// judge compares a value, its U = 2u and a limit on one grid.
//
//	likely_within  value + U ≤ limit
//	likely_over    value − U > limit
//	open           between
//
// A least is the mirror image. An atm that the trailer is taken to weigh has no
// uncertainty, and keeps itself.
func (c *statedCheck) judge(value, u, limit float64, grid func(float64) float64) {
	margin := grid(limit - value)
	if c.Lower {
		margin = grid(value - limit)
	}
	c.Value = &estimatedValue{value, u, margin}
	switch guard := float64(2 * u); {
	case grid(margin-guard) >= 0:
		c.Verdict = likelyWithin
	case grid(margin+guard) < 0:
		c.Verdict = likelyOver
	default:
		c.Verdict = likelyOpen
	}
}

// kNPerTonne is g as UN R55 takes it.
const kNPerTonne = 9.81

// force is Dc in kilonewtons, of the coupled vehicle P and the trailer's axles C:
//
//	Dc = g·P·C/(P + C), P = V + D, C = T − D, in tonnes
//	∂Dc/∂P = g·(C/(P + C))², ∂Dc/∂C = g·(P/(P + C))²
//
// Source: UN R55.
func (e *estimator) force(m *masses) *amount {
	p, c := m.vehicle.plus(1, m.download), m.trailer.plus(-1, m.download)
	if p == nil || c == nil || p.kg+c.kg <= 0 {
		return nil
	}
	both := p.kg + c.kg
	const perKg = kNPerTonne / 1000
	byP, byC := float64(perKg*portable.Square(c.kg/both)), float64(perKg*portable.Square(p.kg/both))
	f := p.times(byP).plus(byC, c)
	f.kg = float64(float64(perKg*p.kg)*c.kg) / both
	return f
}

// inOrder sorts the rows by line, then the ratings in force and the sets, then
// the states, as those of a weighing are.
func (e *estimator) inOrder(byCase map[string][]statedCheck) []statedCheck {
	var all []statedCheck
	for i := range e.applied {
		a := &e.applied[i]
		for _, c := range byCase[a.Set] {
			if c.Line == a.Line && c.State == a.State {
				all = append(all, c)
			}
		}
	}
	return all
}
