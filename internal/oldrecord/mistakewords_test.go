package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// toldOf reads a job of testdata and builds its record.
func toldOf(t *testing.T, name string, change func(*tickets.Job)) (*Record, *tickets.Job, *derive.Solution, *limits.Findings) {
	t.Helper()
	var forms []tickets.Form
	for _, form := range []string{"tickets.csv", "ratings.csv", "outfit.csv", "scales.csv", "loads.csv", "places.csv"} {
		b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "tickets", name, form))
		if err == nil {
			forms = append(forms, tickets.Form{Name: form, Bytes: b})
		}
	}
	read := tickets.Read(forms, tickets.Options{NeedTickets: true})
	if len(read.Jobs) != 1 {
		t.Fatalf("%s: %d jobs, %v", name, len(read.Jobs), read.Faults)
	}
	job := &read.Jobs[0]
	if change != nil {
		change(job)
	}
	s, err := derive.Solve(job)
	if err != nil {
		t.Fatal(err)
	}
	f := limits.Find(job, s, limits.Options{})
	return Build(Made{Options: Options{Region: string(job.Region)}}, job, s, f, Beyond{}), job, s, f
}

// Each kind of mistake in words (our own), as it stands under a conflict.
func TestMistakesInWords(t *testing.T) {
	job := &tickets.Job{Readings: []tickets.Reading{
		{Line: 2, Ticket: "11", OnDeck: "front", Setup: tickets.Coupled, Hitch: tickets.Slack, Terms: []tickets.Term{{Group: tickets.Front}}, Typed: "1240", Unit: "kg", Kg: decimal.NewFromInt(1240)},
		{Line: 3, Ticket: "11", OnDeck: "rear", Setup: tickets.Coupled, Hitch: tickets.Slack, Terms: []tickets.Term{{Group: tickets.Rear}}, Typed: "1.76", Unit: "t", Kg: decimal.NewFromInt(1760)},
		{Line: 4, Ticket: "12", OnDeck: "all", Setup: tickets.TrailerAlone, Terms: []tickets.Term{{Group: tickets.Trailer}, {Group: tickets.Nose}}, Typed: "2480", Unit: "kg", Kg: decimal.NewFromInt(2480)},
	}}
	r := &Record{Outfit: Outfit{Travels: "tensioned"}}
	for i := range job.Readings {
		r.Readings = append(r.Readings, readingOf(job, &job.Readings[i]))
	}
	figure := func(typed, unit string, kg int64) func(*tickets.Reading) {
		return func(g *tickets.Reading) { g.Typed, g.Unit, g.Kg = typed, unit, decimal.NewFromInt(kg) }
	}
	stand := func(groups ...tickets.Group) func(*tickets.Reading) {
		return func(g *tickets.Reading) {
			g.Terms = nil
			for _, of := range groups {
				g.Terms = append(g.Terms, tickets.Term{Group: of})
			}
		}
	}
	as := func(*tickets.Reading) {}
	rows := []struct {
		m      derive.Mistake
		change func(*tickets.Reading)
		line   int
		kg     string
		want   string
	}{
		{derive.Mistake{Kind: derive.DigitsSwapped, Readings: []int{0}}, figure("1420", "kg", 1420), 2, "1420", "two digits are swapped: it says 1,240 kg, and 1,420 kg would agree"},
		{derive.Mistake{Kind: derive.DigitWrong, Readings: []int{1}}, figure("1.56", "t", 1560), 3, "1560", "one digit is wrong: it says 1.76 t, and 1.56 t would agree"},
		{derive.Mistake{Kind: derive.UnitWrong, Readings: []int{0}}, figure("1240", "lb", 562), 2, "562", "the unit is wrong: it says 1,240 kg, and 1,240 lb would agree"},
		{derive.Mistake{Kind: derive.UnitWrong, Readings: []int{0}}, figure("1240", "kg", 1), 2, "1", "it is 1,000 times too large"},
		{derive.Mistake{Kind: derive.Exchanged, Readings: []int{0, 1}}, as, 2, "1240", "its figure and that of line 3 (ticket 11, rear) are exchanged"},
		{derive.Mistake{Kind: derive.HitchWrong, Scope: derive.OneTicket, Readings: []int{0, 1}}, func(g *tickets.Reading) { g.Hitch = tickets.Tensioned }, 2, "1240", "the hitch was tensioned, not slack, in lines 2 and 3 of ticket 11"},
		{derive.Mistake{Kind: derive.LoadWrong, Readings: []int{0}, Load: "driver", Aboard: true}, as, 2, "1240", `"driver" was aboard after all`},
		{derive.Mistake{Kind: derive.LoadWrong, Readings: []int{0}, Load: "driver"}, as, 2, "1240", `"driver" was not aboard, against the form`},
		{derive.Mistake{Kind: derive.LoadWrong, Readings: []int{0}, Load: derive.UnlistedPerson, Aboard: true}, as, 2, "1240", "somebody of about 80 kg was aboard whom the forms do not name"},
		{derive.Mistake{Kind: derive.LoadWrong, Readings: []int{0}, Load: derive.UnlistedPerson}, as, 2, "1240", "somebody of about 80 kg was not aboard who is when travelling"},
		{derive.Mistake{Kind: derive.LoadWrong, Readings: []int{2}, Load: derive.UnlistedPerson, Aboard: true}, as, 4, "2480", "somebody of about 80 kg stood in the trailer or on the deck"},
		{derive.Mistake{Kind: derive.SetupWrong, Readings: []int{2}}, stand(tickets.Trailer), 4, "2480", "the jockey wheel stood off the deck"},
		{derive.Mistake{Kind: derive.SetupWrong, Readings: []int{0}}, stand(tickets.Front, tickets.Rear), 2, "1240", "the front axle and the rear axle stood on the deck, not the front axle"},
		{derive.Mistake{Kind: derive.SetupWrong, Readings: []int{0}}, func(g *tickets.Reading) { g.Setup, g.Hitch = tickets.VehicleAlone, "" }, 2, "1240", "it was weighed with the vehicle uncoupled, not coupled, hitch slack"},
		{derive.Mistake{Kind: derive.Calculated, Readings: []int{1}}, as, 3, "1760", "it is a total or a net that the ticket prints, and nobody weighed it (use: calculated)"},
		{derive.Mistake{Kind: derive.LengthWrong, Ties: []string{"nose"}, Lengths: []string{"nose_support_to_trailer_axle"}}, nil, 0, "", "the length nose support to trailer axle is wrong, or the outfit did not stand level, or an axle group did not share its load"},
		{derive.Mistake{Kind: derive.LengthWrong, Ties: []string{"hitch"}}, nil, 0, "", "the outfit did not stand level, or an axle group did not share its load"},
	}
	for _, row := range rows {
		fixed := *job
		fixed.Readings = append([]tickets.Reading{}, job.Readings...)
		for _, i := range row.m.Readings {
			row.change(&fixed.Readings[i])
		}
		row.m.Job, row.m.Tested, row.m.P, row.m.Rank = &fixed, true, 0.5, 1
		got := r.MistakesOf(job, []derive.Mistake{row.m})[0]
		if got.What != row.want || got.Line != row.line || got.ReadingKg != row.kg || got.Kind != string(row.m.Kind) {
			t.Errorf("%+v\nwant %d %s %s", got, row.line, row.kg, row.want)
		}
	}
}

