package derive

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// truth is an outfit as it really is: exact loads in every state, drawn from
// the model's own distributions, and the job that somebody would have typed.
type truth struct {
	rng   *rand.Rand
	load  map[tickets.State]map[tickets.Term]float64 // by finest support
	mass  map[string]float64
	parts map[string]map[tickets.State]map[tickets.Group]float64 // what each load puts where
	lean  map[string]map[tickets.Group]float64                   // more on the left than half
	gain  map[string]float64
	zero  map[string]float64   // of scales whose empty deck was read
	kept  map[sameKind]float64 // position and linearity error, one for all repeats
	split map[tickets.Group]splitOf
	job   *tickets.Job
}

// outfitKind is one way an outfit is weighed.
type outfitKind struct {
	name      string
	deck      string
	class     string
	interval  float64
	lengths   bool
	tensioned bool // coupled weighings with the hitch tensioned
	slack     bool // and with it slack
	gauge     bool
	loads     int
	placed    bool // the loads' places have positions
	wheels    bool
	axles     int // of the trailer
	twice     bool
	certified bool
	unit      string
	rocker    bool
	zero      zeroOfKind
}

// zeroOfKind says what is known of the zero of a scale.
type zeroOfKind int

// The zeros: each reading has its own; one for the job, the empty deck read,
// set to within e/4; the same, not returned to within e/2.
const (
	ownZeros zeroOfKind = iota
	zeroKept
	zeroGone
)

// outfitKinds are the kinds of the study.
var outfitKinds = []outfitKind{
	{name: "single deck, no lengths", deck: "single", class: "III", interval: 20, slack: true, axles: 2},
	{name: "single deck, lengths", deck: "single", class: "III", interval: 20, slack: true, lengths: true, axles: 1},
	{name: "single deck, 10 kg, repeats", deck: "single", class: "III", interval: 10, slack: true, lengths: true, axles: 2, twice: true},
	{name: "multi deck", deck: "multi", class: "III", interval: 20, slack: true, axles: 2},
	{name: "tensioned alone, lengths", deck: "single", class: "III", interval: 10, tensioned: true, lengths: true, axles: 2},
	{name: "slack and tensioned", deck: "single", class: "III", interval: 20, slack: true, tensioned: true, lengths: true, axles: 2},
	{name: "pads by wheel", deck: "pads", class: "IIII", interval: 5, slack: true, wheels: true, axles: 2},
	{name: "pads in turn", deck: "pads_in_turn", class: "IIII", interval: 5, slack: true, wheels: true, axles: 1},
	{name: "gauge and bridge", deck: "single", class: "III", interval: 20, slack: true, gauge: true, axles: 1},
	{name: "loads at known places", deck: "single", class: "III", interval: 20, slack: true, lengths: true, loads: 3, placed: true, axles: 1},
	{name: "loads at unknown places", deck: "single", class: "III", interval: 20, slack: true, lengths: true, loads: 2, axles: 1},
	{name: "wheels, loads unplaced", deck: "pads", class: "IIII", interval: 5, slack: true, wheels: true, loads: 2, axles: 2},
	{name: "pounds, class III L", deck: "multi", class: "III L", interval: 20 * 0.45359237, slack: true, axles: 2, unit: "lb"},
	{name: "certificate", deck: "single", class: "none", interval: 10, slack: true, axles: 2, certified: true},
	{name: "rockers, empty deck read", deck: "multi", class: "III", interval: 20, slack: true, lengths: true, axles: 2, rocker: true, zero: zeroKept},
	{name: "zero not returned", deck: "single", class: "III", interval: 20, slack: true, lengths: true, axles: 1, zero: zeroGone},
	{name: "pads, zero not returned", deck: "pads", class: "IIII", interval: 5, slack: true, wheels: true, axles: 2, zero: zeroGone},
}

// rectangular draws from −a to a.
func (w *truth) rectangular(a float64) float64 { return a * (2*w.rng.Float64() - 1) }

func (w *truth) normal(u float64) float64 { return u * w.rng.NormFloat64() }

