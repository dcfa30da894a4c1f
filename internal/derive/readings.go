package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// The constants of the model, in kilograms but for shares: standard uncertainties of
// what a weighing in parts adds to that of the scale. Common practice, no source.
const (
	splitSingle      = 10.0  // part of an outfit on a single deck: level of the approach, brakes, suspension
	splitPads        = 0.005 // of the reading: pads and dummies not quite of one height
	splitPadsInTurn  = 0.01  // of the reading: fewer pads than wheels
	splitGauge       = 3.0   // a gauge 10 mm off towing height
	splitGaugeTandem = 5.0   // the same under a trailer of two axles or more
)

// leverUnknown is the standard uncertainty that a trailer load adds to front or
// rear where a/w is taken as 0.45, in parts of its mass.
const leverUnknown = 0.015

// repeats returns, for each used reading, how many of the used ones have the same
// scale, state and supports, and the first of them, by its place: a repeat renews
// rounding and zero, not position and linearity. The mean of m such readings has u² =
// renewed/m + kept, which independent observations give where each has u² = renewed +
// m·kept.
func repeats(o *tickets.Outfit, used []*tickets.Reading) (m, first []int) {
	keys, both := make([]sameKind, 0, len(used)), make([]int, 2*len(used))
	m, first = both[:len(used)], both[len(used):]
	for i := range used {
		keys = append(keys, repeatKey(o, used[i]))
		first[i] = slices.Index(keys, keys[i])
		m[first[i]]++
	}
	for i := range m {
		m[i] = m[first[i]]
	}
	return m, first
}

// sameKind is all in which two readings of the same kind agree.
type sameKind struct {
	scale  string
	state  tickets.State
	wheels wheelSet
}

func repeatKey(o *tickets.Outfit, r *tickets.Reading) sameKind {
	return sameKind{r.Scale, r.State, wheels(o, r.Terms)}
}

// readingU is the standard uncertainty of a reading in kilograms:
//
//	u² = k·(e²/12 + (e/4)²/3) + m·(k·mpe²/3 + split²)
//
// k weighers under the supports, m readings of the same kind. e²/12 is the
// rounding to e (JCGM 100:2008, F.2.2.1), (e/4)²/3 the zero set to within e/4
// (OIML R 76-1:2006, 4.5.2, from memory), which falls away where the zero is an unknown of its own
// (see planZeros); mpe²/3 is repeatability and position on the deck, a rectangle within
// the limits on verification, at the load on one weigher.
func readingU(job *tickets.Job, r *tickets.Reading, m int) float64 {
	s := job.Scale(r.Scale)
	n := weighers(&job.Outfit, s, r)
	k := float64(n)
	e := r.IntervalKg.InexactFloat64()
	mpe := mpe(s.Class, perWeigher(r.Kg, n), r.IntervalKg)
	split := splitU(job, s, r)
	zero := float64((e/4)*(e/4)) / 3
	if zeroSeen(job, r.Scale) {
		zero = 0
	}
	renewed := float64(k * (float64(e*e)/12 + zero))
	kept := float64(float64(m) * (float64(float64(k*mpe)*mpe)/3 + float64(split*split) + leverVariance(job, r)))
	return math.Sqrt(renewed + kept)
}

// splitU is what weighing an outfit in parts, or not level, adds: with one axle on
// the deck and another on its approach, any difference of height, a brake that
// holds or a spring that sticks moves load from one to the other. A deck for every
// group, or all of it on one deck, has none of that.
func splitU(job *tickets.Job, s *tickets.Scale, r *tickets.Reading) float64 {
	whole := wholeOutfit(&job.Outfit, r)
	switch {
	case s.SplitKg.Valid && !(whole && single(s)):
		return s.SplitKg.Decimal.InexactFloat64()
	case onGauge(r) && job.Outfit.TrailerAxles >= 2:
		return splitGaugeTandem
	case onGauge(r):
		return splitGauge
	case single(s) && !whole:
		return splitSingle
	case s.InTurn:
		return float64(splitPadsInTurn * r.Kg.InexactFloat64())
	case s.Pads:
		return float64(splitPads * r.Kg.InexactFloat64())
	}
	return 0
}

