package page

import (
	"fmt"
	"slices"
	"strings"

	"reconcile/internal/record"
)

// outline is the side view: the vehicle on the left, its trailer behind it, in units of
// which the drawing is 360 wide. Where lengths are known the axles are to
// scale, as on the summary.
type outline struct {
	front, rear, coupling, trailer, nose float64
	rearAxles, trailerAxles              int
	drawbar                              bool
}

const (
	drawnWidth = 360.0
	ground     = 96.0
	wheelSize  = 15.0
	pitch      = 34.0 // between axles of a group
)

// plainOutline is the one that is drawn where no lengths are known.
func plainOutline(rearAxles, trailerAxles int, drawbar bool) outline {
	return outline{front: 48, rear: 138, coupling: 184, trailer: 284, nose: 212, rearAxles: rearAxles, trailerAxles: trailerAxles, drawbar: drawbar}
}

// scaledOutline puts the axles where the lengths of an outfit say.
func scaledOutline(o outline, of *record.Outfit) outline {
	l := &of.LengthsMm
	if l.Wheelbase == nil || l.RearAxleToCoupling == nil || l.CouplingToTrailerAxle == nil || *l.RearAxleToCoupling <= 0 {
		return o
	}
	total := *l.Wheelbase + *l.RearAxleToCoupling + *l.CouplingToTrailerAxle
	scale := float64((290 - o.front) / total)
	o.rear = o.front + float64(scale*(*l.Wheelbase))
	o.coupling = o.rear + float64(scale*(*l.RearAxleToCoupling))
	o.trailer = o.coupling + float64(scale*(*l.CouplingToTrailerAxle))
	o.nose = o.coupling + 22
	if l.NoseSupportToTrailerAxle != nil {
		o.nose = o.trailer - float64(scale*(*l.NoseSupportToTrailerAxle))
	}
	return o
}

// wheels are where the axles of a group are.
func (o outline) wheels(group string) []float64 {
	middle, n := o.front, 1
	switch group {
	case "rear":
		middle, n = o.rear, o.rearAxles
	case "trailer":
		middle, n = o.trailer, o.trailerAxles
	case "nose":
		middle = o.nose
	}
	var all []float64
	for i := range n {
		all = append(all, middle+float64(pitch*(float64(i)-float64(float64(n-1)/2))))
	}
	return all
}

func num(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.1f", v), "0"), ".")
}

// vehicleBody and trailerBody are the bodies above the wheels.
func (o outline) vehicleBody() string {
	l, r := o.front-34, o.wheels("rear")[o.rearAxles-1]+26
	return el("path", at{"class", "body", "d", fmt.Sprintf("M%s 82 V62 Q%s 56 %s 55 L%s 52 L%s 28 H%s L%s 50 H%s V82 Z",
		num(l), num(l), num(l+8), num(l+26), num(l+42), num(l+84), num(l+90), num(r))})
}

func (o outline) trailerBody(hitched bool) string {
	l, r := o.coupling+24, min(o.wheels("trailer")[o.trailerAxles-1]+44, 356)
	body := el("path", at{"class", "body", "d", fmt.Sprintf("M%s 82 V30 Q%s 22 %s 22 H%s Q%s 22 %s 30 V82 Z", num(l), num(l), num(l+8), num(r-8), num(r), num(r))})
	bar := el("path", at{"class", "bar", "d", fmt.Sprintf("M%s 78 L%s 78", num(o.coupling), num(l+4))})
	ball := el("circle", at{"class", "ball", "cx", num(o.coupling), "cy", "77", "r", "4"})
	if hitched {
		bar = el("path", at{"class", "bar", "d", fmt.Sprintf("M%s 80 H%s", num(o.wheels("rear")[o.rearAxles-1]+22), num(o.coupling))}) + bar
	}
	return body + bar + ball
}

func (o outline) wheelsOf(group string) string {
	s := ""
	for _, x := range o.wheels(group) {
		s += el("circle", at{"class", "wheel", "cx", num(x), "cy", num(ground - wheelSize), "r", num(wheelSize)}) +
			el("circle", at{"class", "hub", "cx", num(x), "cy", num(ground - wheelSize), "r", "5"})
	}
	return s
}

func (o outline) jockey() string {
	return el("path", at{"class", "bar", "d", fmt.Sprintf("M%s 78 V88", num(o.nose))}) + el("circle", at{"class", "wheel", "cx", num(o.nose), "cy", "90", "r", "6"})
}

// shape draws an outfit as it is in a setup.
func (o outline) shape(setup string) string {
	s := ""
	if setup != "trailer_alone" {
		s += o.vehicleBody() + o.wheelsOf("front") + o.wheelsOf("rear")
	}
	if setup != "vehicle_alone" {
		s += o.trailerBody(setup == "coupled") + o.wheelsOf("trailer")
	}
	if setup == "trailer_alone" && !o.drawbar {
		s += o.jockey()
	}
	return s + el("path", at{"class", "ground", "d", "M2 " + num(ground) + " H358"})
}

func svg(height, class, label, inside string) string {
	return el("svg", at{"class", class, "viewBox", "0 0 360 " + height, "role", "group", "aria-label", label}, inside)
}

