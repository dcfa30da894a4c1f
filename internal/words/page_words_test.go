package words

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/regions"
)

// TestTireInUS: in region us no sentence on an assumption says tyre.
func TestTireInUS(t *testing.T) {
	for _, region := range []string{"us", "au"} {
		w := Of(base(outfit{region, "centre_axle", "plain", "kg"}), nil)
		text := say(w.assumed("equal_share")) + say(w.assumed("fitted")) + say(w.footnote(record.Note{Code: "equal_share", Line: 2}))
		other, own := "tyre", "tire"
		if region == "au" {
			other, own = own, other
		}
		if strings.Contains(text, other) || strings.Count(text, own) != 3 || strings.Contains(text, "[") {
			t.Errorf("%s: %q", region, text)
		}
	}
}

// TestLabels: what each region calls a rating is the contract's table of labels
// (section 3); a semi-trailer has no towball.
func TestLabels(t *testing.T) {
	for _, c := range []struct{ region, kind, rating, on, want string }{
		{"au", "centre_axle", "gvm", "", "GVM"},
		{"au", "centre_axle", "axle", "rear", "axle rating, rear"},
		{"au", "centre_axle", "tyre", "trailer", "trailer tyre"},
		{"us", "centre_axle", "tyre", "trailer", "trailer tire"},
		{"uk", "centre_axle", "tyre", "trailer.2.left", "tyre, trailer axle 2, left"},
		{"nz", "centre_axle", "atm", "", "GVM of trailer"},
		{"eu", "centre_axle", "towing", "", "towable mass (axle load)"},
		{"us", "centre_axle", "axle", "trailer_or_gtm", "GAWR, trailer, or sum of trailer GAWR"},
		{"uk", "centre_axle", "download_max", "towbar", "noseweight"},
		{"us", "centre_axle", "download_max", "towbar", "tongue weight"},
		{"us", "semi", "download_max", "towbar", "pin weight"},
		{"au", "semi", "download_min", "coupling", "least coupling download"},
		{"", "centre_axle", "gvm", "", "gvm"},
		{"eu", "centre_axle", "d_value", "coupling", "D-value, coupling"},
	} {
		want(t, c.region+" "+c.rating, Of(base(outfit{c.region, c.kind, "plain", "kg"}), nil).RatingLabel(c.rating, c.on), c.want)
	}
	want(t, "floor", Of(base(au), nil).check(&record.Check{Rating: "download_min", Floor: true}).Label, "towball download, not below 0")
	want(t, "us interval", Of(base(outfit{"us", "centre_axle", "plain", "lb"}), nil).RatingLabel("interval", ""), "division")
	want(t, "a word that no region has another for", Of(base(au), nil).RatingLabel("no_such_word", ""), "no_such_word")
}

// TestNouns: the words follow the kind of trailer.
func TestNouns(t *testing.T) {
	for _, c := range []struct{ kind, support, want string }{
		{"centre_axle", "trailer", "trailer axle group"}, {"drawbar", "trailer", "trailer axles"}, {"centre_axle", "trailer.2", "trailer axle 2"},
		{"centre_axle", "nose", "jockey wheel or stand"}, {"semi", "nose", "landing legs"}, {"centre_axle", "rear.1.left", "rear axle 1, left"}, {"centre_axle", "rear", "rear axle"},
	} {
		want(t, c.kind+" "+c.support, say(Of(base(outfit{"au", c.kind, "plain", "kg"}), nil).supportWord(c.support)), c.want)
	}
	w := Of(base(au), nil)
	for on, noun := range map[string]string{"rear": "the rear axle", "rear.1": "rear axle 1", "rear.1.left": "the left of rear axle 1", "trailer": "the trailer axle group", "front.left": "the left of the front axle"} {
		if got := w.axleNoun(on); got != noun {
			t.Errorf("%s: %q, want %q", on, got, noun)
		}
	}
	for rating, noun := range map[string]string{"gvm": "the vehicle (GVM)", "gcm": "the whole outfit (GCM)", "atm": "the trailer (ATM)", "gtm": "the trailer axle group (GTM)", "towing": "the trailer (rated towing capacity)", "download_max": "the towball download", "d_value": "the coupling (D-value)"} {
		if got := w.loadNoun(rating, ""); got != noun {
			t.Errorf("%s: %q, want %q", rating, got, noun)
		}
	}
	if eu := Of(base(outfit{"eu", "centre_axle", "plain", "kg"}), nil); eu.loadNoun("towing", "") != "the trailer axle group (towable mass (axle load))" {
		t.Errorf("towing in eu limits the axle load: %q", eu.loadNoun("towing", ""))
	}
}

