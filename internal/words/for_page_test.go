package words

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// pageOf names places as the page does, in short.
func pageOf(form string, line int) (name string, number int) {
	switch {
	case line == 0:
		return "the plates", 0
	case form == "tickets.csv":
		return "slip 1", line
	}
	return "the box", 0
}

var (
	quotedText  = regexp.MustCompile(`“[^”]*”|"[^"]*"`)
	ofFormsText = regexp.MustCompile(`(?i)\.csv\b|[a-z]_[a-z]|\bin the forms?\b|\bcolumn\b|\b(write|fill in) (yes|no|none|on|use|travels|unit)\b`)
	lineOfForm  = regexp.MustCompile(`(?i)\blines? [0-9]`)
	lineOfSlip  = regexp.MustCompile(`(?i)\bslip [0-9]+,? \(?lines? [0-9]`)
)

// everyCode is a record that has every code which the page can meet.
func everyCode(o outfit) *record.Record {
	r := base(o)
	r.Verdict = "conflict"
	for _, c := range codes()["do"] {
		args := argsFor(c.Args)
		if c.Code == "look_again" {
			args.Name = "not_uncoupled"
		}
		r.Do = append(r.Do, record.Do{Code: c.Code, Args: args})
	}
	for _, c := range codes()["questions"] {
		args := argsFor(c.Args)
		args.Set = ""
		q := add(&r.Questions)
		q.Code, q.File, q.Line, q.Args = c.Code, "ratings.csv", 7, args
		r.Advice = append(r.Advice, record.Advice{Kind: "look", Code: c.Code, File: "ratings.csv", Line: 7})
	}
	r.Advice = append(r.Advice, record.Advice{Kind: "look"}, record.Advice{Kind: "compare"}, record.Advice{Kind: "rating"}, record.Advice{Kind: "compare", Among: []record.Place{{Line: 7}}},
		record.Advice{Kind: "rating", Ratings: []record.RatingKey{{Rating: "gcm"}}}, record.Advice{Kind: "weigh", OnDeck: "empty"})
	for _, c := range codes()["cannot_be"] {
		add(&r.CannotBe)
		at := &r.CannotBe[len(r.CannotBe)-1]
		at.Code, at.File, at.Line, at.On, at.State, at.Args = c.Code, "tickets.csv", 7, "rear", "coupled_slack", argsFor(c.Args)
	}
	for _, c := range codes()["footnotes"] {
		f := record.Note{Code: c.Code, Line: 7, Args: *argsFor(c.Args)}
		if c.Code == "share_unknown" {
			f.Names = []string{"place", "wheelbase", "rear_axle_to_coupling", "side.rear"}
		}
		r.Footnotes = append(r.Footnotes, f)
	}
	for _, c := range codes()["assumed"] {
		r.Cautions = append(r.Cautions, record.Note{Code: "assumed", Args: record.Args{Of: c.Code}})
	}
	for _, c := range codes()["cautions"] {
		a := argsFor(c.Args)
		if a.Of != "" {
			a.Of = "common_practice"
		}
		if c.Code == "axles_not_stated" {
			a.Names = []string{"rear_axles", "trailer_axles"}
		}
		if c.Code == "other_id" {
			a.Column = "vehicle_id"
		}
		if c.Code != "assumed" {
			r.Cautions = append(r.Cautions, record.Note{Code: c.Code, Line: 7, Args: *a})
		}
	}
	for _, m := range mistakeExamples {
		m.File, m.Line, m.Ticket = "tickets.csv", 7, "3"
		r.Mistakes = append(r.Mistakes, m)
	}
	return r
}

// TestEveryCodeOnThePage: whatever the page says of a record, with every code
// that there is, names no form, column, code or line of a form.
func TestEveryCodeOnThePage(t *testing.T) {
	texts := 0
	for _, o := range outfits() {
		if o.unit == "lb" { // the figures alone are others
			continue
		}
		r := everyCode(o)
		for _, verdict := range []string{"conflict", "unconfirmed", "incomplete"} {
			r.Verdict = verdict
			w := Of(r, pageOf)
			said := []any{w.headline(), w.report()}
			for i := range r.Do { // each alone: together they say less
				one := *r
				one.Do = r.Do[i : i+1]
				said = append(said, Of(&one, pageOf).headline().DoNow)
			}
			for _, s := range said {
				eachText("", reflect.ValueOf(s), func(at, text string) {
					texts++
					switch at {
					case " Made", " Questions Answer", " Questions Full": // the summary alone says so
						return
					}
					bare := quotedText.ReplaceAllString(text, "")
					if ofFormsText.MatchString(bare) || lineOfForm.MatchString(lineOfSlip.ReplaceAllString(bare, "")) {
						t.Errorf("%v, %s:%s %q", o, verdict, at, text)
					}
				})
			}
		}
		if t.Failed() {
			return
		}
	}
	if texts < 25000 {
		t.Errorf("%d texts", texts)
	}
}

// TestEstimateOnThePage: nor do the remarks of an estimate.
func TestEstimateOnThePage(t *testing.T) {
	e := &record.Estimate{}
	for _, code := range []string{"driver_included", "fuel_included", "trailer_at_atm", "no_vehicle_mass", "no_trailer_mass", "load_on_neither", "no_axle_mass", "no_position", "no_length", "part_of_group", "bars_tensioned"} {
		at := add(&e.Remarks)
		at.Code, at.Line, at.Name = code, 3, "rear"
		if code == "no_length" {
			at.Name = "rear_axle_to_coupling"
		}
	}
	for _, from := range []string{"outfit", "semi", ""} {
		e.Share.From = from
		for _, text := range (&estimates{Of(base(au), pageOf), e}).restsOn() {
			sane(t, from, text)
			if bare := quotedText.ReplaceAllString(text, ""); ofFormsText.MatchString(bare) || lineOfForm.MatchString(bare) {
				t.Errorf("%q", text)
			}
		}
	}
}

// TestAllOfATrailerAlone: what a form calls all is the whole trailer where that
// was weighed alone, and the whole outfit where it was coupled.
func TestAllOfATrailerAlone(t *testing.T) {
	for setup, want := range map[string]string{"trailer_alone": "ticket 3, whole trailer", "coupled": "ticket 3, whole outfit"} {
		r := base(au)
		r.Readings = []record.Reading{{Line: 7, Ticket: "3", Setup: setup, OnDeck: "all"}}
		r.Do = []record.Do{{Code: "compare", Args: &record.Args{Ticket: "3", On: "all", AtLine: 7}}}
		w := Of(r, pageOf)
		if got := w.readingName(7, ""); !strings.HasPrefix(got, want) {
			t.Errorf("%s: a reading is %q (want %q)", setup, got, want)
		}
		if got := w.compareClause(r.Do[0].Args); !strings.Contains(got, "("+want+")") {
			t.Errorf("%s: %q (want %q)", setup, got, want)
		}
	}
}
