package flow_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// mess is one kind of mistake. before changes how the outfit is weighed, after
// what is typed of it; each reports false where it cannot be made. mostWithin
// is the goal: the largest share, in percent, of truly overloaded outfits that
// may be called within; 0 where none is set.
type mess struct {
	name          string
	before, after func(*simulatedVisit) bool
	mostWithin    float64
}

// messes are the kinds of the study; the first is none at all.
var messes = []mess{
	{name: "none"},
	{name: "ratings in pounds typed as kilograms", after: poundsAsKilograms(everyPlate), mostWithin: 3},
	{name: "the vehicle's ratings alone in pounds", after: poundsAsKilograms(vehiclePlate)},
	{name: "the trailer's ratings alone in pounds", after: poundsAsKilograms(trailerPlate)},
	{name: "never uncoupled", before: neverUncoupled, mostWithin: 3},
	{name: "coupled figures copied as alone", after: copiedAsAlone, mostWithin: 3},
	{name: "water filled afterwards", before: waterAfterwards},
	{name: "with read as who was on board", after: withAsOnBoard, mostWithin: 3},
	{name: "vehicle not uncoupled", before: vehicleNotUncoupled, mostWithin: 3},
	{name: "a slip in one rating", after: slipInRating, mostWithin: 2},
	{name: "a digit lost in a reading", after: digitLost},
	{name: "a NET that contradicts", after: netContradicts},
	{name: "an added-up GROSS over a slip", after: addedUpGross},
}

// poundsAsKilograms reads pounds on the plates of a kind and types kilograms.
func poundsAsKilograms(of func(simulatedPlate) bool) func(*simulatedVisit) bool {
	return func(v *simulatedVisit) bool {
		for i, p := range v.plates {
			if of(p) {
				v.typed[i].value = strconv.FormatFloat(math.Round(p.kg/kgPerPound), 'f', -1, 64)
				v.typed[i].unit = "kg"
			}
		}
		return true
	}
}

func everyPlate(simulatedPlate) bool { return true }

// trailerPlate is what a trailer's plate says; vehiclePlate what the vehicle's
// and its handbook say.
func trailerPlate(p simulatedPlate) bool {
	return p.word == "atm" || p.word == "gtm" || p.on == "trailer"
}

func vehiclePlate(p simulatedPlate) bool { return !trailerPlate(p) }

// neverUncoupled: what is typed as the vehicle and the trailer alone are their
// axles with the outfit coupled as it travels. A gauge needs it uncoupled.
func neverUncoupled(v *simulatedVisit) bool {
	if v.gauge != nil {
		return false
	}
	for i := range v.drafts {
		if w := &v.drafts[i]; w.setup != "coupled" {
			w.truly = v.outfit.travels()
		}
	}
	v.dropNose()
	return true
}

// dropNose leaves out the nose support, which nobody weighs of a coupled
// trailer: what is typed as all of the trailer are its axles.
func (v *simulatedVisit) dropNose() {
	v.drafts = slices.DeleteFunc(v.drafts, func(w draft) bool { return w.setup == "trailer_alone" && w.deck == "nose" })
	for i := range v.drafts {
		if w := &v.drafts[i]; w.setup == "trailer_alone" && w.deck == "all" {
			w.stood = "trailer"
		}
	}
}

// copiedAsAlone copies the coupled figures (as it travels) to the lines of the
// vehicle and the trailer alone, added up where the decks differ; who was on
// board is copied with them.
func copiedAsAlone(v *simulatedVisit) bool {
	if v.gauge != nil {
		return false
	}
	shown := map[string]float64{}
	for _, w := range v.drafts {
		if w.truly == v.outfit.travels() {
			shown[w.deck], _ = strconv.ParseFloat(w.figure, 64)
		}
	}
	sums(shown)
	v.drafts = slices.DeleteFunc(v.drafts, func(w draft) bool { return w.setup == "trailer_alone" && w.deck == "nose" })
	for i := range v.drafts {
		w := &v.drafts[i]
		deck := w.deck
		if w.setup == "trailer_alone" && deck == "all" {
			deck = "trailer"
		}
		if w.setup == "coupled" {
			continue
		}
		kg, ok := shown[deck]
		if !ok {
			return false
		}
		w.figure = strconv.FormatFloat(math.Round(kg*1000)/1000, 'f', -1, 64)
		w.absent, w.extra, w.without, w.with = nil, nil, nil, nil
	}
	return true
}

// sums adds the figures of decks that others give.
func sums(shown map[string]float64) {
	if both, ok := shown["front+rear"]; ok {
		shown["vehicle"], shown["rear"], shown["trailer"] = both, both-shown["front"], shown["all"]-both
	} else if _, ok := shown["rear"]; ok {
		shown["vehicle"] = shown["front"] + shown["rear"]
	}
}

// waterAfterwards weighs with the tank empty, and says nothing of it.
func waterAfterwards(v *simulatedVisit) bool {
	if !slices.ContainsFunc(v.outfit.trailer, func(c carried) bool { return c.name == "water" }) {
		return false
	}
	for i := range v.drafts {
		v.drafts[i].absent = append(slices.Clone(v.drafts[i].absent), "water")
	}
	return true
}

