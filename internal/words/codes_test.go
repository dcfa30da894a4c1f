package words

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

// argsFor fills the arguments of a code with values that can be printed.
func argsFor(names []string) *record.Args {
	a := &record.Args{}
	for _, name := range names {
		fillArg(a, name)
	}
	return a
}

func fillArg(a *record.Args, name string) {
	switch name {
	case "rating":
		a.Rating = "axle"
	case "on":
		a.On = "rear"
	case "state":
		a.State = "coupled_slack"
	case "set":
		a.Set = "springs"
	case "other":
		a.Other = "50"
	case "of":
		a.Of = "over"
	case "file":
		a.File = "tickets.csv"
	case "at_line":
		a.AtLine = 7
	case "ticket":
		a.Ticket = "3"
	case "name":
		a.Name = "north"
	case "typed":
		a.Typed = "4220"
	case "kg":
		a.Kg = ptr(61.0)
	case "u_kg":
		a.UKg = ptr(12.0)
	case "limit_kg":
		a.LimitKg = ptr(310.0)
	case "value":
		a.Value = ptr(0.041)
	case "u":
		a.U = ptr(0.004)
	case "limit":
		a.Limit = ptr(0.25)
	case "number":
		a.Number = ptr(3)
	case "of_all":
		a.OfAll = ptr(8)
	case "lines":
		a.Lines = []int{2, 3, 4}
	case "names":
		a.Names = []string{"front tank"}
	case "checks":
		rear := add(&a.Checks)
		rear.Rating, rear.On, rear.State = "axle", "rear", "coupled_slack"
		add(&a.Checks).Rating = "atm"
	case "ratings":
		a.Ratings = []record.RatingKey{{Rating: "gcm"}, {Rating: "axle", On: "trailer_or_gtm"}}
	case "figures":
		f := add(&a.Figures)
		f.Line, f.OnDeck, f.Was, f.Should, f.Unit, f.Digit = 4, "rear", "1320", "1230", "kg", true
	case "column":
	}
}

// eachOutfit runs a test in all words, and wants some to have run.
func eachOutfit(t *testing.T, run func(t *testing.T, w *Words)) {
	t.Helper()
	n := 0
	for _, o := range outfits() {
		run(t, Of(base(o), nil))
		n++
	}
	if n != 6*(2+2+3)*2 {
		t.Errorf("%d outfits", n)
	}
}

func TestEveryDoHasASentence(t *testing.T) {
	if len(codes()["do"]) != 15 {
		t.Errorf("%d codes: is there a sentence for the new one?", len(codes()["do"]))
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, verdict := range []string{"conflict", "over", "unsettled", "incomplete", "unconfirmed", "within"} {
			w.Record.Verdict = verdict
			for _, c := range codes()["do"] {
				args := argsFor(c.Args)
				if c.Code == "not_on_trip" {
					args.Of = map[string]string{"within": "over", "over": "unsettled"}[verdict]
					if args.Of == "" {
						args.Of = "not_known"
					}
				}
				if c.Code == "look_again" {
					args.Name = "not_uncoupled"
				}
				w.Record.Do = []record.Do{{Code: c.Code, Args: args}}
				sane(t, c.Code, w.headline().DoNow)
				w.Record.Do = []record.Do{{Code: "over", Args: argsFor(codes()["do"][4].Args)}, {Code: c.Code, Args: args}}
				sane(t, "over, then "+c.Code, w.headline().DoNow)
			}
		}
	})
}

