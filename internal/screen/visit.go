package screen

import (
	"io"
	"strconv"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Visit writes the plan of a visit: the drives with their stops and how each
// is written in tickets.csv, what cross-checks them, how well each rated load
// would then be known, and what to mind before going. Masses are in unit, kg or
// lb. No line is longer than Columns. The error is the writer's.
func Visit(w io.Writer, v *record.Visit, unit string) error {
	say := words.OfVisit(v, unit)
	var b strings.Builder
	b.WriteString(hang("", say.VisitTitle(v)))
	if v.Job != "" {
		b.WriteString(hang(say.Head("job")+": ", v.Job))
	}
	b.WriteString(drives(say, v.Drives, 1))
	if len(v.CrossChecks) > 0 {
		b.WriteString("\n" + hang("", say.Head("cross_checks")) + drives(say, v.CrossChecks, 0))
	}
	var known, mind []string
	for _, c := range v.Checks {
		known = append(known, say.VisitCheck(c))
	}
	for _, m := range v.Mind {
		mind = append(mind, say.VisitMind(v, m.Code))
	}
	b.WriteString(listUnder(say.Head("known_then"), known))
	b.WriteString(listUnder(say.Head("mind"), mind))
	_, err := io.WriteString(w, b.String())
	return err
}

// drives lists drives, numbered from first on; 0 leaves them unnumbered, for
// stops that may belong to a drive listed before.
func drives(say *words.Words, all []record.VisitDrive, first int) string {
	s := ""
	for i, d := range all {
		lead := ""
		if first > 0 {
			lead = say.Head("drive") + " " + strconv.Itoa(first+i) + ": "
		}
		s += hang(lead, say.VisitDrive(d)+" ("+say.Head("setup")+": "+d.Setup+")")
		for _, stop := range d.Stops {
			s += hang("  - ", say.VisitStop(stop)+written(say, stop))
		}
	}
	return s
}

// written says how a stop of one figure is written in tickets.csv.
func written(say *words.Words, stop record.VisitStop) string {
	if len(stop.OnDeck) != 1 {
		return ""
	}
	return " (" + say.Head("on_deck") + ": " + stop.OnDeck[0] + ")"
}

// listUnder puts texts under a heading; nothing where there are none.
func listUnder(heading string, texts []string) string {
	if len(texts) == 0 {
		return ""
	}
	s := "\n" + hang("", heading+":")
	for _, text := range texts {
		s += hang("  - ", text)
	}
	return s
}
