package derive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// conflicts draws forms with one mistake each that are in conflict.
func conflicts(n int) []*Solution {
	var all []*Solution
	for seed := uint64(0); len(all) < n; seed++ {
		w := newWorld(rand.New(rand.NewPCG(50, seed)))
		in, ok := w.inject(kinds[int(seed)%len(kinds)])
		if !ok {
			continue
		}
		if s, err := Solve(in.form); err == nil && s.Agreement() == Conflict {
			all = append(all, s)
		}
	}
	return all
}

// unscreened tries every hypothesis.
func (s *Solution) unscreened() []Mistake {
	var found []Mistake
	for _, h := range s.hypotheses() {
		if m, _, ok := s.try(h); ok {
			found = append(found, m)
		}
	}
	return ranked(found)
}

// The prefilter drops nothing that would be listed.
func TestPrefilterLosesNothing(t *testing.T) {
	listed := 0
	for n, s := range conflicts(plainOrFull(18, 400)) {
		quick, whole := s.Mistakes(), s.unscreened()
		listed += len(whole)
		if !slices.EqualFunc(quick, whole, func(a, b Mistake) bool {
			return a.Kind == b.Kind && slices.Equal(a.Readings, b.Readings) && a.Score == b.Score && a.Rank == b.Rank
		}) {
			t.Errorf("job %d: %q\nunscreened: %q", n, names3(quick), names3(whole))
		}
	}
	if listed < 20 {
		t.Errorf("%d mistakes listed (want 20 or more)", listed)
	}
}

// The prefilter is worth its name: what it keeps is a small part.
func TestPrefilterSaves(t *testing.T) {
	kept, all := 0, 0
	for _, s := range conflicts(30) {
		c := newPrefilter(s)
		for _, h := range s.hypotheses() {
			kept += b2i(c.worthSolving(&h))
			all++
		}
	}
	if kept > all/3 {
		t.Errorf("%d of %d hypotheses are solved (want a third or less)", kept, all)
	}
}

// What is listed agrees, and has the score that its definition gives it.
func TestWhatIsListedAgrees(t *testing.T) {
	untested := 0
	for n, s := range conflicts(45) {
		for _, m := range s.Mistakes() {
			f := m.Solution.Fit()
			switch {
			case m.Tested && (f.DOF < 1 || m.P != f.P || f.P < 0.001 || m.Solution.anySuspect()):
				t.Errorf("job %d: %s has p %g of %d degrees of freedom", n, m.Kind, m.P, f.DOF)
			case !m.Tested && (f.DOF != 0 || m.P != 1):
				t.Errorf("job %d: %s is not tested, dof %d, p %g", n, m.Kind, f.DOF, m.P)
			case m.Solution.impossible():
				t.Errorf("job %d: %s lifts a load", n, m.Kind)
			}
			untested += b2i(!m.Tested)
		}
	}
	three := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, "", 2760, "vehicle"),
		weigh(tickets.TrailerAlone, "", 2680, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 5840, "outfit"),
	))
	for _, m := range three.Mistakes() {
		untested += b2i(!m.Tested)
		if !m.Tested && m.P != 1 {
			t.Errorf("%s is not tested and has p %g", m.Kind, m.P)
		}
	}
	if untested == 0 {
		t.Error("no hypothesis without a degree of freedom was seen")
	}
}

// Score: ln(prior) − χ²/2 + 4·(dof − dof as typed), by its definition.
func TestScore(t *testing.T) {
	job := slips()
	job.Readings[8].Typed, job.Readings[8].Kg = "4540", decimal.NewFromInt(4540)
	s := mustSolve(t, job)
	for _, h := range s.hypotheses() {
		m, _, ok := s.try(h)
		if !ok || m.Solution.improbable() {
			continue
		}
		f := m.Solution.Fit()
		want := math.Log(h.prior) - f.ChiSquare/2 + 4*float64(f.DOF-s.Fit().DOF)
		if math.Abs(m.Score-want) > 1e-9 {
			t.Errorf("%s: %g (want %g)", m.Kind, m.Score, want)
		}
	}
}

