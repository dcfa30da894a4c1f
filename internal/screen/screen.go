// Package screen draws a record as text for a terminal of 80 columns, and the
// jobs of a run as a table. It computes nothing and says nothing of its own:
// every sentence is of package words, the same as on the pages.
package screen

import (
	"io"
	"strconv"
	"strings"

	"reconcile/internal/words"
)

// mistakesShown is how many likely mistakes a terminal lists; the record and
// the pages have them all.
const mistakesShown = 5

// view is the words of a record while they are drawn.
type view struct{ *words.Words }

// lead is a label in front of text: "next: ".
func (r view) lead(code string) string { return r.Head(code) + ": " }

// Report writes the short report of one job: what to do now on the first line,
// the verdict on the second, then what to look at again, why, the ratings
// compared, and what is missing, stated, next and to be known. No line is longer
// than Columns, and there is no colour. What changed since an earlier visit is
// below, where there was one. The error is the writer's.
func Report(w io.Writer, say *words.Words) error {
	r := view{say}
	var b strings.Builder
	b.WriteString(r.top())
	b.WriteString(r.lookAgain())
	b.WriteString(hang(r.lead("why"), r.Headline().Why))
	b.WriteString(r.about())
	b.WriteString(r.mistakes())
	b.WriteString(r.checks())
	b.WriteString("\n" + r.found())
	b.WriteString(r.missing())
	b.WriteString(r.remarks())
	if say.Earlier != nil {
		b.WriteString("\n" + r.changes())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// top is what to do now and the verdict.
func (r view) top() string {
	return hang(r.lead("do_now"), r.Headline().DoNow) + hang(r.lead("verdict"), r.Headline().Verdict)
}

// lookAgain lists what cannot be and every question of the ratings in force
// that is not answered, each with its line and what to write if it is right.
// Questions of planned ratings are with their table.
func (r view) lookAgain() string {
	var again, asked []string
	for _, q := range r.Headline().Questions {
		switch {
		case q.Set != "":
		case q.Answered:
			asked = append(asked, q.Place+": "+q.Asked)
		default:
			again = append(again, q.Full)
		}
	}
	return r.listed("cannot_be", r.Headline().CannotBe) + r.listed("look_again", again) + r.listed("asked", asked)
}

// about says which job and outfit it is, and how the readings agree.
func (r view) about() string {
	said := r.Report()
	s := ""
	if r.Record.Job != "" {
		s += hang(r.lead("job"), r.Record.Job)
	}
	s += r.line("replaces", strings.TrimPrefix(r.Headline().Replaces, r.Head("replaces")+" "))
	o := r.Record.Outfit
	s += r.line("outfit", join(", ", o.Vehicle, o.VehicleID, o.Trailer, o.TrailerID))
	if r.Record.Verdict != "conflict" { // there the reason says it
		return s + hang("", said.Agreement)
	}
	return s + r.line("routes_disagree", said.OddRoute)
}

// line is a lead and text; nothing where there is no text.
func (r view) line(code, text string) string {
	if text == "" {
		return ""
	}
	return hang(r.lead(code), text)
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
func (r view) mistakes() string {
	said := r.Report()
	all, stopped := said.Mistakes, said.SearchStopped
	if len(all) == 0 {
		return hang("", stopped)
	}
	s := hang("", r.Head("mistakes"))
	for i, what := range all[:min(len(all), mistakesShown)] {
		s += hang("  "+strconv.Itoa(i+1)+". ", what)
	}
	if more := len(all) - mistakesShown; more > 0 {
		s += hang("  ", "and "+strconv.Itoa(more)+" more")
	}
	return s + hang("  ", stopped)
}

// found says the masses that an owner asks for first, why one has no number,
// and what holds over the trip and of the bars.
func (r view) found() string {
	report := r.Report()
	var parts []string
	for _, name := range []string{"download", "download_share", "trailer_mass", "combination"} {
		if name != "download_share" || r.Record.Quantities.Get(name) != nil {
			said := r.Quantity(name)
			parts = append(parts, said.Label+" "+said.Text)
		}
	}
	s := hang(r.lead("found"), strings.Join(parts, "; ")) + r.listed("why_not", report.NotFound)
	if r.Record.Trip != nil {
		s += r.listed("trip", append([]string{report.Trip.Text}, r.tripChecks()...))
	}
	return s + r.line("bars", report.Bars.Text)
}

// tripChecks are the checks that the trip does not keep or know.
func (r view) tripChecks() []string {
	said := r.Report()
	var texts []string
	for i, c := range said.Trip.Checks {
		if r.Record.Trip.Checks[i].Verdict != "within" {
			texts = append(texts, c.Text)
		}
	}
	return texts
}

// missing says what was not weighed, not given and only stated, and what is next.
func (r view) missing() string {
	said := r.Report()
	return hang(r.lead("not_weighed"), r.orNothing(said.NotWeighed)) + hang(r.lead("not_given"), r.orNothing(said.NotGiven)) +
		r.list("declared", said.Declared) + r.list("next", r.next())
}

// next is what to do next, one sentence a line.
func (r view) next() []string {
	var texts []string
	for _, n := range r.Headline().Next {
		texts = append(texts, n.Text)
	}
	return texts
}

func (r view) orNothing(texts []string) string {
	if len(texts) == 0 {
		return r.Head("nothing")
	}
	return strings.Join(texts, "; ")
}

// list prints sentences one below the other behind a lead; "nothing" where
// there is none. listed leaves itself out then.
func (r view) list(code string, sentences []string) string {
	if len(sentences) == 0 {
		return hang(r.lead(code), r.Head("nothing"))
	}
	return r.listed(code, sentences)
}

func (r view) listed(code string, sentences []string) string {
	s, lead := "", r.lead(code)
	for _, sentence := range sentences {
		s += hang(lead, sentence)
		lead = strings.Repeat(" ", cells(lead))
	}
	return s
}

// remarks are the cautions (guides that are not kept are among them), the
// footnotes under the numbers they have everywhere, and the standing cautions.
func (r view) remarks() string {
	said := r.Report()
	s := r.listed("cautions", said.Cautions)
	if len(said.Footnotes) > 0 {
		s += r.Head("footnotes") + ":\n"
		for _, f := range said.Footnotes {
			s += hang("  "+f.Numbers+". ", f.Text)
		}
	}
	s += r.line("signed", r.Headline().Signed) + "\n"
	for _, c := range said.Standing {
		s += hang("", c)
	}
	return s
}
