package adjust

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// simulated is an invented outfit as it really is, and the job that somebody would
// have typed of it: loads of every support in every state, true masses of what
// rides in it, and the lengths with which it was built.
type simulated struct {
	rng        *rand.Rand
	w, a, l, n float64 // true lengths, mm
	load       map[tickets.State]*onGroups
	mass       map[string]float64
	gain       float64
	away       string // a load that was not on board in some readings
	job        *tickets.Job
	tensioned  bool
}

// onGroups is what the groups carry, in kilograms or in parts of one.
type onGroups struct{ Front, Rear, Trailer, Nose float64 }

// simulatedKind says what is drawn.
type simulatedKind struct {
	loads     int // at most
	least     int
	choices   int  // the places that each load may go to, at most
	divisible int  // the largest mass of a divisible load; 0: none
	tight     bool // limits near the loads, so that most jobs need a plan
}

func (w *simulated) rectangular(a float64) float64 { return a * (2*w.rng.Float64() - 1) }
func (w *simulated) normal(u float64) float64      { return u * w.rng.NormFloat64() }

// simulate draws an outfit, weighs it and types the forms. The errors are the
// model's own: lengths to 10 mm, masses to their stated u, the ties' scatter
// t, and each reading's rounding, zero, linearity and split.
func simulate(kind simulatedKind, seed uint64) *simulated {
	w := &simulated{rng: rand.New(rand.NewPCG(seed, 7)), mass: map[string]float64{}, job: &tickets.Job{}}
	w.tensioned = w.rng.IntN(3) == 0
	w.job.Region = []string{"", "au", "uk", "eu", "us"}[w.rng.IntN(5)]
	w.drawOutfit()
	w.drawPlaces()
	w.drawLoads(kind)
	if w.rng.IntN(3) == 0 {
		w.away = w.job.Loads[w.rng.IntN(len(w.job.Loads))].Name
	}
	w.job.Readings = w.weighAll(w.load)
	w.away = ""
	w.rate(kind)
	return w
}

func known(mm float64) tickets.Length { return tickets.Length{Known: true, Mm: mm} }

func (w *simulated) drawOutfit() {
	w.w, w.a, w.l = 2800+600*w.rng.Float64(), 1100+300*w.rng.Float64(), 4200+1200*w.rng.Float64()
	w.n = w.l - 300 - 200*w.rng.Float64()
	typed := func(mm float64) tickets.Length { return known(mm + w.normal(10)) }
	axles := 1 + w.rng.IntN(2)
	o := &w.job.Outfit
	*o = tickets.Outfit{LengthUncertaintyMm: 10, RearAxles: 1, TrailerAxles: axles, Travels: tickets.CoupledSlack, TravelsPlain: true, TravelsStated: true,
		Wheelbase: typed(w.w), RearAxleToCoupling: typed(w.a), CouplingToTrailerAxle: typed(w.l), NoseSupportToTrailerAxle: typed(w.n)}
	w.job.Scales = []tickets.Scale{{Class: "III"}}
	tandem := float64(axles - 1)
	front, rear, trailer := 1200+400*w.rng.Float64(), 1100+600*w.rng.Float64(), 1500+1500*w.rng.Float64()
	d := trailer * (0.06 + 0.08*w.rng.Float64())
	nose := w.l/w.n*d + w.normal(5+15*tandem)
	slack := front - w.a/w.w*d + w.normal(5)
	w.load = map[tickets.State]*onGroups{
		tickets.VehicleAlone: {Front: front, Rear: rear},
		tickets.TrailerAlone: {Trailer: trailer - nose, Nose: nose},
		tickets.CoupledSlack: {Front: slack, Rear: front + rear + d - slack, Trailer: trailer - d},
	}
	if w.tensioned {
		o.Travels = tickets.CoupledTensioned
		moved := d * w.a / (w.l + w.a) * (0.3 + 0.6*w.rng.Float64())
		tight := slack + (w.l+w.a)/w.w*moved + w.normal(5+5*tandem)
		w.load[tickets.CoupledTensioned] = &onGroups{Front: tight, Trailer: trailer - d + moved, Rear: front + rear + d - moved - tight}
	}
	w.gain = w.rectangular(0.001) // half of what class III may be off in service at 500 e
}