// draw makes an outfit of a kind and weighs it.
func draw(kind outfitKind, seed uint64) *truth {
	w := &truth{
		rng: rand.New(rand.NewPCG(seed, 20260314)), load: map[tickets.State]map[tickets.Term]float64{}, mass: map[string]float64{},
		parts: map[string]map[tickets.State]map[tickets.Group]float64{}, lean: map[string]map[tickets.Group]float64{},
		gain: map[string]float64{}, zero: map[string]float64{}, kept: map[sameKind]float64{}, split: map[tickets.Group]splitOf{},
		job: &tickets.Job{Outfit: tickets.Outfit{LengthUncertaintyMm: 10, RearAxles: 1, TrailerAxles: kind.axles}},
	}
	if kind.rocker {
		w.job.Outfit.Suspension = rocker
	}
	if kind.wheels {
		for _, g := range coupledGroups {
			w.split[g] = splitOf{axles: axlesOf(&w.job.Outfit, g), sides: true}
		}
	}
	w.drawLoads(kind)
	w.drawOutfit(kind)
	w.drawScale(kind)
	w.weighAll(kind)
	return w
}

// drawOutfit draws the loads of the four states so that the moment ties hold
// with their own scatter t.
func (w *truth) drawOutfit(kind outfitKind) {
	o := &w.job.Outfit
	wb, a, l := 2800+600*w.rng.Float64(), 1100+300*w.rng.Float64(), 4200+1200*w.rng.Float64()
	n := l - 300 - 200*w.rng.Float64()
	if kind.lengths {
		typed := func(mm float64) tickets.Length { return known(mm + w.normal(10)) }
		o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = typed(wb), typed(a), typed(l), typed(n)
	}
	tie := func(single, tandem float64, many bool) float64 {
		if many {
			return w.normal(tandem)
		}
		return w.normal(single)
	}
	front, rear, trailer := 1200+400*w.rng.Float64(), 1100+600*w.rng.Float64(), 1500+1500*w.rng.Float64()
	d := trailer * (0.06 + 0.08*w.rng.Float64())
	nose := l/n*d + tie(5, 20, kind.axles >= 2 && !kind.rocker)
	slackFront := front - a/wb*d + tie(5, 10, kind.axles >= 2)
	moved := d * a / (l + a) * w.rng.Float64()
	tightFront := slackFront + (l+a)/wb*moved + tie(5, 10, kind.axles >= 2)
	total := front + rear + trailer
	w.spread(tickets.VehicleAlone, tickets.Front, front)
	w.spread(tickets.VehicleAlone, tickets.Rear, rear)
	w.spread(tickets.TrailerAlone, tickets.Trailer, trailer-nose)
	w.spread(tickets.TrailerAlone, tickets.Nose, nose)
	w.spread(tickets.CoupledSlack, tickets.Front, slackFront)
	w.spread(tickets.CoupledSlack, tickets.Rear, front+rear+d-slackFront)
	w.spread(tickets.CoupledSlack, tickets.Trailer, trailer-d)
	w.spread(tickets.CoupledTensioned, tickets.Front, tightFront)
	w.spread(tickets.CoupledTensioned, tickets.Trailer, trailer-d+moved)
	w.spread(tickets.CoupledTensioned, tickets.Rear, total-tightFront-(trailer-d+moved))
}

// spread parts a group's load over its finest supports, not evenly.
func (w *truth) spread(s tickets.State, g tickets.Group, kg float64) {
	if w.load[s] == nil {
		w.load[s] = map[tickets.Term]float64{}
	}
	terms := finest(g, w.split[g])
	left := kg
	for i, t := range terms {
		share := left
		if i < len(terms)-1 {
			share = kg / float64(len(terms)) * (1 + w.rectangular(0.1))
		}
		w.load[s][t] = share
		left -= share
	}
}

// drawLoads draws loads that are on board when travelling, their true masses from
// their stated ones, and what they put where.
func (w *truth) drawLoads(kind outfitKind) {
	for i := range kind.loads {
		name := fmt.Sprintf("load %d", i+1)
		stated := math.Round(40 + 60*w.rng.Float64())
		l := tickets.Load{Name: name, Kg: decimal.NewFromFloat(stated), UKg: math.Max(1, 0.05*stated), On: tickets.OnVehicle}
		if i == 2 || !kind.placed && i == 1 {
			l.On = tickets.OnTrailer
		}
		w.mass[name] = stated + w.normal(l.UKg)
		if kind.placed {
			l.Place = "place " + name
		}
		w.job.Loads = append(w.job.Loads, l)
	}
}

