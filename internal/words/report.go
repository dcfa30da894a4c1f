package words

import "reconcile/internal/record"

// headline is what is read first of a record. What there is nothing to say of
// is blank.
type headline struct {
	Title     string // the job, or its outfit where it has no name
	Weighed   string // the first and last time of the readings used
	Sites     string // where, each site once
	Replaces  string // what an amendment replaces, and why
	Signed    string // by whom it was signed in the same run
	Made      string // where the record is and what made it
	DoNow     string // line 1: what to do now, the gravest thing first
	Sign      string // the verdict that its sign and colour stand for: the one as weighed, or where that is within, what becomes of it over the trip
	Verdict   string // line 2
	Why       string // about the rating that governs: its figures, and what else is to be known of it
	CannotBe  []string
	Questions []question // in the record's order
	Next      []next
	Governs   *record.Check // the check that the record says governs; nil: none
	Named     *Check        // the one that the words name: Governs, or the rating of least margin where that is the floor, kept
}

// next is one thing to do next.
type next struct {
	Text        string
	UNow, UThen string // of a load, where a further reading makes it smaller: "± 24"
}

// Headline says what is read first. It is said once.
func (w *Words) Headline() *headline {
	if w.first == nil {
		said := w.headline()
		w.first = &said
	}
	return w.first
}

func (w *Words) headline() headline {
	h := headline{
		Title: say(w.title()), Weighed: say(w.weighedWhen()), Sites: say(w.weighedWhere()), Replaces: say(w.replacesText()), Signed: say(w.signedText()),
		Made:  say("The record is attached to this file as record.json. Made with reconcile " + w.Record.Program + ", model " + itoa(w.Record.Model) + "."),
		DoNow: say(w.doNow()), Sign: w.sign(), Verdict: say(w.verdict()), Why: say(w.whyByRule()), Next: w.next(), Governs: w.governs(),
	}
	if c := w.named(); c != nil {
		said := w.check(c)
		h.Named = &said
	}
	for i := range w.Record.CannotBe {
		h.CannotBe = append(h.CannotBe, say(w.cannotBe(i)))
	}
	for i := range w.Record.Questions {
		h.Questions = append(h.Questions, w.question(i))
	}
	return h
}

// report is what else a report says of a record, in sentences. What there is
// nothing to say of is blank.
type report struct {
	Checks        []Check  // in the record's order
	Agreement     string   // how the readings agree, and what was done where they agree poorly
	OddRoute      string   // in a conflict, the route to the download that differs from the others
	Doubtful      []string // figures in doubt, each set that cannot be separated
	Mistakes      []string // single mistakes under which the readings would agree, likeliest first
	SearchStopped string   // that not every mistake was tried
	NotWeighed    []string // deciding loads without a value
	NotGiven      []string // usual ratings without a line
	Declared      []string // masses that were stated, not weighed, and what rests on them
	NotFound      []string // why trailer mass and download have no number
	Hitch         string   // what was assumed of a hitch, where the form does not say
	Cautions      []string // those of the record
	Standing      []string // those of every report, in two lines
	Footnotes     []footnote
	Sets          []set // of planned ratings, in the record's order
	Trip          trip
	Bars          bars
	Levers        levers
	Headroom      []headroom // in the record's order
	Drawing       drawing
	Plan          plan
	Changes       changes
}

// Report says what else there is. It is said once.
func (w *Words) Report() *report {
	if w.rest == nil {
		said := w.report()
		w.rest = &said
	}
	return w.rest
}

func (w *Words) report() report {
	out := report{
		Agreement: say(w.agreementText()), OddRoute: say(w.oddRouteText()), Mistakes: sayAll(w.mistakes()), SearchStopped: say(w.searchStopped()),
		NotWeighed: sayAll(w.notWeighed()), NotGiven: sayAll(w.notGiven()), Declared: sayAll(w.declared()), NotFound: sayAll(w.notFound()),
		Hitch: say(w.hitchNote()), Cautions: sayAll(w.cautions()), Standing: sayAll(briefCautions()), Footnotes: w.footnotes(),
		Sets: w.sets(), Trip: w.trip(), Bars: w.bars(), Levers: w.levers(), Headroom: w.headroom(), Drawing: w.drawing(), Plan: w.plan(), Changes: w.changes(),
	}
	out.Checks = make([]Check, len(w.Record.Checks))
	for i := range out.Checks {
		out.Checks[i] = w.check(&w.Record.Checks[i])
	}
	for i, set := range w.Record.Doubtful {
		out.Doubtful = append(out.Doubtful, say(w.doubtfulText(set, i == 0)))
	}
	return out
}