// single says whether a scale is one deck.
func single(s *tickets.Scale) bool { return !s.Multi && !s.Pads && !s.Gauge }

// leverVariance is added, in kg², where a/w is not known and a reading was without a
// trailer load, or with one more, in a coupled weighing of front or rear alone:
//
//	Σ (0.015·mass)²
//
// With 10 % of the load on the coupling and a/w = 0.45 ± 0.15, the front axle is off by
// 0.1·0.15 of the mass. Common practice, no source.
func leverVariance(job *tickets.Job, r *tickets.Reading) float64 {
	if _, missing := lever(&job.Outfit); missing == "" || !r.State.Coupled() || !partsFrontFromRear(r) {
		return 0
	}
	sum := 0.0
	for _, names := range [...][]string{r.Without, r.With} {
		for _, name := range names {
			if l := job.Load(name); l.On == tickets.OnTrailer {
				sum += portable.Square(float64(leverUnknown * l.Kg.InexactFloat64()))
			}
		}
	}
	return sum
}

// partsFrontFromRear says whether just one of the vehicle's groups was on the deck:
// the lever moves load between the two, and matters to neither sum of both.
func partsFrontFromRear(r *tickets.Reading) bool {
	front, rear := false, false
	for _, t := range r.Terms {
		front = front || t.Group == tickets.Front
		rear = rear || t.Group == tickets.Rear
	}
	return front != rear
}

// deckRow is the row of the loads that were on the deck, in travelling
// condition: 1 for each support, D for a gauge under the coupling.
func (y *system) deckRow(r *tickets.Reading) []float64 {
	row := y.row()
	if onGauge(r) {
		y.addDownload(row, 1)
		return row
	}
	for _, t := range r.Terms {
		y.layout.eachColumn(&y.job.Outfit, r.State, t, func(c int) { row[c]++ })
	}
	return row
}

// addDownload adds f·D, D = coupled slack vehicle − vehicle alone, to a row. D is no
// unknown of its own, so that it cannot disagree with the loads it comes from: what
// the coupling puts on the vehicle is what its axles carry more, bars slack.
func (y *system) addDownload(row []float64, f float64) {
	for _, g := range vehicleGroups {
		for _, c := range y.layout.cellsOf(tickets.CoupledSlack, g) {
			row[c.column] += f
		}
		for _, c := range y.layout.cellsOf(tickets.VehicleAlone, g) {
			row[c.column] -= f
		}
	}
}

// observeReadings adds one observation for each used reading:
//
//	reading = Σ loads on deck − Σ share·mass(without) + Σ share·mass(with) + gain·reading + k·zero
//
// k weighers under the supports, and a zero only where an empty deck was read.
func (y *system) observeReadings() {
	var m, firsts []int
	if y.options.partOf == nil {
		m, firsts = repeats(&y.job.Outfit, y.used)
	}
	for i, r := range y.used {
		row := y.deckRow(r)
		y.addNamed(row, r)
		y.addMoves(row, r)
		kg := r.Kg.InexactFloat64()
		if c, ok := y.layout.gain.of(r.Scale); ok {
			row[c] = kg
		}
		if c, ok := y.layout.zero.of(r.Scale); ok {
			row[c] = float64(weighers(&y.job.Outfit, y.job.Scale(r.Scale), r))
		}
		o := observation{Kind: byReading, Index: y.usedIndex[i]}
		// All readings of one kind are in a route, or none is, so that they repeat each
		// other there as often as in the job.
		if all := y.options.partOf; all != nil {
			whole := &all.obs[slices.Index(all.usedIndex, o.Index)] // readings are the first observations
			o.First, o.U = whole.First, whole.U
		} else {
			o.First, o.U = y.usedIndex[firsts[i]], readingU(y.job, r, m[i])
		}
		y.observe(o, row, kg)
	}
}