// Hypotheses of one rank say that they are as likely as the one before; one
// that nothing tests says that.
func TestEqualMistakes(t *testing.T) {
	r, job, s, _ := toldOf(t, "planetarium-conflict", nil)
	found := s.Mistakes()
	found[2].Tested = false
	list := r.MistakesOf(job, found)
	for i, want := range []string{"two digits are swapped: it says 2,840 kg, and 2,480 kg would agree", "one digit is wrong: ", "as likely: one digit is wrong: "} {
		if !strings.HasPrefix(list[i].What, want) {
			t.Errorf("%d: %q (want %q…)", i+1, list[i].What, want)
		}
	}
	if !strings.HasSuffix(list[2].What, "(nothing would then be left to test it)") {
		t.Errorf("untested: %q", list[2].What)
	}
	if list[0].Line != 7 || list[0].ReadingKg != "2480" {
		t.Errorf("%+v (want line 7, 2480)", list[0])
	}
}

// What to weigh next, in words (our own), for a job that has V, T and the
// combination only, and for a mistake that two readings may hold.
func TestAdviceInWords(t *testing.T) {
	rows := []struct {
		job  string
		want []string
	}{
		{"planetarium-totals", []string{
			"weigh the towball download with a gauge under the coupling, trailer uncoupled and level: it gives the GVM (coupled) to ± ",
			"then weigh the coupled outfit, with only the front axle on the deck: it gives the front axle (coupled) to ± ",
		}},
		{"planetarium-conflict", []string{
			"weigh the whole outfit coupled: it would show whether the mistake is in line 4 (ticket 50112, trailer) or line 7 (ticket 50114, all)",
		}},
		{"planetarium", nil},
	}
	for _, row := range rows {
		r, job, s, f := toldOf(t, row.job, nil)
		list := r.AdviceOf(job, adjust.Next(s, f))
		if len(list) != len(row.want) || list == nil {
			t.Errorf("%s: %d pieces of advice (want %d)", row.job, len(list), len(row.want))
			continue
		}
		for i, want := range row.want {
			if !strings.HasPrefix(list[i].Text, want) || list[i].Kind != "weigh" {
				t.Errorf("%s: %q\nwant %q…", row.job, list[i].Text, want)
			}
		}
	}
}

// What has to come off, and what the rating would have to be, in words (our own).
func TestRemoveInWords(t *testing.T) {
	r, job, s, f := toldOf(t, "planetarium", func(j *tickets.Job) {
		for i := range j.Ratings {
			if g := &j.Ratings[i]; g.Word == "atm" {
				g.LimitKg = decimal.NewNullDecimal(decimal.NewFromInt(2400))
			}
		}
	})
	list := r.AdviceOf(job, adjust.Next(s, f))
	var got Advice
	for _, a := range list {
		if a.For == "atm" {
			got = a
		}
	}
	if got.Kind != "remove" || got.UNow == nil || got.UThen != nil ||
		!strings.HasPrefix(got.Text, "take at least 98 kg off the trailer: ") || !strings.Contains(got.Text, " against 2,400 kg; the rating would have to be 2,500 kg") {
		t.Errorf("%+v", got)
	}
}