func TestPageWords(t *testing.T) {
	w := Of(base(au), nil)
	g := w.Record.Readings[1]
	want(t, "setup", say(w.setupOf(&g)), "coupled")
	want(t, "how", say(howWeighed(&g)), "weighed at once")
	want(t, "entered", say(w.entered(&g)[0]), "4,220 kg")
	g.IntervalAssumed = true
	want(t, "interval", say(intervalOf(&g)), "e 20 kg, assumed")
	g.Unit, g.IntervalKg = "lb", "9.0718474" // 20 lb by the definition of the pound
	want(t, "interval in lb", say(intervalOf(&g)), "e 20 lb, assumed")
	g.Hitch, g.Use = "unknown", "calculated"
	want(t, "bars", say(w.setupOf(&g)), "coupled, hitch not known")
	want(t, "added", say(howWeighed(&g)), "added up, not weighed")
	g.Use = "no"
	want(t, "left out", say(howWeighed(&g)), "weighed, not used")
	g.OnDeck = "empty"
	want(t, "empty", say(howWeighed(&g)), "display with nothing on the deck")
	want(t, "alone", say(w.setupOf(&w.Record.Readings[0])), "vehicle alone")
	want(t, "lines", say(inputLines([][2]int{{1, 1}, {4, 4}, {9, 12}})), "1, 4, 9-12")
	want(t, "all", say(inputLines(nil)), "all of it")
	want(t, "doubt", say(doubtText(ptr(3.456), true)), "3.46 suspect")
	want(t, "doubt", say(doubtText(nil, false)), "untested")
	want(t, "p", probability(ptr(0.0004)), "< 0.001")
	want(t, "cause", say(w.causeText("reading", "", 7, "", 4.06)), "ticket 3, rear (line 7): 4.1")
	for number, short := range map[string]string{"2026-03-14 NORTH LANE 003": "2026-03-14…H LANE 003", "2026-03-14 NORTH LANE 03": "2026-03-14 NORTH LANE 03", strings.Repeat("ö", 25): strings.Repeat("ö", 10) + "…" + strings.Repeat("ö", 10)} {
		long := Of(base(au), nil)
		for i := range long.Record.Readings {
			long.Record.Readings[i].Ticket = number
		}
		want(t, "cause", say(long.causeText("reading", "", 7, "", 4.06)), "ticket "+short+", rear (line 7): 4.1")
	}
	w.Record.Replaces = &record.Replaces{Number: "W-0012", RecordSHA256: strings.Repeat("ab12", 16), Because: "the plate was misread"}
	want(t, "replaces", w.headline().Replaces, "replaces number W-0012 of the record AB12AB12AB12AB12…, because the plate was misread")
	w.Record.Replaces.Number = ""
	want(t, "replaces", w.headline().Replaces, "replaces the summary of the record AB12AB12AB12AB12…, because the plate was misread")
	w.Record.Options.SignedBy = &record.Signer{Name: "Dome Weighing", Fingerprint: strings.Repeat("AB12", 16)}
	want(t, "signed", w.headline().Signed, "by Dome Weighing (certificate AB12AB12AB12AB12…); the time of signing is the signer's word")
	for status := range ratingStatusWords {
		sane(t, status, say(ratingStatusWord(status)))
	}
	for code := range sourceWords {
		sane(t, code, say(sourceWord(code)))
	}
	sources := 0
	for _, row := range regions.Table {
		all := []string{row.Share.Source, row.Least.Source, row.TyresTogether}
		for _, b := range row.Brakes {
			all = append(all, b.Source)
		}
		for _, d := range row.Towed {
			all = append(all, d.Source)
		}
		for _, code := range all {
			sources++
			if _, known := sourceWords[code]; !known {
				t.Errorf("region %q: source %s has no words", row.Region, code)
			}
		}
	}
	if sources < 18 {
		t.Errorf("%d sources", sources)
	}
}