// place puts every load somewhere, once the lengths are known.
func (w *truth) place(kind outfitKind) {
	for i := range w.job.Loads {
		l := &w.job.Loads[i]
		at := 300 + 3000*w.rng.Float64()
		if l.On == tickets.OnTrailer {
			at = w.rectangular(1500)
		}
		if kind.placed {
			w.job.Places = append(w.job.Places, tickets.Place{Name: l.Place, On: l.On, HasAt: true, AtMm: at})
		}
		r, u, _ := assumedShare(&w.job.Outfit, l)
		if l.On == tickets.OnVehicle {
			r += w.rectangular(u * math.Sqrt(3))
		} else {
			r += w.normal(u)
		}
		w.parts[l.Name], w.lean[l.Name] = map[tickets.State]map[tickets.Group]float64{}, map[tickets.Group]float64{}
		for _, s := range states {
			w.parts[l.Name][s] = map[tickets.Group]float64{}
			on := partsOf(w.job, l, s)
			for _, g := range append(stateGroups(s), tickets.Coupling) { // in one order, so that a seed gives one outfit
				p, ok := on[g]
				if !ok {
					continue
				}
				w.parts[l.Name][s][g] = p.byMass*w.mass[l.Name] + p.byShare*r
				w.lean[l.Name][g] = w.rectangular(math.Abs(w.parts[l.Name][s][g]) / 2)
			}
		}
	}
}

func (w *truth) drawScale(kind outfitKind) {
	w.place(kind)
	s := scaleOf(kind.deck)
	s.Name, s.Class = "yard", kind.class
	if s.InTurn {
		s.SplitKg = decimal.NewNullDecimal(decimal.NewFromInt(8))
	}
	if kind.certified {
		s.ExpandedKg = decimal.NewNullDecimal(decimal.NewFromInt(16))
		s.StatedAtKg = decimal.NewNullDecimal(decimal.NewFromInt(5000))
	}
	w.job.Scales = append(w.job.Scales, s)
	if kind.gauge {
		w.job.Scales = append(w.job.Scales, tickets.Scale{Name: "gauge", Class: "III", Gauge: true})
	}
}

// weighAll lists the readings of a kind, draws each, and types it.
func (w *truth) weighAll(kind outfitKind) {
	var plan []tickets.Reading
	add := func(state tickets.State, words ...string) {
		plan = append(plan, weigh(state, 0, words...))
	}
	add(tickets.VehicleAlone, "front")
	add(tickets.VehicleAlone, "vehicle")
	add(tickets.TrailerAlone, "whole trailer")
	for _, state := range []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned} {
		if state == tickets.CoupledSlack && !kind.slack || state == tickets.CoupledTensioned && !kind.tensioned {
			continue
		}
		add(state, "front")
		add(state, "rear")
		add(state, "trailer")
		add(state, "outfit")
	}
	if kind.twice {
		plan = append(plan, plan[len(plan)-2], plan[0])
	}
	if kind.wheels {
		plan = w.byWheel(plan)
	}
	if kind.gauge {
		r := weigh(tickets.TrailerAlone, 0, "coupling")
		r.Scale = "gauge"
		plan = append(plan, r)
	}
	w.type_(plan, kind)
}

// byWheel replaces each reading of groups by readings of the supports they
// have: the mobile operator's way.
func (w *truth) byWheel(plan []tickets.Reading) []tickets.Reading {
	var out []tickets.Reading
	for _, r := range plan {
		if len(r.Terms) > 1 && r.State != tickets.TrailerAlone {
			continue
		}
		for _, t := range r.Terms {
			for _, f := range finest(t.Group, w.split[t.Group]) {
				one := r
				one.Terms = []tickets.Term{f}
				out = append(out, one)
			}
		}
	}
	return out
}

// type_ draws the indications. The gain needs the largest reading, so the loads
// come first; loads travel but some are away from some weighings.
func (w *truth) type_(plan []tickets.Reading, kind outfitKind) {
	for i := range plan {
		r := &plan[i]
		r.Line = i + 2
		if r.Scale == "" {
			r.Scale = "yard"
		}
		r.IntervalKg = decimal.NewFromFloat(kind.interval)
		if r.Scale == "gauge" {
			r.IntervalKg = decimal.NewFromInt(2)
		}
		for _, l := range w.job.Loads {
			unit := onUnit(r, l.On)
			if unit && w.rng.Float64() < 0.4 {
				r.Without = append(r.Without, l.Name)
			}
		}
		r.Kg = decimal.NewFromFloat(w.onDeck(r))
	}
	for i := range w.job.Scales {
		s := &w.job.Scales[i]
		u := gainU(s, largestOn(w.job, s, pointers(plan)))
		w.gain[s.Name] = w.rectangular(u * math.Sqrt(3))
	}
	empty := w.drawZeros(kind)
	for i := range plan {
		plan[i].Kg = decimal.NewFromFloat(w.indication(&plan[i]))
	}
	w.job.Readings = append(plan, empty...)
}

