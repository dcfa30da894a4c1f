// Package words turns a record, a plan, the plan of a visit and the findings
// of verify into every sentence and label that anyone reads, in kilograms or
// pounds. Facts come in as numbers and codes, sentences go out: the package
// has no arithmetic beyond rounding to print, and draws nothing. A second
// language is a second package of words; a better sentence changes no record.
// There is one file per subject.
package words

import (
	"strconv"
	"strings"

	"reconcile/internal/record"
)

// Words says one record in the words of its region and trailer, with masses in
// the unit that the record prints.
type Words struct {
	Record  *record.Record // of which they are
	Earlier *record.Record // that of an earlier visit, with which the report compares; given before anything is said, nil without one
	Unit    string         // kg or lb: that in which masses are printed
	PerUnit float64        // kilograms in one of it, for drawing to scale; what is printed is never read from it

	lb     bool
	places places // nil: who reads has forms in front of them

	// What was said already; nil: not yet.
	first  *headline
	rest   *report
	behind *evidence

	quantities   []*quantity // in the record's order; nil: not yet
	readingNames []string    // "": not yet
	ownLevers    *int        // nil: not yet
}

// Of gives the words of a record. Without shown, which is nil, they are for
// somebody who has forms in front of them, and speak of those, their lines and columns;
// else for somebody who has the page for owners, and speak of its boxes and buttons.
func Of(r *record.Record, shown places) *Words {
	w := &Words{Record: r, Unit: "kg", PerUnit: 1, places: shown}
	if w.lb = r.Options.Unit == "lb"; w.lb {
		w.Unit = "lb"
		w.PerUnit, _ = kgPerLb.Float64()
	}
	return w
}

func (w *Words) region() string { return w.Record.Options.Region }

func (w *Words) plain() bool { return w.Record.Outfit.Travels == "plain" }

func (w *Words) semi() bool { return w.Record.Outfit.TrailerKind == "semi" }

func (w *Words) drawbar() bool { return w.Record.Outfit.TrailerKind == "drawbar" }

// listed joins words as English does: "a, b and c".
func listed(words []string) string { return joined(words, " and ") }

// either joins alternatives: "a, b or c".
func either(words []string) string { return joined(words, " or ") }

func joined(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + last + words[n-1]
}

// addOnce adds a word that is not there yet.
func addOnce(words []string, word string) []string {
	for _, w := range words {
		if w == word {
			return words
		}
	}
	return append(words, word)
}

// counted is "3 loads", or "1 load".
func counted(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// codeWord prints a code that has no sentence of its own.
func codeWord(code string) string { return strings.ReplaceAll(code, "_", " ") }

func itoa(n int) string { return strconv.Itoa(n) }

// capital begins a sentence with a capital.
func capital(s string) string {
	for i, c := range s {
		return s[:i] + strings.ToUpper(string(c)) + s[i+len(string(c)):]
	}
	return s
}
