package derive

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// towing is the synthetic layout of vehicle, its axles, trailer, combination,
// and the coupled axles, every reading with u = 10 kg: class none, no split,
// and an interval of which e²/12 + e²/48 is 100 kg².
func towing(extra ...tickets.Reading) *tickets.Job {
	job := jobOf(append([]tickets.Reading{
		weigh(tickets.VehicleAlone, "", 2480, "vehicle"),
		weigh(tickets.VehicleAlone, "", 1180, "front"),
		weigh(tickets.VehicleAlone, "", 1290, "rear"),
		weigh(tickets.TrailerAlone, "", 1860, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 4340, "outfit"),
		weigh(tickets.Coupled, tickets.Slack, 1080, "front"),
		weigh(tickets.Coupled, tickets.Slack, 1560, "rear"),
		weigh(tickets.Coupled, tickets.Slack, 1690+100, "trailer"),
	}, extra...)...)
	for i := range job.Readings {
		job.Readings[i].IntervalKg = decimal.NewFromFloat(math.Sqrt(960))
		job.Readings[i].Ticket = fmt.Sprint(i + 1)
	}
	job.Scales[0] = tickets.Scale{
		Class: tickets.ClassNone, Deck: tickets.DeckSingle,
		SplitKg: decimal.NewNullDecimal(decimal.Zero), ExpandedKg: decimal.NewNullDecimal(decimal.RequireFromString("0.000001")),
	}
	job.Outfit.Travels, job.Outfit.TravelsStated = tickets.TravelsPlain, true
	return job
}

// Synthetic towing layout with the trailer's axles read 100 kg too high
// (constructed for this purpose, recomputed independently; not published):
// equal constraint columns make front, rear and trailer inseparable.
func TestTowingInseparable(t *testing.T) {
	s := mustSolve(t, towing())
	if chi := s.Fit().ChiSquare; math.Abs(chi-23.344828) > 1e-5 {
		t.Errorf("χ² %.6f (want 23.344828)", chi)
	}
	for _, i := range []int{5, 6, 7} {
		if w := math.Abs(s.Observations[i].Standardised); math.Abs(w-4.792685) > 1e-5 {
			t.Errorf("|w| of reading %d is %.6f (want 4.792685)", i+1, w)
		}
	}
	if sets := s.Inseparable(); len(sets) != 1 || !slices.Equal(sets[0], []int{5, 6, 7}) {
		t.Errorf("inseparable sets %v (want front, rear, trailer)", sets)
	}
}

// An overlapping draft of front and rear locates the trailer; front and rear
// stay inseparable. A second one over rear and trailer separates all three.
func TestTowingOverlappingDrafts(t *testing.T) {
	over := weigh(tickets.Coupled, tickets.Slack, 2640, "vehicle")
	s := mustSolve(t, towing(over))
	wantW(t, s, map[int]float64{7: 6.027777, 8: 3.655717, 5: 2.147988, 6: 2.147988})
	if sets := s.Inseparable(); len(sets) == 0 || !slices.Equal(sets[0], []int{7}) {
		t.Errorf("inseparable sets %v (want the trailer alone first)", sets)
	}
	if set := s.alike(5); !slices.Equal(set, []int{5, 6}) {
		t.Errorf("the front cannot be told from %v (want front and rear)", set)
	}
	s = mustSolve(t, towing(over, weigh(tickets.Coupled, tickets.Slack, 3250, "rear", "trailer")))
	wantW(t, s, map[int]float64{5: 0.026444, 6: 3.535534, 7: 6.901961, 8: 3.464203, 9: 3.411314})
	for _, i := range []int{5, 6, 7} {
		if set := s.alike(i); len(set) != 1 {
			t.Errorf("reading %d cannot be told from %v", i+1, set)
		}
	}
}

func wantW(t *testing.T, s *Solution, want map[int]float64) {
	t.Helper()
	for i, w := range want {
		if got := math.Abs(s.Observations[i].Standardised); math.Abs(got-w) > 1e-5 {
			t.Errorf("|w| of reading %d is %.6f (want %.6f)", i+1, got, w)
		}
	}
}

