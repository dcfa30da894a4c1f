package derive

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// u promised is U obtained: the advised reading, typed into the form with the
// figure it was predicted to show, and the form solved (our own promise).
func TestPromiseIsKept(t *testing.T) {
	tried := 0
	for n := uint64(0); n < 60; n++ {
		s := drawn(91, n)
		all := s.Candidates()
		c := all[rand.New(rand.NewPCG(91, n)).IntN(len(all))]
		promised, err := s.WithReading(&c)
		if err != nil {
			t.Fatal(err)
		}
		form := *s.Job
		r := c.Reading
		r.Kg = s.predict(r).Kg
		form.Readings = append(slices.Clone(form.Readings), r)
		if form.Scale(c.Scale.Name) == nil {
			form.Scales = append(slices.Clone(form.Scales), c.Scale)
		}
		obtained := mustSolve(t, &form)
		for i, q := range promised.quantities() {
			o := obtained.quantities()[i]
			v, u, ok := q.Number()
			ov, ou, ook := o.Number()
			if ok != ook || math.Abs(u-ou) > 1e-6 || math.Abs(v-ov) > 1e-6 {
				t.Errorf("job %d, %s %s: %s promised ± %g, obtained ± %g", n, r.Setup, r.OnDeck, q.Name, u, ou)
			}
			if ok {
				tried++
			}
		}
	}
	if tried < 500 {
		t.Errorf("only %d quantities compared (want 500)", tried)
	}
}

// A further reading of what is determined leaves values as they are, to its
// rounding, and makes nothing less certain but by its own rounding.
func TestFurtherReadingHelps(t *testing.T) {
	s := mustSolve(t, fixture())
	for _, c := range s.Candidates() {
		then, err := s.WithReading(&c)
		if err != nil {
			t.Fatal(err)
		}
		_, before, _ := s.Figures().Download.Number()
		_, after, ok := then.Figures().Download.Number()
		// A repeat renews rounding only, and its kind of reading is then worth less each.
		if !ok || after > before+1e-9 {
			t.Errorf("%s %s: u of the download from %g to %g", c.Reading.Setup, c.Reading.OnDeck, before, after)
		}
	}
}

func TestCandidates(t *testing.T) {
	s := mustSolve(t, fixture())
	var names []string
	for _, c := range s.Candidates() {
		names = append(names, string(c.Reading.Setup)+" "+c.Reading.OnDeck)
	}
	want := []string{
		"vehicle_alone front", "vehicle_alone rear", "vehicle_alone front+rear",
		"trailer_alone trailer", "trailer_alone nose", "trailer_alone trailer+nose",
		"coupled front", "coupled rear", "coupled trailer", "coupled front+rear", "coupled rear+trailer", "coupled front+rear+trailer",
		"trailer_alone coupling",
	}
	if !slices.Equal(names, want) {
		t.Errorf("candidates\n%v\nwant\n%v", names, want)
	}
	none := mustSolve(t, jobOf())
	if c := none.Candidates()[0]; c.Scale.Name != AnyWeighbridge.Name || c.Scale.Deck != tickets.DeckSingle || !c.Reading.IntervalKg.Equal(AnyWeighbridge.IntervalKg.Decimal) {
		t.Errorf("without readings, on %+v", c.Scale)
	}
}

func TestWithRefusesNothingOnTheDeck(t *testing.T) {
	s := mustSolve(t, fixture())
	if _, err := s.WithReading(&Candidate{Reading: tickets.Reading{Setup: tickets.Coupled}}); err == nil {
		t.Error("a reading of nothing was solved")
	}
}

// A gauge under the coupling determines the download of an outfit that was
// weighed whole only.
func TestGaugeDetermines(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, "", 2760, "vehicle"),
		weigh(tickets.TrailerAlone, "", 2680, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 5440, "outfit"),
	))
	c := gaugeCandidate()
	then, err := s.WithReading(&c)
	if err != nil {
		t.Fatal(err)
	}
	// u² = 2²/12 + 0.5²/3 + 1²/3·… + 3²: mpe of class III, e = 2, at 200 kg is 0.5 e
	want := math.Sqrt(4.0/12 + 0.25/3 + 1.0/3 + 9)
	_, u, ok := then.Figures().Download.Number()
	if !ok || math.Abs(u-want) > 0.05 {
		t.Errorf("download determined %v, u %g (want about %g)", ok, u, want)
	}
}

