package adjust

import (
	"math"
	"testing"

	"reconcile/internal/adjust/search"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"

	"github.com/shopspring/decimal"
)

// Lines that compute and that no other quick test here would miss: found by
// turning them wrong one at a time. Expected numbers are worked out by hand.

func TestTotalRelief(t *testing.T) {
	if got := total([]relief{{Kg: 3}, {Kg: -1.5}, {Kg: 4}}); got != 5.5 {
		t.Errorf("total %g (want 5.5)", got)
	}
}

// Where the download is not determined, the share that is to be kept is the
// guide's: 10 % less what a place 1 m of 5 m before the axle adds, 20 %.
func TestShareBoundWithoutDownload(t *testing.T) {
	job := &tickets.Job{
		Readings: []tickets.Reading{{Line: 2, Setup: tickets.TrailerAlone, Kg: decimal.NewFromInt(2680), IntervalKg: decimal.NewFromInt(20),
			Terms: []tickets.Term{{Group: tickets.Trailer}, {Group: tickets.Nose}}, Use: tickets.UseYes}},
		Scales: []tickets.Scale{{Class: tickets.ClassIII, Deck: tickets.DeckSingle}},
		Outfit: tickets.Outfit{LengthUncertaintyMm: 10, CouplingToTrailerAxle: tickets.Length{Known: true, Mm: 5000}},
	}
	s, err := derive.Solve(job)
	if err != nil {
		t.Fatal(err)
	}
	b := (&planner{job: job, s: s}).shareBound(0.1)
	change, missing, ok := b.effect(&tickets.Place{On: tickets.OnTrailer, HasAt: true, AtMm: 1000})
	if b.limit != 0 || !ok || missing != "" || math.Abs(change+0.1) > 1e-12 {
		t.Errorf("limit %g, change %g, %q, %v (want 0, -0.1)", b.limit, change, missing, ok)
	}
}

// Where narrowing does not help, no plan is left, and what is not within blocks.
func TestGivingUp(t *testing.T) {
	over := &limits.Check{Rating: "axle", On: "rear", Verdict: limits.Over, Found: &limits.Found{U: 10, Margin: -50}}
	within := &limits.Check{Rating: "gvm", Verdict: limits.Within}
	p := &planner{f: &limits.Findings{Rule: limits.Guarded}, deciding: []*limits.Check{within, over}, bounds: []bound{{unit: 1}, {unit: 1}},
		plan: &Plan{Found: true, Proved: true, Moves: []Move{{}}, Before: []Deciding{{within, limits.Within}, {over, limits.Over}}}}
	p.giveUp()
	if q := p.plan; q.Found || q.Proved || len(q.Moves) > 0 || q.Why != failedRecheck || len(q.Blocking) != 1 || q.Blocking[0].On != "rear" || math.Abs(q.Blocking[0].ExcessKg-70) > 1e-9 { // 50 over, and 2·10
		t.Errorf("plan %+v", q)
	}
}

// A search that believes every limit to be met, 1,000 t away, finds that
// nothing needs to move, five times over; recalculated the rear axle is over each
// time, and then it is given up. By the demonstration's figures the rear axle is
// 1,979.2 + 31.8 − 1,920 = 91 kg short of its limit, the download 340 + 22 − 310 = 52.
func TestFiveRoundsAndNoMore(t *testing.T) {
	job := overloaded(t, nil)
	s, f := solved(t, job, limits.Guarded)
	p := &planner{job: job, s: s, f: f, deciding: f.Deciding(""), options: Options{Nodes: 1000}}
	p.plan = &Plan{Before: p.before()}
	if err := p.model(); err != nil {
		t.Fatal(err)
	}
	for i := range p.problem.Rows {
		p.problem.Rows[i].Limit = 1e6
	}
	if err := p.rounds(); err != nil {
		t.Fatal(err)
	}
	q := p.plan
	if q.Found || q.Proved || q.Why != failedRecheck || q.After != nil || len(q.Blocking) != 2 || math.Round(q.Blocking[0].ExcessKg) != 91 || math.Round(q.Blocking[1].ExcessKg) != 52 {
		t.Errorf("found %v, proved %v, %s, %+v (want given up, 91 and 52 kg in the way)", q.Found, q.Proved, q.Why, q.Blocking)
	}
}