// drawPlaces draws two places on the vehicle and three on the trailer.
func (w *simulated) drawPlaces() {
	for i, at := range []float64{0.5 * w.w, 1.2 * w.w, 0.6 * w.l, 0, -0.35 * w.l} {
		p := tickets.Place{Name: fmt.Sprintf("place %d", i), On: tickets.OnVehicle, HasAt: true, AtMm: math.Round(at + w.rectangular(400))}
		if i > 1 {
			p.On = tickets.OnTrailer
		}
		w.job.Places = append(w.job.Places, p)
	}
}

func (w *simulated) drawLoads(kind simulatedKind) {
	in := map[string]int64{}
	for i := range kind.least + w.rng.IntN(kind.loads-kind.least+1) {
		l := tickets.Load{Name: fmt.Sprintf("load %d", i), Kg: decimal.NewFromInt(8 + w.rng.Int64N(90)), MayLeave: w.rng.IntN(2) == 0}
		if kind.divisible > 0 && w.rng.IntN(4) == 0 {
			l.Divisible, l.Kg = true, decimal.NewFromInt(2+w.rng.Int64N(int64(kind.divisible-1)))
		}
		l.UKg = math.Max(1, 0.05*l.Kg.InexactFloat64())
		order := w.rng.Perm(len(w.job.Places))
		at := w.job.Places[order[0]]
		l.Place, l.On = at.Name, at.On
		for _, to := range order[1 : 1+w.rng.IntN(kind.choices+1)] {
			l.MayGo = append(l.MayGo, w.job.Places[to].Name)
		}
		in[l.Place] += l.Kg.IntPart()
		w.mass[l.Name] = l.Kg.InexactFloat64() + w.normal(l.UKg)
		w.job.Loads = append(w.job.Loads, l)
	}
	for i := range w.job.Places {
		if p := &w.job.Places[i]; w.rng.IntN(2) == 0 {
			p.CapacityKg = decimal.NewNullDecimal(decimal.NewFromInt(in[p.Name] + w.rng.Int64N(150)))
		}
	}
}

// share is what a kilogram at a place truly puts on the groups in a state.
func (w *simulated) share(place string, s tickets.State) onGroups {
	p := w.job.Place(place)
	switch {
	case place == "", p.On == tickets.OnVehicle && s == tickets.TrailerAlone, p.On == tickets.OnTrailer && s == tickets.VehicleAlone:
		return onGroups{}
	case p.On == tickets.OnVehicle:
		return onGroups{Front: 1 - p.AtMm/w.w, Rear: p.AtMm / w.w}
	case s == tickets.TrailerAlone:
		return onGroups{Nose: p.AtMm / w.n, Trailer: 1 - p.AtMm/w.n}
	}
	z := p.AtMm / w.l
	return onGroups{Trailer: 1 - z, Front: -w.a / w.w * z, Rear: (1 + w.a/w.w) * z}
}

// after is what the supports truly carry once a plan was carried out.
func (w *simulated) after(moves []Move) map[tickets.State]*onGroups {
	all := map[tickets.State]*onGroups{}
	for s, was := range w.load {
		now := *was
		for _, m := range moves {
			kg := w.mass[m.Load] * m.Kg.InexactFloat64() / w.job.Load(m.Load).Kg.InexactFloat64()
			from, to := w.share(m.From, s), w.share(m.To, s)
			now.Front += kg * (to.Front - from.Front)
			now.Rear += kg * (to.Rear - from.Rear)
			now.Trailer += kg * (to.Trailer - from.Trailer)
			now.Nose += kg * (to.Nose - from.Nose)
		}
		all[s] = &now
	}
	return all
}

// weighAll weighs the outfit as an owner would, with the loads given.
func (w *simulated) weighAll(load map[tickets.State]*onGroups) []tickets.Reading {
	v, t := load[tickets.VehicleAlone], load[tickets.TrailerAlone]
	all := []tickets.Reading{
		w.weigh(tickets.VehicleAlone, v.Front, false, tickets.Front),
		w.weigh(tickets.VehicleAlone, v.Front+v.Rear, true, tickets.Front, tickets.Rear),
		w.weigh(tickets.TrailerAlone, t.Trailer+t.Nose, true, tickets.Trailer, tickets.Nose),
	}
	for _, state := range []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned} {
		c := load[state]
		if c == nil {
			continue
		}
		all = append(all,
			w.weigh(state, c.Front, false, tickets.Front),
			w.weigh(state, c.Front+c.Rear, false, tickets.Front, tickets.Rear),
			w.weigh(state, c.Trailer, false, tickets.Trailer))
	}
	for i := range all {
		all[i].Line = i + 2
	}
	return all
}