// TestNotes: what is marked in a row (contract, section 3, checks and verdict).
func TestNotes(t *testing.T) {
	w := Of(base(au), nil)
	c := w.Record.Checks[1]
	c.Decides, c.NeededKg, c.OnlyTensioned = false, ptr(1970.0), true
	want(t, "lowest", strings.Join(w.check(&c).Notes, "|"), "not the lowest|passes only because the hitch is tensioned|rating needed: 1,970 kg")
	c.State, c.OnlyTensioned = "coupled_tensioned", false
	want(t, "travels", w.check(&c).Notes[0], "not as it travels")
	tyre := record.Check{Rating: "tyre", On: "rear", Line: ptr(2), Decides: true, HeldOn: []string{"rear.1.left"}, Assumed: []string{"equal_share"}}
	want(t, "tyre", strings.Join(w.check(&tyre).Notes, "|"), "compared on the left of rear axle 1|assumed: equal share of the left of rear axle 1 on each tyre|source: plate")
	uk := Of(base(outfit{"uk", "centre_axle", "plain", "kg"}), nil)
	want(t, "uk", uk.check(&record.Check{Rating: "towing", Decides: true}).Notes[0], "the limit is guidance on the whole trailer")
}

func TestRaisedAlone(t *testing.T) {
	w := Of(base(au), nil)
	a := record.Args{Rating: "gvm", Set: "springs", Ratings: []record.RatingKey{{Rating: "axle", On: "rear"}, {Rating: "gcm"}}}
	want(t, "set", w.saidCaution(record.Note{Code: "raised_alone", Args: a}), "set springs raises the GVM and leaves the rear axle rating and GCM unchanged: the higher rating is worth no more than these allow")
	a.Set = ""
	want(t, "certificate", w.saidCaution(record.Note{Code: "raised_alone", Args: a}), "a certificate raises the GVM and leaves the rear axle rating and GCM unchanged: the higher rating is worth no more than these allow")
}

func TestGuides(t *testing.T) {
	w := Of(base(au), nil)
	if err := json.Unmarshal([]byte(`[
		{"guide": "download_share", "value": 0.0961, "u": 0.0044, "low": 0.08, "high": 0.15, "kept": true, "source": "common_practice"},
		{"guide": "trailer_brakes", "value": 2880.2, "u": 14, "high": 2000, "kept": false, "source": "adr_38"},
		{"guide": "trailer_to_vehicle", "value": 0.973, "u": 0.004, "high": 1},
		{"guide": "tyres_together", "on": "rear", "value": 2900, "low": 1950}]`), &w.Record.Guides); err != nil {
		t.Fatal(err)
	}
	for i, row := range [][]string{ // label, value, usual, kept
		{"towball download, share of the whole trailer", "9.6 ± 0.9 %", "8.0 to 15.0 %", "kept"},
		{"trailer mass for its brakes", "2,880 ± 28 kg", "at most 2,000 kg", "not kept"},
		{"ratio of the whole trailer to the vehicle alone", "0.97 ± 0.01 times", "at most 1.00 times", "not known"},
		{"tyres of an axle together, rear", "2,900 kg", "at least 1,950 kg", "not known"},
	} {
		for k, text := range row {
			want(t, w.Record.Guides[i].Guide, w.evidence().Guides[i][k], text)
		}
	}
}