// slips is a job of ten readings, each told from the others, that agrees; each
// test below spoils it once.
func slips() *tickets.Job {
	job := jobOf(
		weigh(tickets.VehicleAlone, "", 1260, "front"),
		weigh(tickets.VehicleAlone, "", 1500, "rear"),
		weigh(tickets.VehicleAlone, "", 2760, "vehicle"),
		weigh(tickets.TrailerAlone, "", 2680, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 1160, "front"),
		weigh(tickets.Coupled, tickets.Slack, 1860, "rear"),
		weigh(tickets.Coupled, tickets.Slack, 3000, "vehicle"),
		weigh(tickets.Coupled, tickets.Slack, 4280, "rear", "trailer"),
		weigh(tickets.Coupled, tickets.Slack, 5440, "outfit"),
		weigh(tickets.Coupled, tickets.Slack, 2420, "trailer"),
	)
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Typed, r.Unit, r.Ticket = r.Kg.String(), "kg", string(r.Setup)
	}
	job.Outfit.Travels, job.Outfit.TravelsStated = tickets.TravelsTensioned, true
	return job
}

func (m *Mistake) figures() []string {
	var all []string
	for _, i := range m.Readings {
		all = append(all, m.Job.Readings[i].Typed)
	}
	return all
}

// Each slip of the list, made once, is named first (origin of the expected
// names: the slip that the test itself makes).
func TestEachSlipIsNamedFirst(t *testing.T) {
	type row struct {
		name  string
		spoil func(*tickets.Job)
		kind  MistakeKind
		at    []int
		is    func(*Mistake) bool
	}
	figure := func(i int, typed string) func(*tickets.Job) {
		return func(j *tickets.Job) { j.Readings[i].Typed, j.Readings[i].Kg = typed, decimal.RequireFromString(typed) }
	}
	reads := func(want ...string) func(*Mistake) bool {
		return func(m *Mistake) bool { return slices.Equal(m.figures(), want) }
	}
	rows := []row{
		{"two digits swapped", figure(8, "4540"), DigitsSwapped, []int{8}, reads("5440")},
		{"one digit wrong", figure(8, "5840"), digitWrong, []int{8}, reads("5440")},
		{"tonnes", func(j *tickets.Job) { j.Readings[6].Unit, j.Readings[6].Kg = "t", decimal.NewFromInt(3000000) }, UnitWrong, []int{6}, func(m *Mistake) bool { return m.Job.Readings[6].Unit == "kg" }},
		{"exchanged", func(j *tickets.Job) { exchange(&j.Readings[4], &j.Readings[9]) }, exchanged, []int{4, 9}, reads("1160", "2420")},
		{"rear for rear and trailer", func(j *tickets.Job) { j.Readings[7].Terms = deck("outfit") }, SetupWrong, []int{7}, func(m *Mistake) bool { return OnDeck(m.Job.Readings[7].Terms) == "rear+trailer" }},
	}
	for _, r := range rows {
		job := slips()
		r.spoil(job)
		s := mustSolve(t, job)
		if s.Agreement() != Conflict {
			t.Errorf("%s: %s (want conflict)", r.name, s.Agreement())
			continue
		}
		list := s.Mistakes()
		if len(list) == 0 || list[0].Kind != r.kind || !slices.Equal(list[0].Readings, r.at) || !r.is(&list[0]) {
			t.Errorf("%s: named %v", r.name, names3(list))
		}
	}
	if s := mustSolve(t, slips()); s.Agreement() != Agree || s.Mistakes() != nil {
		t.Errorf("unspoilt: %s, %d mistakes (want agree, none)", s.Agreement(), len(s.Mistakes()))
	}
}

func names3(list []Mistake) []string {
	var all []string
	for _, m := range list {
		all = append(all, fmt.Sprintf("%d %s %v %v p=%.3f %.2f", m.Rank, m.Kind, m.Readings, m.figures(), m.P, m.Score))
	}
	return all
}
