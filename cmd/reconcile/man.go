package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/words"
)

func manVerb() verb {
	return verb{
		name:    "man",
		args:    "",
		short:   "print the manual page",
		example: "reconcile man | man -l -",
		run:     runMan,
	}
}

// manDate is the date of the manual page: that of its last change.
const manDate = "2026-11-28"

func runMan(args []string, _ *pflag.FlagSet, s streams) int {
	if len(args) != 0 {
		return s.refuse("man: takes no arguments")
	}
	manPage(s.out)
	return exitWithin
}

// manPage writes the manual page, lines of at most manWidth bytes.
func manPage(w io.Writer) {
	page := &manWriter{w: w}
	page.line(fmt.Sprintf(".TH RECONCILE 1 %s \"reconcile %s\"", manDate, flow.Program))
	page.head("NAME")
	page.line(`reconcile \- what weighbridge tickets say of a vehicle and its trailer`)
	page.head("SYNOPSIS")
	for i, v := range verbs() {
		if i > 0 {
			page.line(".br")
		}
		page.line(".B reconcile " + v.name)
		page.text(v.args)
	}
	page.head("DESCRIPTION")
	page.text("Reads weighbridge tickets, typed into CSV forms, solves for the coupling download and the load on every " +
		"axle with their uncertainties, says whether the readings agree, compares each load with its rating, asks about figures " +
		"that look wrong, says what to weigh or move next, and writes a PDF summary, signed if asked, that others can check years later.")
	page.head("VERBS")
	for _, v := range verbs() {
		page.verb(v)
	}
	page.head("FILES")
	page.text("A job is a folder of these forms; reconcile forms DIR --full explains every column of each.")
	page.terms(manForms)
	page.head("EXIT STATUS")
	page.terms(manStatuses)
	page.head("ENVIRONMENT")
	page.terms([][2]string{{passwordVariable, "the password of a key, where no file gives it"}})
	page.head("CAUTIONS")
	for i, c := range words.Of(&record.Record{}, nil).Evidence().Standing {
		if i > 0 {
			page.line(".PP")
		}
		page.text(c)
	}
}

// manForms says what one line of each form is.
var manForms = [][2]string{
	{"tickets.csv", "one reading of a ticket, or one weighing with several"},
	{"ratings.csv", "one figure of a plate or document; value none where there is none"},
	{"outfit.csv", "who and what was weighed, its lengths, how it travels, the region"},
	{"scales.csv", "one scale: class, interval, deck, certificate"},
	{"loads.csv", "one person or thing on board in some weighings only, or that could be moved"},
	{"places.csv", "one place where a load can ride"},
	{"issuer.csv", "the letterhead, with next_number"},
	{"summary.pdf", "what summary writes; with a column job in the forms, one PDF per job"},
	{"jobs.csv", "the table of the last run, one line per job; a job that was stopped has the verdict refused"},
	{"register.csv", "what was issued, that is signed or numbered: one line each, which is never changed and has the SHA-256 of the line before it"},
	{".lock", "locked while a run writes into its folder"},
}

var manStatuses = [][2]string{
	{"0", "within; all likely within; a plan, or none needed; sound, vouched for by somebody you trust"},
	{"1", "over, or the readings disagree; one likely over; no plan; not sound"},
	{"2", "unsettled, incomplete, or a question without an answer; over at some point of the trip; open; not proved; sound, but not signed by anyone you trust"},
	{"3", "faulty forms, wrong usage, or a file that could not be read or written"},
}

// manWidth is the longest line of the page's source, in bytes.
const manWidth = 79

// manWriter writes the source of a manual page.
type manWriter struct{ w io.Writer }

func (m *manWriter) line(text string) { fmt.Fprintln(m.w, strings.TrimSpace(text)) }

func (m *manWriter) head(title string) { m.line(".SH " + title) }

// text writes words, wrapped; a word of a run of text never begins a request.
func (m *manWriter) text(words string) {
	line := ""
	for _, word := range strings.Fields(words) {
		if word = roff(word); line != "" && len(line)+1+len(word) > manWidth {
			m.line(line)
			line = ""
		}
		line = strings.TrimSpace(line + " " + word)
	}
	if line != "" {
		m.line(line)
	}
}

// terms writes words and what they mean.
func (m *manWriter) terms(list [][2]string) {
	for _, t := range list {
		m.line(".TP")
		m.line(".B " + roff(t[0]))
		m.text(t[1])
	}
}

// verb writes a verb, its flags and its example.
func (m *manWriter) verb(v verb) {
	m.line(".SS " + v.name)
	m.text(v.short)
	var flags [][2]string
	for _, f := range flagsOf(v) {
		value, usage := pflag.UnquoteUsage(f)
		flags = append(flags, [2]string{strings.TrimSpace("--" + f.Name + " " + value), usage})
	}
	m.terms(flags)
	m.line(".PP")
	m.text("Example:")
	m.line(".br")
	m.line(".B " + roff(v.example))
}

// roff keeps text from being taken for a request, and a quote from being taken
// for the mark around an argument of one.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`, `"`, `\(dq`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}
