package mistakes

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// loaded is the slips job with a driver who was out of one reading, and a case
// that was on board in one only.
func loaded() *tickets.Job {
	job := slips()
	job.Loads = []tickets.Load{
		{Name: "driver", Kg: decimal.NewFromInt(82), UKg: 4, On: tickets.OnVehicle},
		{Name: "case", Kg: decimal.NewFromInt(60), UKg: 3, On: tickets.OnTrailer},
	}
	job.Readings[2].Without, job.Readings[3].With = []string{"driver"}, []string{"case"}
	return job
}

// sign is −1 for a load that a reading was without, +1 for one it was with.
func sign(r *tickets.Reading, load string) float64 {
	return float64(b2i(slices.Contains(r.With, load)) - b2i(slices.Contains(r.Without, load)))
}

// Each stated load is tried on board where it was out and out where it was
// on board, in readings that it can have been in.
func TestLoadsAreTriedBothWays(t *testing.T) {
	job := loaded()
	s := mustSolve(t, job)
	type is struct {
		load    string
		onBoard bool
	}
	lines := map[is]int{}
	for _, h := range newSearch(s).loadMistakes() {
		c := changed(job, h.change)
		for _, i := range h.Readings {
			if (sign(&c.Readings[i], h.Load) == 0) == (sign(&job.Readings[i], h.Load) == 0) {
				t.Errorf("%s on board %v in reading %d: nothing changed", h.Load, h.OnBoard, i)
			}
			if got := sign(&c.Readings[i], h.Load); h.Load == "case" && h.OnBoard != (got > 0) || h.Load == "driver" && h.OnBoard != (got == 0) {
				t.Errorf("%s on board %v in reading %d: sign %g", h.Load, h.OnBoard, i, got)
			}
		}
		if h.Scope == oneLine {
			lines[is{h.Load, h.OnBoard}]++
		}
	}
	// The driver: out of one, on board in 2 alone and 5 coupled readings with a
	// vehicle axle (not in the trailer alone on the deck); the case: in one; out
	// of the 6 coupled ones.
	for want, n := range map[is]int{
		{"driver", true}: 1, {"driver", false}: 7, {"case", false}: 1, {"case", true}: 6,
		{unlistedPerson, true}: 3 + 5 + 1, {unlistedPerson, false}: 3 + 5,
	} {
		if lines[want] != n {
			t.Errorf("%s on board %v: %d lines tried (want %d)", want.load, want.onBoard, lines[want], n)
		}
	}
}

// A person whom no form lists weighs 80 kg, give or take 15 (common practice,
// no source), anywhere in the unit.
func TestUnlistedPerson(t *testing.T) {
	s := mustSolve(t, slips())
	for _, h := range newSearch(s).personMistakes() {
		c := changed(s.Job, h.change)
		l := c.Load(unlistedPerson)
		if l == nil || l.Kg.IntPart() != 80 || l.UKg != 15 || l.Place != "" {
			t.Fatalf("%+v", l)
		}
		if on := tickets.OnTrailer; (l.On == on) != (c.Readings[h.Readings[0]].State == tickets.TrailerAlone) {
			t.Errorf("on the %s in reading %d", l.On, h.Readings[0])
		}
	}
	if len(s.Job.Loads) != 0 {
		t.Error("the job itself was changed")
	}
}

// A reading that was weighed in another setup names no load of the unit that
// was not there.
func TestOtherSetupDropsLoads(t *testing.T) {
	job := loaded()
	job.Readings[9].Without = []string{"case"}
	job.Readings[4].Without = []string{"case", "driver"}
	s := mustSolve(t, job)
	alone := job.Readings[4]
	newSearch(s).reset(&alone, tickets.VehicleAlone)
	if !slices.Equal(alone.Without, []string{"driver"}) || alone.State != tickets.VehicleAlone {
		t.Errorf("%+v", alone)
	}
	if !slices.Equal(job.Readings[4].Without, []string{"case", "driver"}) {
		t.Error("the job itself was changed")
	}
}

// An outfit stated to have no load-distribution hitch cannot have tensioned it.
func TestNoHitchNoHitchMistake(t *testing.T) {
	job := slips()
	if n := len(newSearch(mustSolve(t, job)).hitchMistakes()); n != 6+1 {
		t.Errorf("%d (want 6 lines and a ticket)", n)
	}
	job.Outfit.Travels, job.Outfit.TravelsPlain = tickets.CoupledSlack, true
	if n := len(newSearch(mustSolve(t, job)).hitchMistakes()); n != 0 {
		t.Errorf("%d for a plain outfit (want none)", n)
	}
}

