package screen

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Visit writes the plan of a visit: the drives with their stops and how each
// is written in tickets.csv, what cross-checks them, how well each rated load
// would then be known, and what to see to before going. Masses are in unit, kg or
// lb. No line is longer than Columns. The error is the writer's.
func Visit(w io.Writer, v *record.Visit, unit string) error {
	say := words.OfVisit(v, unit, nil)
	label := func(code string) string { return say.Words.Head(code) }
	var b strings.Builder
	b.WriteString(hang("", say.Title))
	if v.Job != "" {
		b.WriteString(hang(label("job")+": ", v.Job))
	}
	for i, d := range slices.Concat(say.Drives, say.CrossChecks) {
		lead := label("drive") + " " + strconv.Itoa(i+1) + ": "
		if i >= len(say.Drives) { // not numbered: its stops may belong to a drive listed before
			lead = ""
		}
		if i == len(say.Drives) {
			b.WriteString("\n" + hang("", label("cross_checks")))
		}
		b.WriteString(hang(lead, d.Name+" ("+d.Typed+")"))
		for _, stop := range d.Stops {
			text := stop.Name
			if stop.Typed != "" {
				text += " (" + stop.Typed + ")"
			}
			b.WriteString(hang("  - ", text))
		}
	}
	b.WriteString(listUnder(label("known_then"), say.Known))
	b.WriteString(listUnder(label("mind"), say.Mind))
	_, err := io.WriteString(w, b.String())
	return err
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