// mpe is the maximum permissible error on initial verification of a class III scale
// (OIML R 76-1:2006, Table 6).
func mpe(kg, e float64) float64 {
	switch {
	case kg <= 500*e:
		return 0.5 * e
	case kg <= 2000*e:
		return e
	}
	return 1.5 * e
}

// weigh is one reading: 20 kg interval, zero to 5 kg, class III, and 10 kg
// where not all of the outfit stood on the deck.
func (w *simulated) weigh(state tickets.State, kg float64, whole bool, on ...tickets.Group) tickets.Reading {
	const e = 20.0
	without := w.aboardNot(state, on, &kg)
	shown := kg*(1+w.gain) + w.rectangular(mpe(kg, e)) + w.rectangular(e/4)
	if !whole {
		shown += w.normal(10)
	}
	r := tickets.Reading{State: state, Used: true, IntervalKg: decimal.NewFromInt(e), Kg: decimal.NewFromFloat(e * math.Round(shown/e)), Without: without}
	for _, g := range on {
		r.Terms = append(r.Terms, tickets.Term{Group: g})
	}
	return r
}

// aboardNot takes a load that was away off a reading, in half of them.
func (w *simulated) aboardNot(state tickets.State, on []tickets.Group, kg *float64) []string {
	l := w.job.Load(w.away)
	if l == nil || w.rng.IntN(2) == 0 || state == tickets.VehicleAlone && l.On == tickets.OnTrailer || state == tickets.TrailerAlone && l.On == tickets.OnVehicle {
		return nil
	}
	sh := w.share(l.Place, state)
	for _, g := range on {
		*kg -= w.mass[l.Name] * map[tickets.Group]float64{tickets.Front: sh.Front, tickets.Rear: sh.Rear, tickets.Trailer: sh.Trailer, tickets.Nose: sh.Nose}[g]
	}
	return []string{l.Name}
}

// truly is the load that a rating of these tests truly limits.
func truly(load map[tickets.State]*onGroups, word, on string, s tickets.State) float64 {
	v, t, c := load[tickets.VehicleAlone], load[tickets.TrailerAlone], load[tickets.CoupledSlack]
	at := load[s]
	switch word {
	case "gvm":
		return at.Front + at.Rear
	case "gcm":
		return c.Front + c.Rear + c.Trailer
	case "atm":
		return t.Trailer + t.Nose
	case "gtm":
		return at.Trailer
	case "download_max", "download_min":
		return c.Front + c.Rear - v.Front - v.Rear
	}
	return map[string]float64{"front": at.Front, "rear": at.Rear, "trailer": at.Trailer}[on]
}

// rate writes the ratings: some near what they limit, the others far.
func (w *simulated) rate(kind simulatedKind) {
	now := tickets.CoupledSlack
	if w.tensioned {
		now = tickets.CoupledTensioned
	}
	add := func(word, on string, most float64) {
		r := tickets.Rating{Line: len(w.job.Ratings) + 2, Word: word, On: on, Unit: "kg"}
		off := 60 + 200*w.rng.Float64()
		if kind.tight && w.rng.IntN(5) == 0 {
			off = 40*w.rng.Float64() - 10
		}
		if word == "download_min" {
			off = -off
		}
		r.LimitKg = decimal.NewNullDecimal(decimal.NewFromFloat(math.Max(math.Round(most+off), 1)))
		if word == "axle" {
			r.Terms = []tickets.Term{{Group: tickets.Group(on)}}
		}
		w.job.Ratings = append(w.job.Ratings, r)
	}
	for _, r := range [][2]string{{"gvm", ""}, {"gcm", ""}, {"atm", ""}, {"gtm", ""}, {"axle", "front"}, {"axle", "rear"}, {"download_max", ""}, {"download_min", ""}} {
		add(r[0], r[1], truly(w.load, r[0], r[1], now))
	}
	front, alone := w.load[now].Front, w.load[tickets.VehicleAlone].Front
	w.job.Ratings[4].LimitKg.Decimal = w.job.Ratings[4].LimitKg.Decimal.Add(decimal.NewFromFloat(math.Round(alone - front))) // the front axle carries most alone
}
