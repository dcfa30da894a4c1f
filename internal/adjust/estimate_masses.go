package adjust

import (
	"math"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// amount is a mass in kilograms, and what each independent cause adds to its
// standard uncertainty, by the number of the cause. nil is not known.
// Parts are kept separate by cause, so that a load which is in two sums, or in
// one and in its share, is not taken for two independent ones:
//
//	u² = Σ over causes (Σ factors·part)²
type amount struct {
	kg    float64
	parts []float64
}

// plus adds f times another amount; not known where one of them is not.
func (a *amount) plus(f float64, b *amount) *amount {
	if a == nil || b == nil {
		return nil
	}
	sum := &amount{a.kg + float64(f*b.kg), make([]float64, max(len(a.parts), len(b.parts)))}
	copy(sum.parts, a.parts)
	for i, p := range b.parts {
		sum.parts[i] += float64(f * p)
	}
	return sum
}

// times is f of an amount.
// times has the same causes, each times f: it varies with the amount in full.
func (a *amount) times(f float64) *amount { return (&amount{}).plus(f, a) }

// u is the standard uncertainty: the root of the sum of the squared parts.
func (a *amount) u() float64 {
	sum := 0.0
	for _, p := range a.parts {
		sum += portable.Square(p)
	}
	return math.Sqrt(sum)
}

// stated puts an amount on the grid of kilograms.
func (a *amount) stated() *statedMass {
	if a == nil {
		return nil
	}
	return &statedMass{portable.Kg(a.kg), portable.Kg(a.u())}
}

// The standard uncertainty of an empty mass, in parts of it, and of a share
// that an owner states. Source: common practice, no source.
const (
	emptyMassU  = 0.02
	typedShareU = 0.01
)

// semiShare is what a semi-trailer puts on its coupling, in parts of its mass.
// Source: common practice, no source.
var semiShare = share{0.20, 0.05, "semi"}

// driverKg is the driver in a mass in running order, half of that on each axle.
// Source: Regulation (EU) 1230/2012, Article 2(4), from memory.
var driverKg = decimal.NewFromInt(75)

// shareOf is the download as a part of the trailer's mass: as the owner states
// it, else what is expected of such a trailer in the region.
func shareOf(job *tickets.Job) share {
	o := &job.Outfit
	expected := regions.Of(job.Region).Expected
	switch {
	// A hinged drawbar carries nothing down: its share is 0 without an
	// uncertainty.
	case o.Drawbar:
		return share{From: "drawbar"}
	case o.DownloadShare.Valid:
		return share{portable.Ratio(o.DownloadShare.Decimal.Shift(-2).InexactFloat64()), typedShareU, "outfit"}
	case o.Semi:
		return semiShare
	}
	return share{expected.Value, expected.U, "region"}
}

// masses are the sums under one set of ratings. D is share·T with
//
//	u(D)² = (T·u(share))² + (share·u(T))²
//
// front and rear are those of the vehicle alone.
type masses struct {
	set                        string
	vehicle, trailer, download *amount
	front, rear                *amount
	vehicleFrom, trailerFrom   string
	emptyVehicle               decimal.NullDecimal // the driver already taken off
	driverOff                  bool
	vehicleLoads, trailerLoads []*tickets.Load
	lost                       bool // a load rides on neither unit
	emptyLines                 []*tickets.Rating
	trailerLine                *tickets.Rating
	causes                     int
}

// masses adds up under one set.
func (e *estimator) masses(set string) *masses {
	m := &masses{set: set}
	for i := range e.job.Loads {
		switch l := &e.job.Loads[i]; {
		case l.Set != "" && l.Set != set:
		case l.On == tickets.OnVehicle:
			m.vehicleLoads = append(m.vehicleLoads, l)
		case l.On == tickets.OnTrailer:
			m.trailerLoads = append(m.trailerLoads, l)
		default:
			m.lost = true
			e.remark(remark{loadOnNeither, l.Line, l.Name})
		}
	}
	e.addTrailer(m)
	e.addVehicle(m)
	switch {
	case e.share.From == "drawbar":
		m.download = &amount{}
	case m.trailer != nil:
		// The first term of u(D)² is a cause of its own, the second comes with
		// the causes of T.
		share := m.cause(0, float64(m.trailer.kg*e.share.U))
		m.download = share.plus(e.share.Value, m.trailer)
	}
	return m
}

// cause is an amount with an uncertainty of its own.
func (m *masses) cause(kg, u float64) *amount {
	a := &amount{kg, make([]float64, m.causes+1)}
	a.parts[m.causes] = u
	m.causes++
	return a
}

// empty is an empty mass with its uncertainty. Its u is 2 % of what is left once
// the driver is taken off.
func (m *masses) empty(kg decimal.Decimal) *amount {
	v := kg.InexactFloat64()
	return m.cause(v, float64(emptyMassU*math.Abs(v)))
}

// addTrailer is T: the empty trailer and its loads, else the lowest atm.
func (e *estimator) addTrailer(m *masses) {
	if r := e.empty[m.set]["trailer"]; r != nil {
		m.trailerFrom, m.trailerLine = r.Word, r
		t := m.empty(r.LimitKg.Decimal)
		for _, l := range m.trailerLoads {
			t = t.plus(1, m.cause(l.Kg.InexactFloat64(), l.UKg))
		}
		if !m.lost {
			m.trailer = t
		}
		return
	}
	atm := e.lowest("atm", m.set)
	if atm == nil {
		e.remark(remark{Code: noTrailerMass})
		return
	}
	m.trailerFrom, m.trailerLine = "atm", atm.Line
	// As heavy as it may be: the limit itself, without an uncertainty. The remark
	// says so.
	m.trailer = &amount{kg: atm.LimitKg.Decimal.InexactFloat64()}
	e.remark(remark{Code: trailerAtATM})
}

// addVehicle is V, and what is on each axle of the vehicle alone.
func (e *estimator) addVehicle(m *masses) {
	// A mass in running order has the driver in it; listed as a load too, he
	// would be counted twice.
	m.driverOff = m.hasDriver()
	vehicle, front, rear := e.emptyOn("vehicle", m), e.emptyOn("front", m), e.emptyOn("rear", m)
	e.emptyVehicle(m, vehicle, front, rear)
	// One cause for each load, whichever sums it is in.
	loads := make([]*amount, len(m.vehicleLoads))
	for i, l := range m.vehicleLoads {
		loads[i] = m.cause(l.Kg.InexactFloat64(), l.UKg)
	}
	if m.emptyVehicle.Valid && !m.lost {
		m.vehicle = m.empty(m.emptyVehicle.Decimal)
		for _, load := range loads {
			m.vehicle = m.vehicle.plus(1, load)
		}
	}
	m.front, m.rear = e.axle(m, front, loads, tickets.Front), e.axle(m, rear, loads, tickets.Rear)
}

// hasDriver reports whether the loads count a driver.
func (m *masses) hasDriver() bool {
	for _, l := range m.vehicleLoads {
		if strings.EqualFold(l.Name, "driver") {
			return true
		}
	}
	return false
}

// emptyOn is the empty mass of the vehicle or of one of its axles, without the
// driver where the loads count him; invalid where no line states it.
func (e *estimator) emptyOn(on string, m *masses) decimal.NullDecimal {
	r := e.empty[m.set][on]
	if r == nil {
		return decimal.NullDecimal{}
	}
	kg := r.LimitKg.Decimal
	if r.Word == "running_order" {
		if m.driverOff {
			kg = kg.Sub(driverPart(on))
			e.remark(remark{Code: fuelIncluded})
		} else {
			e.remark(remark{Code: driverIncluded})
		}
	}
	return decimal.NewNullDecimal(kg)
}

// driverPart is what of the driver is on the vehicle, or on one axle of it.
// He sits between the axles: half on each.
func driverPart(on string) decimal.Decimal {
	if on == "vehicle" {
		return driverKg
	}
	return driverKg.Div(decimal.NewFromInt(2))
}

// emptyVehicle is the empty vehicle: as its line states it, else the sum of its
// axles.
func (e *estimator) emptyVehicle(m *masses, vehicle, front, rear decimal.NullDecimal) {
	switch {
	case vehicle.Valid:
		r := e.empty[m.set]["vehicle"]
		m.emptyVehicle, m.vehicleFrom, m.emptyLines = vehicle, r.Word, []*tickets.Rating{r}
	case front.Valid && rear.Valid:
		m.emptyVehicle = decimal.NewNullDecimal(front.Decimal.Add(rear.Decimal))
		m.vehicleFrom = "front_and_rear"
		m.emptyLines = []*tickets.Rating{e.empty[m.set]["front"], e.empty[m.set]["rear"]}
	default:
		e.remark(remark{Code: noVehicleMass})
	}
}

// onAxle is what a kilogram at a place of the vehicle puts on one of its axles, alone.
func onAxle(job *tickets.Job, p *tickets.Place, axle tickets.Group) (perKg float64, missing string) {
	return derive.Effect(job, p, derive.Part{Factor: 1, State: tickets.VehicleAlone, Support: tickets.Term{Group: axle}})
}

// axle is the load of one axle of the vehicle alone: its empty mass and the
// loads by their shares. Not known where a number is missing.
func (e *estimator) axle(m *masses, empty decimal.NullDecimal, loads []*amount, axle tickets.Group) *amount {
	if !empty.Valid || m.lost {
		return nil
	}
	sum := m.empty(empty.Decimal)
	for i, l := range m.vehicleLoads {
		p := e.job.Place(l.Place)
		if l.Place == "" || p == nil || !p.HasAt {
			return nil
		}
		perKg, missing := onAxle(e.job, p, axle)
		if missing != "" {
			return nil
		}
		sum = sum.plus(perKg, loads[i])
	}
	return sum
}
