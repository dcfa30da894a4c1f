package record

import (
	"strings"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
)

// groupNames are the loads of entire groups, always there, in the order in
// which quantities has them. After them come the finer supports that are
// solved, state by state, then the totals of derive, then what is computed
// from lengths, and last what is left of ratings:
//
//	trailer_mass combination download front_lift front_restored
//	download_share restoration hitch_moment vehicle_cg trailer_cg
//	payload_used payload_left trailer_payload_used trailer_payload_left unlisted
var groupNames = []string{
	"vehicle_alone.front", "vehicle_alone.rear", "vehicle_alone.vehicle",
	"trailer_alone.trailer", "trailer_alone.nose",
	"coupled_slack.front", "coupled_slack.rear", "coupled_slack.vehicle", "coupled_slack.trailer",
	"coupled_tensioned.front", "coupled_tensioned.rear", "coupled_tensioned.vehicle", "coupled_tensioned.trailer",
}

// buildQuantities puts every name of the model into the record, null where it
// is not determined, with the budgets of those that are.
func (r *Record) buildQuantities(s *derive.Solution, p *limits.Payload) {
	r.Quantities, r.Budgets = Quantities{}, budgets{}
	all := s.Quantities()
	byName := map[string]*derive.Named{}
	for i := range all {
		byName[all[i].Name] = &all[i]
	}
	for _, name := range groupNames {
		r.putLoad(s, byName[name])
		delete(byName, name)
	}
	for i := range all {
		if byName[all[i].Name] != nil { // finer supports, then the totals
			r.putLoad(s, &all[i])
		}
	}
	r.put("download_share", inRatio, s.Figure("download_share"), "")
	r.put("restoration", inRatio, s.Figure("restoration"), "")
	r.put("hitch_moment", InKgM, s.Figure("hitch_moment"), "")
	r.put("vehicle_cg", InMm, s.Figure("vehicle_cg"), "")
	r.put("trailer_cg", InMm, s.Figure("trailer_cg"), "")
	r.putAmount("payload_used", p.Used)
	r.putAmount("payload_left", p.Left)
	r.putAmount("trailer_payload_used", p.TrailerUsed)
	r.putAmount("trailer_payload_left", p.TrailerLeft)
	r.putAmount("unlisted", p.Unlisted)
}

// putLoad adds a load of derive with its budget.
func (r *Record) putLoad(s *derive.Solution, q *derive.Named) {
	r.put(q.Name, InKg, q.Quantity, string(q.Basis))
	if causes := causesOf(s.Budget(q.Quantity)); len(causes) > 0 {
		r.Budgets = append(r.Budgets, budget{q.Name, causes})
	}
}

// numbered is what a quantity and a figure have in common.
type numbered interface {
	Number() (value, u float64, ok bool)
}

func (r *Record) put(name, unit string, q numbered, basis string) {
	var quantity *Quantity
	if v, u, ok := q.Number(); ok {
		quantity = &Quantity{Unit: unit, Value: v, U: u, Basis: basis}
	}
	r.Quantities = append(r.Quantities, namedQuantity{name, quantity})
}

func (r *Record) putAmount(name string, a *limits.Amount) {
	var quantity *Quantity
	if a != nil {
		quantity = &Quantity{Unit: InKg, Value: a.Value, U: a.U, Basis: string(a.Basis)}
	}
	r.Quantities = append(r.Quantities, namedQuantity{name, quantity})
}

// causesOf lists the contributions to a quantity's uncertainty.
func causesOf(budget []derive.Cause) []cause {
	causes := make([]cause, 0, len(budget))
	for _, c := range budget {
		causes = append(causes, cause{string(c.Kind), c.Line, c.Column, c.Name, c.U})
	}
	return causes
}

// imbalanceCodes turn the name of an imbalance into a code: coupled_slack.rear
// left-right is coupled_slack.rear.left_right, its axles 1-2 are
// coupled_slack.rear.1_2.
var imbalanceCodes = strings.NewReplacer(" ", ".", "-", "_")

func imbalanceOf(s *derive.Solution) []imbalance {
	all := []imbalance{}
	for _, i := range s.Imbalances() {
		if v, u, ok := i.Number(); ok {
			all = append(all, imbalance{imbalanceCodes.Replace(i.Support), v, u})
		}
	}
	return all
}
