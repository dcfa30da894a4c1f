package record

import (
	"reconcile/internal/derive"
	"reconcile/internal/limits"
)

// What the quantities of a record are, in their order:
//
//	the loads of entire groups, always there, state by state
//	the finer supports that are solved, state by state
//	trailer_mass combination download front_lift front_restored
//	download_share restoration hitch_moment vehicle_cg trailer_cg
//	payload_used payload_left trailer_payload_used trailer_payload_left unlisted

// buildResults puts into the record what each reading would have been, how they agree,
// every name of the model, null where it is not determined, with the budgets of those that
// are, then the imbalances and the routes. It says whether only the ties disagree.
func (r *Record) buildResults(s *derive.Solution, f *limits.Findings) (onlyTies bool) {
	all, figures, a := s.Results(), s.Figures(), s.Agreement
	bare := all.WithoutTies
	m := r.memory
	m.reconcile(r.Readings, s.Job, all.OnDeck)
	r.Agreement, r.Fit = string(a.Degree), fit{
		Observations: a.Observations, DOF: a.DOF, ChiSquare: a.ChiSquare, PValue: m.pOf(a.DOF, a.P),
		WithoutTies: fitPart{DOF: bare.DOF, ChiSquare: bare.ChiSquare, PValue: m.pOf(bare.DOF, bare.P)},
	}
	r.Quantities = m.quantities.List(len(all.Quantities) + 5 + len(f.Payloads))[:0]
	put := func(name, unit string, q derive.Quantity) {
		var found *quantity
		if v, u, ok := q.Number(); ok {
			found = m.determined.Of(quantity{Unit: unit, Value: v, U: u})
			if unit == inKg {
				found.Basis = basisOf(q.Weighed, q.ByMoment)
			}
		}
		r.Quantities = append(r.Quantities, entry[*quantity]{name, found})
	}
	r.Budgets = every(m.budgets.List(len(all.Quantities)))[:0]
	for i := range all.Quantities {
		q := &all.Quantities[i]
		put(q.Name, inKg, q.Quantity)
		if len(q.Budget) == 0 {
			continue
		}
		causes := m.causes.List(len(q.Budget))
		for i := range q.Budget {
			c := &q.Budget[i]
			causes[i] = cause{string(c.Kind), c.Line, c.Column, c.Name, c.U}
		}
		r.Budgets = append(r.Budgets, entry[[]cause]{q.Name, causes})
	}
	put("download_share", inRatio, figures.DownloadShare)
	put("restoration", inRatio, figures.Restoration)
	put("hitch_moment", inKgM, figures.HitchMoment)
	put("vehicle_cg", inMm, figures.VehicleCG)
	put("trailer_cg", inMm, figures.TrailerCG)
	for _, p := range f.Payloads {
		var found *quantity
		if a := p.Amount; a != nil {
			found = m.determined.Of(quantity{Unit: inKg, Value: a.Value, U: a.U, Basis: basisOf(a.Weighed, a.ByMoment)})
		}
		r.Quantities = append(r.Quantities, entry[*quantity]{p.Name, found})
	}
	r.Imbalance, r.Routes = make([]imbalance, 0, len(all.Imbalances)), every(m.routes.List(len(all.Routes)))
	for _, i := range all.Imbalances {
		v, u, _ := i.Number()
		r.Imbalance = append(r.Imbalance, imbalance{i.Name, v, u})
	}
	for i, way := range all.Routes {
		r.Routes[i] = route{way.Name, way.Value, way.U}
	}
	return all.OnlyTies
}

// basisOf says how a mass came about.
func basisOf(weighed, byMoment bool) string {
	switch {
	case weighed:
		return "weighed"
	case byMoment:
		return "moment"
	}
	return "difference"
}

// pOf is a p-value; nil where there was nothing to test.
func (m *memory) pOf(dof int, p float64) *float64 {
	if dof == 0 {
		return nil
	}
	return m.floats.Of(p)
}