// twoTickets is two tickets of coupled readings, weighed with the bars tight and
// typed slack, and the rest as it was; the tension moves 140 kg off the rear axle,
// 100 of them to the front and 40 to the trailer.
func twoTickets() *tickets.Job {
	job := slips()
	tight := []tickets.Reading{
		weigh(tickets.CoupledSlack, 1260, "front"), weigh(tickets.CoupledSlack, 1720, "rear"), weigh(tickets.CoupledSlack, 2460, "trailer"),
		weigh(tickets.CoupledSlack, 1260, "front"), weigh(tickets.CoupledSlack, 2980, "vehicle"), weigh(tickets.CoupledSlack, 2460, "trailer"),
	}
	for i := range tight {
		tight[i].Typed, tight[i].Unit, tight[i].Line, tight[i].Ticket = tight[i].Kg.String(), "kg", 20+i, []string{"x", "y"}[i/3]
		tight[i].WeighedAt, _ = tickets.ParseMoment("2026-03-14", "")
	}
	job.Readings = append(job.Readings, tight...)
	return job
}

// The hitch of several tickets of one visit: the bars were tight on both.
func TestHitchOfAVisit(t *testing.T) {
	s := mustSolve(t, twoTickets())
	if !s.Agreement.Conflict {
		t.Fatalf("the readings %s (want a conflict)", s.Agreement.Degree)
	}
	list := listed(s)
	at := found(list, func(m *Mistake) bool {
		return m.Kind == hitchWrong && m.Scope == oneVisit && slices.Equal(m.Readings, []int{10, 11, 12, 13, 14, 15}) && m.Job.Readings[10].State == tickets.CoupledTensioned
	})
	// As likely as that the bars were tight on the first ticket and slack on these.
	if at < 0 || list[at].Rank != 1 {
		t.Errorf("entry %d of %v (want one of the first rank)", at, names3(list))
	}
	runs := newSearch(s).runs(func(r *tickets.Reading) bool { return r.State.Coupled() })
	for _, r := range runs {
		if len(r.readings) < 2 || r.scope != oneVisit {
			t.Errorf("a run of %v", r)
		}
	}
}

// Never unhitched: what the form calls alone was read with the trailer on the
// hook, the jack up.
func TestNeverUnhitched(t *testing.T) {
	job := jobOf(
		weigh(tickets.VehicleAlone, 3000, "vehicle"), weigh(tickets.VehicleAlone, 1160, "front"),
		weigh(tickets.TrailerAlone, 2420, "whole trailer"),
		weigh(tickets.CoupledSlack, 1160, "front"), weigh(tickets.CoupledSlack, 1840, "rear"), weigh(tickets.CoupledSlack, 2420, "trailer"),
		weigh(tickets.CoupledSlack, 5740, "outfit"),
	)
	job.Readings[6].Kg = decimal.NewFromInt(5420)
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Typed, r.Unit, r.Ticket = r.Kg.String(), "kg", string(r.State)
	}
	s := mustSolve(t, job)
	var all []int
	for _, h := range newSearch(s).notUnhitched() {
		if h.Scope == oneVisit {
			all = h.Readings
			m := changed(job, h.change)
			if r := m.Readings[2]; !r.State.Coupled() || tickets.Spell(r.Terms...) != "trailer" {
				t.Errorf("the trailer on its nose becomes %s %s (want coupled, its axles)", r.State, tickets.Spell(r.Terms...))
			}
		}
	}
	if !slices.Equal(all, []int{0, 1, 2}) {
		t.Errorf("readings %v (want all that say alone)", all)
	}
}

