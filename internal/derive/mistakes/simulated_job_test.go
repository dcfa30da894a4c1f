package mistakes

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// world is an invented outfit whose loads are known: what a study weighs.
type world struct {
	rng   *rand.Rand
	truth tickets.Job // its lengths are the true ones
	typed tickets.Outfit
	load  map[tickets.State]map[tickets.Group]float64
	gain  float64
	e     float64
}

// newWorld draws an outfit by the statics of a load behind the rear axle, with
// the ties' own deviations and the measuring error of its lengths.
func newWorld(rng *rand.Rand) *world {
	w := &world{rng: rng, load: map[tickets.State]map[tickets.Group]float64{}, e: []float64{10, 20, 20}[rng.IntN(3)]}
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	f, r := between(900, 1500), between(900, 1700)
	t := between(1200, 3200)
	d := t * between(0.06, 0.12)
	wheelbase, overhang, drawbar := between(2600, 3400), between(1000, 1400), between(3800, 5800)
	nose := drawbar - between(200, 600)
	w.outfit(wheelbase, overhang, drawbar, nose)
	lift := overhang/wheelbase*d + w.normal(w.t(5, 10, w.typed.TrailerAxles >= 2)) // one rear axle
	onNose := drawbar/nose*d + w.normal(w.t(5, 20, w.typed.TrailerAxles >= 2))
	w.load[tickets.VehicleAlone] = map[tickets.Group]float64{tickets.Front: f, tickets.Rear: r}
	w.load[tickets.TrailerAlone] = map[tickets.Group]float64{tickets.Trailer: t - onNose, tickets.Nose: onNose}
	w.load[tickets.CoupledSlack] = map[tickets.Group]float64{tickets.Front: f - lift, tickets.Rear: r + d + lift, tickets.Trailer: t - d}
	back := lift * between(0.4, 0.9)
	shift := (back + w.normal(w.t(5, 10, w.typed.TrailerAxles >= 2 || w.typed.RearAxles >= 2))) * wheelbase / (drawbar + overhang)
	w.load[tickets.CoupledTensioned] = map[tickets.Group]float64{
		tickets.Front: f - lift + back, tickets.Rear: r + d + lift - back - shift, tickets.Trailer: t - d + shift,
	}
	return w
}

func (w *world) t(plain, tandem float64, isTandem bool) float64 {
	if isTandem {
		return tandem
	}
	return plain
}

func (w *world) normal(u float64) float64 { return u * w.rng.NormFloat64() }

// outfit sets the true lengths, and the typed ones 10 mm about them.
func (w *world) outfit(wheelbase, overhang, drawbar, nose float64) {
	w.typed = tickets.Outfit{LengthUncertaintyMm: 10, TrailerAxles: 1 + w.rng.IntN(2), RearAxles: 1}
	w.truth.Outfit = w.typed
	set := func(o *tickets.Outfit, err float64) {
		o.Wheelbase, o.RearAxleToCoupling = known(wheelbase+w.normal(err)), known(overhang+w.normal(err))
		o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = known(drawbar+w.normal(err)), known(nose+w.normal(err))
	}
	set(&w.truth.Outfit, 0)
	if w.rng.Float64() < 0.6 {
		set(&w.typed, 10)
	}
	w.truth.Places = []tickets.Place{{Name: "seat", On: tickets.OnVehicle, HasAt: true, AtMm: 1500}}
	w.truth.Loads = []tickets.Load{{Name: "driver", Kg: decimal.NewFromInt(82), UKg: 2, On: tickets.OnVehicle, Place: "seat"}}
}

// job is the outfit as its owner would type it, with no reading yet. The seat
// is in the form; its place on the deck is known where the lengths are.
func (w *world) job() *tickets.Job {
	return &tickets.Job{
		Outfit: w.typed, Loads: w.truth.Loads, Places: w.truth.Places,
		Scales: []tickets.Scale{{Class: "III"}},
	}
}

// onDeck is the true load of a weighing, people and things included.
func (w *world) onDeck(r *tickets.Reading) float64 {
	state, sum := r.State, 0.0
	if onGauge(r) {
		return w.load[tickets.TrailerAlone][tickets.Trailer] + w.load[tickets.TrailerAlone][tickets.Nose] - w.load[tickets.CoupledSlack][tickets.Trailer]
	}
	for _, t := range r.Terms {
		sum += w.load[state][t.Group]
	}
	for _, name := range r.With {
		sum += w.onBoard(name, state, r.Terms)
	}
	for _, name := range r.Without {
		sum -= w.onBoard(name, state, r.Terms)
	}
	return sum
}