// Ranks: within a ratio of likelihoods of 3 of the first of its rank.
func TestRanks(t *testing.T) {
	m := func(kind MistakeKind, at int, score float64) Mistake {
		figures := make([]tickets.Reading, 5)
		figures[at].Typed = fmt.Sprint(score)
		return Mistake{Kind: kind, Readings: []int{at}, Score: score, Tested: true, Job: &tickets.Job{Readings: figures}}
	}
	list := ranked([]Mistake{
		m(digitWrong, 3, -9), m(DigitsSwapped, 1, -5), m(digitWrong, 2, -6), m(HitchWrong, 2, -6.2), m(digitWrong, 4, -5),
	})
	var ranks []int
	for _, m := range list {
		ranks = append(ranks, m.Rank)
	}
	if !slices.Equal(ranks, []int{1, 1, 1, 4, 5}) || list[0].Kind != DigitsSwapped || list[1].Readings[0] != 4 {
		t.Errorf("ranks %v (want 1 1 1 4 5: −6 is within ln 3 of −5, −6.2 is not)", ranks)
	}
	var many []Mistake
	for i := range 40 {
		many = append(many, m(digitWrong, i/10, float64(-i)))
	}
	list = ranked(many)
	if len(list) != 12 || list[3].Readings[0] != 1 {
		t.Errorf("%d kept (want 12, three of each reading)", len(list))
	}
	if list = ranked(many[:30]); len(list) != 9 {
		t.Errorf("%d kept of 3 readings (want 9)", len(list))
	}
}

// The forms that a mistake can take share its prior out among them.
func TestPriorsAreShared(t *testing.T) {
	s := mustSolve(t, slips())
	sum := map[MistakeKind]map[int]float64{digitWrong: {}, DigitsSwapped: {}, UnitWrong: {}}
	for _, h := range s.hypotheses() {
		if by := sum[h.Kind]; by != nil && h.Scope == oneFigure {
			by[h.Readings[0]] += h.prior
		}
	}
	for kind, most := range map[MistakeKind]float64{digitWrong: 20e-4, DigitsSwapped: 12e-4, UnitWrong: 2e-4} {
		for i, p := range sum[kind] {
			if p > most+1e-12 {
				t.Errorf("%s in reading %d: %g in all (want %g at most)", kind, i, p, most)
			}
		}
	}
	if got := sum[digitWrong][8]; math.Abs(got-20e-4) > 1e-12 {
		t.Errorf("digits of reading 9: %g in all (want 0.002)", got)
	}
	for _, p := range priors {
		if p.weight <= 0 {
			t.Errorf("%s %s has no weight", p.kind, p.which)
		}
	}
}

// Corrected figures are multiples of the interval: of 5,440 with e = 20 only
// 8 leading, 9 second and 4 third digits are left.
func TestCorrectedFiguresAreOnTheGrid(t *testing.T) {
	s := mustSolve(t, slips())
	others := s.otherDigits(8)
	if len(others) != 8+9+4 {
		t.Errorf("%d other figures (want 21)", len(others))
	}
	for _, r := range others {
		if !multiple(r.Kg, r.IntervalKg) {
			t.Errorf("%s is no multiple of %s", r.Kg, r.IntervalKg)
		}
	}
	job := slips()
	job.Readings[0].Typed, job.Readings[0].Kg = "1265", decimal.NewFromInt(1265)
	if n := len(mustSolve(t, job).otherDigits(8)); n != 8+9+9+9 {
		t.Errorf("%d other figures of a scale that shows 1,265 (want 35: its interval is not 20)", n)
	}
	// Of 5440 swapped: 4540; 5404, 4450 and 5044 are no multiples of 20, 0445 starts with a nought.
	if neighbours, apart := s.swaps(8); len(neighbours) != 1 || neighbours[0].Typed != "4540" || len(apart) != 0 {
		t.Errorf("swapped neighbours %v, apart %v (want 4540 alone)", neighbours, apart)
	}
}

