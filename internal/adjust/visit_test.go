package adjust

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// toVisit is the planetarium with its plates read and nothing weighed.
func toVisit(t testing.TB, change func(*tickets.Job)) *tickets.Job {
	t.Helper()
	s, _ := weighed(t, "planetarium", nil)
	job := *s.Job
	job.Readings = nil
	job.Scales = slices.Clone(job.Scales)
	if change != nil {
		change(&job)
	}
	return &job
}

func planOf(t testing.TB, job *tickets.Job) *VisitPlan {
	t.Helper()
	p, err := Visit(job, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func spellDrives(p *VisitPlan, crossChecks bool) []string {
	var all []string
	for _, d := range p.Drives {
		if d.CrossChecks != crossChecks {
			continue
		}
		s, hitch := d.State.Cells()
		if hitch == "tensioned" {
			s += " tensioned"
		}
		for _, stop := range d.Stops {
			s += " |"
			for _, r := range stop.Readings {
				s += " " + r.OnDeck
			}
		}
		all = append(all, s)
	}
	return all
}

// The drives are those that a weighing engineer would name (our own
// expectation): coupled, and uncoupled once; with a tensioned hitch that too.
func TestVisitOnEachDeck(t *testing.T) {
	rows := []struct {
		deck          string
		travels       tickets.State
		drives, later []string
	}{
		{"single", tickets.CoupledSlack,
			[]string{"coupled | front | front+rear | front+rear+trailer", "vehicle_alone | front+rear"},
			[]string{"coupled | trailer", "vehicle_alone | rear"}},
		{"single", tickets.CoupledTensioned,
			[]string{"coupled tensioned | front | front+rear", "coupled | front+rear | front+rear+trailer", "vehicle_alone | front+rear"},
			[]string{"coupled | rear+trailer", "vehicle_alone | rear"}},
		{"multi", tickets.CoupledSlack,
			[]string{"coupled | front rear trailer", "trailer_alone | trailer nose"},
			[]string{"vehicle_alone | front rear"}},
	}
	for _, row := range rows {
		p := planOf(t, toVisit(t, func(j *tickets.Job) {
			j.Outfit.Travels = row.travels
			s := scaleOf(row.deck)
			s.Name, s.Class = "deck", "III"
			j.Scales = []tickets.Scale{s}
		}))
		if got := spellDrives(p, false); !slices.Equal(got, row.drives) {
			t.Errorf("%s %s: %q (want %q)", row.deck, row.travels, got, row.drives)
		}
		if got := spellDrives(p, true); !slices.Equal(got, row.later) {
			t.Errorf("%s %s: cross-checked by %q (want %q)", row.deck, row.travels, got, row.later)
		}
		for _, c := range p.Checks {
			if !c.Determined || !c.Checked || c.U <= 0 || c.MistakeKg == nil {
				t.Errorf("%s %s: %s %s %+v", row.deck, row.travels, c.Check.Rating, c.Check.On, c)
			}
		}
	}
}

// Without a length, no smaller set of drives and no smaller set of stops of
// the plan weighs every deciding check (tried one by one).
func TestVisitIsTheLeast(t *testing.T) {
	for _, travels := range []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned} {
		v, err := newVisit(toVisit(t, func(j *tickets.Job) { j.Outfit.Travels = travels }), nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := v.choose(); err != nil {
			t.Fatal(err)
		}
		for i := range v.chosen {
			if w, _ := v.weighedAlone(v.both(nil, i, false)); w.determined == len(v.needs) {
				t.Errorf("%s: stop %d is not needed", travels, i)
			}
		}
		for _, drives := range subsets(v.states()) {
			if len(drives) >= v.drivesIn(v.chosen) {
				continue
			}
			if w, _ := v.weighedAlone(v.stopsIn(drives)); w.determined == len(v.needs) {
				t.Errorf("%s: %v alone would do", travels, drives)
			}
		}
	}
}

// The plan, done: its readings typed into the form, the U promised is the U
// obtained, but for the scaling of figures that were only supposed (1e-6).
func TestVisitDone(t *testing.T) {
	job := toVisit(t, nil)
	p := planOf(t, job)
	form := *job
	line := 2
	for _, d := range p.Drives {
		if d.CrossChecks {
			continue
		}
		for _, stop := range d.Stops {
			for _, r := range stop.Readings {
				r.Line = line
				line++
				form.Readings = append(form.Readings, r)
			}
		}
	}
	form.Scales = []tickets.Scale{deckOf(job)}
	s, f := solved(t, &form, limits.Guarded)
	if len(p.Checks) != 8 { // the floor of the download among them
		t.Errorf("%d deciding checks (want 8)", len(p.Checks))
	}
	for _, c := range p.Checks {
		now := f.FindCheck(&c.Check)
		if now == nil || now.Found == nil || math.Abs(now.Found.U/s.Agreement.Scaling-c.U) > 1e-6 {
			t.Errorf("%s %s: promised u %.3f, obtained %+v", c.Check.Rating, c.Check.On, c.U, now)
		}
	}
}

// What is weighed already is not weighed again; nothing is planned for a job
// that has all.
func TestVisitAfterSomeTickets(t *testing.T) {
	s, _ := weighed(t, "planetarium", nil)
	if p := planOf(t, s.Job); len(p.Drives) != 0 || p.Taken != len(usedReadings(s.Job)) {
		t.Errorf("weighed all at once: %q, taken %d", spellDrives(p, false), p.Taken)
	}
	s, _ = weighed(t, "planetarium-totals", nil)
	if got, want := spellDrives(planOf(t, s.Job), false), []string{"coupled | front | front+rear"}; !slices.Equal(got, want) {
		t.Errorf("after V, T and the combination: %q (want %q)", got, want)
	}
}

// A job without ratings gets the plan for the usual ones, one with a rating on
// an axle of a group that axle.
func TestVisitByRatings(t *testing.T) {
	p := planOf(t, toVisit(t, func(j *tickets.Job) { j.Ratings = nil }))
	if len(spellDrives(p, false)) != 2 || len(p.NotGiven) == 0 || !slices.Contains(p.Mind, mindRatings) {
		t.Errorf("no ratings: %q, not given %v", spellDrives(p, false), p.NotGiven)
	}
	p = planOf(t, toVisit(t, func(j *tickets.Job) {
		j.Outfit.RearAxles = 2
		j.Ratings = []tickets.Rating{{Line: 2, Word: "axle", On: "rear.2", LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(1000)), Terms: []tickets.Term{{Group: tickets.Rear, Axle: 2}}}}
	}))
	if got, want := spellDrives(p, false), []string{"coupled | rear.2"}; !slices.Equal(got, want) {
		t.Errorf("one axle: %q (want %q)", got, want)
	}
	p = planOf(t, toVisit(t, func(j *tickets.Job) {
		j.Ratings = []tickets.Rating{{Line: 2, Word: "gvm", LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(3000))}}
	}))
	if got, want := spellDrives(p, false), []string{"coupled | front+rear"}; !slices.Equal(got, want) {
		t.Errorf("one rating: %q (want %q)", got, want)
	}
}

