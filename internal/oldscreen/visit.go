package oldscreen

import (
	"io"
	"strconv"
	"strings"

	record "reconcile/internal/oldrecord"
)

// Visit writes the plan of a visit: the drives with their stops and how each
// is spelt in tickets.csv, what cross-checks them, how well each rated load
// would then be known, and what to mind before going. No line is longer than
// Columns. The error is the writer's.
func Visit(w io.Writer, v *record.Visit) error {
	var b strings.Builder
	b.WriteString(hang("", v.Title))
	if v.Job != "" {
		b.WriteString(hang("job: ", v.Job))
	}
	b.WriteString(drives(v.Drives, 1))
	if len(v.CrossChecks) > 0 {
		b.WriteString("\nso that a mistake would show, also:\n" + drives(v.CrossChecks, 0))
	}
	b.WriteString(listUnder("each rated load is then known", checkTexts(v)))
	b.WriteString(listUnder("mind before going", mindTexts(v)))
	_, err := io.WriteString(w, b.String())
	return err
}

// drives lists drives, numbered from first on; 0 leaves them unnumbered, for
// stops that may belong to a drive listed before.
func drives(all []record.VisitDrive, first int) string {
	s := ""
	for i, d := range all {
		lead := ""
		if first > 0 {
			lead = "drive " + strconv.Itoa(first+i) + ": "
		}
		s += hang(lead, d.Text+" (setup: "+d.Setup+")")
		for _, stop := range d.Stops {
			s += hang("  - ", stop.Text+spelt(stop))
		}
	}
	return s
}

// spelt says how a stop of one figure stands in tickets.csv.
func spelt(stop record.VisitStop) string {
	if len(stop.OnDeck) != 1 {
		return ""
	}
	return " (on_deck: " + stop.OnDeck[0] + ")"
}

func checkTexts(v *record.Visit) []string {
	var all []string
	for _, c := range v.Checks {
		all = append(all, c.Text)
	}
	return all
}

func mindTexts(v *record.Visit) []string {
	var all []string
	for _, m := range v.Mind {
		all = append(all, m.Text)
	}
	return all
}

// listUnder puts texts under a heading; nothing where there are none.
func listUnder(heading string, texts []string) string {
	if len(texts) == 0 {
		return ""
	}
	s := "\n" + heading + ":\n"
	for _, text := range texts {
		s += hang("  - ", text)
	}
	return s
}
