package derive

import (
	"math"
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

func namesOf(s *Solution) string {
	var names []string
	for _, q := range s.quantities() {
		names = append(names, q.Name)
	}
	return strings.Join(names, " ")
}

// The names of an outfit whose supports nobody distinguished: groups, vehicles
// and totals, whether or not they have a number.
const plainNames = "vehicle_alone.front vehicle_alone.rear vehicle_alone.vehicle trailer_alone.trailer trailer_alone.nose " +
	"coupled_slack.front coupled_slack.rear coupled_slack.vehicle coupled_slack.trailer " +
	"coupled_tensioned.front coupled_tensioned.rear coupled_tensioned.vehicle coupled_tensioned.trailer " +
	"trailer_mass combination download front_lift front_restored"

func TestNamesOfAPlainJob(t *testing.T) {
	if got := namesOf(mustSolve(t, jobOf())); got != plainNames {
		t.Errorf("%s\nwant %s", got, plainNames)
	}
}

// One used reading of an axle, or of a side, splits its group in all four
// states alike, and no other group; one kept as evidence splits nothing.
func TestSplitInAllStates(t *testing.T) {
	for _, c := range []struct {
		name string
		term tickets.Term
		used bool
		more string // of the rear, in each state that has it
	}{
		{"axle", tickets.Term{Group: tickets.Rear, Axle: 2}, true, "rear.1 rear.2"},
		{"side", tickets.Term{Group: tickets.Rear, Side: tickets.Left}, true, "rear.left rear.right"},
		{"side of an axle", tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Right}, true,
			"rear.1 rear.2 rear.left rear.right rear.1.left rear.1.right rear.2.left rear.2.right"},
		{"evidence", tickets.Term{Group: tickets.Rear, Axle: 2}, false, ""},
	} {
		r := weigh(tickets.VehicleAlone, 700)
		r.Terms, r.Used = []tickets.Term{c.term}, c.used
		job := jobOf(r)
		job.Outfit.RearAxles = 2
		want := plainNames
		for _, state := range []string{"vehicle_alone", "coupled_slack", "coupled_tensioned"} {
			for _, m := range strings.Fields(c.more) {
				want = strings.Replace(want, "trailer_mass", state+"."+m+" trailer_mass", 1)
			}
		}
		if got := namesOf(mustSolve(t, job)); got != want {
			t.Errorf("%s: %s\nwant %s", c.name, got, want)
		}
	}
}

// What one reading distinguished stays separate, whatever later ones say.
func TestLaterReadingsJoinNothing(t *testing.T) {
	job := wheelByWheel()
	job.Readings = append(job.Readings, on("a", weigh(tickets.VehicleAlone, 1260, "front")), on("a", weigh(tickets.VehicleAlone, 1500, "rear")))
	s := mustSolve(t, job)
	for g, want := range map[tickets.Group]splitOf{tickets.Front: {0, true}, tickets.Rear: {2, true}, tickets.Trailer: {}} {
		if got := s.system.layout.splitOf(g); got != want {
			t.Errorf("%s is split %+v (want %+v)", g, got, want)
		}
	}
}

// wheelByWheel weighs every wheel of a vehicle with two rear axles:
// front 640 + 620, rear axle 1 380 + 370, axle 2 390 + 360.
func wheelByWheel() *tickets.Job {
	var readings []tickets.Reading
	for _, w := range []struct {
		group tickets.Group
		axle  int
		side  tickets.Side
		kg    float64
	}{
		{tickets.Front, 0, tickets.Left, 640}, {tickets.Front, 0, tickets.Right, 620},
		{tickets.Rear, 1, tickets.Left, 380}, {tickets.Rear, 1, tickets.Right, 370},
		{tickets.Rear, 2, tickets.Left, 390}, {tickets.Rear, 2, tickets.Right, 360},
	} {
		r := on("a", weigh(tickets.VehicleAlone, w.kg))
		r.Terms = []tickets.Term{{Group: w.group, Axle: w.axle, Side: w.side}}
		readings = append(readings, r)
	}
	job := jobOf(readings...)
	job.Outfit.RearAxles = 2
	job.Scales = []tickets.Scale{certain("a", 3)}
	return job
}

// Sums by hand, u = 3·√n for n wheels.
func TestSumsOfWheels(t *testing.T) {
	s := mustSolve(t, wheelByWheel())
	for _, c := range []struct {
		term   tickets.Term
		kg     float64
		wheels float64
		basis  string
	}{
		{tickets.Term{Group: tickets.Front}, 1260, 2, difference},
		{tickets.Term{Group: tickets.Front, Axle: 1}, 1260, 2, difference},
		{tickets.Term{Group: tickets.Front, Axle: 1, Side: tickets.Left}, 640, 1, weighed},
		{tickets.Term{Group: tickets.Rear}, 1500, 4, difference},
		{tickets.Term{Group: tickets.Rear, Axle: 1}, 750, 2, difference},
		{tickets.Term{Group: tickets.Rear, Axle: 2}, 750, 2, difference},
		{tickets.Term{Group: tickets.Rear, Side: tickets.Left}, 770, 2, difference},
		{tickets.Term{Group: tickets.Rear, Side: tickets.Right}, 730, 2, difference},
		{tickets.Term{Group: tickets.Rear, Axle: 2, Side: tickets.Right}, 360, 1, weighed},
	} {
		q := s.load(tickets.VehicleAlone, c.term)
		wantNumber(t, tickets.Spell(c.term), q, c.kg, 1e-6)
		if _, u, _ := q.Number(); math.Abs(u-3*math.Sqrt(c.wheels)) > 1e-5 || basisOf(q) != c.basis {
			t.Errorf("%s: u %g, %s (want %g, %s)", tickets.Spell(c.term), u, basisOf(q), 3*math.Sqrt(c.wheels), c.basis)
		}
	}
	for _, none := range []tickets.Term{{Group: tickets.Rear, Axle: 3}, {Group: tickets.Trailer}, {Group: tickets.Nose}, {Group: tickets.Trailer, Side: tickets.Left}} {
		if s.load(tickets.VehicleAlone, none).Determined {
			t.Errorf("%s has a number", tickets.Spell(none))
		}
	}
	if axles, sides := s.Split(tickets.Rear); axles != 2 || !sides {
		t.Errorf("rear split by %d axles, sides %v (want 2, true)", axles, sides)
	}
}

