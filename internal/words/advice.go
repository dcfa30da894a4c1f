package words

import (
	"strings"

	"reconcile/internal/record"
)

// advice says one thing to do next. later: it is a reading to take after
// another one.
func (w *Words) advice(a *record.Advice, later bool) string {
	switch a.Kind {
	case "weigh":
		text := w.weighAdvice(a)
		if later {
			text = "then " + text
		}
		return text
	case "remove":
		return w.removeAdvice(a)
	case "rating":
		return w.ratingAdvice(a)
	case "look":
		return w.lookAdvice(a)
	case "compare":
		return w.compareAdvice(a)
	}
	return codeWord(a.Kind)
}

// lookAdvice names the line to look at again, and what to do if it is right.
func (w *Words) lookAdvice(a *record.Advice) string {
	press := "press " + button("yes_i_checked_it_is") + " there"
	switch {
	case a.Line == 0 || a.Code == "":
		return "look again at what is asked: correct the line, or " + w.reader("write the question's code in its column confirmed", press)
	case a.Code == "bars_not_stated":
		return "look again at " + w.formLine(a.File, a.Line) + ": " + w.shortQuestion(a.Code) + w.reader(" Fill in travels", " Choose under "+button("load_distribution_bars_on_the"))
	}
	return "look again at " + w.formLine(a.File, a.Line) + ": " + w.shortQuestion(a.Code) + " Correct it, or " + w.reader("write "+a.Code+" in its column confirmed", press)
}

// weighAdvice is one further reading and what it does.
func (w *Words) weighAdvice(a *record.Advice) string {
	text := w.weighWords(a.Setup, a.Hitch, a.OnDeck)
	var parts []string
	if serves := w.servesWords(a); serves != "" {
		parts = append(parts, serves)
	}
	if places := w.locateWords(a); places != "" {
		parts = append(parts, places)
	}
	if len(parts) == 0 {
		return text
	}
	return text + ": " + strings.Join(parts, "; ")
}

// locateWords says which readings the one advised would single out.
func (w *Words) locateWords(a *record.Advice) string {
	shows := a.Shows
	if len(shows) == 0 {
		shows = a.Among
	}
	if len(shows) == 0 {
		return ""
	}
	return "it would show whether the mistake is in " + either(w.placeWords(shows))
}

func (w *Words) placeWords(places []record.Place) []string {
	var names []string
	for _, p := range places {
		names = append(names, w.placeWord(p))
	}
	return names
}

// compareAdvice names the figures to compare with their tickets.
func (w *Words) compareAdvice(a *record.Advice) string {
	if len(a.Among) == 0 {
		return "compare " + w.everyLine() + ", and weigh again what that does not clear up"
	}
	return "compare each of these with the ticket: " + strings.Join(w.placeWords(a.Among), "; ")
}

// weighWords says what to do at the weighbridge: "weigh the coupled outfit with
// only the rear axle on the deck".
func (w *Words) weighWords(setup, hitch, deck string) string {
	switch {
	case deck == "empty":
		return "write down what the display shows with nothing on the deck"
	case deck == "coupling":
		return "weigh the " + w.download() + " with a gauge under the coupling, trailer uncoupled and level"
	case setup == "vehicle_alone" && (deck == "front+rear" || deck == "vehicle"):
		return "weigh the whole vehicle uncoupled"
	case setup == "vehicle_alone":
		return "weigh the vehicle uncoupled, with only " + w.deckNouns(deck) + " on the deck"
	case setup == "trailer_alone" && (deck == "trailer+nose" || deck == "all"):
		return "weigh the whole trailer uncoupled, its " + w.noseWord() + " on the deck"
	case setup == "trailer_alone" && deck == "trailer" && w.drawbar():
		return "weigh the whole trailer uncoupled"
	case setup == "trailer_alone":
		return "weigh the trailer uncoupled, with only " + w.deckNouns(deck) + " on the deck"
	case deck == "front+rear+trailer" || deck == "all":
		return "weigh the whole outfit " + w.setupWord(setup, hitch)
	}
	bars := strings.TrimPrefix(w.setupWord(setup, hitch), "coupled")
	return "weigh the coupled outfit" + bars + ", with only " + w.deckNouns(deck) + " on the deck"
}

// servesWords says what a reading does for the checks it serves, by need.
func (w *Words) servesWords(a *record.Advice) string {
	var gives, parts []string
	for i := range a.For {
		v := &a.For[i]
		switch v.Need {
		case "not_weighed":
			gives = addOnce(gives, w.loadInState(v.Rating, v.On, v.State)+" to ± "+w.amount(v.UThenKg, v.UThenKN))
		case "unsettled":
			parts = append(parts, w.settleWords(a, i))
		}
	}
	if len(gives) > 0 {
		parts = append([]string{"it gives " + listed(gives)}, parts...)
	}
	if words := w.crossCheckWords(a); words != "" {
		parts = append(parts, words)
	}
	return strings.Join(parts, "; ")
}

