package pdfout

import (
	"strconv"
	"strings"

	"reconcile/internal/record"
)

// drawnNose is where a nose support is drawn whose place is not known, as a
// part of the way from the coupling to the trailer's axle, in hundredths.
const drawnNose = 9

// stopView draws the outfit at the i-th stop of the n-th drive: the part that is there,
// the road, and the deck below the wheels that are on it.
func (s *sheet) stopView(plan *record.Visit, n, i int) {
	o, d := s.rec.Outfit, &plan.Route[n]
	v := view{sheet: s, outline: outlineOf(&o), room: stopDrawing - 4*pt}
	v.axles = axles(o.TrailerAxles, 1)
	if v.long(bodyHeight) > stopHigh-14*pt {
		v.room = length(stopHigh-14*pt).part(v.boxTo()-v.front(), bodyHeight)
	}
	v.left = side + (stopDrawing-v.room)/2
	v.ground = s.y + stopHigh - 10*pt
	alone := d.Setup == "trailer_alone" || d.Gauge
	support := v.noseAt()
	v.nose = 0 // drawn here, where it belongs at this stop
	if !alone {
		v.vehicle(axles(o.RearAxles, 1))
	}
	if d.Setup != "vehicle_alone" || d.Gauge {
		v.alone = alone
		v.trailerBody(v.axles)
		v.noseSupport(support, alone && !d.Gauge)
	}
	s.hline(side, side+stopDrawing, v.ground, 0.8*pt, grey)
	v.decks(d.Stops[i].OnDeck, plan.Deck, support, axles(o.RearAxles, 1))
}

// noseAt is where the jockey wheel or the legs are, or are drawn.
func (o outline) noseAt() int {
	if o.nose > 0 {
		return o.nose
	}
	return o.coupling + (o.trailer-o.coupling)*drawnNose/100
}

// noseSupport draws the jockey wheel, or the legs of a semi-trailer, on the
// ground or wound up. A hinged drawbar has none.
func (v view) noseSupport(at int, down bool) {
	if v.kind == "drawbar" {
		return
	}
	wheel, post := 330, 700
	if down {
		wheel, post = 110, 620
	}
	v.join(0.85*pt, place{at, post}, place{at, wheel})
	if v.kind == "semi" {
		v.join(1.4*pt, place{at - 90, wheel - 100}, place{at + 90, wheel - 100})
		v.join(0.85*pt, place{at, wheel}, place{at, wheel - 100})
		return
	}
	v.circle(at, wheel, 110, 0.85*pt)
}

// deckHigh is how thick a deck is drawn.
const deckHigh = 4.5 * pt

// decks draws what is under the wheels that are weighed: one deck from the
// first to the last of them; on other kinds one for each figure; under the
// coupling a gauge.
func (v view) decks(onDeck []string, deck string, nose, rearAxles int) {
	const reach = 420 // of a deck beyond the outermost wheel, in mm
	var all []place
	for _, on := range onDeck {
		var one []place
		for _, term := range strings.Split(on, "+") {
			one = append(one, v.wheelsOf(strings.TrimSpace(term), nose, rearAxles)...)
		}
		all = append(all, one...)
		if deck == "single" || len(one) == 0 {
			continue
		}
		wide := reach
		if deck != "multi" {
			wide = 260 // a pad under each wheel
			for _, p := range one {
				v.deck(p.at-wide, p.at+wide)
			}
			continue
		}
		v.deck(span(one, wide))
	}
	if len(all) == 0 {
		v.gauge()
		return
	}
	if deck == "single" {
		v.deck(span(all, reach))
	}
	for _, p := range all {
		v.disc(v.x(p.at), v.up(p.height), v.long(p.height*65/100), black)
	}
}

// span is from the first of some wheels to the last, and so much more at both ends.
func span(wheels []place, more int) (from, to int) {
	from, to = wheels[0].at, wheels[0].at
	for _, p := range wheels {
		from, to = min(from, p.at), max(to, p.at)
	}
	return from - more, to + more
}

func (v view) deck(from, to int) {
	x := max(v.x(from), side)
	v.box(x, v.ground+0.4*pt, min(v.x(to), side+stopDrawing)-x, deckHigh, black)
}

// gauge draws a gauge between the ground and the coupling head.
func (v view) gauge() {
	x, w := v.x(v.coupling), v.long(300)
	v.frame(x-w/2, v.up(420), w, v.long(420), 1*pt, black)
	v.disc(x, v.up(210), v.long(80), black)
	v.box(x-w, v.ground+0.4*pt, 2*w, deckHigh, black)
}

// wheelsOf are the wheels of a term of on_deck: where they are and the height
// of their middle, which is their radius. The coupling has none.
func (v view) wheelsOf(term string, nose, rearAxles int) []place {
	parts := strings.Split(term, ".")
	axle := 0
	for _, p := range parts[1:] {
		if n, err := strconv.Atoi(p); err == nil {
			axle = n
		}
	}
	group := func(middle, n, radius int) (all []place) {
		for i := range n {
			if axle == 0 || axle == i+1 {
				all = append(all, place{middle + (2*i-n+1)*axleSpacing/2, radius})
			}
		}
		return all
	}
	switch parts[0] {
	case "front":
		return []place{{0, wheelRadius}}
	case "rear":
		return group(v.rear, rearAxles, wheelRadius)
	case "nose":
		return []place{{nose, 110}}
	case "trailer":
		return v.trailerWheels(group, axle)
	}
	return nil
}

// trailerWheels are the wheels of the trailer; of a drawbar trailer the steered
// axle and those behind.
func (v view) trailerWheels(group func(middle, n, radius int) []place, axle int) []place {
	if v.kind != "drawbar" {
		return group(v.trailer, v.axles, trailerRadius)
	}
	steered, rear := v.ends()
	n := max(1, v.axles-1)
	all := []place{{steered, trailerRadius}}
	for i := range n {
		all = append(all, place{rear + (2*i-n+1)*axleSpacing/2, trailerRadius})
	}
	if axle > 0 && axle <= len(all) {
		return all[axle-1 : axle]
	}
	return all
}