// A figure in another unit: an interval typed on the line had that unit too.
func TestInUnit(t *testing.T) {
	job := slips()
	s := mustSolve(t, job)
	r := s.inUnit(0, pound, "lb")
	if !r.Kg.Equal(decimal.RequireFromString("571.5263862")) || !r.IntervalKg.Equal(decimal.RequireFromString("9.0718474")) || r.Unit != "lb" {
		t.Errorf("1,260 lb: %s kg, interval %s kg", r.Kg, r.IntervalKg)
	}
	job.Readings[0].IntervalAssumed = true
	if r := s.inUnit(0, thousand, "t"); !r.IntervalKg.Equal(decimal.NewFromInt(20)) {
		t.Errorf("an assumed interval became %s kg", r.IntervalKg)
	}
	if r := s.inUnit(0, pound, "lb"); !r.IntervalKg.Equal(decimal.RequireFromString("9.0718474")) {
		t.Errorf("an assumed interval in pounds became %s kg", r.IntervalKg)
	}
	job.Readings[0].IntervalAssumed = false
	job.Scales[0].IntervalKg = decimal.NewNullDecimal(decimal.NewFromInt(20))
	if r := s.inUnit(0, pound, "lb"); !r.IntervalKg.Equal(decimal.NewFromInt(20)) {
		t.Errorf("the scale's own interval became %s kg", r.IntervalKg)
	}
}

// Sums and differences of two or more figures, to the tolerance.
func TestSumsTo(t *testing.T) {
	for _, c := range []struct {
		rest    float64
		figures []float64
		want    bool
	}{
		{3000, []float64{1240, 1760}, true},        // total
		{2240, []float64{5240, 3000}, true},        // gross less tare
		{3010, []float64{1240, 1760}, true},        // to one interval
		{3040, []float64{1240, 1760}, false},       // not
		{1240, []float64{1240, 1760}, false},       // one figure is no sum
		{5440, []float64{1160, 1860, 2420}, true},  // three
		{-5440, []float64{1160, 1860, 2420}, true}, // signs run both ways
	} {
		if got := sumsTo(c.rest, 20, c.figures, nil, func([]int) bool { return true }); got != c.want {
			t.Errorf("%g of %v: %v", c.rest, c.figures, got)
		}
	}
}

// loaded is the slips job with a driver who was out of one reading, and a case
// that was aboard in one only.
func loaded() *tickets.Job {
	job := slips()
	job.Loads = []tickets.Load{
		{Name: "driver", Kg: decimal.NewFromInt(82), UKg: 4, On: tickets.OnVehicle},
		{Name: "case", Kg: decimal.NewFromInt(60), UKg: 3, On: tickets.OnTrailer},
	}
	job.Readings[2].Without, job.Readings[3].With = []string{"driver"}, []string{"case"}
	return job
}

// Each declared load is tried aboard where it was out and out where it was
// aboard, in readings that it can have been in.
func TestLoadsAreTriedBothWays(t *testing.T) {
	job := loaded()
	s := mustSolve(t, job)
	type is struct {
		load   string
		aboard bool
	}
	lines := map[is]int{}
	for _, h := range s.loadMistakes() {
		c := changed(job, h.change)
		for _, i := range h.Readings {
			if (sign(&c.Readings[i], h.Load) == 0) == (sign(&job.Readings[i], h.Load) == 0) {
				t.Errorf("%s aboard %v in reading %d: nothing changed", h.Load, h.Aboard, i)
			}
			if got := sign(&c.Readings[i], h.Load); h.Load == "case" && h.Aboard != (got > 0) || h.Load == "driver" && h.Aboard != (got == 0) {
				t.Errorf("%s aboard %v in reading %d: sign %g", h.Load, h.Aboard, i, got)
			}
		}
		if h.Scope == OneLine {
			lines[is{h.Load, h.Aboard}]++
		}
	}
	// The driver: out of one, aboard in 2 alone and 5 coupled readings with a
	// vehicle axle (not in the trailer alone on the deck); the case: in one; out
	// of the 6 coupled ones.
	for want, n := range map[is]int{
		{"driver", true}: 1, {"driver", false}: 7, {"case", false}: 1, {"case", true}: 6,
		{UnlistedPerson, true}: 3 + 5 + 1, {UnlistedPerson, false}: 3 + 5,
	} {
		if lines[want] != n {
			t.Errorf("%s aboard %v: %d lines tried (want %d)", want.load, want.aboard, lines[want], n)
		}
	}
}

