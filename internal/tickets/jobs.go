package tickets

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// nameJobs finds the jobs in the order of the forms and checks their names.
func (r *Reader) nameJobs() {
	t := r.forms[ticketsForm]
	readable := t != nil && !t.broken
	empty := readable && t.total == 0
	if empty && r.options.NeedTickets {
		t.refuse(t.endOf(t.last), "there is no line below the header", "one line per reading", "fill in a line for each figure of the tickets")
	}
	switch {
	case !readable || empty && !r.options.NeedTickets: // a plan: nothing weighed yet
		for _, f := range r.forms {
			r.addJobs(f)
		}
	case r.HasJobs:
		r.Names = t.jobs
		for i := range t.shared {
			t.shared[i].cell(t.index["job"]).require("the job of the line", "delete the column job where the folder holds one job")
		}
	}
	if len(r.Names) == 0 && !r.HasJobs {
		r.Names = []string{""}
	}
	r.checkJobNames()
	if readable && (!empty || r.options.NeedTickets) {
		r.checkOrphans()
	}
	r.checkShared()
}

// mostShared bounds the lines without a job times the jobs they hold for.
const mostShared = 20_000_000

// checkShared refuses so many lines for every job that no folder needs them.
func (r *Reader) checkShared() {
	for _, f := range r.forms[1:] {
		if f != nil && len(f.noJob)*len(r.Names) > mostShared {
			f.refuse(f.shared[0].place(0), fmt.Sprintf("%d lines hold for each of %d jobs", len(f.noJob), len(r.Names)), fmt.Sprintf("at most %d together", mostShared), "name the job of each line in the column job")
			f.noJob, f.shared = nil, nil
		}
	}
}

func (r *Reader) addJobs(f *form) {
	if f == nil {
		return
	}
	known := map[string]bool{}
	for _, j := range r.Names {
		known[j] = true
	}
	for _, j := range f.jobs {
		if !known[j] {
			r.Names = append(r.Names, j)
		}
	}
}

// firstCell is the cell that names a job first in a form.
func (f *form) firstCell(d *desk, job string) cell {
	return f.records(d, f.byJob[job][:1], f.faults)[0].cell(f.index["job"])
}

// checkJobNames refuses names that cannot be file names, and names equal but
// for case: on some systems they are one file.
func (r *Reader) checkJobNames() {
	folded := make(map[string]string, len(r.Names))
	for k, f := range r.forms {
		if f == nil || k != ticketsForm && r.forms[ticketsForm] != nil && !r.forms[ticketsForm].broken {
			continue
		}
		for _, job := range f.jobs {
			if bad := badJobName(job); bad != nil {
				c := f.firstCell(r.before, job)
				c.refuse(c.shown()+bad.what, bad.wanted, bad.hint)
			}
			key := foldJob(job)
			if before, ok := folded[key]; ok && before != job {
				r.refuseCaseClash(f.firstCell(r.before, job), before)
			} else {
				folded[key] = job
			}
		}
	}
}

// foldJob is a job's name as a file system that knows no case compares it.
func foldJob(job string) string { return strings.ToLower(norm.NFC.String(job)) }

// refuseCaseClash refuses a job whose name equals that of one before but for
// case, and stops both.
func (r *Reader) refuseCaseClash(c cell, before string) {
	c.refuse(fmt.Sprintf("%s differs from job %s only in capital letters", c.shown(), quote(before)), "one spelling for each job", "spell it "+quote(before)+" on every line, or give it another name")
	r.faults.stop(before)
}

// badJobName says what keeps a name from naming a file everywhere, or nil.
func badJobName(name string) *complaint {
	const forbidden = `/\:*?"<>|`
	const wanted = "a name that a file can have"
	i := strings.IndexFunc(name, func(r rune) bool { return strings.ContainsRune(forbidden, r) || unprintable(r) })
	switch {
	case i >= 0:
		bad, _ := utf8.DecodeRuneInString(name[i:])
		return &complaint{fmt.Sprintf(" contains %s", quote(string(bad))), wanted, `leave out / \ : * ? " < > | and characters that do not show`}
	case strings.HasPrefix(name, "."):
		return &complaint{" begins with a full stop", wanted, "leave it out"}
	case strings.HasSuffix(name, "."):
		return &complaint{" ends with a full stop", wanted, "leave it out"}
	case isDevice(name):
		return &complaint{" is the name of a device on Windows", wanted, "add a letter or a figure before the first full stop"}
	case len(name) > 120:
		return &complaint{" is too long", "at most 120 letters", ""}
	}
	return nil
}

// unprintable says whether a character does not show or changes how others
// show: control, bidirectional and other format characters, line and paragraph
// separators, and those that are no character.
func unprintable(r rune) bool {
	if r < utf8.RuneSelf {
		return r < ' ' || r == 0x7f
	}
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp) || r == unicode.ReplacementChar
}

// devices are the names that Windows keeps for devices, whatever follows the
// first point, with COM and LPT and a figure (Microsoft, Naming Files, Paths,
// and Namespaces).
var devices = []string{"con", "prn", "aux", "nul", "conin$", "conout$"}

// isDevice says whether a file of that name would be a device on Windows.
func isDevice(name string) bool {
	base, _, _ := strings.Cut(strings.ToLower(name), ".")
	base = strings.TrimRight(base, " ")
	if slices.Contains(devices, base) {
		return true
	}
	for _, port := range []string{"com", "lpt"} {
		rest, ok := strings.CutPrefix(base, port)
		if ok && utf8.RuneCountInString(rest) == 1 && strings.Contains("0123456789¹²³", rest) {
			return true
		}
	}
	return false
}

// checkOrphans refuses jobs that tickets.csv does not have, and what else is wrong
// on their lines.
func (r *Reader) checkOrphans() {
	known := r.forms[ticketsForm].byJob
	guesses := 0
	read := map[string]bool{}
	for _, f := range r.forms[1:] {
		if f == nil {
			continue
		}
		for _, job := range f.jobs {
			if known[job] == nil {
				r.rejectUnknownJob(f.firstCell(r.before, job), &guesses)
				if !read[job] {
					read[job] = true
					r.readOrphan(job)
				}
			}
		}
	}
}

// readOrphan reads the lines of a job that tickets.csv does not have. Without a line
// of its own in outfit.csv, that of the job which was meant may have another region
// or unit of length: what hangs on them is not refused.
func (r *Reader) readOrphan(job string) {
	of := r.readHead(job).scope
	if f := r.forms[outfitForm]; f == nil || len(f.byJob[job]) == 0 {
		of = scope{region: refusedRegion, units: lengthUnit{unit: "mm"}}
	}
	r.readLines(rowReader{r.options.CopySize, of, r.before, &memory{}}, func(f *form) []record { return f.records(r.before, f.byJob[job], r.faults) })
}

// rejectUnknownJob refuses a job that tickets.csv does not have.
func (r *Reader) rejectUnknownJob(c cell, guesses *int) {
	hint := nearestHint("job", c.text(), r.Names, guesses)
	if !r.HasJobs {
		hint = "delete the column job, or give tickets.csv one"
	}
	f := c.fault(c.shown()+" has no line in tickets.csv", "a job that has tickets", hint)
	f.All = !r.HasJobs // what the line says of the one job is not known
	r.faults.add(f)
}
