package words

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// declared names the loads whose masses were stated, not weighed, then every
// total that rests on such masses.
func (w *Words) declared() []string {
	var all []string
	for _, d := range w.Record.Declared {
		all = append(all, d.Load+" "+w.massText(d.AwayKg)+" "+w.Unit)
	}
	return append(all, w.declaredTotals()...)
}

// totals are the setups that weigh a whole, and the quantity that is its mass.
var totals = []struct{ setup, quantity string }{
	{"vehicle_alone", "vehicle_alone.vehicle"},
	{"trailer_alone", "trailer_mass"},
	{"coupled", "combination"},
}

// declaredTotals says for every total that rests on stated masses what was
// weighed, stated and found: "whole trailer: weighed 3,240, declared away 300,
// held 2,940". A setup weighed with different loads on board gives one sentence
// for each.
func (w *Words) declaredTotals() []string {
	var out []string
	for _, t := range totals {
		for _, g := range w.used(t.setup, "") {
			if len(g.With)+len(g.Without) > 0 && w.known(t.quantity) {
				out = addOnce(out, w.quantityLabel(t.quantity)+": "+w.declaredTotal(t.quantity, g))
			}
		}
	}
	return out
}

// declaredTotal is what was weighed, stated and found of one total in the
// loading of one reading, with the names of the loads.
func (w *Words) declaredTotal(quantity string, g record.Reading) string {
	q := w.Record.Quantities.Get(quantity)
	if q == nil {
		return ""
	}
	away := w.declaredAway(g)
	value := decimal.NewFromFloat(q.Value)
	names := append(slices.Clone(g.With), g.Without...)
	slices.Sort(names)
	return w.declaredText(value.Add(away), away, value) + " (" + strings.Join(names, ", ") + ")"
}

// declaredText is the quoted sentence; a negative away was not on board and is
// added.
func (w *Words) declaredText(weighed, away, held decimal.Decimal) string {
	stated := "declared away " + w.massText(away.String())
	if away.IsNegative() {
		stated = "declared added " + w.massText(away.Neg().String())
	}
	return "weighed " + w.massText(weighed.String()) + ", " + stated + ", held " + w.massText(held.String())
}

// declaredAway is what a reading's stated loads take off the total, in
// kilograms: `with` counts away, `without` is added.
func (w *Words) declaredAway(g record.Reading) decimal.Decimal {
	sum := decimal.Zero
	for _, l := range w.Record.Loads {
		kg, ok := decimalOf(l.DeclaredKg)
		switch {
		case !ok:
		case slices.Contains(g.With, l.Load):
			sum = sum.Add(kg)
		case slices.Contains(g.Without, l.Load):
			sum = sum.Sub(kg)
		}
	}
	return sum
}
