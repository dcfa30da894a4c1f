package record

import (
	"math"
	"slices"
	"strings"
)

// Change is a quantity that two visits both found.
type Change struct {
	Label    string
	Old, New Quantity
	// Kg is new − old; U its expanded uncertainty, the two visits taken as
	// independent: U = 2·√(u² + u²). Larger: the change is larger than U.
	Kg, U  float64
	Larger bool
}

// Changes compares this record with that of an earlier visit, load by load, in
// the order of the quantities' names by state.
func (r *Record) Changes(earlier *Record) []Change {
	var names []string
	for name, q := range r.Quantities {
		if old := earlier.Quantities[name]; q != nil && old != nil && q.Unit == InKg && old.Unit == InKg && !strings.Contains(name, "payload") {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	var changes []Change
	for _, name := range names {
		c := Change{Label: r.QuantityLabel(name), Old: *earlier.Quantities[name], New: *r.Quantities[name]}
		c.Kg = c.New.Value - c.Old.Value
		c.U = 2 * math.Hypot(c.New.U, c.Old.U)
		c.Larger = math.Abs(c.Kg) > c.U
		changes = append(changes, c)
	}
	return changes
}

// ChangedText says in a word whether a change is more than the two weighings
// can be trusted to.
func (c Change) ChangedText() string {
	switch {
	case !c.Larger:
		return "within its ±"
	case c.Kg > 0:
		return "heavier"
	}
	return "lighter"
}
