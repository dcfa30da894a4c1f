package derive

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// found looks a mistake up in a list; −1 where it is not there.
func found(list []Mistake, is func(*Mistake) bool) int {
	for i := range list {
		if is(&list[i]) {
			return i
		}
	}
	return -1
}

func retype(job *tickets.Job, i int, typed string) {
	job.Readings[i].Typed, job.Readings[i].Kg = typed, decimal.RequireFromString(typed)
}

// A digit lost (544 for 5440) and one typed twice (24420 for 2420), each the
// slip that the test itself makes.
func TestDigitsLostAndTypedTwice(t *testing.T) {
	for _, c := range []struct {
		at         int
		was, typed string
	}{{8, "5440", "544"}, {9, "2420", "24420"}, {0, "1260", "160"}} {
		job := slips()
		retype(job, c.at, c.typed)
		list := mustSolve(t, job).Mistakes()
		if at := found(list, func(m *Mistake) bool {
			return m.Kind == digitCount && m.Readings[0] == c.at && m.Job.Readings[c.at].Typed == c.was
		}); at != 0 {
			t.Errorf("%s for %s is entry %d of %v (want the first)", c.typed, c.was, at, names3(list))
		}
	}
	// By hand, on a grid of 20 kg: 16 with a digit more is 160 (0 lost at the end)
	// alone, as x16 and 1x6 are no multiples but 116+… 0: 016 begins with 0.
	s := mustSolve(t, slips())
	retype(s.Job, 0, "16")
	var got []string
	for _, r := range s.lostDigits(0) {
		got = append(got, r.Typed)
	}
	if strings.Join(got, " ") != "160" {
		t.Errorf("16 may have been %v (want 160)", got)
	}
	retype(s.Job, 0, "1180")
	if all := s.doubledDigits(0); len(all) != 1 || all[0].Typed != "180" {
		t.Errorf("1180 with a digit typed twice may have been %v (want 180)", all)
	}
}

// A second scale shows 60 kg with nothing on it: what it read is all 60 too much.
func TestZeroNotReturned(t *testing.T) {
	job := slips()
	job.Outfit.Travels = tickets.TravelsPlain
	job.Scales = []tickets.Scale{{Name: "a", Class: tickets.ClassIII, Deck: tickets.DeckMulti}, {Name: "b", Class: tickets.ClassIII, Deck: tickets.DeckMulti}}
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Scale = "a"
		if r.Setup == tickets.Coupled {
			r.Scale = "b"
			retype(job, i, r.Kg.Add(decimal.NewFromInt(60)).String())
		}
	}
	s := mustSolve(t, job)
	list := s.Mistakes()
	at := found(list, func(m *Mistake) bool {
		return m.Kind == ZeroWrong && m.Scope == oneScale && job.Readings[m.Readings[0]].Scale == "b"
	})
	if at != 0 {
		t.Fatalf("entry %d of %v (want the first)", at, names3(list))
	}
	if kg := list[0].ZeroKg; kg < 45 || kg > 75 {
		t.Errorf("the zero is found to be %g (want about 60)", kg)
	}
	// Where its empty deck was read the zero is known, and no hypothesis.
	job.Readings = append(job.Readings, tickets.Reading{Line: 20, Scale: "b", OnDeck: "empty", Use: tickets.UseYes, IntervalKg: decimal.NewFromInt(20)})
	if at := found(mustSolve(t, job).Mistakes(), func(m *Mistake) bool { return m.Kind == ZeroWrong && m.Readings[0] >= 4 }); at >= 0 {
		t.Error("a zero that was read is said not to have returned")
	}
}

// twoTickets is two tickets of coupled readings, weighed with the bars tight and
// typed slack, and the rest as it was; the tension moves 140 kg off the rear axle,
// 100 of them to the front and 40 to the trailer.
func twoTickets() *tickets.Job {
	job := slips()
	tight := []tickets.Reading{
		weigh(tickets.Coupled, tickets.Slack, 1260, "front"), weigh(tickets.Coupled, tickets.Slack, 1720, "rear"), weigh(tickets.Coupled, tickets.Slack, 2460, "trailer"),
		weigh(tickets.Coupled, tickets.Slack, 1260, "front"), weigh(tickets.Coupled, tickets.Slack, 2980, "vehicle"), weigh(tickets.Coupled, tickets.Slack, 2460, "trailer"),
	}
	for i := range tight {
		tight[i].Typed, tight[i].Unit, tight[i].Line, tight[i].Ticket = tight[i].Kg.String(), "kg", 20+i, []string{"x", "y"}[i/3]
		tight[i].WeighedAt = tickets.Moment{Known: true, Time: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)}
	}
	job.Readings = append(job.Readings, tight...)
	return job
}