func textAt(x, y float64, class, text string) string {
	return el("text", at{"x", num(x), "y", num(y), "class", class}, esc(text))
}

// deckView is a line of a slip whose wheels are tapped.
type deckView struct {
	setup         string
	row           int
	on            []string
	axles         bool // one by one
	rear, trailer int
	drawbar       bool
}

// deckDrawing is the side view with wheels to tap; what is on the deck has
// the deck below it.
func deckDrawing(v deckView) string {
	o := plainOutline(v.rear, v.trailer, v.drawbar)
	inside := o.shape(v.setup)
	for _, group := range supportsOf(v.setup, v.drawbar) {
		xs := o.wheels(group)
		if !v.axles || len(xs) == 1 {
			inside += tapped(v, group, xs)
			continue
		}
		for i, x := range xs {
			term := group + "." + itoa(i+1)
			if slices.Contains(v.on, group) {
				v.on = append(slices.Clone(v.on), term)
			}
			inside += tapped(v, term, []float64{x})
		}
	}
	return svg("140", "drawing tap", say("wheels_on_the_weighbridge"), inside)
}

// tapped is one support to tap, a checkbox to who uses the keyboard.
func tapped(v deckView, term string, xs []float64) string {
	on := slices.Contains(v.on, term)
	left, right := xs[0]-22, xs[len(xs)-1]+22
	checked := "false"
	deck := el("path", at{"class", "no-deck", "d", fmt.Sprintf("M%s 102 H%s", num(left+4), num(right-4))})
	if on {
		checked = "true"
		deck = el("rect", at{"class", "on-deck", "x", num(left), "y", "98", "width", num(right - left), "height", "9", "rx", "2"}) +
			el("path", at{"class", "tickmark", "d", fmt.Sprintf("M%s 81 l5 6 l9 -12", num((left+right)/2-7))})
	}
	hit := el("rect", at{"class", "hit", "x", num(left), "y", "58", "width", num(right - left), "height", "76", "rx", "6"})
	name := supportName(term)
	short := map[string]string{"nose": "jockey", "front": "front", "rear": "rear", "trailer": "trailer"}[term]
	if short == "" {
		short = term[len(term)-1:]
	}
	return el("g", at{"role", "checkbox", "tabindex", "0", "aria-checked", checked, "aria-label", name, "id", fieldID("deck", itoa(v.row)+"-"+term),
		"data-do", "deck", "data-at", ticketsForm + "|" + itoa(v.row) + "|" + term, "class", "support"}, hit, deck, textAt((left+right)/2, 126, "name", short))
}

// mark is a letter in the drawing of the plates.
type mark struct{ letter, word, on, state string }

// platesDrawing is the vehicle or the trailer with a letter at each part that a
// rating belongs to.
func platesDrawing(marks []mark, trailerAxles, rearAxles int, trailer bool) string {
	o := plainOutline(rearAxles, trailerAxles, false)
	setup, label := "vehicle_alone", say("the_vehicle_with_a_letter")
	if trailer {
		setup, label = "coupled", say("the_trailer_with_a_letter")
	}
	inside := o.shape(setup)
	seen := map[string]int{}
	for _, m := range marks {
		x, y := markPlace(o, m, trailer)
		key := num(x) + "," + num(y)
		x += float64(22 * float64(seen[key]))
		seen[key]++
		inside += el("g", at{"class", "letter " + m.state}, el("circle", at{"cx", num(x), "cy", num(y), "r", "10"}), textAt(x, y+4.5, "", m.letter))
	}
	return el("svg", at{"class", "drawing", "viewBox", "0 0 360 124", "role", "img", "aria-label", label}, inside)
}

func markPlace(o outline, m mark, trailer bool) (x, y float64) {
	switch {
	case m.word == "axle" && m.on == "front":
		return o.front, 111
	case m.word == "axle" && m.on == "rear":
		return o.rear, 111
	case m.word == "axle":
		return o.trailer + 40, 111
	case m.word == "gtm":
		return o.trailer, 111
	case m.word == "gvm":
		return 72, 66
	case m.word == "atm":
		return o.trailer, 50
	case m.word == "download_max" && trailer:
		return o.coupling, 60
	case m.word == "download_max":
		return 182, 82
	}
	return 212, 40 // what is behind the vehicle
}

// lengthsDrawing shows what the lengths are.
func lengthsDrawing() string {
	o := plainOutline(1, 2, false)
	inside := o.shape("coupled") + o.jockey()
	for i, d := range []struct {
		letter   string
		from, to float64
	}{{"a", o.front, o.rear}, {"b", o.rear, o.coupling}, {"c", o.coupling, o.trailer}, {"d", o.nose, o.trailer}} {
		y := 108 + float64(i/3*14)
		inside += el("path", at{"class", "length", "d", fmt.Sprintf("M%s %s V%s M%s %s H%s M%s %s V%s", num(d.from), num(y-5), num(y+5), num(d.from), num(y), num(d.to), num(d.to), num(y-5), num(y+5))}) +
			textAt((d.from+d.to)/2, y-2, "name", d.letter)
	}
	return el("svg", at{"class", "drawing", "viewBox", "0 0 360 132", "role", "img", "aria-label", say("a_front_axle_to_rear")}, inside)
}
