package derive

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// U promised is U obtained: the advised reading, typed into the form with the
// figure it was predicted to show, and the form solved (our own promise).
func TestPromiseIsKept(t *testing.T) {
	tried := 0
	for n := uint64(0); n < 60; n++ {
		s := drawn(91, n)
		all := s.Candidates()
		c := all[rand.New(rand.NewPCG(91, n)).IntN(len(all))]
		promised, err := s.With(c.Reading, c.Scale)
		if err != nil {
			t.Fatal(err)
		}
		form := *s.Job
		r := c.Reading
		r.Kg = s.Predict(r).Kg
		form.Readings = append(slices.Clone(form.Readings), r)
		if form.Scale(c.Scale.Name) == nil {
			form.Scales = append(slices.Clone(form.Scales), c.Scale)
		}
		obtained := mustSolve(t, &form)
		for i, q := range promised.Quantities() {
			o := obtained.Quantities()[i]
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
		then, err := s.With(c.Reading, c.Scale)
		if err != nil {
			t.Fatal(err)
		}
		_, before, _ := s.Download().Number()
		_, after, ok := then.Download().Number()
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
	if c := none.Candidates()[0]; c.Scale.Name != AnyWeighbridge || c.Scale.Deck != tickets.DeckSingle || !c.Reading.IntervalKg.Equal(AnyInterval) {
		t.Errorf("without readings, on %+v", c.Scale)
	}
}

func TestWithRefusesNothingOnTheDeck(t *testing.T) {
	s := mustSolve(t, fixture())
	if _, err := s.With(tickets.Reading{Setup: tickets.Coupled}, tickets.Scale{}); err == nil {
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
	then, err := s.With(c.Reading, c.Scale)
	if err != nil {
		t.Fatal(err)
	}
	// u² = 2²/12 + 0.5²/3 + 1²/3·… + 3²: mpe of class III, e = 2, at 200 kg is 0.5 e
	want := math.Sqrt(4.0/12 + 0.25/3 + 1.0/3 + 9)
	_, u, ok := then.Download().Number()
	if !ok || math.Abs(u-want) > 0.05 {
		t.Errorf("download determined %v, u %g (want about %g)", ok, u, want)
	}
}
