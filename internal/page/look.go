package page

import (
	"reconcile/internal/flow"
	"reconcile/internal/words"
)

// looked is a summary that was looked at.
type looked struct {
	name  string
	found *flow.Verification
}

// believed says whether what a summary says may be repeated: of one that is not
// sound nothing is, lest "you may drive it" is read off a forged one.
func (l looked) believed() bool {
	return l.found.Record != nil && l.found.Sound
}

// doLook checks one or two summaries.
func (pg *page) doLook(e event, _ []string, r *Reply) {
	if len(e.Files) == 0 {
		return
	}
	pg.looked = nil
	if len(e.Files) > 2 {
		pg.refuse(say("at_most_two_summaries_x", itoa(len(e.Files))))
		return
	}
	for _, f := range e.Files {
		pg.looked = append(pg.looked, looked{f.Name, flow.Verify(f.Bytes, nil)})
	}
	r.Focus = "looked-0"
}

func (pg *page) drawLook() string {
	inside := heading("look", say("look_at_a_summary")) +
		p("help", say("pick_or_drop_the_pdf")) +
		el("div", at{"class", "drop", "data-drop", "look"}, pg.field(input{do: "look", at: "pdf", label: say("one_or_two_summaries_pdf"), kind: "pdfs"})) + pg.drawNotice()
	for i, l := range pg.looked {
		inside += drawLooked(i, l)
	}
	if len(pg.looked) == 2 && pg.looked[0].believed() && pg.looked[1].believed() {
		inside += drawCompared(pg.looked[0], pg.looked[1])
	}
	return inside
}

// drawLooked says of a summary whether it is the same as when it was finished,
// follows from its readings, and who says so; and what that does not prove.
func drawLooked(i int, l looked) string {
	v := l.found
	inside := el("h3", at{"id", "looked-" + itoa(i), "tabindex", "-1"}, esc(l.name)) +
		el("p", at{"class", "outcome " + v.Outcome}, el("span", at{"class", "verdict-mark", "aria-hidden", "true"}, outcomeMark(v.Outcome)), " ", el("strong", nil, esc(sentence(v.Last))))
	if l.believed() {
		first := words.Of(v.Record, nil).Headline()
		inside += p("", sentence(first.Title)) + p("do-now", sentence(first.DoNow)) + p("", sentence(first.Verdict))
	}
	var found []string
	for _, f := range v.Findings {
		found = append(found, sentence(f.Said))
	}
	inside += list("findings", found)
	if v.SHA256 != "" {
		inside += el("p", nil, say("sha_256_of_the_record"), el("code", nil, esc(v.SHA256)))
	}
	if !l.believed() {
		return el("section", at{"class", "panel looked"}, inside)
	}
	return el("section", at{"class", "panel looked"}, inside, el("h4", nil, say("what_this_does_and_does")), list("", proves(v)))
}

// proves says what a summary proves and what not. Of pages that another version
// drew nothing is known; the time of signing is said where somebody signed.
func proves(v *flow.Verification) []string {
	first := say("it_proves_that_the_pages")
	if !v.Usable {
		first = say("it_proves_that_the_record")
	}
	all := []string{first, say("it_does_not_prove_that")}
	if len(v.Signers) > 0 {
		all = append(all, say("the_time_of_signing_is"))
	}
	return all
}

func outcomeMark(outcome string) string {
	switch outcome {
	case "vouched", "signed", "not_signed":
		return "✓"
	case "not_sound":
		return "✕"
	}
	return "?"
}

// drawCompared is what changed from the first summary to the second.
func drawCompared(a, b looked) string {
	w := words.Of(b.found.Record, nil)
	w.Earlier = a.found.Record
	var rows [][]string
	changes := w.Report().Changes
	for _, c := range changes.Rows {
		rows = append(rows, []string{c.Label, c.Old, c.New, c.By, c.Word})
	}
	return el("section", at{"class", "panel"}, sumTable(changes.Head, []string{w.Head("quantity"), w.Head("before"), w.Head("now"), w.Head("change"), w.Head("what")}, rows))
}
