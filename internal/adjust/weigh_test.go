package adjust

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// weighed reads a job of testdata, solves it and compares it with its ratings; forms may change it.
func weighed(t testing.TB, name string, change func(*tickets.Job)) (*derive.Solution, *limits.Findings) {
	t.Helper()
	var forms []tickets.Form
	for _, form := range []string{"tickets.csv", "ratings.csv", "outfit.csv", "scales.csv", "loads.csv", "places.csv"} {
		b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "tickets", name, form))
		if err == nil {
			forms = append(forms, tickets.Form{Name: form, Bytes: b})
		}
	}
	jobs, faults := tickets.Read(forms, tickets.Options{NeedTickets: true}).All()
	if len(jobs) != 1 {
		t.Fatalf("%s: %d jobs, %v", name, len(jobs), faults)
	}
	job := jobs[0]
	if change != nil {
		change(job)
	}
	return solved(t, job, limits.Guarded)
}

func advice(t testing.TB, s *derive.Solution, f *limits.Findings) *Advice {
	t.Helper()
	a, err := Next(s, f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Advice is verified by doing it: each advised reading, with the figure it was
// expected to show, is typed into the form, the form is solved, and the U
// promised is the U obtained (our own promise).
func TestAdviceIsVerifiedByDoingIt(t *testing.T) {
	served := 0
	for _, name := range []string{"planetarium-totals", "three-tickets"} {
		s, f := weighed(t, name, nil)
		form := *s.Job
		for _, w := range advice(t, s, f).Weigh {
			form.Readings = append(slices.Clone(form.Readings), w.Reading)
			if form.Scale(w.Scale.Name) == nil {
				form.Scales = append(slices.Clone(form.Scales), w.Scale)
			}
			_, then := solved(t, &form, limits.Guarded)
			for _, v := range w.Serves {
				c := then.FindCheck(&v.Check)
				if c == nil || c.Found == nil || math.Abs(c.Found.U-v.Then) > 1e-6 || c.Verdict != v.Verdict {
					t.Errorf("%s: %s %s promised u %.6f %s, obtained %+v", name, v.Check.Rating, v.Check.On, v.Then, v.Verdict, c)
				}
				served++
			}
		}
	}
	if served < 9 {
		t.Errorf("%d checks served (want 9)", served)
	}
}

// After V, T and the combination, a gauge gives the download, with it the
// vehicle coupled and the trailer's axles; then one coupled axle of the
// vehicle gives the other (conservation of mass).
func TestFewestReadings(t *testing.T) {
	s, f := weighed(t, "planetarium-totals", nil)
	var got []string
	for _, w := range advice(t, s, f).Weigh {
		row := string(w.Reading.State) + " " + w.Reading.OnDeck + ":"
		for _, v := range w.Serves {
			row += " " + v.Check.Rating + " " + v.Check.On + ";"
		}
		got = append(got, row)
	}
	want := []string{"trailer_alone coupling: gvm ; gtm ; download_max vehicle;", "coupled_slack front: axle front; axle rear;"}
	if !slices.Equal(got, want) {
		t.Errorf("advised %q\nwant    %q", got, want)
	}
}

// A rear axle limit just above what was weighed is unsettled by single
// readings of a deck, and settled by none where it is closer than any U.
func TestUnsettled(t *testing.T) {
	near := func(margin float64) (*Advice, *limits.Findings) {
		s, f := weighed(t, "planetarium", func(j *tickets.Job) {
			rear, _, _ := mustSolved(t, j).Sum(derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: tickets.Rear}}).Number()
			for i := range j.Ratings {
				if r := &j.Ratings[i]; r.Word == "axle" && r.On == "rear" {
					r.LimitKg = decimal.NewNullDecimal(decimal.NewFromFloat(rear + margin))
				}
			}
		})
		return advice(t, s, f), f
	}
	a, f := near(2)
	if f.Verdict != limits.Unsettled || len(a.Remove) != 1 || len(a.Weigh) != 1 || a.Weigh[0].Serves[0].Solved {
		t.Fatalf("2 kg below the limit: %s, %+v", f.Verdict, a)
	}
	v := a.Weigh[0].Serves[0]
	if v.Then >= v.Now || v.Need != toSettle {
		t.Errorf("U from %.1f to %.1f by the reading that reduces it most", v.Now, v.Then)
	}
	c := a.Remove[0]
	if kg := *a.Remove[0].ExcessKg; math.Mod(kg, 1) != 0 || kg < 2*c.Found.U-2 || kg >= 2*c.Found.U-2+1 {
		t.Errorf("%.1f kg to take off for a U of %.1f and a margin of 2", kg, 2*c.Found.U)
	}
	a, f = near(2*v.Then + 0.5) // of U now it is within no more than this
	if f.Verdict != limits.Unsettled || len(a.Weigh) != 1 || !a.Weigh[0].Serves[0].Solved || len(a.Remove) != 0 {
		t.Errorf("%.1f kg below the limit: %s, %+v (want settled by one reading)", 2*v.Then+0.5, f.Verdict, a)
	}
}