// The hitch of several whole tickets of one visit: the bars were tight on both.
func TestHitchOfAVisit(t *testing.T) {
	s := mustSolve(t, twoTickets())
	if s.Agreement() != Conflict {
		t.Fatalf("the readings %s (want a conflict)", s.Agreement())
	}
	list := s.Mistakes()
	at := found(list, func(m *Mistake) bool {
		return m.Kind == HitchWrong && m.Scope == oneVisit && slices.Equal(m.Readings, []int{10, 11, 12, 13, 14, 15}) && m.Job.Readings[10].Hitch == tickets.Tensioned
	})
	// As likely as that the bars were tight on the first ticket and slack on these.
	if at < 0 || list[at].Rank != 1 {
		t.Errorf("entry %d of %v (want one of the first rank)", at, names3(list))
	}
	runs := s.runs(func(r *tickets.Reading) bool { return r.Setup == tickets.Coupled })
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
		on("", weigh(tickets.VehicleAlone, "", 3000, "vehicle")), weigh(tickets.VehicleAlone, "", 1160, "front"),
		weigh(tickets.TrailerAlone, "", 2420, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 1160, "front"), weigh(tickets.Coupled, tickets.Slack, 1840, "rear"), weigh(tickets.Coupled, tickets.Slack, 2420, "trailer"),
		weigh(tickets.Coupled, tickets.Slack, 5740, "outfit"),
	)
	job.Readings[6].Kg = decimal.NewFromInt(5420)
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Typed, r.Unit, r.Ticket = r.Kg.String(), "kg", string(r.Setup)
	}
	s := mustSolve(t, job)
	var all []int
	for _, h := range s.notUnhitched() {
		if h.Scope == oneVisit {
			all = h.Readings
			m := changed(job, h.change)
			if r := m.Readings[2]; r.Setup != tickets.Coupled || OnDeck(r.Terms) != "trailer" {
				t.Errorf("the trailer on its nose becomes %s %s (want coupled, its axles)", r.Setup, OnDeck(r.Terms))
			}
		}
	}
	if !slices.Equal(all, []int{0, 1, 2}) {
		t.Errorf("readings %v (want all that say alone)", all)
	}
}

// What leaves nothing to test comes after every one that was tested, however
// likely it is.
func TestUntestedComesLast(t *testing.T) {
	list := ranked([]Mistake{
		{Kind: SetupWrong, Readings: []int{0}, Score: -1}, {Kind: digitWrong, Readings: []int{1}, Score: -20, Tested: true}, {Kind: HitchWrong, Readings: []int{2}, Score: -3},
	})
	if list[0].Kind != digitWrong || list[1].Kind != SetupWrong || list[1].Rank != 2 || list[2].Rank != 3 {
		t.Errorf("%v", names3NoJob(list))
	}
	for n, s := range conflicts(45) {
		list := s.Mistakes()
		for i := 1; i < len(list); i++ {
			if list[i].Tested && !list[i-1].Tested {
				t.Errorf("job %d: entry %d was tested, the one before it was not", n, i)
			}
		}
		said := map[string]bool{}
		for i := range list {
			if words := list[i].saying(); said[words] {
				t.Errorf("job %d: said twice: %s", n, words)
			} else {
				said[words] = true
			}
		}
	}
}

func names3NoJob(list []Mistake) []MistakeKind {
	var all []MistakeKind
	for _, m := range list {
		all = append(all, m.Kind)
	}
	return all
}

