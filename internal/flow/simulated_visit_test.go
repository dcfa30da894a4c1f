package flow_test

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// simulatedVisit is an outfit with its plates, taken to be weighed.
type simulatedVisit struct {
	d      dice
	region string
	outfit *simulatedOutfit
	plates []simulatedPlate
	scale  *simulatedScale
	gauge  *simulatedScale // nil: none under the coupling
	drafts []draft
	typed  []typedPlate

	lengthsTyped, scalesTyped, travelsTyped bool
}

// draft is one reading: how the outfit truly stood, and what is typed of it.
type draft struct {
	ticket string
	truly  string   // the state in which it was weighed
	stood  string   // what stood on the deck, where it is not the deck typed
	absent []string // who and what was truly not on board
	extra  []carried

	setup, hitch, deck string // as typed
	figure             string
	without, with      []string
	use, note          string
}

// typedPlate is one line of ratings.csv.
type typedPlate struct{ word, on, value, unit, kind string }

// outing is a way to weigh an outfit: the decks of the coupled and of the
// uncoupled vehicle.
type outing struct {
	name, deck      string
	coupled, solo   []string
	trailer, gauged bool
}

// wheels on pads, one reading each.
var (
	vehicleWheels = []string{"front.left", "front.right", "rear.left", "rear.right"}
	trailerWheels = []string{"trailer.1.left", "trailer.1.right", "trailer.2.left", "trailer.2.right"}
)

// drawVisit draws how an outfit is weighed and typed by someone who makes no
// mistake.
func drawVisit(d dice, kind string, overloaded bool) *simulatedVisit {
	v := &simulatedVisit{d: d, region: one(d, "au", "au", "nz", "uk", "eu", "us", "")}
	v.outfit, v.plates = drawOutfit(d, kind, v.region, overloaded)
	o := v.drawOuting()
	v.drawScale(o)
	v.lengthsTyped = d.chance(0.4)
	v.travelsTyped = v.region == "au" || v.region == "nz" || v.region == "us" || d.chance(0.5)
	v.draft(o)
	v.somebodyElse()
	v.typePlates()
	return v
}

// drawOuting draws a way of weighing after which every rating is weighed.
func (v *simulatedVisit) drawOuting() outing {
	trailer := v.d.chance(0.4)
	axles := []string{"front", "rear", "trailer"}
	wheels := slices.Concat(vehicleWheels, trailerWheels[:2*v.outfit.trailerAxles])
	last := outing{"gauge", "single", axles, []string{"front", "vehicle"}[v.d.IntN(2):], trailer, true}
	if v.outfit.kind == "drawbar" { // has nothing to gauge
		last.gauged = false
	}
	return one(v.d,
		outing{"axle by axle", "single", axles, []string{"front", "rear"}, trailer, false},
		outing{"driven on", "single", []string{"front", "front+rear", "all"}, []string{"vehicle"}, trailer, false},
		outing{"driven on, front too", "single", []string{"front", "front+rear", "all"}, []string{"front", "vehicle"}, trailer, false},
		outing{"decks", "multi", axles, []string{"front", "rear"}, trailer, false},
		outing{"wheels", "pads", wheels, vehicleWheels, trailer, false},
		outing{"trailer only", "single", axles, nil, true, false},
		last,
	)
}

// drawScale draws the instrument, and the gauge where there is one.
func (v *simulatedVisit) drawScale(o outing) {
	s := &simulatedScale{d: v.d, name: "weighbridge", class: "III", deck: o.deck, unit: "kg", interval: one(v.d, 10.0, 20, 20), local: map[string]float64{}}
	switch {
	case o.deck == "pads":
		s.class, s.interval = "IIII", one(v.d, 2.0, 5, 5)
	case v.region == "us":
		s.class, s.unit, s.interval = "III L", "lb", 20
	case v.d.chance(0.25):
		s.unit, s.interval = "t", s.interval/1000
	}
	v.scale = s
	v.scalesTyped = o.deck != "single" || v.region == "us" || v.d.chance(0.7)
	if o.gauged {
		v.scalesTyped = true
		v.gauge = &simulatedScale{d: v.d, name: "gauge", class: "III", deck: "gauge", unit: "kg", interval: 2, local: map[string]float64{}}
	}
}

