package mistakes

import (
	"fmt"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// manyReadings is a job of so many readings, wheel by wheel, of a truck of two rear
// axles with a trailer of three, in all four states with loads away, one of them
// off by so much. All figures are invented.
func manyReadings(number int, off int64, oneTicket bool) *tickets.Job {
	job := &tickets.Job{
		Outfit: tickets.Outfit{RearAxles: 2, TrailerAxles: 3, LengthUncertaintyMm: 10, Travels: tickets.CoupledTensioned,
			Wheelbase: known(3000), RearAxleToCoupling: known(1200), CouplingToTrailerAxle: known(5000), NoseSupportToTrailerAxle: known(4700)},
		Scales: []tickets.Scale{{Name: "pads", Class: "III", Pads: true}},
	}
	for i := range 15 {
		job.Loads = append(job.Loads, tickets.Load{Name: fmt.Sprint("box ", i), Kg: decimal.NewFromInt(int64(35 + i)), UKg: 2, On: tickets.OnVehicle})
	}
	kg := map[tickets.State]map[tickets.Group]int64{
		tickets.VehicleAlone: {tickets.Front: 600, tickets.Rear: 450}, tickets.TrailerAlone: {tickets.Trailer: 500, tickets.Nose: 300},
		tickets.CoupledSlack:     {tickets.Front: 540, tickets.Rear: 556, tickets.Trailer: 500},
		tickets.CoupledTensioned: {tickets.Front: 570, tickets.Rear: 538, tickets.Trailer: 504},
	}
	for n := 0; len(job.Readings) < number; n++ {
		state := []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone, tickets.CoupledSlack, tickets.CoupledTensioned}[n%4]
		for _, g := range []tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer, tickets.Nose} {
			if kg[state][g] == 0 {
				continue
			}
			for _, term := range wheelsOf(g) {
				if len(job.Readings) == number {
					return job
				}
				job.Readings = append(job.Readings, wheelReading(len(job.Readings), n, state, term, kg[state][g], off, oneTicket))
			}
		}
	}
	return job
}

// wheelsOf lists the wheels of a group: two rear axles, three of the trailer.
func wheelsOf(g tickets.Group) []tickets.Term {
	if g == tickets.Nose {
		return []tickets.Term{{Group: g}}
	}
	axles := map[tickets.Group][]int{tickets.Front: {0}, tickets.Rear: {1, 2}, tickets.Trailer: {1, 2, 3}}[g]
	var all []tickets.Term
	for _, a := range axles {
		all = append(all, tickets.Term{Group: g, Axle: a, Side: tickets.Left}, tickets.Term{Group: g, Axle: a, Side: tickets.Right})
	}
	return all
}

func wheelReading(i, drive int, state tickets.State, term tickets.Term, kg, off int64, oneTicket bool) tickets.Reading {
	r := tickets.Reading{Line: i + 2, Ticket: fmt.Sprint("T", drive), Scale: "pads", State: state, Terms: []tickets.Term{term},
		OnDeck: tickets.Spell(term), Unit: "kg", IntervalKg: decimal.NewFromInt(2), Used: true}
	if oneTicket {
		r.Ticket = "T"
	}
	kg += int64(i*7919%5-2) * 2 // some scatter
	if i%3 == 0 && state != tickets.TrailerAlone {
		r.Without = []string{fmt.Sprint("box ", i%15)}
		kg -= int64(35+i%15) / 8 * 2
	}
	if i == 17 {
		kg += off
	}
	r.Kg = decimal.NewFromInt(kg)
	r.Typed = r.Kg.String()
	return r
}

// Section 9: the search for mistakes is bounded and says when it stopped. The
// bound counts work, so the same list comes out wherever it is run.
func TestSearchIsBounded(t *testing.T) {
	s := mustSolve(t, manyReadings(study.Size(200, 80, 60), 90, true))
	if !s.Agreement.Conflict {
		t.Fatalf("the readings %s (want a conflict)", s.Agreement.Degree)
	}
	some, complete := find(s, 20*s.Work, mostEstimates, nil)
	if complete {
		t.Error("twenty solutions of some thousand hypotheses are called all")
	}
	again, _ := find(s, 20*s.Work, mostEstimates, nil)
	if len(again) != len(some) {
		t.Errorf("%d mistakes, then %d", len(some), len(again))
	}
	for i := range some {
		if some[i].saying() != again[i].saying() {
			t.Errorf("mistake %d differs from one search to the next", i)
		}
	}
	if _, complete := find(s, mostWork, 1, nil); complete {
		t.Error("a search that stopped estimating says that it is complete")
	}
	if none, complete := Find(mustSolve(t, slips()), nil); !complete || len(none) > 0 {
		t.Errorf("readings that agree: %v", none)
	}
}