// Left less right, and one axle less the next, by hand.
func TestImbalances(t *testing.T) {
	want := []struct {
		name  string
		kg, u float64
	}{
		{"vehicle_alone.front.left_right", 20, 3 * math.Sqrt2}, {"vehicle_alone.rear.left_right", 40, 6},
		{"vehicle_alone.rear.1.left_right", 10, 3 * math.Sqrt2}, {"vehicle_alone.rear.2.left_right", 30, 3 * math.Sqrt2},
		{"vehicle_alone.rear.1_2", 0, 6},
	}
	got := mustSolve(t, wheelByWheel()).imbalances()
	if len(got) != len(want) {
		t.Fatalf("%d imbalances (want %d): %+v", len(got), len(want), got)
	}
	for i, w := range want {
		v, u, ok := got[i].Number()
		if got[i].Name != w.name || !ok || math.Abs(v-w.kg) > 1e-6 || math.Abs(u-w.u) > 1e-5 {
			t.Errorf("%s %g, u %g (want %s %g, %g)", got[i].Name, v, u, w.name, w.kg, w.u)
		}
	}
}

// How each quantity came about: weighed where one used reading had exactly its
// supports on the deck, in whatever spelling; the combination in either state;
// by moment where nothing but a tie gives it; else by difference.
func TestBasis(t *testing.T) {
	slack, tight := coupledReadings(tickets.CoupledSlack, 0), coupledReadings(tickets.CoupledTensioned, 125)
	v := weigh(tickets.VehicleAlone, 2760, "vehicle")
	trailer := weigh(tickets.TrailerAlone, 2680, "whole trailer")
	gauge := weigh(tickets.TrailerAlone, 250, "coupling")
	bothTight := weigh(tickets.CoupledTensioned, 5440, "outfit")
	for _, c := range []struct {
		name     string
		readings []tickets.Reading
		quantity string
		want     string
	}{
		{"weighed whole", []tickets.Reading{v}, "vehicle_alone.vehicle", weighed},
		{"two axles", aloneReadings()[:2], "vehicle_alone.vehicle", difference},
		{"the rest of a whole", []tickets.Reading{v, aloneReadings()[0]}, "vehicle_alone.rear", difference},
		{"whole trailer", []tickets.Reading{trailer}, "trailer_mass", weighed},
		{"axles and nose", aloneReadings()[2:], "trailer_mass", difference},
		{"T − G", []tickets.Reading{trailer, slack[2]}, "download", difference},
		{"gauge", []tickets.Reading{gauge, trailer, slack[2]}, "download", weighed},
		{"nose and levers", aloneReadings()[3:], "download", byMoment},
		{"combination, tensioned", []tickets.Reading{bothTight}, "combination", weighed},
		{"combination of parts", tight, "combination", difference},
		{"tensioned alone", append(append([]tickets.Reading{v, trailer}, aloneReadings()[:1]...), tight...), "download", byMoment},
	} {
		s := mustSolve(t, measured(jobOf(c.readings...)))
		q, ok := numbers(s)[c.quantity]
		if !ok || !q.Determined || basisOf(q) != c.want {
			t.Errorf("%s: %s is %s, determined %v (want %s)", c.name, c.quantity, basisOf(q), q.Determined, c.want)
		}
	}
}

// The sum of anything with something that is not solved has no number.
func TestSumsWithNothing(t *testing.T) {
	s := mustSolve(t, fixture())
	side := tickets.Term{Group: tickets.Front, Side: tickets.Left}
	front := supportLoad(1, tickets.VehicleAlone, tickets.Term{Group: tickets.Front})
	if s.Sum(front, supportLoad(1, tickets.VehicleAlone, side)).Determined {
		t.Error("a sum with a side nobody weighed has a number")
	}
	if s.Sum(front, Part{Factor: 1, Load: "nobody"}).Determined || s.Sum(Part{Factor: 1, Load: "nobody"}).Determined {
		t.Error("a load nobody named has a mass")
	}
	q := s.Sum(front)
	v, u, _ := q.Number()
	w, x, _ := s.Sum(front, front).Number()
	// All on a grid of 1e-6 kg: u² is known to 2·u·0.5e-6, u being 12.5.
	if math.Abs(w-2*v) > 2e-6 || math.Abs(x-2*u) > 2e-6 || math.Abs(s.covariance(q, q)-u*u) > 2e-5 {
		t.Errorf("twice %g, u %g is %g, u %g", v, u, w, x)
	}
}