// One rating alone. Vehicle coupled = outfit − trailer's axles: two stops are
// added that check nothing yet, and one of them is taken out again after the
// third. A trailer put down = its axles coupled + the download by a gauge.
func TestVisitChecksOneRating(t *testing.T) {
	for _, c := range []struct {
		word          string
		deck          string
		drives, later []string
	}{
		{"gvm", "single", []string{"coupled | front+rear"}, []string{"coupled | front+rear+trailer | trailer"}},
		{"atm", "multi", []string{"trailer_alone | trailer nose"}, []string{"coupled | front rear trailer", "trailer_alone | coupling"}},
	} {
		p := planOf(t, toVisit(t, func(j *tickets.Job) {
			s := scaleOf(c.deck)
			s.Name, s.Class = "deck", "III"
			j.Scales = []tickets.Scale{s}
			j.Ratings = []tickets.Rating{*line(j, c.word, "")}
		}))
		if got := spellDrives(p, false); !slices.Equal(got, c.drives) {
			t.Errorf("%s: %q (want %q)", c.word, got, c.drives)
		}
		if got := spellDrives(p, true); !slices.Equal(got, c.later) || len(p.Checks) != 1 || !p.Checks[0].Checked {
			t.Errorf("%s: cross-checked by %q (want %q), %+v", c.word, got, c.later, p.Checks)
		}
	}
}

// Pads read an axle without a neighbour as one, by its sides, and each axle of a
// tandem separately; a jockey wheel has no sides.
func TestWheelsOnPads(t *testing.T) {
	v := &visit{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: 1, TrailerAxles: 2}}}
	var got []string
	for _, terms := range v.wheels([]tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer, tickets.Nose}) {
		got = append(got, tickets.Spell(terms...))
	}
	want := []string{"front.left", "front.right", "rear.left", "rear.right",
		"trailer.1.left", "trailer.1.right", "trailer.2.left", "trailer.2.right", "nose"}
	if !slices.Equal(got, want) {
		t.Errorf("%q (want %q)", got, want)
	}
}

// One rating that is not given is one to ask for.
func TestVisitMindsOneRating(t *testing.T) {
	job := toVisit(t, func(j *tickets.Job) { j.Ratings = nil })
	v := &visit{job: job, scale: deckOf(job)}
	for given, want := range map[bool]bool{true: false, false: true} {
		p := &VisitPlan{}
		if !given {
			p.NotGiven = planOf(t, job).NotGiven[:1]
		}
		if got := slices.Contains(v.mind(p), mindRatings); got != want {
			t.Errorf("all given %v: ratings to mind %v", given, got)
		}
	}
}