// A search that takes the rear axle and the download for kept moves nothing;
// with the limits narrowed by what is then short it finds the plan, which is
// not called proved.
func TestOneRoundNarrowed(t *testing.T) {
	job := overloaded(t, nil)
	s, f := solved(t, job, limits.Guarded)
	p := &planner{job: job, s: s, f: f, deciding: f.Deciding(""), options: Options{Nodes: 100_000}}
	p.plan = &Plan{Before: p.before()}
	if err := p.model(); err != nil {
		t.Fatal(err)
	}
	for i := range p.problem.Rows {
		p.problem.Rows[i].Limit = math.Max(p.problem.Rows[i].Limit, 0)
	}
	if err := p.rounds(); err != nil {
		t.Fatal(err)
	}
	wantMoves(t, p.plan, "projector: nose locker > over the axles 74; generator: tray rear > tray front 62") // as if asked at once
	if p.plan.Proved || p.plan.Why != tightened {
		t.Errorf("proved %v, %s (want a plan under narrower limits)", p.plan.Proved, p.plan.Why)
	}
}

// What was found in the round before is taken back where the next finds nothing.
func TestNothingFoundAfterAPlan(t *testing.T) {
	p := &planner{plan: &Plan{Found: true, Proved: true, Left: kg(5), Moved: kg(7), Touched: 2, Moves: []Move{{}}, After: []Deciding{{}}}}
	p.none(search.Result{Proved: true, Conflict: &search.Conflict{}}, true)
	if q := p.plan; q.Found || q.Proved || q.Why != failedRecheck || q.Touched != 0 || !q.Left.IsZero() || !q.Moved.IsZero() || q.Moves != nil || q.After != nil {
		t.Errorf("%+v", q)
	}
}

// 1 kN over and U = 2·0.5 kN: 2 kN to come off, the weight of 2·1000/9.81 =
// 203.9 kg (g as UN R55 takes it).
func TestBoundOfAForce(t *testing.T) {
	c := &limits.Check{Rating: "d_value", LimitKN: decimal.NewNullDecimal(decimal.NewFromInt(20)), Found: &limits.Found{U: 0.5, Margin: -1}}
	b := (&planner{f: &limits.Findings{Rule: limits.Guarded}}).checkBound(c)
	if math.Abs(b.limit+203.874) > 1e-3 {
		t.Errorf("limit %g kg (want -203.874)", b.limit)
	}
}

// The stops of a drive agree with each other, also where half is supposed: the
// whole is 5,440 as weighed, so what follows the front axle is the rest of it.
func TestStopsAgree(t *testing.T) {
	v, err := newVisit(toVisit(t, func(j *tickets.Job) {
		j.Readings = []tickets.Reading{{Line: 2, Setup: tickets.Coupled, Hitch: tickets.Slack, Kg: kg(5440), IntervalKg: kg(20), Use: tickets.UseYes,
			Terms: []tickets.Term{{Group: tickets.Front}, {Group: tickets.Rear}, {Group: tickets.Trailer}}}}
		j.Scales = []tickets.Scale{{Class: tickets.ClassIII, Deck: tickets.DeckSingle}}
	}))
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
	if got := derive.OnDeck(v.axlesAsked(tickets.VehicleAlone)); got != "rear.1+rear.2" {
		t.Errorf("%q (want rear.1 and rear.2)", got)
	}
}

// What had a value and has none after a plan is short without end: there is
// nothing to narrow it by.
func TestNoValueAfterAPlan(t *testing.T) {
	line := &tickets.Rating{}
	was := &limits.Check{Line: line, Found: &limits.Found{U: 10, Margin: 50}}
	for _, after := range [][]limits.Check{nil, {{Line: line}}} {
		p := &planner{f: &limits.Findings{Rule: limits.Guarded}, deciding: []*limits.Check{was}, bounds: []bound{{unit: 1}}, plan: &Plan{}}
		if short := p.exceededAfter(&limits.Findings{Checks: after}); len(short) != 1 || !math.IsInf(short[0], 1) || len(p.plan.After) != 0 {
			t.Errorf("%v: short by %v", after, short)
		}
	}
}