// settleWords says what a reading does for the i-th check it serves, which is
// unsettled.
func (w *Words) settleWords(a *record.Advice, i int) string {
	v := &a.For[i]
	s := "U of " + w.loadInState(v.Rating, v.On, v.State) + " falls from " + w.amount(v.UNowKg, v.UNowKN) + " to " + w.amount(v.UThenKg, v.UThenKN)
	switch {
	case v.Solved && v.Verdict != "":
		return s + ", which settles it (" + codeWord(v.Verdict) + ") if it weighs the same"
	case v.Solved:
		return s + ", which settles it if it weighs the same"
	}
	return s + ", which does not settle it"
}

// crossCheckWords says what a reading would cross-check, and from which size a
// mistake would show. It is called a cross-check only where a mistake that
// would still hide is no larger than the margin of what governs.
func (w *Words) crossCheckWords(a *record.Advice) string {
	var names []string
	most := 0.0
	for _, v := range a.For {
		if v.Need != "not_checked" {
			continue
		}
		names = addOnce(names, w.loadNoun(v.Rating, v.On))
		if v.MistakeEffectKg != nil {
			most = max(most, *v.MistakeEffectKg)
		}
	}
	names = firstFew(names, "load")
	switch {
	case len(names) == 0:
		return ""
	case most == 0:
		return "a mistake in a reading of " + listed(names) + " would then show"
	case w.isCrossCheck(most):
		return "it cross-checks " + listed(names) + ": a mistake worth more than " + w.massUp(most) + " " + w.Unit + " would show"
	}
	return "a mistake worth more than " + w.massUp(most) + " " + w.Unit + " in a reading of " + listed(names) + " would then show; a smaller one could still hide more than is left"
}

// firstFew keeps the first names of a long list and counts the rest.
func firstFew(names []string, word string) []string {
	const most = 4
	if len(names) <= most {
		return names
	}
	return append(names[:most-1:most-1], counted(len(names)-most+1, "more "+word))
}

// isCrossCheck says whether what could still hide is within the margin left.
func (w *Words) isCrossCheck(most float64) bool {
	c := w.governs()
	return c != nil && c.MarginKg != nil && most <= *c.MarginKg
}

// amount prints an expanded uncertainty in the check's unit from the standard one.
func (w *Words) amount(u, uKN *float64) string {
	switch {
	case uKN != nil:
		return kn(max(expanded(*uKN), 0.01)) + " kN"
	case u != nil:
		return strings.TrimPrefix(w.plusMinus(*u), "± ") + " " + w.Unit
	}
	return notDetermined
}

// removeAdvice says what has to come off, and what the rating would have to be.
func (w *Words) removeAdvice(a *record.Advice) string {
	if len(a.For) == 0 {
		return "take load off or move it, then weigh again"
	}
	v := &a.For[0]
	if v.Rating == "d_value" {
		return "tow less: the trailer is too heavy for the coupling's D-value" + w.nowAgainst(v.Rating, v.On, v.State)
	}
	text := "take at least " + w.upText(a.Kg) + " off " + w.placeNoun(v.Rating, v.On)
	if v.Rating == "download_min" {
		text = "put at least " + w.upText(a.Kg) + " more on the coupling"
	}
	text += w.nowAgainst(v.Rating, v.On, v.State)
	if a.NeededKg != nil {
		text += "; the rating would have to be " + w.massUp(*a.NeededKg) + " " + w.Unit
	}
	return text
}

// nowAgainst is the value of a check and its limit, after a colon.
func (w *Words) nowAgainst(rating, on, state string) string {
	for c := range w.deciding() {
		if c.Rating != rating || c.On != on || c.State != state || c.Verdict == "not_weighed" || c.Verdict == "within" {
			continue
		}
		return ": " + w.figures(*c)
	}
	return ""
}

// ratingAdvice names the ratings to find.
func (w *Words) ratingAdvice(a *record.Advice) string {
	names := w.ratingNouns(a.Ratings)
	if len(names) == 0 {
		names = w.ratingNouns(w.Record.NotGiven)
	}
	if len(names) == 0 {
		return w.noRating()
	}
	return "find the " + listed(names) + " on the plate or in the handbook; " + w.reader("a line with the value none says that there is none", "where there is none, tick "+button("there_is_none"))
}