// TestMistakesByTicketAndFigure: named by ticket, supports and figure, next to
// file and line; poorly and untested ones are marked (contract, section 2).
func TestMistakesByTicketAndFigure(t *testing.T) {
	w := Of(base(au), nil)
	m := record.Mistake{Kind: "digits_swapped", Scope: "figure", File: "tickets.csv", Line: 7, Ticket: "3", OnDeck: "rear.left", Was: "4220", Should: "2420", Unit: "kg", PValue: ptr(0.44)}
	want(t, "swapped", w.saidMistake(m), "ticket 3, rear.left (line 7 of tickets.csv): two digits are swapped: it says 4,220 kg, and 2,420 kg would agree")
	m.PValue, m.Poorly = ptr(0.02), true
	want(t, "poorly", w.saidMistake(m), "ticket 3, rear.left (line 7 of tickets.csv): two digits are swapped: it says 4,220 kg, and 2,420 kg would agree (the readings would still agree poorly)")
	m.PValue, m.Poorly = nil, false
	if got := w.saidMistake(m); !strings.HasSuffix(got, say(" (nothing would then be left to test it)")) {
		t.Errorf("untested: %q", got)
	}
	visit := record.Mistake{Kind: "hitch_wrong", Scope: "visit", File: "tickets.csv", Line: 2, Was: "slack", Should: "tensioned", PValue: ptr(0.5), Readings: []record.Place{{Line: 2}, {Line: 7}, {Line: 8}}}
	want(t, "visit", w.saidMistake(visit), "tickets 1 and 3: the hitch was tensioned, not slack, in lines 2, 7-8")
	person := record.Mistake{Kind: "load_wrong", Scope: "line", File: "tickets.csv", Line: 7, Ticket: "3", Was: "not_on_board", Should: "on_board", PValue: ptr(0.5), Places: []string{"front seat", "back seat"}}
	want(t, "person", w.saidMistake(person), "ticket 3 (line 7 of tickets.csv): somebody of about 80 kg whom the forms do not name was on board (front seat or back seat)")
}

// TestEveryWordOfARecord: whatever is said of a record that has something for
// each is a sentence, in all words.
func TestEveryWordOfARecord(t *testing.T) {
	seen := map[string]bool{}
	eachOutfit(t, func(t *testing.T, w *Words) {
		fullRecord(w.Record)
		w.Record.Program = "2.0.0"
		for what, said := range everything(w.Record) {
			eachText(what, reflect.ValueOf(said), func(at, s string) {
				if s == "" || strings.HasPrefix(what, "head ") || strings.HasPrefix(at, "evidence Method") {
					return // TestEveryLabelIsFilled has them
				}
				seen[at] = true
				s = strings.TrimSuffix(strings.ReplaceAll(s, w.Record.Questions[0].Code, "CODE"), ":")
				sane(t, at, strings.ReplaceAll(s, strings.ToUpper(w.Record.Questions[0].Code), "CODE"))
			})
		}
	})
	if len(seen) < 100 {
		t.Errorf("only %d places said something: %v", len(seen), seen)
	}
}

// fullRecord adds one of everything.
func fullRecord(r *record.Record) {
	q := add(&r.Questions)
	q.Code, q.File, q.Line, q.Args = "axle_light", "tickets.csv", 7, argsFor([]string{"on", "state", "kg", "u_kg"})
	r.Cautions = []record.Note{{Code: "zero_unseen", Args: record.Args{Name: "north"}}}
	r.Footnotes = []record.Note{{Code: "no_hitch_stated"}}
	r.Mistakes = []record.Mistake{{Kind: "digit_wrong", File: "tickets.csv", Line: 7, Ticket: "3", OnDeck: "rear", Was: "4220", Should: "4120", Unit: "kg", PValue: ptr(0.4)}}
	r.Readings[0].Site = "North Bridge"
	r.NotGiven = []record.RatingKey{{Rating: "gcm"}}
	h := made(&r.HitchRange)
	h.LowKg, h.HighKg, h.LowBy, h.HighBy = ptr(67.4), ptr(139.2), &record.RatingKey{Rating: "slack"}, &record.RatingKey{Rating: "gtm"}
	add(&h.Table).FrontKg = 1200
	add(&h.Table).FrontKg = 1350
	r.Levers = leverRecord().Levers
	trip := made(&r.Trip)
	trip.Verdict = "over"
	atm := add(&trip.Checks)
	atm.Rating, atm.Verdict = "atm", "over"
	at := add(&atm.At)
	at.Load, at.Kg = "water", "0"
	r.Replaces, r.Options.SignedBy = &record.Replaces{Number: "7", RecordSHA256: "ab", Because: "misread"}, &record.Signer{Name: "Dome", Fingerprint: "AB"}
	r.Checks = append(r.Checks, record.Check{Rating: "atm", Decides: true, Verdict: "not_weighed", Line: ptr(4)}, record.Check{Rating: "gvm", Set: "springs", Verdict: "within"})
	addRoute(r, "trailer", 240, 10)
	addRoute(r, "gauge", 300, 4)
}
