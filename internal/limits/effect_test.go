package limits

import (
	"math"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// The missing number is named of the state that misses it, and a unit that is
// not there affects nothing.
func TestEffectByState(t *testing.T) {
	job := levered(plated(rate("gvm", "", 9999), rate("axle", "rear", 9999)))
	job.Outfit.NoseSupportToTrailerAxle = tickets.Length{}
	nose := []derive.Part{{Factor: 1, State: tickets.TrailerAlone, Support: tickets.Term{Group: tickets.Nose}}}
	if _, missing := derive.Effect(job, at(tickets.OnTrailer, 1000), nose...); missing != "nose_support_to_trailer_axle" {
		t.Errorf("on the nose support: missing %q (want its length)", missing)
	}
	f := found(t, job)
	for _, c := range []struct {
		word, on string
		unit     tickets.Unit
		want     float64
	}{{"gvm", "", tickets.OnVehicle, 1}, {"gvm", "", tickets.OnTrailer, 0}, {"axle", "rear", tickets.OnTrailer, 0}} {
		got, missing := derive.Effect(job, &tickets.Place{On: c.unit}, row(t, f, c.word, c.on, tickets.VehicleAlone, "").Parts...)
		if got != c.want || missing != "" {
			t.Errorf("vehicle alone, %s, load on %s: %g, missing %q (want %g)", c.word, c.unit, got, missing, c.want)
		}
	}
}

// at is a place so many millimetres along a unit.
func at(on tickets.Unit, mm float64) *tickets.Place {
	return &tickets.Place{On: on, HasAt: true, AtMm: mm}
}

// A load that names a place that the form has not is of no known place.
func TestPlaceOfNoSuchName(t *testing.T) {
	job := plated()
	job.Places = []tickets.Place{{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 2500}}
	nowhere := tickets.Place{On: tickets.OnVehicle}
	for place, want := range map[string]tickets.Place{"tray": job.Places[0], "roof": nowhere, "": nowhere} {
		if got := checkerOf(t, job).placeOf(&tickets.Load{On: tickets.OnVehicle, Place: place}); *got != want {
			t.Errorf("place %q: %+v (want %+v)", place, *got, want)
		}
	}
}

// What a load adds, at a position: exact where no missing number matters, else with a/w
// 0.45 and without the share that is open.
func TestEffect(t *testing.T) {
	lines := []tickets.Rating{
		rate("gvm", "", 9999), rate("gcm", "", 9999), rate("atm", "", 9999), rate("axle", "rear", 9999), rate("download_max", "", 9999),
	}
	bare, full := plated(lines...), levered(plated(lines...))
	partly := plated(lines...)
	partly.Outfit.CouplingToTrailerAxle = known(5000)
	for _, c := range []struct {
		name     string
		job      *tickets.Job
		word, on string
		unit     tickets.Unit
		at       float64
		hasAt    bool
		want     float64
		missing  string
	}{
		{"vehicle, rear", full, "axle", "rear", tickets.OnVehicle, 1425, true, 0.5, ""},
		{"trailer, rear", full, "axle", "rear", tickets.OnTrailer, 1000, true, 0.2 * (1 + 1250.0/2850), ""},
		{"trailer, download", full, "download_max", "", tickets.OnTrailer, -500, true, -0.1, ""},
		{"vehicle, download", full, "download_max", "", tickets.OnVehicle, 1425, true, 0, ""},
		{"trailer, gvm", full, "gvm", "", tickets.OnTrailer, 1000, true, 0.2, ""},
		{"no length, gvm", bare, "gvm", "", tickets.OnVehicle, 1425, true, 1, ""},
		{"no length, gcm", bare, "gcm", "", tickets.OnTrailer, 1000, true, 1, ""},
		{"no place, atm", bare, "atm", "", tickets.OnTrailer, 0, false, 1, ""},
		{"no place, gcm", bare, "gcm", "", tickets.OnVehicle, 0, false, 1, ""},
		{"no length, rear", bare, "axle", "rear", tickets.OnVehicle, 1425, true, 0, "wheelbase"},
		{"no place, rear", full, "axle", "rear", tickets.OnVehicle, 0, false, 0, "place"},
		{"no length, download", bare, "download_max", "", tickets.OnTrailer, 1000, true, 0, "coupling_to_trailer_axle"},
		{"over the axle, download", bare, "download_max", "", tickets.OnTrailer, 0, true, 0, ""},
		{"L alone, gvm", partly, "gvm", "", tickets.OnTrailer, 1000, true, 0.2, ""},
		{"L alone, rear", partly, "axle", "rear", tickets.OnTrailer, 1000, true, 0.2 * 1.45, "rear_axle_to_coupling"},
	} {
		state := tickets.CoupledSlack
		if c.word == "gcm" || c.word == "atm" || c.word == "download_max" {
			state = noState
		}
		check := row(t, found(t, c.job), c.word, c.on, state, "")
		got, missing := derive.Effect(c.job, &tickets.Place{On: c.unit, AtMm: c.at, HasAt: c.hasAt}, check.Parts...)
		if math.Abs(got-c.want) > 3e-6 || missing != c.missing {
			t.Errorf("%s: %g, missing %q (want %g, %q)", c.name, got, missing, c.want, c.missing)
		}
	}
}

// TestEffectOnADrawbarTrailer: a load on a trailer with a hinged drawbar puts all of
// itself on that trailer's axles, one on the vehicle follows the lever as ever.
func TestEffectOnADrawbarTrailer(t *testing.T) {
	job := levered(plated())
	job.Outfit.Drawbar = true
	on := func(group tickets.Group) []derive.Part {
		return []derive.Part{{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: group}}}
	}
	for _, c := range []struct {
		at    *tickets.Place
		group tickets.Group
		want  float64
	}{
		{at(tickets.OnVehicle, 2850), tickets.Rear, 1}, {at(tickets.OnVehicle, 2850), tickets.Front, 0},
		{at(tickets.OnTrailer, 1000), tickets.Trailer, 1}, {at(tickets.OnTrailer, 1000), tickets.Rear, 0},
	} {
		if got, missing := derive.Effect(job, c.at, on(c.group)...); missing != "" || got != c.want {
			t.Errorf("%+v on %s: %g, missing %q (want %g)", *c.at, c.group, got, missing, c.want)
		}
	}
}
