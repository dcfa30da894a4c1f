package record

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// totals are the setups that weigh a whole, and the quantity that is its mass.
var totals = []struct{ setup, quantity string }{
	{"vehicle_alone", "vehicle_alone.vehicle"},
	{"trailer_alone", "trailer_mass"},
	{"coupled", "combination"},
}

// DeclaredTotals says for every total that rests on declared masses what was
// weighed, declared and held: "whole trailer: weighed 3,240, declared away
// 300, held 2,940". A setup weighed with different loads aboard gives one
// sentence for each.
func (r *Record) DeclaredTotals() []string {
	var out []string
	for _, t := range totals {
		q := r.Quantities[t.quantity]
		if q == nil {
			continue
		}
		for _, g := range r.Readings {
			if g.Use != "yes" || g.Setup != t.setup || len(g.With)+len(g.Without) == 0 {
				continue
			}
			away, names := r.declaredAway(g)
			text := r.QuantityLabel(t.quantity) + ": " + DeclaredText(q.Value+away, away, q.Value)
			out = addOnce(out, text+" ("+names+")")
		}
	}
	return out
}

// declaredAway is what a reading's declared loads take off the total, in
// kilograms, and their names: `with` counts away, `without` is added.
func (r *Record) declaredAway(g Reading) (away float64, names string) {
	sum := decimal.Zero
	for _, l := range r.Loads {
		kg, err := decimal.NewFromString(l.DeclaredKg)
		if err != nil {
			continue
		}
		if slices.Contains(g.With, l.Load) {
			sum = sum.Add(kg)
		}
		if slices.Contains(g.Without, l.Load) {
			sum = sum.Sub(kg)
		}
	}
	all := append(slices.Clone(g.With), g.Without...)
	slices.Sort(all)
	return sum.InexactFloat64(), strings.Join(all, ", ")
}