// withAsOnBoard names everybody who was on board under with, on each line with
// the vehicle on the deck, and nobody under without.
func withAsOnBoard(v *simulatedVisit) bool {
	for i := range v.drafts {
		w := &v.drafts[i]
		vehicle := slices.ContainsFunc(strings.Split(w.deck, "+"), func(t string) bool {
			return t == "vehicle" || t == "all" || strings.HasPrefix(t, "front") || strings.HasPrefix(t, "rear")
		})
		if w.setup == "trailer_alone" || !vehicle && v.scale.deck != "pads" {
			continue
		}
		w.with = slices.Clone(w.with)
		for _, name := range v.people() {
			if !slices.Contains(w.without, name) {
				w.with = append(w.with, name)
			}
		}
		w.without = nil
	}
	return true
}

// vehicleNotUncoupled weighs the vehicle "alone" with the trailer behind it,
// standing off the deck.
func vehicleNotUncoupled(v *simulatedVisit) bool {
	weighed := false
	for i := range v.drafts {
		if w := &v.drafts[i]; w.setup == "vehicle_alone" {
			w.truly, weighed = v.outfit.travels(), true
		}
	}
	return weighed
}

// slipInRating mistypes a digit of one rating.
func slipInRating(v *simulatedVisit) bool {
	p := &v.typed[v.d.IntN(len(v.typed))]
	value := slip(v.d, p.value)
	changed := value != p.value
	p.value = value
	return changed
}

// slip exchanges two neighbouring digits of a figure, loses one, types one
// twice or another one; a sign stays where it is.
func slip(d dice, figure string) string {
	var digits []int
	for i, c := range figure {
		if c >= '0' && c <= '9' {
			digits = append(digits, i)
		}
	}
	if len(digits) < 2 {
		return figure
	}
	b := []byte(figure)
	at := digits[d.IntN(len(digits))]
	switch d.IntN(4) {
	case 0:
		i := d.IntN(len(digits) - 1)
		b[digits[i]], b[digits[i+1]] = b[digits[i+1]], b[digits[i]]
	case 1:
		b = slices.Delete(b, at, at+1)
	case 2:
		b = slices.Insert(b, at, b[at])
	default:
		b[at] = '0' + (b[at]-'0'+byte(1+d.IntN(9)))%10
	}
	return string(b)
}

// digitLost leaves a digit of one reading out.
func digitLost(v *simulatedVisit) bool {
	w := &v.drafts[v.d.IntN(len(v.drafts))]
	digits := strings.ReplaceAll(w.figure, ".", "")
	if len(digits) < 3 {
		return false
	}
	at := v.d.IntN(len(w.figure))
	for w.figure[at] == '.' {
		at = v.d.IntN(len(w.figure))
	}
	w.figure = w.figure[:at] + w.figure[at+1:]
	return true
}

// netContradicts prints GROSS, TARE and NET on one ticket, and mistypes a digit
// of GROSS or TARE: the NET says so.
func netContradicts(v *simulatedVisit) bool {
	gross := slices.IndexFunc(v.drafts, func(w draft) bool { return w.setup == "coupled" && w.hitch != "tensioned" && w.deck == "all" })
	tare := slices.IndexFunc(v.drafts, func(w draft) bool { return w.setup == "vehicle_alone" && w.deck == "vehicle" })
	if gross < 0 || tare < 0 || len(v.drafts[tare].without)+len(v.drafts[tare].with) > 0 {
		return false
	}
	g, t := v.number(gross), v.number(tare)
	net := draft{
		ticket: v.drafts[gross].ticket, truly: simTrailerAlone, setup: "trailer_alone", use: "calculated", note: "NET",
		figure: strconv.FormatFloat(math.Round((g-t)*1000)/1000, 'f', -1, 64),
	}
	v.drafts[tare].ticket = net.ticket
	w := &v.drafts[one(v.d, gross, tare)]
	old := w.figure
	w.figure = slip(v.d, old)
	v.drafts = append(v.drafts, net)
	return w.figure != old
}

func (v *simulatedVisit) number(i int) float64 {
	kg, err := strconv.ParseFloat(v.drafts[i].figure, 64)
	if err != nil {
		panic(err)
	}
	return kg
}

// addedUpGross mistypes a digit of one coupled axle and types the sum of the
// three as a fourth reading.
func addedUpGross(v *simulatedVisit) bool {
	var parts []int
	for i, w := range v.drafts {
		if w.truly == v.outfit.travels() && w.setup == "coupled" && slices.Contains([]string{"front", "rear", "trailer"}, w.deck) {
			parts = append(parts, i)
		}
	}
	if len(parts) != 3 {
		return false
	}
	w := &v.drafts[parts[v.d.IntN(3)]]
	old := w.figure
	w.figure = slip(v.d, old)
	sum := 0.0
	for _, i := range parts {
		sum += v.number(i)
	}
	gross := v.drafts[parts[0]]
	gross.deck, gross.figure, gross.note = "all", strconv.FormatFloat(math.Round(sum*1000)/1000, 'f', -1, 64), "GROSS"
	v.drafts = append(v.drafts, gross)
	return w.figure != old
}