// What to mind follows from what is planned.
func TestVisitMinds(t *testing.T) {
	has := func(p *VisitPlan, m mind) bool { return slices.Contains(p.Mind, m) }
	plain := planOf(t, toVisit(t, nil))
	if has(plain, mindHitch) || has(plain, mindPads) || has(plain, mindLengths) || !has(plain, mindNose) || !has(plain, mindDeck) {
		t.Errorf("plain, a single deck: %v", plain.Mind)
	}
	pads := planOf(t, toVisit(t, func(j *tickets.Job) {
		j.Outfit.Travels, j.Outfit.Wheelbase = tickets.CoupledTensioned, tickets.Length{}
		j.Scales = []tickets.Scale{{Name: "pads", Class: "IIII", Pads: true}}
	}))
	if !has(pads, mindHitch) || !has(pads, mindPads) || !has(pads, mindLengths) || has(pads, mindDeck) {
		t.Errorf("tensioned, pads: %v", pads.Mind)
	}
	hinged := planOf(t, toVisit(t, func(j *tickets.Job) {
		j.Outfit.Drawbar = true
		j.Outfit.CouplingToTrailerAxle, j.Outfit.NoseSupportToTrailerAxle = tickets.Length{}, tickets.Length{}
		j.Ratings = slices.DeleteFunc(slices.Clone(j.Ratings), func(r tickets.Rating) bool { return r.Word == "download_max" })
	}))
	if has(hinged, mindLengths) { // no tie of a hinged drawbar needs the trailer's lengths (contract, section 1)
		t.Errorf("a drawbar, vehicle's lengths known: %v", hinged.Mind)
	}
	for _, p := range []*VisitPlan{plain, pads, hinged} {
		for _, m := range []mind{mindLoad, mindBrakes, mindTicket} {
			if !has(p, m) {
				t.Errorf("%s is not minded: %v", m, p.Mind)
			}
		}
	}
}

func TestVisitIsTheSameAgain(t *testing.T) {
	a, b := planOf(t, toVisit(t, nil)), planOf(t, toVisit(t, nil))
	if x, y := fmt.Sprint(spellDrives(a, false), spellDrives(a, true), a.Mind), fmt.Sprint(spellDrives(b, false), spellDrives(b, true), b.Mind); x != y {
		t.Errorf("%s\n%s", x, y)
	}
}

// A limit of 1 counts as it is: u = 0.5 is half of it.
func TestWorthOfASmallLimit(t *testing.T) {
	limit := 1.0
	c := withValue(limits.Check{Limit: &limit}, 0.5, 0)
	var w worth
	if w.add(c, c, 1); w.left != 0.5 {
		t.Errorf("%g left (want 0.5)", w.left)
	}
}

// Supposed figures that seem strained say nothing: U is without the scaling.
func TestWorthIsUnscaled(t *testing.T) {
	effect, limit := 50.0, 1000.0
	c := withValue(limits.Check{Limit: &limit, Checked: true, MistakeKg: &effect}, 15, 0)
	var w worth
	w.add(c, c, 1.5)
	w.add(c, nil, 1)
	if w.determined != 1 || w.checked != 1 || math.Abs(w.checks[0].U-10) > 1e-12 || math.Abs(w.left-0.01) > 1e-12 || w.checks[1].Determined {
		t.Errorf("%+v (want u = 15/1.5 of a limit of 1000)", w)
	}
}

// The stops of a drive agree with each other, also where half is supposed: the
// outfit is 5,440 as weighed, so what follows the front axle is the rest of it.
func TestStopsAgree(t *testing.T) {
	v, err := newVisit(toVisit(t, func(j *tickets.Job) {
		j.Readings = []tickets.Reading{{Line: 2, State: tickets.CoupledSlack, Kg: kg(5440), IntervalKg: kg(20), Used: true,
			Terms: []tickets.Term{{Group: tickets.Front}, {Group: tickets.Rear}, {Group: tickets.Trailer}}}}
		j.Scales = []tickets.Scale{{Class: "III"}}
	}), nil)
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]float64{}
	for _, s := range v.stops[:5] { // coupled
		shown[s.Readings[0].OnDeck] = s.Readings[0].Kg.InexactFloat64()
	}
	if got := shown["front"] + shown["rear+trailer"]; math.Abs(got-5440) > 20 {
		t.Errorf("front and the rest make %g (want 5440 to an interval): %v", got, shown)
	}
}

// A rating on the first axle of a group asks for each of its axles.
func TestFirstAxleIsAsked(t *testing.T) {
	c := limits.Check{Line: &tickets.Rating{Terms: []tickets.Term{{Group: tickets.Rear, Axle: 1}}}}
	v := &visit{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: 2}}, needs: []limits.Check{c}}
	if got := tickets.Spell(v.axlesAsked(tickets.VehicleAlone)...); got != "rear.1+rear.2" {
		t.Errorf("%q (want rear.1 and rear.2)", got)
	}
}

// scaleOf is a scale with a deck of a kind, in the words of the column.
func scaleOf(deck string) tickets.Scale {
	return tickets.Scale{Multi: deck == "multi", Pads: deck == "pads" || deck == "pads_in_turn", InTurn: deck == "pads_in_turn", Gauge: deck == "gauge"}
}
