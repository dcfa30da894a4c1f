package tickets

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// nameJobs finds the jobs in the order of the forms and checks their names.
func (r *reader) nameJobs() {
	t := r.forms["tickets.csv"]
	empty := t != nil && !t.broken && len(t.records) == 0
	if empty && r.options.NeedTickets {
		t.refuse(t.endOf(t.last), "there is no line below the header", "one line a reading", "fill in a line for each figure of the tickets")
	}
	switch {
	case t == nil || t.broken || empty && !r.options.NeedTickets: // a plan: nothing weighed yet
		for _, s := range specs {
			r.addJobs(r.forms[s.name])
		}
	case r.hasJobs:
		r.addJobs(t)
		for _, rec := range t.noJob {
			rec.cell(t.index["job"]).require("the job of the line", "delete the column job where the folder holds one job")
		}
	}
	if len(r.order) == 0 && !r.hasJobs {
		r.order = []string{""}
	}
	r.checkJobNames()
	if t != nil && !t.broken && (!empty || r.options.NeedTickets) {
		r.checkStrangers()
	}
	r.checkShared()
}

// mostShared bounds the lines without a job times the jobs they hold for.
const mostShared = 20_000_000

// checkShared refuses so many lines for every job that no folder needs them.
func (r *reader) checkShared() {
	for _, s := range specs[1:] {
		if f := r.forms[s.name]; f != nil && len(f.noJob)*len(r.order) > mostShared {
			at := f.noJob[0].places[0]
			f.refuse(at, fmt.Sprintf("%d lines hold for each of %d jobs", len(f.noJob), len(r.order)), fmt.Sprintf("at most %d together", mostShared), "name the job of each line in the column job")
			f.noJob = nil
		}
	}
}

func (r *reader) addJobs(f *form) {
	if f == nil {
		return
	}
	known := map[string]bool{}
	for _, j := range r.order {
		known[j] = true
	}
	for _, j := range f.jobs {
		if !known[j] {
			r.order = append(r.order, j)
		}
	}
}

// firstCell is the cell that names a job first in a form.
func (f *form) firstCell(job string) cell {
	return f.byJob[job][0].cell(f.index["job"])
}

// checkJobNames refuses names that cannot be file names, and names equal but
// for case: on some systems they are one file.
func (r *reader) checkJobNames() {
	folded := map[string]string{}
	for _, s := range specs {
		f := r.forms[s.name]
		if f == nil || s.name != "tickets.csv" && r.forms["tickets.csv"] != nil && !r.forms["tickets.csv"].broken {
			continue
		}
		for _, job := range f.jobs {
			c := f.firstCell(job)
			c.jobName()
			key := foldJob(job)
			if before, ok := folded[key]; ok && before != job {
				r.refuseCase(c, before)
			} else {
				folded[key] = job
			}
		}
	}
}

// foldJob is a job's name as a file system that knows no case compares it.
func foldJob(job string) string { return strings.ToLower(norm.NFC.String(job)) }

// refuseCase refuses a job whose name equals that of one before but for case,
// and stops both.
func (r *reader) refuseCase(c cell, before string) {
	c.refuse(fmt.Sprintf("%s equals job %s but for case", c.shown(), quote(before)), "one spelling a job", "spell it "+quote(before)+" on every line, or give it another name")
	r.sink.stopped[before] = true
}

// jobName refuses what cannot name a file everywhere.
func (c cell) jobName() {
	const forbidden = `/\:*?"<>|`
	i := strings.IndexFunc(c.text, func(r rune) bool { return strings.ContainsRune(forbidden, r) || unicode.IsControl(r) })
	switch {
	case i >= 0:
		bad, _ := utf8.DecodeRuneInString(c.text[i:])
		c.refuse(fmt.Sprintf("%s holds %s", c.shown(), quote(string(bad))), "a name that can name a file", `leave out / \ : * ? " < > | and line breaks`)
	case strings.HasPrefix(c.text, "."):
		c.refuse(c.shown()+" begins with a point", "a name that can name a file", "")
	case len(c.text) > 120:
		c.refuse(c.shown()+" is too long", "at most 120 letters", "")
	}
}

// refuseStranger refuses a job that tickets.csv does not have.
func (r *reader) refuseStranger(c cell) {
	c.refuse(c.shown()+" is not a job of tickets.csv", "a job that has tickets", r.nearestHint("job", c.text, r.order))
}

// checkStrangers refuses jobs that tickets.csv does not have.
func (r *reader) checkStrangers() {
	known := r.forms["tickets.csv"].byJob
	for _, s := range specs[1:] {
		f := r.forms[s.name]
		if f == nil {
			continue
		}
		for _, job := range f.jobs {
			if known[job] == nil {
				r.refuseStranger(f.firstCell(job))
			}
		}
	}
}
