package derive

import (
	"math"
	"testing"

	"reconcile/internal/tickets"
)

// A load over nothing is no figure; over 1 kg it is.
func TestQuotientOfNothing(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle")))
	vehicle := func(factor float64) []Part {
		return []Part{supportLoad(factor, tickets.VehicleAlone, tickets.Term{Group: tickets.Front}), supportLoad(factor, tickets.VehicleAlone, tickets.Term{Group: tickets.Rear})}
	}
	q := s.Sum(vehicle(1)...)
	if f := s.quotient(q, s.Sum(vehicle(0)...)); f.determined {
		t.Errorf("over nothing: %g", f.value)
	}
	one := s.Sum(vehicle(1 / 2760.0)...)
	if f := s.quotient(q, one); !f.determined || math.Abs(f.value-2760) > 1e-6 {
		t.Errorf("over 1 kg: %+v", f)
	}
}

// The trailer is as heavy as itself, for certain.
func TestRatioToItself(t *testing.T) {
	s := mustSolve(t, jobOf(aloneReadings()...))
	q := s.Figures().TrailerMass
	if r, u, ok := s.trailerToVehicle(q, q).Number(); !ok || r != 1 || u > 1e-9 {
		t.Errorf("ratio %g, u %g, %v (want 1, u 0)", r, u, ok)
	}
}

// u²(L·share) = (L·u(share))² + (share·u(L))², L being 5,000 ± 10 mm and the
// share 250/2680: 0.93 mm of the length alone.
func TestUncertaintyOfTheTrailerCG(t *testing.T) {
	s := mustSolve(t, measured(jobOf(append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)...)))
	share, u, _ := s.Figures().DownloadShare.Number()
	want := math.Hypot(5000*u, share*10)
	if _, got, ok := s.Figures().TrailerCG.Number(); !ok || math.Abs(got-want) > 5e-6 { // u(share) is on 1e-9
		t.Errorf("u(cg) = %g (want %g)", got, want)
	}
	job := measured(jobOf(on("a", weigh(tickets.TrailerAlone, 2680, "whole trailer")), on("a", weigh(tickets.TrailerAlone, 250, "coupling"))))
	job.Scales, job.Outfit.LengthUncertaintyMm = []tickets.Scale{certain("a", 1e-3)}, 100
	if _, got, _ := mustSolve(t, job).Figures().TrailerCG.Number(); math.Abs(got-100*250.0/2680) > 0.01 { // nothing but the length
		t.Errorf("u(cg) = %g (want 9.328)", got)
	}
}
