package words

import "reconcile/internal/record"

// evidence is what the pages say behind a report, for whoever checks it figure
// by figure. Each list is in the order of the record's list of that name; what
// there is nothing to say of is a blank cell.
type evidence struct {
	Fit       string     // the fit in figures, with and without the moment ties
	Ties      [][]string // what is compared, the residual, its u, the doubt
	Loads     [][]string // the mass as stated, as solved with ± U, the doubt
	Routes    [][]string // by which readings, the download with ± U
	Imbalance [][]string // what is taken off what, the difference with ± U
	Guides    [][]string // its name, value, what is usual, whether it is kept, its source
	Ratings   [][]string // its name, the figure as typed, what became of the line
	Readings  []reading
	Scales    [][]string // interval, most it carries, what its certificate states of its uncertainty
	Inputs    []string   // which lines of the form are attached
	Method    []paragraph
	Standing  []string // the cautions of every summary, in full
}

// reading is one figure of the tickets and what it became.
type reading struct {
	Setup                            string   // how the outfit was: "coupled, hitch slack"
	How                              string   // weighed at once, or added up by somebody, or weighed and left out
	Entered                          []string // as typed, in the unit printed where that is another, the interval
	Correction, Reconciled, Residual string
	Doubt                            []string // the residual in its own standard deviations, the smallest mistake that would show
	Footnotes                        string   // "footnotes 3-4"
}

// Evidence says what is behind the report. It is said once.
func (w *Words) Evidence() *evidence {
	if w.behind == nil {
		said := w.evidence()
		w.behind = &said
	}
	return w.behind
}

func (w *Words) evidence() evidence {
	e := evidence{Fit: say(w.fitTexts()), Method: w.method(), Standing: sayAll(w.standingCautions())}
	for _, t := range w.Record.Ties {
		e.Ties = append(e.Ties, []string{say(w.tieWord(t.Name)), w.mass(t.ResidualKg), w.mass(t.UKg), say(doubtText(t.Standardised, t.Suspect))})
	}
	for _, l := range w.Record.Loads {
		e.Loads = append(e.Loads, []string{w.massText(l.DeclaredKg), w.figure(l.SolvedKg, l.UKg, nil, nil), say(doubtText(l.Standardised, l.Suspect))})
	}
	for _, p := range w.Record.Routes {
		e.Routes = append(e.Routes, []string{say(routeWord(p.Route)), w.massU(p.ValueKg, p.UKg)})
	}
	for _, i := range w.Record.Imbalance {
		e.Imbalance = append(e.Imbalance, []string{say(w.imbalanceLabel(i.Support)), w.massU(i.Kg, i.UKg)})
	}
	for _, g := range w.Record.Guides {
		e.Guides = append(e.Guides, []string{
			say(w.guideLabel(g.Guide, g.On)), say(w.guideValue(g.Guide, g.Value, g.U)), say(w.guideUsual(g.Guide, g.Low, g.High)), say(guideKept(g.Kept)), say(sourceWord(g.Source)),
		})
	}
	for _, q := range w.Record.Ratings {
		e.Ratings = append(e.Ratings, []string{say(w.keyLabel(q.Rating, q.On)), say(ratingValue(q.Value, q.Unit)), say(ratingStatusWord(q.Status))})
	}
	for i := range w.Record.Readings {
		e.Readings = append(e.Readings, w.reading(&w.Record.Readings[i]))
	}
	for i := range w.Record.Scales {
		e.Scales = append(e.Scales, sayAll(w.scaleFigures(i)))
	}
	for _, in := range w.Record.Inputs {
		e.Inputs = append(e.Inputs, say(inputLines(in.Lines)))
	}
	return e
}

func (w *Words) reading(g *record.Reading) reading {
	out := reading{
		Setup: say(w.setupOf(g)), How: say(howWeighed(g)), Entered: sayAll(w.entered(g)), Doubt: w.doubt(g), Footnotes: say(w.footnotesOf(g)),
		Reconciled: w.massOr(g.ReconciledKg), Residual: w.massOr(g.ResidualKg),
	}
	if g.CorrectionKg != nil {
		out.Correction = w.massSigned(*g.CorrectionKg)
	}
	return out
}

// massOr is a mass, or a blank.
func (w *Words) massOr(kg *float64) string {
	if kg == nil {
		return ""
	}
	return w.mass(*kg)
}

// entered is a figure as typed, what it is in the unit printed, and its
// interval, marked where that was assumed.
func (w *Words) entered(g *record.Reading) []string {
	all := []string{typed(g.Reading, g.Unit)}
	if g.ReadingKg != "" && g.Unit != w.Unit && g.Unit != "" {
		all = append(all, "= "+w.massText(g.ReadingKg)+" "+w.Unit)
	}
	if interval := intervalOf(g); interval != "" {
		all = append(all, interval)
	}
	return all
}

// doubt is how a figure that was used fared, and the smallest mistake in it
// that would show.
func (w *Words) doubt(g *record.Reading) []string {
	if g.Use == "no" || g.Use == "calculated" {
		return nil
	}
	all := []string{say(doubtText(g.Standardised, g.Suspect))}
	if g.Standardised != nil && g.SmallestDetectableKg != nil {
		all = append(all, w.mass(*g.SmallestDetectableKg)+" "+w.Unit)
	}
	return all
}

// footnotesOf names the footnotes about a line of tickets.csv.
func (w *Words) footnotesOf(g *record.Reading) string {
	var numbers []int
	for i, f := range w.Record.Footnotes {
		if f.Line == g.Line && footnoteForm(f) == "tickets.csv" {
			numbers = append(numbers, i+1)
		}
	}
	switch len(numbers) {
	case 0:
		return ""
	case 1:
		return "footnote " + runs(numbers)
	}
	return "footnotes " + runs(numbers)
}

// scaleFigures are the interval and the most that a scale carries, and what its
// certificate states of its uncertainty, as typed.
func (w *Words) scaleFigures(i int) []string {
	c, stated := &w.Record.Scales[i], ""
	for _, part := range [][2]string{{"U ", c.ExpandedUncertainty}, {"at ", c.StatedAt}, {"split u ", c.SplitUncertainty}} {
		if part[1] != "" { // in kilograms whatever the pages print
			stated = paired(stated, part[0]+typed(part[1], "kg"), " ")
		}
	}
	all := []string{c.Interval, c.Max}
	for i, figure := range all {
		if figure != "" {
			all[i] = typed(figure, c.Unit)
		}
	}
	return append(all, stated)
}
