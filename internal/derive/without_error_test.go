package derive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// exact is an outfit in perfect equilibrium, and readings without any error of
// whatever supports somebody happened to weigh.
type exact struct {
	rng      *rand.Rand
	job      *tickets.Job
	load     map[tickets.State]map[tickets.Group]float64
	download float64
	moment   float64 // of the tension, kg·m
}

// newExact draws lengths, loads and a tension and solves the statics forward.
func newExact(seed uint64) *exact {
	x := &exact{rng: rand.New(rand.NewPCG(seed, 11)), job: &tickets.Job{Name: fmt.Sprint("exact ", seed)}}
	w, a, l, n := x.from(2.4, 4), x.from(0.8, 1.8), x.from(3, 6), x.from(2.5, 5.5)
	x.job.Outfit = tickets.Outfit{
		Wheelbase: known(1000 * w), RearAxleToCoupling: known(1000 * a), CouplingToTrailerAxle: known(1000 * l),
		NoseSupportToTrailerAxle: known(1000 * n), RearAxles: 1 + x.rng.IntN(2), TrailerAxles: 1 + x.rng.IntN(3), LengthUncertaintyMm: 10,
	}
	front, rear, trailer, d := x.from(1000, 1600), x.from(900, 1800), x.from(1200, 3200), x.from(40, 300)
	x.download, x.moment = d, x.from(0, 300)
	lift := d * a / w
	x.load = map[tickets.State]map[tickets.Group]float64{
		tickets.VehicleAlone: {tickets.Front: front, tickets.Rear: rear},
		tickets.TrailerAlone: {tickets.Trailer: trailer - d*l/n, tickets.Nose: d * l / n},
		tickets.CoupledSlack: {tickets.Front: front - lift, tickets.Rear: rear + d + lift, tickets.Trailer: trailer - d},
	}
	back := x.moment * (a + l) / (l * w)
	x.load[tickets.CoupledTensioned] = map[tickets.Group]float64{
		tickets.Front: front - lift + back, tickets.Rear: rear + d + lift - back - x.moment/l, tickets.Trailer: trailer - d + x.moment/l,
	}
	x.loads()
	for range 4 + x.rng.IntN(8) {
		x.weigh()
	}
	x.job.Scales = []tickets.Scale{{Name: "yard", Class: "III"}}
	return x
}

func (x *exact) from(low, high float64) float64 { return low + (high-low)*x.rng.Float64() }

// loads declares two loads of known place whose stated masses are right.
func (x *exact) loads() {
	for i, unit := range []tickets.Unit{tickets.OnVehicle, tickets.OnTrailer} {
		name := fmt.Sprint("load ", i)
		x.job.Loads = append(x.job.Loads, tickets.Load{Name: name, Kg: decimal.NewFromInt(int64(30 + x.rng.IntN(90))), UKg: 2, On: unit, Place: name})
		x.job.Places = append(x.job.Places, tickets.Place{Name: name, On: unit, HasAt: true, AtMm: x.from(-800, 3000)})
	}
}

// weigh adds a reading of some groups of some state, or of one axle of one.
// The axles of a group carry equal parts, as the model takes a load's to be.
func (x *exact) weigh() {
	state := states[x.rng.IntN(len(states))]
	r := weigh(state, 0)
	r.Scale = "yard"
	groups := stateGroups(state)
	first := x.rng.IntN(len(groups))
	r.Terms = groupTerms(groups[first : first+1+x.rng.IntN(len(groups)-first)])
	if n := axlesOf(&x.job.Outfit, groups[first]); len(r.Terms) == 1 && n > 1 && x.rng.IntN(3) == 0 {
		r.Terms[0].Axle = 1 + x.rng.IntN(n)
	}
	for i := range x.job.Loads {
		if l := &x.job.Loads[i]; onUnit(&r, l.On) && x.rng.IntN(3) == 0 {
			r.Without = append(r.Without, l.Name)
		}
	}
	if kg := x.onDeck(&r); kg > 0 {
		r.Kg = decimal.NewFromFloat(kg)
		x.job.Readings = append(x.job.Readings, r)
	}
}

func (x *exact) onDeck(r *tickets.Reading) float64 {
	sum, state := 0.0, r.State
	for _, t := range r.Terms {
		part := x.load[state][t.Group]
		for _, name := range r.Without {
			l := x.job.Load(name)
			sh, _, _ := share(x.job, l.On, x.job.Place(l.Place).AtMm, state)
			share := map[tickets.Group]float64{tickets.Front: sh.front, tickets.Rear: sh.rear, tickets.Trailer: sh.trailer, tickets.Nose: sh.nose}[t.Group]
			part -= share * l.Kg.InexactFloat64()
		}
		if t.Axle > 0 {
			part /= float64(axlesOf(&x.job.Outfit, t.Group))
		}
		sum += part
	}
	return sum
}

// truths are the quantities of the outfit as it is.
func (x *exact) truths() map[string]float64 {
	all := map[string]float64{}
	for state, groups := range x.load {
		for g, kg := range groups {
			all[fmt.Sprintf("%s.%s", state, g)] = kg
			for a, n := 1, axlesOf(&x.job.Outfit, g); a <= n; a++ {
				all[fmt.Sprintf("%s.%s.%d", state, g, a)] = kg / float64(n)
			}
		}
		all[string(state)+".vehicle"] = groups[tickets.Front] + groups[tickets.Rear]
	}
	alone, slack := x.load[tickets.VehicleAlone], x.load[tickets.CoupledSlack]
	all["trailer_mass"] = x.load[tickets.TrailerAlone][tickets.Trailer] + x.load[tickets.TrailerAlone][tickets.Nose]
	all["combination"] = slack[tickets.Front] + slack[tickets.Rear] + slack[tickets.Trailer]
	all["download"] = x.download
	all["front_lift"] = alone[tickets.Front] - slack[tickets.Front]
	all["front_restored"] = x.load[tickets.CoupledTensioned][tickets.Front] - slack[tickets.Front]
	return all
}

// Readings without error give the truth, whatever was weighed and whoever was
// away: all that is called determined is right, and nothing disagrees.
func TestReadingsWithoutErrorGiveTheTruth(t *testing.T) {
	held, byMoment, restored := 0, 0, 0
	for seed := range uint64(400) {
		x := newExact(seed)
		s, truth := mustSolve(t, x.job), x.truths()
		for name, q := range numbers(s) {
			v, _, ok := q.Number()
			if !ok {
				continue
			}
			held++
			if q.ByMoment {
				byMoment++
			}
			if want, known := truth[name]; !known || math.Abs(v-want) > 1e-5 {
				t.Errorf("seed %d: %s = %.7f by %s (want %.7f)", seed, name, v, basisOf(q), want)
			}
		}
		if v, _, ok := s.Figures().HitchMoment.Number(); ok {
			restored++
			if math.Abs(v-x.moment) > 1e-4 {
				t.Errorf("seed %d: hitch moment %.6f (want %.6f)", seed, v, x.moment)
			}
		}
		if f := s.Agreement; f.ChiSquare > 1e-9 {
			t.Errorf("seed %d: readings without error disagree: %+v", seed, f)
		}
	}
	if held < 2000 || byMoment < 200 || restored < 50 {
		t.Errorf("%d quantities, %d by moment, %d tensions: too few to say anything", held, byMoment, restored)
	}
}
