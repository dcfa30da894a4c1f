package adjust

import (
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// running is a sum in the making, with what there is after each step.
type running struct {
	steps []step
	then  float64
}

// add appends a step; each sum is put on the grid of the record, so that the
// steps add up as they are recorded.
func (s *running) add(code, name string, line int, kg float64) {
	s.then = portable.Kg(s.then + kg)
	s.steps = append(s.steps, step{code, name, line, portable.Kg(kg), s.then})
}

// payloadSum is the way from gvm to what is left: less the empty vehicle, each
// load on it and the download. It ends where a mass is not known.
func (m *masses) payloadSum(gvm *limits.Applied) []step {
	var s running
	s.add("gvm", "", gvm.Line.Line, gvm.LimitKg.Decimal.InexactFloat64())
	for _, r := range m.emptyLines {
		// The driver inside a mass in running order is given back where he is
		// among the loads.
		s.add(r.Word, r.On, r.Line, -r.LimitKg.Decimal.InexactFloat64())
		if m.driverOff && r.Word == "running_order" {
			s.add("driver_counted", "", r.Line, driverPart(r.On).InexactFloat64())
		}
	}
	s.addLoads(m.vehicleLoads, -1)
	if m.download != nil && !m.lost && m.download.kg != 0 {
		s.add("download", "", 0, -m.download.kg)
	}
	return s.steps
}

// trailerSum is what the trailer comes to: its empty mass and each load on it,
// or its atm.
func (m *masses) trailerSum() []step {
	var s running
	r := m.trailerLine
	if r == nil {
		return nil
	}
	s.add(m.trailerFrom, "", r.Line, r.LimitKg.Decimal.InexactFloat64())
	if m.trailerFrom != "atm" {
		s.addLoads(m.trailerLoads, 1)
	}
	return s.steps
}

// addLoads adds loads, or with sign −1 takes them off, one step each.
func (s *running) addLoads(loads []*tickets.Load, sign float64) {
	for _, l := range loads {
		s.add("load", l.Name, l.Line, float64(sign*l.Kg.InexactFloat64()))
	}
}
