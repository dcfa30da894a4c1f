package derive

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// wild draws jobs that somebody might type, whether or not they make sense:
// any supports, decks, lengths and loads that reading lets pass, with figures
// that need not agree. Where truth in random_test.go asks whether the numbers
// are right, wild asks whether numbers are given at all.
type wild struct {
	rng *rand.Rand
	job *tickets.Job
}

// chance is true in a share of the draws.
func (w *wild) chance(p float64) bool { return w.rng.Float64() < p }

// kg is a figure from low to high in multiples of 5 kg, at least one.
func (w *wild) kg(low, high float64) decimal.Decimal {
	n := math.Round((low + (high-low)*w.rng.Float64()) / 5)
	return decimal.NewFromInt(int64(5 * math.Max(n, 1)))
}

// wildJob draws a job; the same seed gives the same job.
func wildJob(seed uint64) *tickets.Job {
	return wildFrom(rand.NewPCG(seed, 7), fmt.Sprint("wild ", seed))
}

// wildFrom draws a job from any source of numbers.
func wildFrom(source rand.Source, name string) *tickets.Job {
	w := &wild{rng: rand.New(source), job: &tickets.Job{Name: name}}
	w.outfit()
	w.scales()
	w.loads()
	for range 1 + w.rng.IntN(9) {
		w.reading()
	}
	w.pruneScales()
	return w.job
}

func (w *wild) length(low, high float64) tickets.Length {
	if w.chance(0.3) {
		return tickets.Length{}
	}
	return known(low + (high-low)*w.rng.Float64())
}

func (w *wild) outfit() {
	w.job.Outfit = tickets.Outfit{
		RearAxles: w.rng.IntN(3), TrailerAxles: w.rng.IntN(4), LengthUncertaintyMm: 20 * w.rng.Float64(),
		Wheelbase: w.length(2400, 4000), RearAxleToCoupling: w.length(900, 1800),
		CouplingToTrailerAxle: w.length(3000, 6000), NoseSupportToTrailerAxle: w.length(2500, 5500),
	}
}

func (w *wild) scales() {
	classes := []string{"III", "IIII", "III L", "none"}
	decks := []string{"single", "multi", "pads", "pads_in_turn"}
	for i := range 1 + w.rng.IntN(2) {
		class := classes[w.rng.IntN(4)]
		s := scaleOf(decks[w.rng.IntN(4)])
		s.Name, s.Class = fmt.Sprint("scale ", i), class
		if s.Class == "none" || w.chance(0.1) {
			s.ExpandedKg = decimal.NewNullDecimal(decimal.NewFromInt(int64(1 + w.rng.IntN(40))))
		}
		if s.ExpandedKg.Valid && w.chance(0.5) {
			s.StatedAtKg = decimal.NewNullDecimal(decimal.NewFromInt(5000))
		}
		if s.InTurn || w.chance(0.1) {
			s.SplitKg = decimal.NewNullDecimal(decimal.NewFromInt(int64(w.rng.IntN(20))))
		}
		w.job.Scales = append(w.job.Scales, s)
	}
	w.job.Scales = append(w.job.Scales, tickets.Scale{Name: "gauge", Class: "III", Gauge: true})
}

func (w *wild) loads() {
	for i := range w.rng.IntN(4) {
		l := tickets.Load{Name: fmt.Sprint("load ", i), Kg: w.kg(10, 300), UKg: 1 + 9*w.rng.Float64(), On: tickets.OnVehicle}
		if w.chance(0.5) {
			l.On = tickets.OnTrailer
		}
		if w.chance(0.6) {
			at := -1000 + 5000*w.rng.Float64()
			if w.chance(0.2) {
				at = 0
			}
			l.Place = fmt.Sprint("place ", i)
			w.job.Places = append(w.job.Places, tickets.Place{Name: l.Place, On: l.On, HasAt: w.chance(0.8), AtMm: at})
		}
		w.job.Loads = append(w.job.Loads, l)
	}
}

// reading adds a reading of any state and any supports of it.
func (w *wild) reading() {
	r := tickets.Reading{Line: len(w.job.Readings) + 2, Used: true, IntervalKg: decimal.NewFromInt(int64([]int{2, 5, 10, 20}[w.rng.IntN(4)]))}
	r.State = []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone, tickets.CoupledSlack}[w.rng.IntN(3)]
	if r.State.Coupled() {
		r.State = []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned}[w.rng.IntN(2)]
	}
	w.supports(&r)
	if w.chance(0.1) {
		r.Used = false
	}
	for i := range w.job.Loads {
		l := &w.job.Loads[i]
		if !onUnit(&r, l.On) || w.chance(0.6) {
			continue
		}
		if w.chance(0.8) {
			r.Without = append(r.Without, l.Name)
		} else {
			r.With = append(r.With, l.Name)
		}
	}
	w.job.Readings = append(w.job.Readings, r)
}

// supports puts some supports of the setup on the deck, or a gauge under the
// coupling, and the reading on a scale that fits.
func (w *wild) supports(r *tickets.Reading) {
	if r.State == tickets.TrailerAlone && w.chance(0.2) {
		r.Scale, r.Terms, r.Kg = "gauge", deck("coupling"), w.kg(10, 400)
		return
	}
	groups := stateGroups(r.State)
	for _, g := range groups {
		if w.chance(0.6) {
			r.Terms = append(r.Terms, w.term(g))
		}
	}
	if len(r.Terms) == 0 {
		r.Terms = groupTerms(groups)
	}
	r.Scale = w.job.Scales[w.rng.IntN(len(w.job.Scales)-1)].Name
	r.Kg = w.kg(200, 1500*float64(len(r.Terms)))
}

// term is a group, or now and then an axle or a side of it.
func (w *wild) term(g tickets.Group) tickets.Term {
	t := tickets.Term{Group: g}
	if g == tickets.Nose {
		return t
	}
	if n := axlesOf(&w.job.Outfit, g); n > 0 && w.chance(0.15) {
		t.Axle = 1 + w.rng.IntN(n)
	}
	if w.chance(0.15) {
		t.Side = []tickets.Side{tickets.Left, tickets.Right}[w.rng.IntN(2)]
	}
	return t
}

// pruneScales keeps the scales that readings name, as reading the forms does.
func (w *wild) pruneScales() {
	var named []tickets.Scale
	for _, s := range w.job.Scales {
		for i := range w.job.Readings {
			if w.job.Readings[i].Scale == s.Name {
				named = append(named, s)
				break
			}
		}
	}
	w.job.Scales = named
}

// groupTerms is groups as the terms of a deck.
func groupTerms(groups []tickets.Group) []tickets.Term {
	var terms []tickets.Term
	for _, g := range groups {
		terms = append(terms, tickets.Term{Group: g})
	}
	return terms
}