// Where the unit that carries a load is not there, nobody says that it was
// on board, or that it was not.
func TestResetDropsLoads(t *testing.T) {
	job := jobOf(weigh(tickets.CoupledSlack, 3000, "vehicle"))
	job.Loads = []tickets.Load{{Name: "tools", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnVehicle}, {Name: "dome", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	s := mustSolve(t, job)
	for state, left := range map[tickets.State]string{tickets.VehicleAlone: "tools", tickets.TrailerAlone: "dome"} {
		r := job.Readings[0]
		r.Without, r.With = []string{"tools", "dome"}, []string{"dome", "tools"}
		newSearch(s).reset(&r, state)
		if !slices.Equal(r.Without, []string{left}) || !slices.Equal(r.With, []string{left}) {
			t.Errorf("%s: without %v, with %v (want %s)", state, r.Without, r.With, left)
		}
	}
	gauge := weigh(tickets.TrailerAlone, 250, "coupling")
	gauge.State, gauge.Terms = tickets.CoupledSlack, deck("coupling")
	for i, want := range []bool{false, true} {
		if onGauge(&gauge) && couldBear(&gauge, &job.Loads[i]) != want {
			t.Errorf("a gauge under the coupling carries %s: %v", job.Loads[i].Name, !want)
		}
	}
	if !onGauge(&gauge) {
		t.Error("not on a gauge")
	}
}

func TestOtherSupportsOfAReading(t *testing.T) {
	o := &tickets.Outfit{RearAxles: 2}
	at := func(g tickets.Group, axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: g, Axle: axle, Side: side}
	}
	for _, c := range []struct{ was, want []tickets.Term }{
		{[]tickets.Term{at(tickets.Rear, 1, tickets.Left)}, []tickets.Term{at(tickets.Rear, 1, tickets.Right), at(tickets.Rear, 2, tickets.Left)}},
		{[]tickets.Term{at(tickets.Rear, 2, "")}, []tickets.Term{at(tickets.Rear, 1, "")}},
		{[]tickets.Term{at(tickets.Front, 0, tickets.Right)}, []tickets.Term{at(tickets.Front, 0, tickets.Left), at(tickets.Rear, 0, tickets.Right)}},
		{[]tickets.Term{at(tickets.Rear, 0, tickets.Left)}, []tickets.Term{at(tickets.Rear, 0, tickets.Right), at(tickets.Front, 0, tickets.Left)}},
		{[]tickets.Term{at(tickets.Rear, 1, ""), at(tickets.Front, 0, "")}, nil},
	} {
		got := slices.Concat(otherSupports(o, &tickets.Reading{Terms: c.was})...)
		if !slices.Equal(got, c.want) {
			t.Errorf("other than %v: %v (want %v)", c.was, got, c.want)
		}
	}
}

func TestDecksThatDifferByTheNose(t *testing.T) {
	for _, c := range []struct {
		a, b []tickets.Term
		want bool
	}{
		{deck("whole trailer"), deck("trailer"), true}, {deck("trailer"), deck("whole trailer"), true},
		{deck("nose"), nil, false}, {deck("trailer"), deck("trailer"), false}, {deck("front", "nose"), deck("front"), false},
		{deck("vehicle"), deck("front"), false},
	} {
		if got := isNose(c.a, c.b); got != c.want {
			t.Errorf("%v and %v differ by the nose: %v", c.a, c.b, got)
		}
	}
}

// Only what both setups have can be taken for the other: the vehicle's axles
// and the trailer's, not an outfit all on one deck; of a trailer with its nose the axles.
func TestSetupsTakenForEachOther(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 5440, "outfit"), weigh(tickets.CoupledSlack, 2430, "trailer"),
		weigh(tickets.CoupledSlack, 3010, "vehicle"), weigh(tickets.TrailerAlone, 2420, "trailer"),
	))
	var got []int
	for _, h := range newSearch(s).setupMistakes() {
		if h.Scope == oneLine {
			got = append(got, h.Readings...)
			if h.prior != 10e-4 { // of the table
				t.Errorf("prior %g (want 0.001)", h.prior)
			}
		}
	}
	// In the order of takenForCoupled; then the trailer that was not unhitched, whose
	// nose was not on the deck after all.
	if want := []int{0, 4, 5, 3, 1}; !slices.Equal(got, want) {
		t.Errorf("lines %v (want %v)", got, want)
	}
}

// A person whom nobody lists: 10 in 10,000 on a line, 2 where the ticket says
// how many people were in; by the table.
func TestPriorOfAPerson(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 2780, "vehicle"))
	people := 2
	job.Readings[1].People = &people
	s := mustSolve(t, job)
	for i, want := range []float64{10e-4, 2e-4} {
		if h := newSearch(s).person(group{oneLine, []int{i}}, tickets.Load{Name: unlistedPerson}, true); math.Abs(h.prior-want) > 1e-15 {
			t.Errorf("line %d: %g (want %g)", i, h.prior, want)
		}
	}
}

// The jockey wheel off the deck is 30 in 10,000; the two other decks of a
// trailer alone share 10 with it: a third each. By the table.
func TestPriorOfTheNose(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.TrailerAlone, 2680, "whole trailer")))
	want := map[string]float64{"trailer": 30e-4, "nose": 10e-4 / 3, "coupling": 10e-4 / 3}
	for _, h := range newSearch(s).otherDecks(0) {
		on := changed(s.Job, h.change).Readings[0].OnDeck
		if math.Abs(h.prior-want[on]) > 1e-15 {
			t.Errorf("%s: %g (want %g)", on, h.prior, want[on])
		}
		delete(want, on)
	}
	if len(want) != 0 {
		t.Errorf("not tried: %v", want)
	}
}