func TestEveryQuestionHasASentence(t *testing.T) {
	if len(codes()["questions"]) != len(questionWords) {
		t.Errorf("%d questions, %d short ones", len(codes()["questions"]), len(questionWords))
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, c := range codes()["questions"] {
			w.Record.Questions = nil
			q := add(&w.Record.Questions)
			q.Code, q.File, q.Line, q.Args = c.Code, "ratings.csv", 7, argsFor(c.Args)
			text := w.question(0).Asked
			sane(t, c.Code, text)
			if !strings.HasSuffix(text, "?") && c.Code != "axle_each" {
				t.Errorf("%s asks nothing: %q", c.Code, text)
			}
			sane(t, c.Code, w.shortQuestion(c.Code))
			q.Args.Set = ""
			if answer := strings.ToLower(w.question(0).Answer); c.Code != "bars_not_stated" && !strings.Contains(answer, c.Code+" in its column confirmed") {
				t.Errorf("%s: %q", c.Code, answer)
			}
			sane(t, c.Code, strings.ReplaceAll(strings.ToLower(w.question(0).Full), c.Code, "CODE"))
			q.Answered = true
			want(t, c.Code, w.question(0).Answer, "asked and confirmed")
		}
	})
}

func TestEveryCannotBeHasASentence(t *testing.T) {
	if n := len(codes()["cannot_be"]); n != 2 {
		t.Errorf("%d codes: is there a sentence for the new one?", n)
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, c := range codes()["cannot_be"] {
			sane(t, c.Code, w.saidCannotBe(c.Code, "tickets.csv", "rear", "coupled_slack", argsFor(c.Args)))
		}
	})
}

func TestEveryFootnoteHasASentence(t *testing.T) {
	if len(codes()["footnotes"]) != len(footnoteWords) {
		t.Errorf("%d footnotes, %d sentences", len(codes()["footnotes"]), len(footnoteWords))
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, c := range codes()["footnotes"] {
			if _, known := footnoteWords[c.Code]; !known {
				t.Errorf("%s has no sentence", c.Code)
			}
			f := record.Note{Code: c.Code, Line: 7, Args: *argsFor(c.Args)}
			if c.Code == "share_unknown" {
				f.Names = []string{"place", "wheelbase", "side.rear"}
			}
			sane(t, c.Code, say(w.footnote(f)))
			sane(t, c.Code+" without arguments", say(w.footnote(record.Note{Code: c.Code, Line: 7})))
			w.Record.Footnotes = []record.Note{f, f}
			notes := w.footnotes()
			if len(notes) != 1 || notes[0].Numbers != "1-2" {
				t.Fatalf("%s: two alike are one: %+v", c.Code, notes)
			}
			sane(t, c.Code, notes[0].Text)
		}
	})
}

func TestEveryCautionHasASentence(t *testing.T) {
	if n := len(codes()["cautions"]); n != 23 {
		t.Errorf("%d codes: is there a sentence for the new one?", n)
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, c := range codes()["cautions"] {
			a := argsFor(c.Args)
			if a.Of != "" {
				a.Of = "common_practice"
			}
			switch c.Code {
			case "assumed":
				a.Of = "interval"
			case "axles_not_stated":
				a.Names = []string{"rear_axles", "trailer_axles"}
			case "other_id":
				a.Column = "vehicle_id"
			}
			text := w.saidCaution(record.Note{Code: c.Code, Line: 7, Args: *a})
			sane(t, c.Code, text)
			if strings.EqualFold(text, codeWord(c.Code)) {
				t.Errorf("%s has no sentence of its own", c.Code)
			}
		}
	})
}

// TestAssumedTogether: what was assumed is one caution, where one cure is for
// all of it; on the page each has its own box.
func TestAssumedTogether(t *testing.T) {
	r := base(au)
	r.Cautions = []record.Note{{Code: "assumed", Args: record.Args{Of: "scale_class"}}, {Code: "assumed", Args: record.Args{Of: "deck", Name: "yard"}}, {Code: "zero_unseen"}, {Code: "assumed", Args: record.Args{Of: "travels"}}}
	got := Of(r, nil).report().Cautions
	if len(got) != 2 || got[0] != "assumed, not stated: the class of the scale, the kind of deck (yard) and how the outfit travels; the figures rest on them, so state them in the forms" {
		t.Errorf("%q", got)
	}
	got = Of(r, func(string, int) (string, int) { return "", 0 }).report().Cautions
	if len(got) != 3 || got[0] != "assumed, not stated: the class of the scale and the kind of deck (yard); the figures rest on them, so state them under “The weighbridge”" || got[2] != "assumed, not stated: how the outfit travels; the figures rest on it, so choose it under “Load-distribution bars on the road”" {
		t.Errorf("on the page %q", got)
	}
}

