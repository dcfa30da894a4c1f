package flow_test

import (
	"math"
	"strconv"
)

// simulatedScale is a weighing instrument with its own errors, drawn once, in
// the limits of OIML R 76-1:2006: rounding to the interval, zero set to within
// a quarter of it (4.5.2), at a place on the deck an error within the maximum
// permissible one on initial verification (Table 6, 3.6.2), over the whole span
// one within that in service, which is twice as large (3.5.2).
type simulatedScale struct {
	d        dice
	name     string
	class    string
	deck     string
	unit     string  // of its print
	interval float64 // in that unit
	span     float64 // relative error, the same in all readings
	local    map[string]float64
}

const kgPerPound = 0.45359237 // exact, by definition

// kgPer is one of the scale's units in kilograms.
func (s *simulatedScale) kgPer() float64 {
	return map[string]float64{"kg": 1, "t": 1000, "lb": kgPerPound}[s.unit]
}

// e is the interval in kilograms.
func (s *simulatedScale) e() float64 { return s.interval * s.kgPer() }

// mpe is the maximum permissible error on initial verification, in kilograms:
// R 76-1, Table 6, for class III and IIII; class III L half an interval for
// every 500 begun (from memory).
func (s *simulatedScale) mpe(kg float64) float64 {
	n := kg / s.e()
	ends := [2]float64{500, 2000}
	switch s.class {
	case "III L":
		return 0.5 * s.e() * max(math.Ceil(n/500), 1)
	case "IIII":
		ends = [2]float64{50, 200}
	}
	switch {
	case n <= ends[0]:
		return 0.5 * s.e()
	case n <= ends[1]:
		return s.e()
	}
	return 1.5 * s.e()
}

// setSpan draws the error of the span: at every test load from 500 intervals
// (100 on class IIII) up to the largest load weighed it keeps the limit in service.
func (s *simulatedScale) setSpan(largest float64) {
	least := 500.0
	if s.class == "IIII" {
		least = 100
	}
	most := math.Inf(1)
	for n := least; ; n += 10 {
		kg := min(n*s.e(), max(largest, least*s.e()))
		most = min(most, 2*s.mpe(kg)/kg)
		if kg >= largest {
			break
		}
	}
	s.span = s.d.between(-1, 1) * most
}

// weighing is a load as it is on the deck: key names its place on it,
// weighers how many pads bear it, partial that other wheels stood off the deck.
type weighing struct {
	kg       float64
	key      string
	weighers int
	partial  bool
	tandem   bool
}

// show is what the scale prints for a load, in whole intervals of its unit.
func (s *simulatedScale) show(w weighing) string {
	kg := 0.0
	for i := range w.weighers {
		part := w.kg / float64(w.weighers)
		shown := part*(1+s.span) + s.at(w, part, i) + s.d.between(-0.25, 0.25)*s.e()
		kg += to(shown, s.e())
	}
	n := math.Round(kg / s.e())
	return strconv.FormatFloat(math.Round(n*s.interval*1000)/1000, 'f', -1, 64)
}

// at is the error of a place on the deck, drawn once for each. To it belongs
// what the ground off the deck, or a gauge off towing height, takes or gives.
func (s *simulatedScale) at(w weighing, part float64, pad int) float64 {
	key := w.key + "#" + strconv.Itoa(pad)
	if _, known := s.local[key]; !known {
		s.local[key] = s.d.between(-1, 1)*s.mpe(part) + s.d.normal(s.uneven(w, part))
	}
	return s.local[key]
}

// uneven is the standard deviation of what an uneven approach moves between the
// wheels on the deck and those off it (common practice, no source).
func (s *simulatedScale) uneven(w weighing, part float64) float64 {
	switch s.deck {
	case "single":
		if w.partial {
			return 10
		}
	case "pads":
		return 0.005 * part * math.Sqrt(float64(w.weighers))
	case "gauge":
		if w.tandem {
			return 5
		}
		return 3
	}
	return 0
}