// onBoard is what the driver, or a person nobody listed, puts on the deck.
func (w *world) onBoard(name string, state tickets.State, terms []tickets.Term) float64 {
	l := w.truth.Load("driver")
	mass := l.Kg.InexactFloat64()
	if name == unlistedPerson {
		mass = personKg
		if state == tickets.TrailerAlone {
			return mass * w.onTrailer(terms)
		}
	}
	sum := 0.0
	for _, t := range terms {
		on, _ := derive.Effect(&w.truth, w.truth.Place(l.Place), derive.Part{Factor: 1, State: state, Support: tickets.Term{Group: t.Group}})
		sum += on
	}
	return mass * sum
}

// onTrailer: a person 0.1 of the way to the nose support.
func (w *world) onTrailer(terms []tickets.Term) float64 {
	sum := 0.0
	for _, t := range terms {
		sum += map[tickets.Group]float64{tickets.Trailer: 0.9, tickets.Nose: 0.1}[t.Group]
	}
	return sum
}

// weigh draws readings from the model's own distributions: rectangular
// errors within the limits, zero set to e/4, rounding to e.
func (w *world) weigh(job *tickets.Job) {
	half := func() float64 { return 2*w.rng.Float64() - 1 }
	largest := 0.0
	for i := range job.Readings {
		largest = math.Max(largest, w.onDeck(&job.Readings[i]))
	}
	w.gain = half() * 2 * math.Min(w.mpe(largest)/largest, w.mpe(500*w.e)/(500*w.e))
	for i := range job.Readings {
		r := &job.Readings[i]
		r.IntervalKg = decimal.NewFromFloat(w.e)
		kg := w.onDeck(r)
		w.show(r, kg*(1+w.gain)+half()*w.mpe(kg)+w.normal(w.split(r))+half()*w.e/4)
	}
}

// mpe is the maximum permissible error of class III at a load.
//
// Source: OIML R 76-1:2006, 3.5.1, Table 6.
func (w *world) mpe(kg float64) float64 {
	switch {
	case kg <= 500*w.e:
		return 0.5 * w.e
	case kg <= 2000*w.e:
		return w.e
	}
	return 1.5 * w.e
}

// split is what weighing an outfit in parts adds on a single deck, in kilograms.
// Common practice, no source.
func (w *world) split(r *tickets.Reading) float64 {
	switch {
	case onGauge(r) && w.typed.TrailerAxles >= 2:
		return 5
	case onGauge(r):
		return 3
	case len(r.Terms) == len(slices.MaxFunc(derive.DecksOf(&w.typed, r.State), func(a, b []tickets.Group) int { return len(a) - len(b) })):
		return 0
	}
	return 10
}

// show rounds to the interval and types the figure.
func (w *world) show(r *tickets.Reading, kg float64) {
	if r.Unit == "" {
		r.Unit = "kg"
	}
	r.Typed = strconv.FormatFloat(math.Round(kg/w.e)*w.e, 'f', -1, 64)
	r.Kg = decimal.RequireFromString(r.Typed)
}

// design draws which weighings were made: alone, alone, coupled, and with the
// hitch tensioned in one of three.
func (w *world) design(job *tickets.Job) {
	one := func(options ...[]string) []string { return options[w.rng.IntN(len(options))] }
	w.ticket(job, "1", tickets.VehicleAlone, one([]string{"front", "rear"}, []string{"vehicle", "front"}, []string{"front", "rear", "vehicle"})...)
	w.ticket(job, "2", tickets.TrailerAlone, one([]string{"whole trailer"}, []string{"whole trailer", "nose"}, []string{"whole trailer", "coupling"})...)
	w.ticket(job, "3", tickets.CoupledSlack, one(
		[]string{"front", "rear", "trailer"}, []string{"vehicle", "trailer"}, []string{"front", "rear", "trailer", "outfit"},
		[]string{"front", "vehicle", "outfit", "trailer"}, []string{"front", "vehicle", "rear trailer", "trailer"})...)
	if w.rng.IntN(3) == 0 {
		w.ticket(job, "4", tickets.CoupledTensioned, one([]string{"front", "rear", "trailer"}, []string{"front", "vehicle", "outfit", "trailer"})...)
		job.Outfit.Travels = tickets.CoupledTensioned
	}
	for i := range job.Readings {
		job.Readings[i].Line = i + 2
	}
}

func (w *world) ticket(job *tickets.Job, number string, state tickets.State, decks ...string) {
	for _, d := range decks {
		r := weigh(state, 0, deckWords(d)...)
		r.Ticket = number
		r.OnDeck = d
		job.Readings = append(job.Readings, r)
	}
}

// deckWords lets a deck of two groups be one word.
func deckWords(d string) []string {
	if d == "rear trailer" {
		return []string{"rear", "trailer"}
	}
	return []string{d}
}

// text is what distinguishes two forms: everything a mistake can change.
func text(job *tickets.Job) string {
	s := ""
	for _, r := range job.Readings {
		s += fmt.Sprintf("%.6f ", r.Kg.InexactFloat64()) + fmt.Sprint(r.State, r.Terms, r.Without, r.With, r.Used, r.Calculated, ";")
	}
	return s
}
