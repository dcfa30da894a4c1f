package limits

import (
	"maps"
	"math"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// A group whose axles are not read separately is impossible once.
func TestImpossibleOnce(t *testing.T) {
	job := jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 2980, "front")})
	f, not := found(t, job), mustSolve(t, job).Doubts().CannotBe
	if len(not) != 1 || not[0].On != "rear" || f.Verdict != conflict {
		t.Errorf("%+v, %s (want one: the rear axle carries 2760 − 2980)", not, f.Verdict)
	}
}

// Gaps that turning lines wrong has shown. Expected numbers are worked out by
// hand where nothing else is said.

// A load is impossible only below nothing by more than U: half a kilogram
// either side of it, with the U that its readings give.
func TestImpossibleBeyondU(t *testing.T) {
	second := tickets.Term{Group: tickets.Trailer, Axle: 2}
	job := func(first float64) *tickets.Job {
		j := jobOf([]tickets.Reading{weigh(tickets.CoupledSlack, 2430, "trailer"), weigh(tickets.CoupledSlack, first, "trailer.1")})
		j.Outfit.TrailerAxles = 2
		return j
	}
	_, u, _ := mustSolve(t, job(2430)).Sum(derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: second}).Number()
	for past, want := range map[float64]bool{-0.5: false, 0.5: true} {
		j := job(2430 + 2*u + past)
		v, now, _ := mustSolve(t, j).Sum(derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: second}).Number()
		if math.Abs(v+2*now+past) > 0.1 {
			t.Fatalf("%g, u %g: not half a kilogram from the end", v, now)
		}
		if said := len(mustSolve(t, j).Doubts().CannotBe) > 0; said != want {
			t.Errorf("%g kg below −U: cautioned %v (want %v)", past, said, want)
		}
	}
}

// An axle of a group split by axles alone, whose sum leaves less than nothing.
func TestImpossibleAxle(t *testing.T) {
	job := jobOf([]tickets.Reading{weigh(tickets.CoupledSlack, 2430, "trailer"), weigh(tickets.CoupledSlack, 2600, "trailer.1")})
	job.Outfit.TrailerAxles = 2
	f, not := found(t, job), mustSolve(t, job).Doubts().CannotBe
	if len(not) != 1 || not[0].Code != "impossible" || not[0].On != "trailer.2" || f.Verdict != conflict {
		t.Errorf("%+v, %s (want trailer.2 impossible, conflict)", not, f.Verdict)
	}
}

// A support of less than nothing by more than U is a conflict: 2,980 on the
// front of 2,760. By moments it is none.
func TestImpossibleIsAConflict(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 2980, "front")}), rate("gvm", "", 3500))
	f, not := found(t, job), mustSolve(t, job).Doubts().CannotBe
	if f.Verdict != conflict || len(not) != 1 {
		t.Fatalf("%s, %+v (want conflict, one)", f.Verdict, not)
	}
	c := not[0]
	if c.Code != "impossible" || c.On != "rear" || c.State != tickets.VehicleAlone || c.Line != 2 && c.Line != 3 || math.Abs(c.Kg+220) > 1 {
		t.Errorf("%+v (want rear, −220 kg)", c)
	}
}

// A whole vehicle, a whole trailer, or what is left of a group, below nothing cannot be,
// also where none of its axles is known by itself: it would be within every rating.
func TestImpossibleTogether(t *testing.T) {
	part := []tickets.Reading{weigh(tickets.CoupledSlack, 2600, "trailer.1"), weigh(tickets.CoupledSlack, 2400, "trailer")}
	for _, c := range []struct {
		name     string
		axles    int
		readings []tickets.Reading
		want     map[string]float64 // by unit and state
	}{
		// 2,000 − 2,240 coupled, 2,000 − 2,480 alone
		{"the outfit less the trailer", 1, []tickets.Reading{
			weigh(tickets.CoupledSlack, 2000, "outfit"), weigh(tickets.CoupledSlack, 2240, "trailer"),
			weigh(tickets.TrailerAlone, 2480, "whole trailer"),
		}, map[string]float64{"vehicle vehicle_alone": -480, "vehicle coupled_slack": -240}},
		// 2,000 − 2,760
		{"the outfit less the vehicle", 1, []tickets.Reading{
			weigh(tickets.CoupledSlack, 2000, "outfit"), weigh(tickets.VehicleAlone, 2760, "vehicle"),
		}, map[string]float64{"all trailer_alone": -760}},
		// 2,760 − 2,980: the axle below nothing says it, and the vehicle is above
		{"an axle", 1, []tickets.Reading{
			weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 2980, "front"),
		}, map[string]float64{"rear vehicle_alone": -220}},
		// 2,400 − 2,600, and nothing is known of how two axles share it
		{"a part above the whole", 3, part, map[string]float64{"trailer.2+trailer.3 coupled_slack": -200}},
		// 3,000 − 1,700 − 1,800
		{"two parts above the whole", 4, []tickets.Reading{
			weigh(tickets.CoupledSlack, 1700, "trailer.1"), weigh(tickets.CoupledSlack, 1800, "trailer.2"), weigh(tickets.CoupledSlack, 3000, "trailer"),
		}, map[string]float64{"trailer.3+trailer.4 coupled_slack": -500}},
		{"of two axles", 2, part, map[string]float64{"trailer.2 coupled_slack": -200}},
		{"a part below the whole", 3, []tickets.Reading{weigh(tickets.CoupledSlack, 800, "trailer.1"), part[1]}, map[string]float64{}},
		// 2,000 − 2,010: −10 kg, and U is above 10
		{"hardly any vehicle", 1, []tickets.Reading{
			weigh(tickets.CoupledSlack, 2000, "outfit"), weigh(tickets.CoupledSlack, 2010, "trailer"),
		}, map[string]float64{}},
	} {
		job := rated(jobOf(c.readings), rate("gcm", "", 6000), rate("atm", "", 3000), rate("download_max", "", 350))
		job.Outfit.TrailerAxles = c.axles
		f := found(t, job)
		got := map[string]float64{}
		for _, i := range mustSolve(t, job).Doubts().CannotBe {
			got[i.On+" "+string(i.State)] = math.Round(i.Kg)
		}
		if !maps.Equal(got, c.want) || len(c.want) > 0 && f.Verdict != conflict {
			t.Errorf("%s: %v, %s (want %v)", c.name, got, f.Verdict, c.want)
		}
	}
}
