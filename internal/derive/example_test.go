package derive_test

import (
	"fmt"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// A travelling planetarium on a public weighbridge: the vehicle alone, the
// trailer alone with its jockey wheel on the deck, and the trailer's axles
// coupled. The download is what the trailer's axles do not carry; nothing is
// left over to check it with. U by hand, g = 0.0011547 the gain's u:
//
//	whole vehicle      2·√(75 + (2760·g)²) = 18.5     trailer's axles  2·√(175 + (2440·g)²) = 27.1
//	download  2·√(75 + 175 + (240·g)²) = 31.6          combination      2·√(75 + 75 + (5440·g)²) = 27.5
func ExampleSolve() {
	line := func(state tickets.State, kg int64, groups ...tickets.Group) tickets.Reading {
		r := tickets.Reading{State: state, Kg: decimal.NewFromInt(kg), IntervalKg: decimal.NewFromInt(20), Used: true}
		for _, g := range groups {
			r.Terms = append(r.Terms, tickets.Term{Group: g})
		}
		return r
	}
	job := &tickets.Job{
		Scales: []tickets.Scale{{Class: "III"}},
		Readings: []tickets.Reading{
			line(tickets.VehicleAlone, 2760, tickets.Front, tickets.Rear),
			line(tickets.TrailerAlone, 2680, tickets.Trailer, tickets.Nose),
			line(tickets.CoupledSlack, 2440, tickets.Trailer),
		},
	}
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, q := range s.Results().Quantities {
		if v, u, ok := q.Number(); ok {
			fmt.Printf("%-24s %4.0f ± %2.0f kg  weighed: %v\n", q.Name, v, 2*u, q.Weighed)
		}
	}
	fmt.Println("the readings:", s.Agreement.Degree)
	// Output:
	// vehicle_alone.vehicle    2760 ± 18 kg  weighed: true
	// coupled_slack.vehicle    3000 ± 37 kg  weighed: false
	// coupled_slack.trailer    2440 ± 27 kg  weighed: true
	// trailer_mass             2680 ± 18 kg  weighed: true
	// combination              5440 ± 28 kg  weighed: false
	// download                  240 ± 32 kg  weighed: false
	// the readings: untested
}

// What a load at a place puts on each support, by the levers: 5,000 mm of
// drawbar, 1,000 mm ahead of the trailer's axle.
func ExampleEffect() {
	known := func(mm float64) tickets.Length { return tickets.Length{Known: true, Mm: mm} }
	job := &tickets.Job{Outfit: tickets.Outfit{
		Wheelbase: known(3000), RearAxleToCoupling: known(1200), CouplingToTrailerAxle: known(5000),
	}}
	ahead := tickets.Place{On: tickets.OnTrailer, HasAt: true, AtMm: 1000}
	on := func(state tickets.State, group tickets.Group) derive.Part {
		return derive.Part{Factor: 1, State: state, Support: tickets.Term{Group: group}}
	}
	for _, group := range []tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer} {
		perKg, _ := derive.Effect(job, &ahead, on(tickets.CoupledSlack, group))
		fmt.Printf("%s %.2f\n", group, perKg)
	}
	_, missing := derive.Effect(job, &ahead, on(tickets.TrailerAlone, tickets.Nose))
	fmt.Println("trailer alone: for want of", missing)
	// Output:
	// front -0.08
	// rear 0.28
	// trailer 0.80
	// trailer alone: for want of nose_support_to_trailer_axle
}