// A person whom no form lists weighs 80 kg, give or take 15 (common practice,
// no source), anywhere in the unit.
func TestUnlistedPerson(t *testing.T) {
	s := mustSolve(t, slips())
	for _, h := range s.personMistakes() {
		c := changed(s.Job, h.change)
		l := c.Load(UnlistedPerson)
		if l == nil || l.Kg.IntPart() != 80 || l.UKg != 15 || l.Place != "" {
			t.Fatalf("%+v", l)
		}
		if on := tickets.OnTrailer; (l.On == on) != (c.Readings[h.Readings[0]].Setup == tickets.TrailerAlone) {
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
	s.reset(&alone, tickets.VehicleAlone, "")
	if !slices.Equal(alone.Without, []string{"driver"}) || alone.Setup != tickets.VehicleAlone || alone.Hitch != "" {
		t.Errorf("%+v", alone)
	}
	if !slices.Equal(job.Readings[4].Without, []string{"case", "driver"}) {
		t.Error("the job itself was changed")
	}
}

// An outfit stated to have no load-distribution hitch cannot have tensioned it.
func TestNoHitchNoHitchMistake(t *testing.T) {
	job := slips()
	if n := len(mustSolve(t, job).hitchMistakes()); n != 6+1 {
		t.Errorf("%d (want 6 lines and a ticket)", n)
	}
	job.Outfit.Travels = tickets.TravelsPlain
	if n := len(mustSolve(t, job).hitchMistakes()); n != 0 {
		t.Errorf("%d for a plain outfit (want none)", n)
	}
}

// Ties in force are left out one by one, and all that one length bears on;
// lengths that bear on the same ties are one hypothesis.
func TestLengthsAreTriedOnce(t *testing.T) {
	job := slips()
	job.Readings = append(job.Readings, weigh(tickets.Coupled, tickets.Tensioned, 1200, "front"))
	o := &job.Outfit
	o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = known(2850), known(1250), known(5000), known(4800)
	var got [][]string
	for _, h := range mustSolve(t, job).lengthMistakes() {
		got = append(got, append(append([]string{}, h.Ties...), h.Lengths...))
	}
	want := [][]string{
		{tieVehicle}, {tieNose, lengthN}, {tieHitch},
		{tieVehicle, tieHitch, lengthW, lengthA}, {tieNose, tieHitch, lengthL},
	}
	if !slices.EqualFunc(got, want, func(a, b []string) bool { return slices.Equal(a, b) }) {
		t.Errorf("%q (want %q)", got, want)
	}
}

// The bound of the prefilter allows for the observations that come back in:
// χ² 7 has p = 0.008 of one degree of freedom, 0.07 of three (published table of
// χ²: 6.63 and 11.34 at 0.01).
func TestPrefilterAllowsForWhatComesBack(t *testing.T) {
	c := &prefilter{s: mustSolve(t, slips()), bounds: map[string]left{"[0 1]": {7, 1}, "[0]": {7, 1}}}
	if !c.worthSolving(&hypothesis{touched: []int{0, 1}}) {
		t.Error("two observations come back, and the hypothesis was dropped")
	}
	// χ² 15.2 has p = exp(−15.2/2) = 0.0005 of two degrees of freedom, by hand.
	c.bounds["[0]"] = left{15.3, 1}
	if c.worthSolving(&hypothesis{touched: []int{0}}) {
		t.Error("χ² 15.3 of two degrees of freedom was kept")
	}
}
