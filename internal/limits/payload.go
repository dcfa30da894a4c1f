package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// Amount is a determined mass in kilograms with its standard uncertainty.
type Amount struct {
	Value, U float64
	Basis    string // as of a derive.Quantity
}

// Payload is what is carried and what may still be; nil is not determined, or
// a rating it needs is missing. Empty and TrailerEmpty are the words of the
// empty masses that were taken off: kerb, tare or running_order.
type Payload struct {
	Used, Left, TrailerUsed, TrailerLeft, Unlisted *Amount
	Empty, TrailerEmpty                            string
}

// payload sets loads against empty masses and ratings in force:
//
//	used           coupled vehicle, as it travels − kerb
//	left           gvm − coupled vehicle
//	trailer used   whole trailer − its kerb
//	trailer left   atm − whole trailer
//	unlisted       vehicle alone − kerb − Σ listed vehicle loads
//
// Ratings have no uncertainty of their own.
//
// A payload is a difference of what was weighed and what is printed somewhere; its U is
// that of the weighing alone.
func (h *checker) payload(f *Findings) Payload {
	var p Payload
	// Coupled, as it travels: the download counts as load of the vehicle, since its
	// rating limits both together.
	coupled := h.load(travelled(h.job), tickets.Front, tickets.Rear)
	trailer := h.s.Figures().TrailerMass
	if kerb, word, ok := h.empty(tickets.OnVehicle); ok {
		p.Empty = word
		p.Used = less(coupled, kerb)
		p.Unlisted = h.unlisted(kerb)
	}
	if kerb, word, ok := h.empty(tickets.OnTrailer); ok {
		p.TrailerEmpty, p.TrailerUsed = word, less(trailer, kerb)
	}
	if gvm, ok := f.lowest("gvm", travelled(h.job)); ok {
		p.Left = from(gvm, coupled)
	}
	if atm, ok := f.lowest("atm", noState); ok {
		p.TrailerLeft = from(atm, trailer)
	}
	return p
}

// empty is the empty mass of a unit that is in force: its kerb mass, else its
// tare, else its mass in running order.
//
// The three words exclude each other on one plate (contract, section 1); where several
// are given the plainest goes first, and which one it was is said.
func (h *checker) empty(on tickets.Unit) (kg float64, word string, ok bool) {
	for _, word := range emptyMasses {
		for i := range h.job.Ratings {
			r := &h.job.Ratings[i]
			if r.Word == word && r.On == string(on) && r.Set == "" && h.st.status[i] == held && r.LimitKg.Valid {
				return r.LimitKg.Decimal.InexactFloat64(), word, true
			}
		}
	}
	return 0, "", false
}

// lowest is the lowest limit of a rating in force in a state, in kilograms.
func (f *Findings) lowest(word string, state derive.State) (kg float64, ok bool) {
	return f.lowestOn(word, "", state)
}

// lowestOn is the same of a rating on one support; "" is any.
func (f *Findings) lowestOn(word, on string, state derive.State) (kg float64, ok bool) {
	var least decimal.NullDecimal
	for i := range f.Checks {
		c := &f.Checks[i]
		// Rows and not lines: what applies in the state, replaced and planned lines left
		// out, has been decided once.
		if c.Rating != word || on != "" && c.On != on || c.State != state || c.Set != "" || !c.LimitKg.Valid {
			continue
		}
		if !least.Valid || c.LimitKg.Decimal.LessThan(least.Decimal) {
			least = c.LimitKg
		}
	}
	return least.Decimal.InexactFloat64(), least.Valid
}

// unlisted is what the vehicle carries beyond its empty mass and the loads that
// are listed: those on the vehicle that travel with it as it is plated. A load
// in the model counts with its solved mass, another with its stated mass.
func (h *checker) unlisted(kerb float64) *Amount {
	// Alone, since the trailer would bring its download with it.
	parts := groupLoads(1, derive.VehicleAlone, tickets.Front, tickets.Rear)
	q := h.s.Sum(parts...)
	basis, off, declaredU := string(q.Basis), kerb, 0.0
	for i := range h.job.Loads {
		l := &h.job.Loads[i]
		// Loads of a set are not there yet, and those on board only when weighed do not
		// travel: neither is part of what the vehicle weighs in travelling condition.
		if l.Set != "" || l.On != tickets.OnVehicle || onlyWeighed(h.job, l.Name) {
			continue
		}
		// A mass that readings found has a covariance with the vehicle's, which a stated
		// one has not.
		if slices.ContainsFunc(h.s.Masses, func(o derive.Observation) bool { return o.Name == l.Name }) {
			parts = append(parts, derive.Part{Factor: -1, Load: l.Name})
			q = h.s.Sum(parts...)
		} else {
			off += l.Kg.InexactFloat64()
			declaredU = portable.Hypot(declaredU, l.UKg)
		}
		basis = string(derive.Difference)
	}
	a := less(q, off)
	if a == nil {
		return nil
	}
	a.U = portable.Kg(portable.Hypot(a.U, declaredU))
	// Once a moment tie had a part in it no subtraction makes the figure a plain
	// difference of readings again.
	if q.Basis != derive.ByMoment {
		a.Basis = basis
	}
	return a
}

// less is a load less an exact mass.
func less(q derive.Quantity, kg float64) *Amount {
	v, u, ok := q.Number()
	if !ok {
		return nil
	}
	return &Amount{portable.Kg(v - kg), portable.Kg(u), string(q.Basis)}
}

// from is an exact mass less a load.
func from(kg float64, q derive.Quantity) *Amount {
	a := less(q, kg)
	if a != nil {
		a.Value = -a.Value
	}
	return a
}
