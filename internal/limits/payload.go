package limits

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// amount is a determined mass in kilograms with its standard uncertainty.
type amount struct {
	Value, U          float64
	Weighed, ByMoment bool // as of a derive.Quantity
}

// payload is what is carried, or may still be, by its name; Amount is nil where
// it is not determined, or a rating that it needs is missing.
type payload struct {
	Name   string
	Amount *amount
}

// payloads sets loads against empty masses and ratings in force, in this order:
//
//	payload_used           coupled vehicle, as it travels − kerb
//	payload_left           gvm − coupled vehicle
//	trailer_payload_used   whole trailer − its kerb
//	trailer_payload_left   atm − whole trailer
//	unlisted               vehicle alone − kerb − Σ listed vehicle loads
//
// Ratings have no uncertainty of their own.
//
// A payload is a difference of what was weighed and what is printed somewhere; its U is
// that of the weighing alone.
func (h *checker) payloads(f *Findings) []payload {
	var used, left, trailerUsed, trailerLeft, unlisted *amount
	// Coupled, as it travels: the download counts as load of the vehicle, since its
	// rating limits both together.
	coupled := h.load(h.job.Outfit.Travels, tickets.Front, tickets.Rear)
	trailer := h.s.Figures().TrailerMass
	if kerb, ok := h.empty(tickets.OnVehicle); ok {
		used, unlisted = h.less(coupled, kerb), h.unlisted(kerb)
	}
	if kerb, ok := h.empty(tickets.OnTrailer); ok {
		trailerUsed = h.less(trailer, kerb)
	}
	if gvm, ok := f.lowest("gvm", h.job.Outfit.Travels); ok {
		left = h.from(gvm, coupled)
	}
	if atm, ok := f.lowest("atm", noState); ok {
		trailerLeft = h.from(atm, trailer)
	}
	return append(h.memory.payloads.List(5)[:0],
		payload{"payload_used", used}, payload{"payload_left", left}, payload{"trailer_payload_used", trailerUsed},
		payload{"trailer_payload_left", trailerLeft}, payload{"unlisted", unlisted})
}

// empty is the empty mass of a unit that is in force.
func (h *checker) empty(on tickets.Unit) (kg float64, ok bool) {
	r := h.st.emptyMass(string(on), "")
	if r == nil {
		return 0, false
	}
	return r.LimitKg.Decimal.InexactFloat64(), true
}

// lowest is the lowest limit of a rating in force in a state, in kilograms.
func (f *Findings) lowest(word string, state tickets.State) (kg float64, ok bool) {
	return f.lowestOn(word, "", state)
}

// lowestOn is the same of a rating on one support; "" is any.
func (f *Findings) lowestOn(word, on string, state tickets.State) (kg float64, ok bool) {
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
func (h *checker) unlisted(kerb float64) *amount {
	// Alone, since the trailer would bring its download with it.
	parts := groupLoads(1, tickets.VehicleAlone, tickets.Front, tickets.Rear)
	q := h.s.Sum(parts...)
	whole, off, declaredU := true, kerb, 0.0
	for i := range h.job.Loads {
		l := &h.job.Loads[i]
		// Loads of a set are not there yet, and those on board only when weighed do not
		// travel: neither is part of what the vehicle weighs in travelling condition.
		if l.Set != "" || l.On != tickets.OnVehicle || onlyWeighed(h.job, l.Name) {
			continue
		}
		// A mass that readings found has a covariance with the vehicle's, which a stated
		// one has not.
		if h.inModel(l.Name) {
			parts = append(parts, derive.Part{Factor: -1, Load: l.Name})
			q = h.s.Sum(parts...)
		} else {
			off += l.Kg.InexactFloat64()
			declaredU = portable.Hypot(declaredU, l.UKg)
		}
		whole = false
	}
	a := h.less(q, off)
	if a == nil {
		return nil
	}
	a.U = portable.Kg(portable.Hypot(a.U, declaredU))
	// What is left once loads are taken off was on no deck.
	a.Weighed = a.Weighed && whole
	return a
}

// inModel says whether a used reading names a load, so that its mass is solved for.
func (h *checker) inModel(load string) bool {
	for i := range h.s.Masses {
		if h.s.Masses[i].Name == load {
			return true
		}
	}
	return false
}

// less is a load less an exact mass.
func (h *checker) less(q derive.Quantity, kg float64) *amount {
	v, u, ok := q.Number()
	if !ok {
		return nil
	}
	return h.memory.amounts.Of(amount{portable.Kg(v - kg), portable.Kg(u), q.Weighed, q.ByMoment})
}

// from is an exact mass less a load.
func (h *checker) from(kg float64, q derive.Quantity) *amount {
	a := h.less(q, kg)
	if a != nil {
		a.Value = -a.Value
	}
	return a
}
