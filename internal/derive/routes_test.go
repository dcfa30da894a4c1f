package derive

import (
	"math"
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// Each route by hand: T − G = 2680 − 2430, Vc − V = 3010 − 2760, the lift
// 109.649·2850/1250, the gauge as read; u of the lift's route has the
// lengths and t = 5 kg of the tie in it: hypot(√2·5·2.28, 5·2.28,
// 250·u(a/w)/(a/w)) = hypot(16.122, 11.4, 2.1839).
func TestRoutesByHand(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	readings = append(readings, weigh(tickets.TrailerAlone, 252, "coupling"))
	for i := range readings {
		readings[i] = on("a", readings[i])
	}
	job := measured(jobOf(readings...))
	job.Scales = []tickets.Scale{certain("a", 5)}
	want := []route{{"trailer", 250, 5 * math.Sqrt(3)}, {"vehicle", 250, 10}, {"front_lift", 250, math.Hypot(math.Hypot(16.122, 11.4), 2.18391)}, {"gauge", 252, 5}}
	got := mustSolve(t, job).routes()
	if len(got) != len(want) {
		t.Fatalf("%+v (want %+v)", got, want)
	}
	for i, r := range got {
		if r.Name != want[i].Name || math.Abs(r.Value-want[i].Value) > 1e-6 || math.Abs(r.U-want[i].U) > 1e-3 {
			t.Errorf("%+v (want %+v)", r, want[i])
		}
	}
}

// Which readings a route to the download takes, by its formula: T − G, Vc − V.
func TestReadingsOfARoute(t *testing.T) {
	for _, c := range []struct {
		name             string
		r                tickets.Reading
		trailer, vehicle bool
	}{
		{"trailer alone", weigh(tickets.TrailerAlone, 2680, "whole trailer"), true, false},
		{"gauge", weigh(tickets.TrailerAlone, 250, "coupling"), false, false},
		{"its axles, coupled", weigh(tickets.CoupledSlack, 2430, "trailer"), true, false},
		{"its axles, tensioned", weigh(tickets.CoupledTensioned, 2450, "trailer"), false, false},
		{"vehicle alone", weigh(tickets.VehicleAlone, 1260, "front"), false, true},
		{"vehicle, coupled", weigh(tickets.CoupledSlack, 3010, "vehicle"), false, true},
		{"vehicle, tensioned", weigh(tickets.CoupledTensioned, 2990, "vehicle"), false, false},
		{"all of it", weigh(tickets.CoupledSlack, 5440, "outfit"), false, false},
	} {
		if a, b := onTrailerRoute(&c.r), onVehicleRoute(&c.r); a != c.trailer || b != c.vehicle {
			t.Errorf("%s: by the trailer %v, by the vehicle %v (want %v, %v)", c.name, a, b, c.trailer, c.vehicle)
		}
	}
}

// TestRoutesNeedNoOtherLoads: of drawn jobs of all kinds, a route that is solved for all
// loads gives the same bits.
func TestRoutesNeedNoOtherLoads(t *testing.T) {
	own, ownDownload := trailerLoads, downloadLoads
	defer func() { trailerLoads, downloadLoads = own, ownDownload }()
	found := map[string]int{}
	for seed := range uint64(2000) {
		s := mustSolve(t, wildJob(seed))
		few := s.routes()
		trailerLoads, downloadLoads = nil, nil
		all := s.routes()
		trailerLoads, downloadLoads = own, ownDownload
		if !slices.Equal(few, all) {
			t.Errorf("job %d: %v, solved for all loads %v", seed, few, all)
		}
		for _, r := range few {
			found[r.Name]++
		}
	}
	for _, name := range []string{"trailer", "vehicle", "front_lift", "gauge"} {
		if found[name] < 3 {
			t.Errorf("route %s was found %d times", name, found[name])
		}
	}
}
