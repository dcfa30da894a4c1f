// Package oldscreen is version 1 of the report, until the flow makes the new record. It draws a record as text for a terminal of 80 columns, and as a
// line of the register of a day's jobs. It computes nothing and says nothing of
// its own: the words are the record's, the same that stand on the pages.
package oldscreen

import (
	"io"
	"strconv"
	"strings"

	record "reconcile/internal/oldrecord"
)

// mistakesShown is how many likely mistakes a terminal lists; the record and
// the pages have them all.
const mistakesShown = 5

// Report writes the short report of one job: what to do now on the first line,
// the verdict on the second, then why, the ratings held, and what is missing,
// declared, next and to be known. No line is longer than Columns, and there is
// no colour. The error is the writer's.
func Report(w io.Writer, r *record.Record) error {
	var b strings.Builder
	b.WriteString(hang("do now: ", r.Headline.DoNow))
	b.WriteString(hang("verdict: ", r.Headline.VerdictText))
	b.WriteString(hang("why: ", r.Headline.HeldText))
	b.WriteString(about(r))
	b.WriteString(mistakes(r))
	b.WriteString(checks(r))
	b.WriteString("\n" + found(r))
	b.WriteString(missing(r))
	b.WriteString(remarks(r))
	_, err := io.WriteString(w, b.String())
	return err
}

// about says which job and outfit it is, and how the readings agree.
func about(r *record.Record) string {
	s := ""
	if r.Job != "" {
		s += hang("job: ", r.Job)
	}
	o := r.Outfit
	if outfit := join(", ", o.Vehicle, o.VehicleID, o.Trailer, o.TrailerID); outfit != "" {
		s += hang("outfit: ", outfit)
	}
	if r.Verdict != "conflict" { // there the reason says it
		s += hang("", r.AgreementText())
	}
	return s
}

// join joins the parts that are not blank.
func join(by string, parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, by)
}

// mistakes lists the likely single mistakes under which the readings agree.
func mistakes(r *record.Record) string {
	if len(r.Mistakes) == 0 {
		return ""
	}
	s := "they would agree if, likeliest first (none is applied):\n"
	for i, m := range r.Mistakes[:min(len(r.Mistakes), mistakesShown)] {
		what := m.What
		if m.Line > 0 && !strings.HasPrefix(what, "line ") {
			what = r.ReadingName(m.Line, "") + ": " + what
		}
		s += hang("  "+strconv.Itoa(i+1)+". ", what)
	}
	if more := len(r.Mistakes) - mistakesShown; more > 0 {
		s += hang("  ", "and "+strconv.Itoa(more)+" more")
	}
	return s
}

// found says the masses that an owner asks for first, and why one has no number.
func found(r *record.Record) string {
	download := r.DownloadLabel() + " " + r.QuantityText("download")
	if r.Quantities["download_share"] != nil {
		download += ", " + r.QuantityText("download_share") + " of the whole trailer"
	}
	parts := []string{download}
	for _, name := range []string{"trailer_mass", "combination"} {
		parts = append(parts, r.QuantityLabel(name)+" "+r.QuantityText(name))
	}
	s := hang("found: ", strings.Join(parts, "; "))
	if why := r.NotFound(); len(why) > 0 {
		s += list("why not: ", why)
	}
	return s
}

// missing says what was not weighed, not given and only declared, and what is next.
func missing(r *record.Record) string {
	var given []string
	for _, entry := range r.NotGiven {
		given = append(given, r.NotGivenLabel(entry))
	}
	return hang("not weighed: ", orNothing(strings.Join(r.NotWeighed(), "; "))) +
		hang("not given: ", orNothing(strings.Join(given, "; "))) +
		list("declared: ", declared(r)) +
		list("next: ", r.Next())
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// declared names the loads that were declared, not weighed, and the totals
// that rest on them.
func declared(r *record.Record) []string {
	var all []string
	for _, d := range r.Declared {
		all = append(all, d.Load+" "+record.KgText(d.AwayKg)+" kg")
	}
	return append(all, r.DeclaredTotals()...)
}

// list prints sentences one below the other behind a lead; "nothing" where
// there is none.
func list(lead string, sentences []string) string {
	if len(sentences) == 0 {
		return hang(lead, "nothing")
	}
	s := ""
	for _, sentence := range sentences {
		s += hang(lead, sentence)
		lead = strings.Repeat(" ", cells(lead))
	}
	return s
}

// remarks are the cautions (guides that are not kept are among them), the
// footnotes under the numbers they have everywhere, and the standing cautions.
func remarks(r *record.Record) string {
	var cautions []string
	for _, c := range r.Cautions {
		cautions = append(cautions, c.Text)
	}
	s := ""
	if len(cautions) > 0 {
		s += list("cautions: ", cautions)
	}
	if groups := r.FootnoteGroups(); len(groups) > 0 {
		s += "footnotes:\n"
		for _, g := range groups {
			s += hang("  "+record.Runs(g.Numbers)+". ", g.Sentence())
		}
	}
	s += "\n"
	for _, c := range record.BriefCautions() {
		s += hang("", c)
	}
	return s
}