// The figure expected is what the loads solved put on the deck, rounded to the
// interval: the fixture's trailer axles, coupled, are 2,430 kg, with e = 50 2,450.
func TestPredict(t *testing.T) {
	s := mustSolve(t, fixture())
	r := weigh(tickets.Coupled, tickets.Slack, 0, "trailer")
	r.IntervalKg = decimal.NewFromInt(50)
	if got := s.predict(r).Kg; got.IntPart() != 2450 {
		t.Errorf("trailer axles %s (want 2450)", got)
	}
	if got := s.predict(weigh(tickets.Coupled, tickets.Slack, 2500, "vehicle")).Kg; got.IntPart() != 2500 {
		t.Errorf("a reading with a figure became %s", got)
	}
	none := mustSolve(t, jobOf())
	if got := none.predict(weigh(tickets.Coupled, tickets.Tensioned, 0, "rear", "trailer")).Kg; got.IntPart() != 3440 {
		t.Errorf("supposed rear and trailer %s (want 1425 + 2020, to 20 kg)", got)
	}
}

// One deck of each kind that was used, each with an interval; a hitch that is
// tensioned on the road is weighed so too, and slack.
func TestDecksAtHand(t *testing.T) {
	job := fixture()
	job.Scales = append(job.Scales, tickets.Scale{Name: "second", Deck: tickets.DeckSingle, Class: "III"},
		tickets.Scale{Name: "pads", Deck: tickets.DeckPads, Class: "IIII"}, tickets.Scale{Name: "unused", Deck: tickets.DeckMulti})
	job.Readings[1].Scale, job.Readings[2].Scale = "second", "pads"
	job.Outfit.Travels = tickets.Tensioned
	s := mustSolve(t, job)
	var names []string
	tensioned := 0
	for _, d := range s.decksAtHand() {
		names = append(names, d.Name)
		if !d.IntervalKg.Valid {
			t.Errorf("%q has no interval", d.Name)
		}
	}
	for _, c := range s.Candidates() {
		if c.Reading.Hitch == tickets.Tensioned {
			tensioned++
		}
		if !c.Reading.IntervalKg.IsPositive() {
			t.Errorf("%s %s has no interval", c.Reading.Setup, c.Reading.OnDeck)
		}
	}
	if !slices.Equal(names, []string{"", "pads"}) || tensioned != 2*6 {
		t.Errorf("decks %q, %d tensioned (want the first single and the pads, 12)", names, tensioned)
	}
}

// Axles of a group that has several are candidates of their own.
func TestCandidateAxles(t *testing.T) {
	job := fixture()
	job.Outfit.TrailerAxles = 2
	var names []string
	for _, c := range mustSolve(t, job).Candidates() {
		if c.Reading.Terms[0].Axle > 0 {
			names = append(names, string(c.Reading.Setup)+" "+c.Reading.OnDeck)
		}
	}
	want := []string{"trailer_alone trailer.1", "trailer_alone trailer.2", "coupled trailer.1", "coupled trailer.2"}
	if !slices.Equal(names, want) {
		t.Errorf("%q (want %q)", names, want)
	}
}

func TestAlike(t *testing.T) {
	s := mustSolve(t, towing())
	if r, ok := s.Alike(5, 7); !ok || math.Abs(r) < 0.999999 {
		t.Errorf("front and trailer: %g, %v (equal constraint columns)", r, ok)
	}
	if r, ok := s.Alike(0, 7); !ok || math.Abs(r) > 0.99 {
		t.Errorf("vehicle alone and trailer: %g, %v", r, ok)
	}
	if _, ok := s.Alike(0, 99); ok {
		t.Error("a reading that is not there is tested")
	}
	if o, ok := s.observed(7); !ok || o.Index != 7 || math.Abs(o.U-10) > 1e-6 {
		t.Errorf("reading 8: %+v, %v (u is 10 kg)", o, ok)
	}
	if _, ok := s.observed(99); ok {
		t.Error("a reading that is not there was observed")
	}
}