func TestEveryAssumptionHasAWord(t *testing.T) {
	if len(codes()["assumed"]) != len(assumedWords) {
		t.Errorf("%d codes, %d words", len(codes()["assumed"]), len(assumedWords))
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, c := range codes()["assumed"] {
			code := c.Code
			if _, known := assumedWords[code]; !known {
				t.Errorf("%s has no word", code)
			}
			check := record.Check{Rating: "tyre", On: "rear", HeldOn: []string{"rear"}, Assumed: []string{code}, Decides: true}
			sane(t, code, w.assumedText(check))
			if notes := w.check(&check).Notes; len(notes) != 1 || !strings.HasPrefix(notes[0], say("assumed: ")) {
				t.Errorf("%s is not marked assumed: %q", code, notes)
			}
		}
	})
}

// mistakeExamples are how a record holds each kind of mistake.
var mistakeExamples = []record.Mistake{
	{Kind: "digits_swapped", Scope: "figure", Was: "4220", Should: "2420", Unit: "kg"},
	{Kind: "digit_wrong", Scope: "figure", Was: "4220", Should: "4120", Unit: "kg"},
	{Kind: "digit_count", Scope: "figure", Was: "420", Should: "4220", Unit: "kg"},
	{Kind: "unit_wrong", Scope: "figure", Was: "kg", Should: "lb", Unit: "kg"},
	{Kind: "exchanged", Scope: "ticket", Was: "4220", Should: "2260", Unit: "kg", Readings: []record.Place{{Line: 7}, {Line: 8}}},
	{Kind: "hitch_wrong", Scope: "ticket", Was: "slack", Should: "tensioned", Readings: []record.Place{{Line: 7}, {Line: 8}}},
	{Kind: "load_wrong", Scope: "line", Was: "on_board", Should: "not_on_board", Load: "", Places: []string{"front seat", "back seat"}},
	{Kind: "load_wrong", Scope: "line", Was: "not_on_board", Should: "on_board", Load: "projector"},
	{Kind: "setup_wrong", Scope: "figure", Was: "trailer+nose", Should: "trailer"},
	{Kind: "setup_wrong", Scope: "ticket", Was: "vehicle_alone", Should: "coupled_slack", Readings: []record.Place{{Line: 7}, {Line: 8}}},
	{Kind: "calculated", Scope: "figure", Was: "yes", Should: "calculated"},
	{Kind: "length_wrong", Scope: "length", Lengths: []string{"wheelbase", "rear_axle_to_coupling"}},
	{Kind: "zero_wrong", Scope: "scale", Readings: []record.Place{{Line: 7}, {Line: 8}}},
}

func TestEveryMistakeHasASentence(t *testing.T) {
	var kinds, want []string
	for _, m := range mistakeExamples {
		kinds = addOnce(kinds, m.Kind)
	}
	for _, c := range codes()["mistakes"] {
		want = append(want, c.Code)
	}
	if strings.Join(sorted(kinds), " ") != strings.Join(sorted(want), " ") {
		t.Errorf("kinds %v, want %v", kinds, want)
	}
	eachOutfit(t, func(t *testing.T, w *Words) {
		w.Record.Mistakes = nil
		for _, m := range mistakeExamples {
			m.File, m.Line, m.Ticket, m.OnDeck, m.PValue = "tickets.csv", 7, "3", "rear", ptr(0.44)
			sane(t, m.Kind, w.saidMistake(m))
			w.Record.Mistakes = append(w.Record.Mistakes, m, m)
		}
		if got := w.report().Mistakes; len(got) != len(mistakeExamples) {
			t.Errorf("%d sentences for %d kinds, each twice", len(got), len(mistakeExamples))
		}
	})
}

