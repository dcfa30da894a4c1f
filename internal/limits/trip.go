package limits

import (
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// notKnown is the verdict of a check of the trip that hangs on a missing number.
//
// It is graver than within, because nobody can say that it is, and less grave than
// unsettled, which says of a figure that it lies too close.
const notKnown Verdict = "not_known"

// gravity of the verdicts of a trip, the least grave first.
//
// The order of the contract's list (section 3, the trip). A trip that is not surely
// within turns exit status 0 into 2.
var graver = []Verdict{Within, notKnown, Unsettled, Over}

// worstCase is a deciding check where the loads that vary weigh what is worst for it:
// fuel, water, somebody who rides now and then. Found is nil where the verdict is
// not_known.
type worstCase struct {
	Found   *valueFound
	Verdict Verdict
	At      []loadMass // of the loads that move it
	Other   float64    // the value with each of them at its other end; only with Found
}

// loadMass is a load at one end of what it may weigh, as typed.
type loadMass struct {
	Load string
	Kg   decimal.Decimal
}

// varying is a load that varies, with what it weighs as it travels.
type varying struct {
	*tickets.Load
	mass        float64
	least, most decimal.Decimal
}

// trip takes each deciding check to its worst corner, and is the gravest of their
// verdicts; "" where no load varies.
func (h *checker) trip(f *Findings) Verdict {
	loads := h.varying()
	if len(loads) == 0 {
		return ""
	}
	gravest := 0
	// Only what decides is taken to its corners: the trip is about whether the outfit
	// may be driven, and what decides nothing as weighed decides nothing on the way
	// either.
	for _, c := range f.Deciding {
		for _, one := range h.eachTyre(nil, c) {
			if t := h.worstCorner(one, loads); c.Worst == nil || t.worse(c.Worst) {
				c.Worst = t
			}
		}
		gravest = max(gravest, slices.Index(graver, c.Worst.Verdict))
	}
	return graver[gravest]
}

// worse reports whether a case has a graver verdict than another, of equal ones less
// margin.
func (t *worstCase) worse(than *worstCase) bool {
	a, b := slices.Index(graver, t.Verdict), slices.Index(graver, than.Verdict)
	if a != b || t.Found == nil {
		return a > b
	}
	return t.Found.Margin < than.Found.Margin
}

// varying lists the loads with a least or a most.
func (h *checker) varying() []varying {
	var all []varying
	for i := range h.job.Loads {
		l := &h.job.Loads[i]
		if l.Set != "" || !l.Least.Valid && !l.Most.Valid {
			continue
		}
		v := varying{Load: l, mass: l.Kg.InexactFloat64(), least: l.Kg, most: l.Kg}
		// Δ counts from what the load weighed when the outfit was weighed. Where
		// readings with and without it say so, that is the solved mass and not the
		// stated one.
		if kg, _, ok := h.s.Sum(derive.Part{Factor: 1, Load: l.Name}).Number(); ok {
			v.mass = kg
		}
		if l.Least.Valid {
			v.least = l.Least.Decimal
		}
		if l.Most.Valid {
			v.most = l.Most.Decimal
		}
		all = append(all, v)
	}
	return all
}

// change is Δ of a load at an end, and its standard uncertainty:
//
//	u(Δ) = |Δ|·uncertainty/mass; of a load of 0 kg 5 % of |Δ|, at least 1 kg
func (v *varying) change(end decimal.Decimal) (delta, u float64) {
	delta = portable.Kg(end.InexactFloat64() - v.mass)
	size := math.Abs(delta)
	switch {
	case delta == 0:
		return 0, 0
	// A tank stated as empty has no uncertainty in parts of its mass to go by. What is
	// filled in has that of a stated load: 5 %, at least 1 kg, the default of loads.csv.
	case v.Kg.IsZero():
		return delta, max(float64(0.05*size), 1)
	}
	return delta, float64(size*v.UKg) / v.Kg.InexactFloat64()
}

// worstCorner puts each load at the end at which a check's value is worst, by
// the sign of its effect.
func (h *checker) worstCorner(c *Check, loads []varying) *worstCase {
	t := &worstCase{Verdict: notKnown}
	if c.Found == nil || c.Limit == nil {
		return t
	}
	// Corners are enough: a value that is a sum of effect × mass is largest, and least,
	// with every load at one end or the other, each by its own sign, whatever the others
	// weigh.
	value, variance := c.Found.Value, portable.Square(c.Found.U)
	other := value
	var moved, back []movedLoad
	for i := range loads {
		v := &loads[i]
		perKg, missing := derive.Effect(h.job, h.placeOf(v.Load), c.Parts...)
		// Without its share nobody can say to which end the load should go, nor by how
		// much the value then changes; one that does not vary after all changes nothing.
		if missing != "" || v.On == "" {
			if v.least.Equal(v.most) {
				continue
			}
			return t
		}
		if math.Abs(perKg) <= negligible {
			continue
		}
		end, far := v.most, v.least
		// An upper limit is nearest where the value is largest, a lower one where it is
		// least; a load with a negative effect, such as one behind the trailer's axle on
		// the download, is worst at the other end.
		if (perKg < 0) != c.Lower {
			end, far = far, end
		}
		delta, u := v.change(end)
		value += float64(perKg * delta)
		// The masses at the end are independent of each other and of the readings, so
		// that variances add.
		variance += portable.Square(float64(perKg * u))
		moved = append(moved, movedLoad{v.Load, delta})
		t.At = append(t.At, loadMass{v.Name, end})
		delta, _ = v.change(far)
		other += float64(perKg * delta)
		back = append(back, movedLoad{v.Load, delta})
	}
	kN := c.LimitKN.Valid
	// The D-value is no sum of masses. The signs of its first derivatives choose the
	// corner, and there it is computed from T and C themselves.
	if kN {
		value, other = h.couplerAfter(moved), h.couplerAfter(back)
	}
	t.Other = grid(other, kN)
	t.judge(c, grid(value, kN), grid(math.Sqrt(variance), kN), *c.Limit, h.rule)
	return t
}

// placeOf is where a load rides: of no known position where the form has no such place.
func (h *checker) placeOf(l *tickets.Load) *tickets.Place {
	if p := h.job.Place(l.Place); p != nil {
		return p
	}
	return &tickets.Place{On: l.On}
}

// movedLoad is a load and by how much its mass changes.
type movedLoad struct {
	load  *tickets.Load
	delta float64
}

// couplerAfter is Dc with loads changed: by T and C themselves, not to first order.
func (h *checker) couplerAfter(moved []movedLoad) float64 {
	state := h.job.Outfit.Travels
	at := func(l load) float64 {
		parts := h.partsOf(nil, l, state)
		sum := h.sum("", parts).value
		for _, m := range moved {
			// Where it rests may be open where T and C are alike: one of them then has
			// all of it, and which one does not matter to Dc.
			perKg, _ := derive.Effect(h.job, h.placeOf(m.load), parts...)
			sum += float64(perKg * m.delta)
		}
		return sum
	}
	return dc(at(vehicleAxles), at(trailerAxles))
}

// judge gives the corner its verdict, by the same rule; the floor on the value.
func (t *worstCase) judge(c *Check, value, u, limit float64, by rule) {
	kN := c.LimitKN.Valid
	t.Verdict = judge(value, u, limit, c.Lower, by, kN)
	// Here the floor is on the value (contract, section 3, checks): a coupling that may
	// lift within U is unsettled as weighed already, and no tank has to say so again.
	if c.Floor {
		t.Verdict = judgeFloor(value, u, simple)
	}
	if t.Verdict == notWeighed {
		t.Verdict = notKnown
		return
	}
	margin := limit - value
	if c.Lower {
		margin = -margin
	}
	t.Found = &valueFound{Value: value, U: u, Margin: grid(margin, kN), POver: pOver(value, u, limit, c.Lower)}
}
