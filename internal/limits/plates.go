package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// plate is the mass of one rating, or the sum of several, at the line of the
// first. ofSet reports that a line of a set is among them.
type plate struct {
	kg    decimal.Decimal
	line  *tickets.Rating
	ofSet bool
}

// number is the mass as a number on its grid.
func (p *plate) number() *float64 { return of(portable.Kg(p.kg.InexactFloat64())) }

// plus adds two plates; nil where one of them is not there.
func (p *plate) plus(o *plate) *plate {
	if p == nil || o == nil {
		return nil
	}
	return &plate{p.kg.Add(o.kg), p.line, p.ofSet || o.ofSet}
}

// plates are the rating lines without `when` that apply under a set: of several
// of one word and `on` the governing one.
//
// Questions and cautions compare plates with each other, and want of each rating the one
// figure that would govern: this is the table of those.
type plates struct {
	job *tickets.Job
	set string
	all []plate
	// The gross ratings; nil where there is none.
	gvm, gcm, atm, gtm *plate
	both               *plate // the axle ratings of front and rear together; nil where one is missing
}

// plates makes the table of a set, once.
func (h *checker) plates(set string) *plates {
	for i := range h.under {
		if h.under[i].set == set {
			return &h.under[i]
		}
	}
	h.under = append(h.under, h.platesUnder(set))
	p := &h.under[len(h.under)-1]
	p.gvm, p.gcm, p.atm, p.gtm = p.of("gvm", ""), p.of("gcm", ""), p.of("atm", ""), p.of("gtm", "")
	p.both = p.axles(tickets.Front).plus(p.axles(tickets.Rear))
	return p
}

func (h *checker) platesUnder(set string) plates {
	p := plates{job: h.job, set: set, all: h.memory.plates.List(len(h.job.Ratings))[:0]}
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		// A line with `when` holds in some states only and would compare a towing
		// allowance with the plate of the vehicle.
		if r.When != "" || h.st.status[i] != held || r.Set != "" && r.Set != set || !r.LimitKg.Valid || h.replacedBySet(r, set) {
			continue
		}
		// Of several lines of one word and `on` the lowest governs, of a least the
		// highest (contract, section 3, checks); of equal ones the first.
		if j := slices.IndexFunc(p.all, func(o plate) bool { return o.line.Word == r.Word && o.line.On == r.On }); j < 0 {
			p.all = append(p.all, plate{r.LimitKg.Decimal, r, r.Set != ""})
		} else if governsLine(r, p.all[j].line) {
			p.all[j] = plate{r.LimitKg.Decimal, r, r.Set != ""}
		}
	}
	return p
}

// replacedBySet reports whether a plated line has one of the set in its place.
//
// replacedBySet is the rule of sets for lines without `when`: the set's line of the same
// rating and `on` takes the place of the plated one, all others carry over.
func (h *checker) replacedBySet(r *tickets.Rating, set string) bool {
	if r.Set != "" || set == "" {
		return false
	}
	for j := range h.job.Ratings {
		o := &h.job.Ratings[j]
		if o.Set == set && o.Word == r.Word && o.On == r.On && o.When == "" && h.st.status[j] == held {
			return true
		}
	}
	return false
}

func governsLine(r, than *tickets.Rating) bool {
	if r.Word == "download_min" {
		return r.LimitKg.Decimal.GreaterThan(than.LimitKg.Decimal)
	}
	return r.LimitKg.Decimal.LessThan(than.LimitKg.Decimal)
}

// of is the plate of a word and `on`; nil where there is none.
func (p *plates) of(word, on string) *plate {
	for i := range p.all {
		if r := &p.all[i]; r.line.Word == word && r.line.On == on {
			return r
		}
	}
	return nil
}

// lowest is the lowest plate of a word on anything; nil where there is none.
func (p *plates) lowest(word string) *plate {
	var least *plate
	for i := range p.all {
		if r := &p.all[i]; r.line.Word == word && (least == nil || r.kg.LessThan(least.kg)) {
			least = r
		}
	}
	return least
}

// axles is the axle rating of a group: its own, else the sum of its axles' if
// all of them are there.
func (p *plates) axles(g tickets.Group) *plate {
	// A group's own line governs it, also where its axles have lines too: those limit
	// each axle by itself.
	if own := p.of("axle", string(g)); own != nil {
		return own
	}
	var sum *plate
	n := max(p.job.Outfit.Axles(g), 1)
	for a := 1; a <= n; a++ {
		one := p.of("axle", tickets.Spell(tickets.Term{Group: g, Axle: a}))
		switch {
		// A sum with an axle missing would be too low, and every question that it
		// answers wrong.
		case one == nil:
			return nil
		case sum == nil:
			sum = one
		default:
			sum = sum.plus(one)
		}
	}
	return sum
}

// towed is the largest of atm and all towing values of a set, of whatever kind
// or `when`; braked reports one that is not unbraked, given any at all.
func (h *checker) towed(set string, p *plates) (largest decimal.Decimal, given, braked bool) {
	if p.atm != nil {
		largest = p.atm.kg
	}
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Word != "towing" || !r.LimitKg.Valid || r.Set != "" && r.Set != set || !h.towingInForce(i) {
			continue
		}
		given, braked = true, braked || r.Kind != "unbraked"
		if !h.replacedBySet(r, set) {
			largest = decimal.Max(largest, r.LimitKg.Decimal)
		}
	}
	return largest, given, braked
}

// towingInForce reports whether a towing line is in force for this trailer's
// brakes or for others.
//
// Lines for the other kind of brakes count too: what may be towed at most with any
// brakes bounds what gcm and download can sensibly be.
func (h *checker) towingInForce(i int) bool {
	return h.st.status[i] == held || h.st.status[i] == ofOtherKind && !certifiedLater(h.job, &h.job.Ratings[i])
}