// 550 t on a wheel is absurd, however uncertain it is: a reading of 550,000 kg on
// pads that nothing checks, of an outfit whose other wheels carry 500 kg (by hand:
// more than 20 × 500 kg; U is 2·√(1/2 %·550,000)² and more than 500 kg).
func TestAbsurdWheel(t *testing.T) {
	job := manyReadings(0, true)
	var alone []tickets.Reading
	for _, r := range job.Readings[:6] { // each wheel of the vehicle alone
		if r.Setup != tickets.VehicleAlone {
			t.Fatal("the first six readings are not of the vehicle alone")
		}
		alone = append(alone, r)
	}
	job.Readings = alone
	if mustSolve(t, job).absurd() {
		t.Fatal("wheels of 500 kg are called absurd")
	}
	retype(job, 0, "550000")
	s := mustSolve(t, job)
	if q := s.Load(VehicleAlone, job.Readings[0].Terms[0]); q.Determined() {
		t.Error("the wheel is determined: the test is not of a vague load")
	}
	if !s.absurd() {
		t.Error("550 t on one wheel is not absurd")
	}
}

// A ticket that does not add up: GROSS 5,400, TARE 3,000, NET 2,040 for 2,400.
// Its figures that would mend it are a digit away, and the readings agree.
func TestMistakesOfATicketThatDoesNotAddUp(t *testing.T) {
	job := slips()
	for i, typed := range []string{"5440", "3000"} {
		r := job.Readings[[]int{8, 6}[i]]
		r.Line, r.Ticket = 30+i, "N"
		r.Typed, r.Kg = typed, decimal.RequireFromString(typed)
		job.Readings = append(job.Readings, r)
	}
	net := tickets.Reading{Line: 32, Ticket: "N", Setup: tickets.Coupled, Hitch: tickets.Slack, Terms: deck("trailer"), OnDeck: "trailer", Unit: "kg", Typed: "2640", Kg: decimal.NewFromInt(2640), IntervalKg: decimal.NewFromInt(20), Use: tickets.UseCalculated}
	job.Readings = append(job.Readings, net)
	s := mustSolve(t, job)
	if len(s.CannotBe()) != 1 {
		t.Fatalf("cannot be: %v (want the net)", s.CannotBe())
	}
	list := s.Mistakes()
	// 5,440 − 3,000 = 2,440, a digit from 2,640.
	if at := found(list, func(m *Mistake) bool {
		return m.Kind == digitWrong && m.Readings[0] == 12 && m.Job.Readings[12].Typed == "2440"
	}); at < 0 {
		t.Errorf("%v (want the net 2440)", names3(list))
	}
	for i := range list {
		if len(contradictoryTickets(list[i].Job)) > 0 {
			t.Errorf("%s leaves a ticket that does not add up", list[i].Kind)
		}
	}
}

// A total typed as a reading on a ticket of its own: 2,760 + 2,680 = 5,440 of two
// other tickets, as conservation of mass makes it; not a chance sum.
func TestCalculatedAcrossTickets(t *testing.T) {
	job := slips()
	for i := range job.Readings {
		job.Readings[i].Ticket = string(rune('a' + i))
	}
	s := mustSolve(t, job)
	rows := s.deckRows()
	for i, want := range map[int]bool{
		2: true, // vehicle alone: front and rear alone, 1260 + 1500
		6: true, // vehicle coupled: all less trailer, 5440 − 2420 = 3020, to one interval
		8: true, // all coupled: vehicle and trailer alone, 2760 + 2680
		7: true, // rear and trailer: 1860 + 2420
		3: true, // the trailer alone: all coupled less the vehicle alone
		0: true, // front alone: vehicle less rear
		9: true, // trailer coupled: rear and trailer less rear
		4: true, // front coupled: vehicle less rear, to one interval
	} {
		if got := s.addsUpAcross(i, rows); got != want {
			t.Errorf("reading %d adds up across tickets: %v (want %v)", i, got, want)
		}
	}
	// 1260 + 1160 = 2420, but front alone and front coupled are no trailer.
	if s.conserved(9, []int{0, 4}, []int{1, 1}, rows) {
		t.Error("two front axles are taken for the trailer")
	}
	// all coupled = vehicle alone + trailer alone, whatever the loads are
	if !s.conserved(8, []int{2, 3}, []int{1, 1}, rows) {
		t.Error("mass is not conserved")
	}
}