func mustSolved(t testing.TB, job *tickets.Job) *derive.Solution {
	t.Helper()
	s, _ := solved(t, job, limits.Guarded)
	return s
}

// What is over has to lose its excess and its U, in kilograms, rounded up
// (by definition).
func TestOver(t *testing.T) {
	s, f := weighed(t, "planetarium", func(j *tickets.Job) {
		for i := range j.Ratings {
			if r := &j.Ratings[i]; r.Word == "atm" {
				r.LimitKg = decimal.NewNullDecimal(decimal.NewFromInt(2000))
			}
		}
	})
	a := advice(t, s, f)
	i := slices.IndexFunc(a.Remove, func(r limits.Check) bool { return r.Rating == "atm" })
	if f.Verdict != limits.Over || i < 0 {
		t.Fatalf("%s, %+v", f.Verdict, a)
	}
	r := a.Remove[i]
	least := r.Found.Value + 2*r.Found.U - 2000
	if *r.ExcessKg < least || *r.ExcessKg >= least+1 || r.NeededKg == nil {
		t.Errorf("%.0f kg (want %.1f rounded up), needed %v", *r.ExcessKg, least, r.NeededKg)
	}
}

// In a conflict the trailer alone and one coupled reading cannot be separated; a reading of the whole outfit is a way to each of them (towing
// layout, constructed: an overlapping draft separates what it parts).
func TestLocate(t *testing.T) {
	s, f := weighed(t, "planetarium-conflict", nil)
	a := advice(t, s, f)
	if len(a.Weigh)+len(a.Remove) != 0 || a.Locate == nil {
		t.Fatalf("%+v", a)
	}
	l := a.Locate
	if l.Reading.OnDeck != "front+rear+trailer" || !slices.Equal(l.Separable, l.Readings) || len(l.Readings) != 2 {
		t.Errorf("by %s: %v of %v", l.Reading.OnDeck, l.Separable, l.Readings)
	}
	then, err := s.WithReading(&l.Reading, &l.Scale)
	if err != nil {
		t.Fatal(err)
	}
	if r, ok := then.Alike(l.Readings[0], l.Readings[1]); !ok || math.Abs(r) > 0.95 {
		t.Errorf("correlation %.3f with the advised reading", r)
	}
	if r, ok := s.Alike(l.Readings[0], l.Readings[1]); !ok || math.Abs(r) < 0.999999 {
		t.Errorf("correlation %.6f without it", r)
	}
}

// Nothing to weigh where all is within and cross-checked.
func TestNoAdvice(t *testing.T) {
	s, f := weighed(t, "planetarium", nil)
	if a := advice(t, s, f); len(a.Weigh)+len(a.Remove) != 0 || a.Locate != nil {
		t.Errorf("%s: %+v", f.Verdict, a)
	}
}

// Which verdict a margin has under another U (by definition of the verdicts).
func TestVerdictAt(t *testing.T) {
	for _, c := range []struct {
		margin, expanded float64
		want             limits.Verdict
	}{{20, 20, limits.Within}, {19.9, 20, limits.Unsettled}, {-20, 20, limits.Unsettled}, {-20.1, 20, limits.Over}} {
		if got := verdictAt(c.margin, c.expanded); got != c.want {
			t.Errorf("margin %g, U %g: %s (want %s)", c.margin, c.expanded, got, c.want)
		}
	}
}

// solvedTrial is a candidate that is solved already, of which nothing was known
// beforehand.
func solvedTrial(serves ...service) trial {
	t := trial{solved: true, after: &limits.Findings{}, serves: serves}
	for range serves {
		t.hopes = append(t.hopes, anything)
	}
	return t
}

// What is not weighed or unsettled comes before what is not cross-checked,
// then more before fewer, then the least U.
func TestMerit(t *testing.T) {
	limit := 1000.0
	check := limits.Check{Limit: &limit}
	serve := func(need purpose, then float64, solved bool) service {
		return service{Check: check, Need: need, Then: then, Solved: solved}
	}
	a := &adviser{needs: []need{
		{need: toDetermine, check: &check}, {need: toCrossCheck, check: &check}, {need: toCrossCheck, check: &check}, {need: toSettle, check: &check, served: true},
	}}
	a.tried = []trial{
		solvedTrial(serve(toDetermine, 0, false), serve(toCrossCheck, 5, true), serve(toCrossCheck, 5, true), serve(toSettle, 1, true)),
		solvedTrial(serve(toDetermine, 40, true), serve(toCrossCheck, 5, false), serve(toCrossCheck, 5, false), serve(toSettle, 1, true)),
		solvedTrial(serve(toDetermine, 30, true), serve(toCrossCheck, 5, false), serve(toCrossCheck, 5, false), serve(toSettle, 1, true)),
	}
	if got := a.best(); got != 2 {
		t.Errorf("trial %d (want 2: what is not weighed first, of two such the least U)", got)
	}
	if w := a.take(2); len(w.Serves) != 1 || !a.needs[0].served || a.needs[1].served {
		t.Errorf("%+v, needs %+v", w.Serves, a.needs)
	}
	if got := a.best(); got != 0 {
		t.Errorf("then trial %d (want 0)", got)
	}
	a.take(0)
	if got := a.best(); got != -1 {
		t.Errorf("then trial %d (want none)", got)
	}
}