// drawZeros draws one zero a scale, where the kind has its empty deck read, and
// the readings of it.
func (w *truth) drawZeros(kind outfitKind) []tickets.Reading {
	if kind.zero == ownZeros {
		return nil
	}
	var empty []tickets.Reading
	for _, s := range w.job.Scales {
		e := kind.interval
		z := w.rectangular(e / 4)
		for kind.zero == zeroGone && math.Abs(z) <= e/2 {
			z = w.rectangular(3 * e)
		}
		w.zero[s.Name] = z
		empty = append(empty, tickets.Reading{
			OnDeck: "empty", Empty: true, Scale: s.Name, Used: true,
			IntervalKg: decimal.NewFromFloat(e), Kg: decimal.NewFromFloat(e * math.Round(z/e)),
		})
	}
	return empty
}

// onUnit says whether a load's unit takes part in a weighing.
func onUnit(r *tickets.Reading, on tickets.Unit) bool {
	switch r.State {
	case tickets.VehicleAlone:
		return on == tickets.OnVehicle
	case tickets.TrailerAlone:
		return on == tickets.OnTrailer
	}
	return true
}

// onDeck is the true load on the deck of a reading, as weighed.
func (w *truth) onDeck(r *tickets.Reading) float64 {
	s := r.State
	sum := 0.0
	if onGauge(r) {
		for _, g := range vehicleGroups {
			for _, f := range finest(g, w.split[g]) {
				sum += w.load[tickets.CoupledSlack][f] - w.load[tickets.VehicleAlone][f]
			}
		}
	}
	for _, t := range r.Terms {
		for _, f := range finest(t.Group, w.split[t.Group]) {
			if covers(t, f, 1) {
				sum += w.load[s][f]
			}
		}
	}
	for _, name := range r.Without {
		for _, t := range r.Terms {
			sum -= w.away(name, s, t)
		}
	}
	return sum
}

// away is what a load puts on one support.
func (w *truth) away(load string, s tickets.State, t tickets.Term) float64 {
	axles := 1.0
	if t.Axle > 0 {
		axles = float64(max(axlesOf(&w.job.Outfit, t.Group), 1))
	}
	part := w.parts[load][s][t.Group]
	switch t.Side {
	case tickets.Left:
		part = part/2 + w.lean[load][t.Group]
	case tickets.Right:
		part = part/2 - w.lean[load][t.Group]
	}
	return part / axles
}

// indication is what the scale shows: each weigher with its own zero, position
// error and rounding; a repeat keeps position and linearity.
func (w *truth) indication(r *tickets.Reading) float64 {
	s := w.job.Scale(r.Scale)
	k := weighers(&w.job.Outfit, s, r)
	e := r.IntervalKg.InexactFloat64()
	key := repeatKey(&w.job.Outfit, r)
	if _, ok := w.kept[key]; !ok {
		mpe := mpe(s.Class, r.Kg.Div(decimal.NewFromInt(int64(k))), r.IntervalKg)
		kept := w.normal(splitU(w.job, s, r))
		for range k {
			kept += w.rectangular(mpe)
		}
		w.kept[key] = kept
	}
	load := w.onDeck(r)*(1+w.gain[r.Scale]) + w.kept[key]
	sum, uneven := 0.0, 0.0
	zero := func() float64 {
		if z, common := w.zero[r.Scale]; common {
			return z
		}
		return w.rectangular(e / 4)
	}
	for i := range k {
		share := load/float64(k) - uneven
		if i < k-1 {
			off := w.rectangular(3 * e)
			share, uneven = load/float64(k)+off, uneven+off
		}
		sum += e * math.Round((share+zero())/e)
	}
	return sum
}

// value is the true value of a quantity's row.
func (w *truth) value(s *Solution, row []float64) float64 {
	sum := 0.0
	for _, state := range states {
		for _, g := range groupsOf(&s.Job.Outfit, state) {
			for _, c := range s.system.layout.cellsOf(state, g) {
				if row[c.column] == 0 {
					continue
				}
				for _, f := range finest(g, w.split[g]) {
					if covers(c.term, f, 1) {
						sum += row[c.column] * w.load[state][f]
					}
				}
			}
		}
	}
	return sum
}