// draft plans the readings: coupled, with the bars tight too where there are
// some, the vehicle alone, and at times the trailer alone.
func (v *simulatedVisit) draft(o outing) {
	add := func(ticket, truly, setup, hitch string, decks ...string) {
		for _, deck := range decks {
			v.drafts = append(v.drafts, draft{ticket: ticket, truly: truly, setup: setup, hitch: hitch, deck: deck})
		}
	}
	slack := ""
	if v.outfit.bars {
		slack = "slack"
		add("402", simTensioned, "coupled", "tensioned", o.coupled...)
	}
	add("401", simSlack, "coupled", slack, o.coupled...)
	add("403", simVehicleAlone, "vehicle_alone", "", o.solo...)
	if o.gauged {
		add("404", simTrailerAlone, "trailer_alone", "", "coupling")
	}
	switch {
	case o.trailer && o.deck == "pads" && v.outfit.kind == "drawbar":
		add("405", simTrailerAlone, "trailer_alone", "", trailerWheels...)
	case o.trailer && o.deck == "pads":
		add("405", simTrailerAlone, "trailer_alone", "", append(slices.Clone(trailerWheels[:2*v.outfit.trailerAxles]), "nose")...)
	case o.trailer:
		add("405", simTrailerAlone, "trailer_alone", "", "all")
	}
}

// somebodyElse lets a passenger stay out of the vehicle's weighing alone, or
// the weigher sit in it, at times; the forms say so.
func (v *simulatedVisit) somebodyElse() {
	out := slices.Contains(v.people(), "passenger") && v.d.chance(0.25)
	in := !out && v.d.chance(0.1)
	weigher := carried{"weigher", 80, 2400}
	for i := range v.drafts {
		w := &v.drafts[i]
		switch {
		case w.setup != "vehicle_alone":
		case out:
			w.absent, w.without = []string{"passenger"}, []string{"passenger"}
		case in:
			w.extra, w.with = []carried{weigher}, []string{"weigher"}
		}
	}
}

// people are those who travel.
func (v *simulatedVisit) people() []string {
	var all []string
	for _, c := range v.outfit.vehicle {
		if slices.Contains([]string{"driver", "passenger", "child"}, c.name) {
			all = append(all, c.name)
		}
	}
	return all
}

// typePlates types the ratings in the region's unit. A plate in pounds holds
// whole pounds, and is then the limit.
func (v *simulatedVisit) typePlates() {
	for i := range v.plates {
		p := &v.plates[i]
		t := typedPlate{word: p.word, on: p.on, unit: "kg"}
		if p.word == "towing" {
			t.kind = "braked"
		}
		figure := p.kg
		if v.region == "us" {
			t.unit = "lb"
			figure = math.Round(p.kg / kgPerPound)
			p.kg = figure * kgPerPound
		}
		t.value = strconv.FormatFloat(figure, 'f', -1, 64)
		v.typed = append(v.typed, t)
	}
}

// weigh fills the figures in.
func (v *simulatedVisit) weigh() {
	largest := 0.0
	for i := range v.drafts {
		if w := v.on(&v.drafts[i]); v.drafts[i].deck != "coupling" {
			largest = max(largest, w.kg/float64(w.weighers))
		}
	}
	v.scale.setSpan(largest)
	if v.gauge != nil {
		v.gauge.setSpan(v.outfit.loads(simSlack).coupling)
	}
	for i := range v.drafts {
		w := &v.drafts[i]
		w.figure = v.of(w).show(v.on(w))
	}
}

// of is the instrument of a reading.
func (v *simulatedVisit) of(w *draft) *simulatedScale {
	if w.deck == "coupling" {
		return v.gauge
	}
	return v.scale
}

// on is what is truly on the deck for a reading.
func (v *simulatedVisit) on(w *draft) weighing {
	o := *v.outfit
	o.vehicle = append(slices.Clone(o.vehicle), w.extra...)
	l := o.loads(w.truly, w.absent...)
	whole := map[string]bool{"all": true, "vehicle": w.truly == simVehicleAlone, "front+rear": w.truly == simVehicleAlone}[w.deck]
	out := weighing{key: w.setup + w.truly + w.deck, weighers: 1, partial: !whole, tandem: o.trailerAxles > 1}
	for _, term := range strings.Split(cmp.Or(w.stood, w.deck), "+") {
		out.kg += o.part(l, term)
	}
	return out
}

// part is the load on one term of a deck.
func (o *simulatedOutfit) part(l axleLoads, term string) float64 {
	names := strings.Split(term, ".")
	kg := map[string]float64{
		"front": l.front, "rear": l.rear, "trailer": l.trailer, "nose": l.nose, "coupling": l.coupling,
		"vehicle": l.front + l.rear, "all": l.front + l.rear + l.trailer + l.nose,
	}[names[0]]
	if len(names) == 1 {
		return kg
	}
	axle := names[0]
	if names[0] == "trailer" {
		axle += "." + names[1]
		switch {
		case o.trailerAxles == 1:
		case names[1] == "1":
			kg *= o.firstAxle
		default:
			kg *= 1 - o.firstAxle
		}
	}
	if names[len(names)-1] == "left" {
		return kg * o.left[axle]
	}
	return kg * (1 - o.left[axle])
}
