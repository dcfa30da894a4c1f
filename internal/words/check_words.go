package words

import (
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// Check is what is said of one check, in the words and the unit of its record.
// What does not apply is blank.
type Check struct {
	Of                *record.Check
	Label             string   // the rating with what it is on: "axle rating, rear"; the floor, which no form states, says what it asks for
	InState           string   // Label with the state in brackets
	Rating, On, State string   // the parts of it; Rating is Label for the floor
	Value             string   // with its U: "1,890 ± 24"; in kN with the unit; "not weighed" where nothing was found
	Limit             string   // as typed where it was typed in the unit printed; in kN with the unit
	Margin            string   // what is left to the limit, negative where it is exceeded
	Verdict           string   // within, over, unsettled or not weighed; where the readings contradict each other only the last
	NotDeciding       string   // why a row of the ratings in force decides nothing
	Chance            string   // the probability of being past the limit; a dash where there is none
	Hidden            string   // how large a mistake in one reading would not show: a mass, or "any"
	Assumed           string   // what the value rests on beyond the readings
	Plated            string   // what a D-value is with the plated masses
	Notes             []string // what else is to be known, a phrase each
}

// check says a check of the record, or one that might be.
func (w *Words) check(of *record.Check) Check {
	c := *of
	said := Check{
		Of: of, Label: say(w.checkLabel(c)), Rating: say(w.ratingLabel(c.Rating)), On: OnWord(c.On), State: say(w.stateWord(c.State)),
		Value: w.valueText(c), Limit: w.limitText(c), Margin: w.marginText(c), Verdict: say(w.rowVerdict(c.Verdict)), NotDeciding: w.notDeciding(c),
		Chance: probability(c.POver), Hidden: w.hiddenFigure(c), Assumed: w.assumedText(c), Plated: say(w.platedText(c)), Notes: sayAll(w.notes(c)),
	}
	said.InState = said.Label + say(w.inState(c.State))
	if c.Floor {
		said.Rating = said.Label
	}
	return said
}

// valueText prints what a check found, with its U: "1,890 ± 24", in kN with
// the unit, and "not weighed" where nothing was found.
func (w *Words) valueText(c record.Check) string {
	if c.Verdict == "not_weighed" {
		return say("not weighed")
	}
	if s := w.figure(c.ValueKg, c.UKg, c.ValueKN, c.UKN); s != "" {
		return s
	}
	return say("not weighed")
}

// figure prints a load with its U, in kilonewtons with the unit; blank where
// there is none.
func (w *Words) figure(kg, u, kN, uKN *float64) string {
	switch {
	case kN != nil && uKN != nil:
		return kn(*kN) + " ± " + kn(max(expanded(*uKN), 0.01)) + " kN"
	case kg != nil && u != nil:
		return w.massU(*kg, *u)
	}
	return ""
}

// limitText prints the limit of a check: as typed where it was typed in the
// unit printed; kN with the unit, masses without.
func (w *Words) limitText(c record.Check) string {
	switch {
	case c.LimitKN != nil:
		return say(typedFigure(*c.LimitKN) + " kN")
	case c.LimitKg == nil:
		return ""
	}
	if c.Line != nil {
		if figure, ok := w.typedLimit(*c.Line, *c.LimitKg); ok {
			return say(figure)
		}
	}
	return say(w.limitFigure(*c.LimitKg))
}

// limitFigure prints a limit given in kilograms; kilograms with their decimals.
func (w *Words) limitFigure(kg string) string {
	if w.lb {
		return w.massText(kg)
	}
	return typedFigure(kg)
}

// typedLimit is the figure of a line of ratings.csv, where it was typed in the
// unit printed and is the limit itself (a tyre's may be divided).
func (w *Words) typedLimit(line int, limitKg string) (string, bool) {
	for i := range w.Record.Ratings {
		q := &w.Record.Ratings[i]
		if q.Line != line || q.Unit != w.Unit {
			continue
		}
		if !w.lb && q.Value == limitKg && plainWhole(limitKg) {
			return grouped(limitKg), true
		}
		figure, ok := decimalOf(q.Value)
		limit, known := decimalOf(limitKg)
		kg := figure
		if w.lb {
			kg = figure.Mul(kgPerLb)
		}
		return decimalFigure(figure), ok && known && kg.Equal(limit)
	}
	return "", false
}

// ratingValue prints a line of ratings.csv as it was typed: "3,500 kg", "121"
// for a load index, "none".
func ratingValue(value, unit string) string {
	if value == "none" {
		return "none"
	}
	if unit == "" {
		return typedFigure(value)
	}
	return typed(value, unit)
}

// marginText prints what is left to the limit, negative where it is exceeded;
// blank where nothing was weighed.
func (w *Words) marginText(c record.Check) string {
	switch {
	case c.Verdict == "not_weighed":
		return ""
	case c.MarginKN != nil:
		return kn(*c.MarginKN) + " kN"
	case c.MarginKg != nil:
		return w.mass(*c.MarginKg)
	}
	return ""
}

// rowVerdict is the verdict of a row. Where the readings contradict each other
// no row has one, but that it was not weighed.
func (w *Words) rowVerdict(verdict string) string {
	if w.Record.Verdict == "conflict" && verdict != "not_weighed" {
		return ""
	}
	return codeWord(verdict)
}

// notes is what else is to be known of a check, a phrase each: whether it
// decides, on which support it was compared, what was assumed, what the rating
// would have to be, and where the rating was found.
func (w *Words) notes(c record.Check) []string {
	var notes []string
	note := func(ok bool, text string) {
		if ok {
			notes = append(notes, text)
		}
	}
	note(!c.Decides && c.Set == "", w.whyNotDeciding(c))
	note(c.Floor, "a coupling that lifts is not safe to tow with (common practice, no source)")
	note(c.OnlyTensioned, "passes only because the hitch is tensioned")
	note(w.onAnother(c), "compared on "+w.heldOn(c))
	for _, a := range c.Assumed {
		notes = append(notes, w.assumedNote(a, c))
	}
	if c.NeededKg != nil {
		note(true, "rating needed: "+w.massUp(*c.NeededKg)+" "+w.Unit)
	}
	note(c.Rating == "d_value", w.platedText(c))
	note(c.Rating == "towing" && w.Record.Options.Region == "uk", "the limit is guidance on the whole trailer")
	source := w.ratingSource(c.Line)
	note(source != "", "source: "+source)
	return notes
}

// platedText says what the D-value is with the plated masses; blank for every
// other check.
func (w *Words) platedText(c record.Check) string {
	switch {
	case c.Rating != "d_value":
		return ""
	case c.PlatedKN == nil:
		return "computed from the masses as weighed; UN R55 means the plated masses, which are not all given"
	}
	text := "computed from the masses as weighed; with the plated masses, which UN R55 means, it is " + kn(*c.PlatedKN) + " kN"
	if c.LimitKN == nil {
		return text
	}
	if limit, ok := decimalOf(*c.LimitKN); ok && decimal.NewFromFloat(*c.PlatedKN).GreaterThan(limit) {
		text += ", more than the rating"
	}
	return text
}

// whyNotDeciding says why a row is shown and does not decide.
func (w *Words) whyNotDeciding(c record.Check) string {
	if !w.travelsIn(c.State) {
		return "not as it travels"
	}
	return "not the lowest"
}

// travelsIn says whether a state decides: the one travelled in, the vehicle
// alone, and none at all.
func (w *Words) travelsIn(state string) bool {
	switch state {
	case "coupled_slack":
		return w.Record.Outfit.Travels != "tensioned"
	case "coupled_tensioned":
		return w.Record.Outfit.Travels == "tensioned"
	}
	return true
}

// onAnother says whether a tyre or wheel was compared on a finer support, or
// another, than its line names.
func (w *Words) onAnother(c record.Check) bool {
	return (c.Rating == "tyre" || c.Rating == "wheel") && len(c.HeldOn) > 0 && (len(c.HeldOn) > 1 || c.HeldOn[0] != c.On)
}

func (w *Words) heldOn(c record.Check) string {
	var nouns []string
	for _, on := range c.HeldOn {
		nouns = append(nouns, w.axleNoun(on))
	}
	return listed(nouns)
}

// ratingSource is where the rating of a line was found; blank where nothing says
// it, or there is no line.
func (w *Words) ratingSource(line *int) string {
	for i := range w.Record.Ratings {
		if q := &w.Record.Ratings[i]; line != nil && q.Line == *line {
			return q.Source
		}
	}
	return ""
}

// hiddenMistake says how large a mistake in one reading would not show in a
// check, next to what is left; blank where nothing is known of it.
func (w *Words) hiddenMistake(c record.Check) string {
	switch {
	case c.Verdict == "not_weighed":
		return ""
	case !c.Checked:
		return say("a mistake of any size in a reading it rests on would not show")
	case c.MistakeEffectKg != nil:
		return say("a mistake in one reading worth up to " + w.massUp(*c.MistakeEffectKg) + " " + w.Unit + " would not show")
	}
	return ""
}

// hiddenFigure is hiddenMistake as the cell of a table: "any", a mass, or blank.
func (w *Words) hiddenFigure(c record.Check) string {
	switch {
	case c.Verdict == "not_weighed":
		return ""
	case !c.Checked:
		return say("any")
	case c.MistakeEffectKg != nil:
		return w.massUp(*c.MistakeEffectKg)
	}
	return ""
}

// figures are what was found, the limit and what is left or too much.
func (w *Words) figures(c record.Check) string {
	unit := " " + w.Unit
	if c.ValueKN != nil {
		unit = ""
	}
	against, left, beyond := " against ", " left", " too much"
	if c.Rating == "download_min" {
		against, left, beyond = " against at least ", " more than needed", " too little"
	}
	margin := w.marginText(c)
	if rest, negative := strings.CutPrefix(margin, "-"); negative {
		margin, left = rest, beyond
	} else if c.MarginKg != nil && *c.MarginKg < 0 {
		margin, left = "less than 1", beyond
	}
	return w.valueText(c) + unit + against + w.limitText(c) + ", " + margin + left
}