// The first trial is the best where none is better: 30 left of 1,000, not 40,
// nor 30 again, though the last two promised less.
func TestFirstTrialIsBest(t *testing.T) {
	limit := 1000.0
	check := limits.Check{Limit: &limit}
	a := &adviser{needs: []need{{need: toDetermine, check: &check}}}
	for i, then := range []float64{30, 40, 30} {
		trial := solvedTrial(service{Check: check, Need: toDetermine, Then: then, Solved: true})
		trial.hopes[0].least = float64(30 - 10*i)
		a.tried = append(a.tried, trial)
	}
	if got := a.best(); got != 0 {
		t.Errorf("trial %d (want 0)", got)
	}
}

// With nothing weighed four readings would serve; three are advised at most.
func TestThreeReadingsAtMost(t *testing.T) {
	s, f := weighed(t, "planetarium", func(j *tickets.Job) { j.Readings = nil })
	if a := advice(t, s, f); len(a.Weigh) != 3 {
		t.Errorf("%d readings advised (want 3)", len(a.Weigh))
	}
}

// The vehicle was weighed three times, once 600 kg too heavy: that reading
// is found already. The two that cannot be distinguished are
// those of the trailer, as without it.
func TestDoubtfulBehindOneFoundAlready(t *testing.T) {
	s, _ := weighed(t, "planetarium-conflict", func(j *tickets.Job) {
		for _, over := range []int64{0, 0, 600} {
			r := vehicleAlone(j)
			r.Line, r.Kg, r.Typed = 90+len(j.Readings), r.Kg.Add(kg(over)), ""
			j.Readings = append(j.Readings, r)
		}
	})
	if sets := s.Doubts().Inseparable; len(sets[0]) != 1 || s.Observations[sets[0][0]].Index != 8 {
		t.Fatalf("sets %v (want the ninth reading first, alone)", sets)
	}
	if got := doubtfulSet(s); !slices.Equal(got, []int{2, 5}) {
		t.Errorf("readings %v (want the third and the sixth)", got)
	}
}

func vehicleAlone(j *tickets.Job) tickets.Reading {
	for _, r := range j.Readings {
		if r.State == tickets.VehicleAlone && len(r.Terms) == 2 {
			return r
		}
	}
	panic("no vehicle alone")
}

// Only what is unsettled is worth a drive that solves nothing. With one wheel
// of the pads not read, one reading cross-checks all but that wheel's tyre, for
// which no reading is advised, though several would leave it less U.
func TestNoDriveForWhatIsNotChecked(t *testing.T) {
	s, f := weighed(t, "wheels-on-pads", func(j *tickets.Job) { j.Readings = j.Readings[1:] })
	a := advice(t, s, f)
	if len(a.Weigh) != 1 || len(a.Weigh[0].Serves) < 2 {
		t.Fatalf("%d readings advised (want 1): %+v", len(a.Weigh), a.Weigh)
	}
	for _, v := range a.Weigh[0].Serves {
		if !v.Solved || v.Need != toCrossCheck {
			t.Errorf("%s %s: %s, solved %v", v.Check.Rating, v.Check.On, v.Need, v.Solved)
		}
	}
}

// A reading that leaves more than 95 % of U is not worth the drive.
func TestReduce(t *testing.T) {
	a := &adviser{needs: []need{{need: toSettle}}, tried: []trial{solvedTrial(service{Now: 40, Then: 38.5}), solvedTrial(service{Now: 40, Then: 0})}}
	if w := a.reduce(0); w != nil {
		t.Errorf("%+v", w)
	}
	a.tried = append(a.tried, solvedTrial(service{Now: 40, Then: 37.9}), solvedTrial(service{Now: 40, Then: 30}))
	if w := a.reduce(0); len(w) != 1 || w[0].Serves[0].Then != 30 {
		t.Errorf("%+v (want the one that leaves 30)", w)
	}
}

// Of readings that cannot be distinguished none is separable.
func TestInseparable(t *testing.T) {
	s, _ := weighed(t, "planetarium-conflict", nil)
	set := doubtfulSet(s)
	if single, _ := separable(s, set); len(set) != 2 || len(single) != 0 {
		t.Errorf("%v of %v are separable (want none)", single, set)
	}
}

// BenchmarkNext advises on jobs of few and of many candidates.
func BenchmarkNext(b *testing.B) {
	for _, name := range []string{"three-tickets", "five-tickets-5", "five-tickets-all", "governs-tyre", "planetarium-conflict"} {
		b.Run(name, func(b *testing.B) {
			s, f := weighed(b, name, nil)
			b.ReportAllocs()
			for b.Loop() {
				advice(b, s, f)
			}
		})
	}
}