// TestTheSearchThatStopped is said of a conflict alone: nothing else is searched.
func TestTheSearchThatStopped(t *testing.T) {
	r := base(au)
	for _, c := range []struct {
		verdict  string
		complete bool
		want     string
	}{
		{"conflict", false, "the search for mistakes stopped at its limit: less likely mistakes were not tried"},
		{"conflict", true, ""}, {"within", false, ""},
	} {
		r.Verdict, r.MistakesComplete = c.verdict, c.complete
		if got := Of(r, nil).report().SearchStopped; got != say(c.want) {
			t.Errorf("%s, complete %v: %q (want %q)", c.verdict, c.complete, got, c.want)
		}
	}
}

// TestExchangedNamesBothFigures: an exchange has the scope of its ticket, and
// both figures are named by supports and line (contract, section 2).
func TestExchangedNamesBothFigures(t *testing.T) {
	m := record.Mistake{Kind: "exchanged", File: "tickets.csv", Line: 7, Ticket: "3", OnDeck: "rear", Scope: "ticket", Was: "4220", Should: "2260", Unit: "kg", PValue: ptr(0.44), Readings: []record.Place{{Line: 7}, {Line: 8}}}
	want(t, "exchanged", Of(base(au), nil).saidMistake(m), "ticket 3, rear (line 7 of tickets.csv): its figure and that of ticket 3, trailer (line 8) are exchanged: it says 4,220 kg, and 2,260 kg would agree")
}

func TestEveryLabelIsFilled(t *testing.T) {
	eachOutfit(t, func(t *testing.T, w *Words) {
		for code := range heads {
			sane(t, code, strings.TrimSuffix(strings.ReplaceAll(strings.ToLower(w.Head(code)), "not determined", "none"), ":"))
		}
		for _, p := range w.method() {
			sane(t, p.Head, p.Head)
			sane(t, p.Head, strings.ReplaceAll(strings.ToLower(p.Text), "not determined", "none"))
		}
	})
}

func TestEveryQuantityHasALabel(t *testing.T) {
	names := strings.Fields(`vehicle_alone.front vehicle_alone.rear vehicle_alone.vehicle trailer_alone.trailer trailer_alone.nose
		coupled_slack.front coupled_slack.rear.1.left coupled_slack.trailer.2 coupled_tensioned.trailer.left
		trailer_mass combination download front_lift front_restored download_share restoration hitch_moment vehicle_cg trailer_cg
		payload_used payload_left trailer_payload_used trailer_payload_left unlisted`)
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, name := range names {
			sane(t, name, w.Quantity(name).Label)
		}
		for _, code := range []string{"coupled_slack.rear.left_right", "coupled_slack.trailer.1_2", "vehicle_alone.rear.1.left_right"} {
			sane(t, code, say(w.imbalanceLabel(code)))
		}
		for _, route := range []string{"trailer", "vehicle", "front_lift", "gauge"} {
			sane(t, route, say(routeWord(route)))
		}
		for _, tie := range []string{"vehicle", "nose", "hitch"} {
			sane(t, tie, say(w.tieWord(tie)))
		}
		for _, cause := range []string{"reading", "scale", "load", "share", "tie", "length"} {
			sane(t, cause, say(w.causeText(cause, "north", 7, "", 4.06)))
		}
	})
}

func sorted(all []string) []string {
	out := append([]string{}, all...)
	for i := range out {
		for j := i + 1; j < len(out); j++ {
			if out[j] < out[i] {
				out[i], out[j] = out[j], out[i]
			}
		}
	}
	return out
}
