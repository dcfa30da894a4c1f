package tickets

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// reader reads the forms of a folder.
type reader struct {
	options Options
	forms   map[string]*form
	sink    *sink
	hasJobs bool
	order   []string
	shared  map[string]any // what lines without a job gave, by what it depends on
	terms   []int          // columns of tickets.csv named like terms
	issued  numbering
	guesses int // letters compared in search of nearest names
}

// jobReader reads one job.
type jobReader struct {
	*reader
	job      Job
	outfit   outfitRow
	hasLine  bool // outfit.csv has a line for the job
	axles    axleCounts
	units    lengthUnit
	scales   table[scaleEntry]
	places   table[placeEntry]
	loads    table[loadEntry]
	lines    []ticketLine
	ratings  []ratingEntry
	travels  Travels
	named    map[string]Reading // loads and how they are named first
	declined bool
}

// Read reads the forms of a folder: every job that has no fault, and every
// fault of every form. Same forms and options, same result.
func Read(forms []Form, o Options) Result {
	r := &reader{options: o, forms: map[string]*form{}, sink: newSink(), shared: map[string]any{}}
	r.take(forms)
	r.nameJobs()
	var jobs []Job
	for _, name := range r.order {
		jobs = append(jobs, r.readJob(name))
	}
	r.checkSet()
	return r.result(jobs)
}

// take takes the forms apart.
func (r *reader) take(forms []Form) {
	for _, in := range forms {
		rank := formRank(in.Name)
		what := ""
		switch {
		case rank == len(specs):
			what = quote(in.Name) + " is not a form"
		case r.forms[specs[rank].name] != nil:
			what = quote(in.Name) + " stands twice"
		}
		if what != "" {
			r.sink.add(Fault{File: in.Name, Line: 1, Column: 1, What: what, Wanted: either(FormNames()...), All: true})
			continue
		}
		f := readForm(in, specs[rank], r.sink)
		r.forms[f.spec.name] = f
	}
	t := r.forms["tickets.csv"]
	if t == nil && r.options.NeedTickets {
		r.sink.add(Fault{File: "tickets.csv", Line: 1, Column: 1, What: "the form is missing", Wanted: "one line a reading", Hint: "reconcile forms writes forms to fill in", All: true})
	}
	if t != nil {
		r.hasJobs, r.terms = t.hasJobs, t.termColumns()
	} else {
		for _, f := range r.forms {
			r.hasJobs = r.hasJobs || len(f.jobs) > 0
		}
	}
	for _, s := range specs {
		if f := r.forms[s.name]; f != nil {
			f.partial = r.hasJobs
			f.checkSigns()
		}
	}
}

// nameJobs finds the jobs in the order of the forms and checks their names.
func (r *reader) nameJobs() {
	t := r.forms["tickets.csv"]
	if t != nil && !t.broken && len(t.records) == 0 {
		at := t.endOf(t.last)
		t.refuse(at, "there is no line below the header", "one line a reading", "")
	}
	switch {
	case t == nil || t.broken:
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
	if t != nil && !t.broken {
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
			key := strings.ToLower(norm.NFC.String(job))
			if before, ok := folded[key]; ok && before != job {
				c.refuse(fmt.Sprintf("%s equals job %s but for case", c.shown(), quote(before)), "one spelling a job", "")
				r.sink.stopped[before] = true
			} else {
				folded[key] = job
			}
		}
	}
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
				c := f.firstCell(job)
				c.refuse(c.shown()+" is not a job of tickets.csv", "a job that has tickets", r.nearestHint("job", job, r.order))
			}
		}
	}
}

// mostGuesses bounds the search for nearest names: in a folder of very many
// jobs with very many faults the later ones come without a hint.
const mostGuesses = 20_000_000

// nearestHint names the nearest of the declared names.
func (r *reader) nearestHint(kind, word string, names []string) string {
	for _, n := range names {
		r.guesses += len(n) * len(word)
	}
	near := ""
	if r.guesses < mostGuesses {
		near = nearest(word, names)
	}
	if near == "" {
		return ""
	}
	return fmt.Sprintf("the nearest declared %s is %s", kind, quote(near))
}

// form gives a form if it has lines for the job, else nil: a form without a
// line for a job is absent for it.
func (r *reader) form(name, job string) *form {
	if f := r.forms[name]; f != nil && (f.broken || len(f.byJob[job]) > 0 || len(f.noJob) > 0) {
		return f
	}
	return nil
}

// unreadable says whether a form could not be read whole, so that a name not
// found in it may yet stand there.
func (r *reader) unreadable(name string) bool {
	f := r.forms[name]
	return f != nil && f.broken
}

// readJob reads all that the forms say of one job.
func (r *reader) readJob(name string) Job {
	j := &jobReader{reader: r, job: Job{Name: name}, named: map[string]Reading{}}
	j.readOutfit()
	j.readScales()
	j.readPlaces()
	j.readLoads()
	j.readTickets()
	j.resolveTravels()
	j.readRatings()
	j.readIssuer()
	j.note()
	j.collect()
	return j.job
}

// result keeps the jobs without a fault.
func (r *reader) result(jobs []Job) Result {
	res := Result{Faults: r.sink.sorted(), Order: r.order, HasJobs: r.hasJobs, NextNumber: cmp.Or(r.issued.base, r.issued.last)}
	for _, j := range jobs {
		if r.sink.all || r.sink.stopped[j.Name] {
			res.Stopped = append(res.Stopped, j.Name)
		} else {
			res.Jobs = append(res.Jobs, j)
		}
	}
	return res
}

// once gives what make gives, made once for a key.
func once[T any](r *reader, key string, make func() T) T {
	if v, ok := r.shared[key]; ok {
		return v.(T)
	}
	v := make()
	r.shared[key] = v
	return v
}

// table holds what a form declares for a job by name: the lines of the job and
// those of no job.
type table[E namedLine] struct {
	own, shared     []E
	byName, byNames map[string]int // folded name → place in own, in shared
}

// namedLine is a line that declares a name.
type namedLine interface{ key() cell }

// readTable reads the lines of a form for a job. Those of no job are read once
// for all jobs that agree in what the reading depends on. A name declared
// twice is refused.
func readTable[R any, E namedLine](j *jobReader, name, dependsOn string, read func([]R) []E) table[E] {
	f := j.form(name, j.job.Name)
	if f == nil {
		return table[E]{}
	}
	t := once(j.reader, name+" "+dependsOn, func() table[E] {
		lines := read(decode[R](f.noJob))
		return table[E]{shared: lines, byNames: indexNames(lines, nil)}
	})
	if j.job.Name != "" {
		t.own = read(decode[R](f.byJob[j.job.Name]))
		t.byName = indexNames(t.own, t.byNames)
	}
	return t
}

// indexNames files lines under their names; of two names equal but for case
// and spaces the second is refused.
func indexNames[E namedLine](lines []E, base map[string]int) map[string]int {
	index := map[string]int{}
	for i, e := range lines {
		c := e.key()
		if c.blank() {
			continue
		}
		folded := foldName(c.text)
		_, here := index[folded]
		_, there := base[folded]
		if here || there {
			c.refuse(c.shown()+" is declared twice", "each name once", "")
			continue
		}
		index[folded] = i
	}
	return index
}

// find gives the line that declares a name, spelt exactly so, or nil.
func (t *table[E]) find(name string) *E {
	folded := foldName(name)
	if i, ok := t.byName[folded]; ok && t.own[i].key().text == name {
		return &t.own[i]
	}
	if i, ok := t.byNames[folded]; ok && t.shared[i].key().text == name {
		return &t.shared[i]
	}
	return nil
}

// names lists the declared names.
func (t *table[E]) names() []string {
	var names []string
	for _, lines := range [][]E{t.own, t.shared} {
		for _, e := range lines {
			names = append(names, e.key().text)
		}
	}
	return names
}

// all lists the lines in the order of the form.
func (t *table[E]) all() []E {
	both := append(slices.Clone(t.own), t.shared...)
	slices.SortStableFunc(both, func(a, b E) int { return a.key().rec.first - b.key().rec.first })
	return both
}

// foldName is a name without regard to case and spaces.
func foldName(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// checkSet refuses a set asked for that no line names.
func (r *reader) checkSet() {
	want := r.options.Set
	if want == "" {
		return
	}
	var sets []string
	for _, name := range []string{"ratings.csv", "loads.csv"} {
		f := r.forms[name]
		if f == nil {
			continue
		}
		if f.broken || f.numbers != nil {
			return // the line may stand in the part that is not here
		}
		if i, ok := f.index["set"]; ok {
			for _, rec := range f.records {
				sets = append(sets, rec.cells[i])
			}
		}
	}
	if slices.Contains(sets, want) {
		return
	}
	sets = slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(sets))), func(s string) bool { return s == "" })
	hint := r.nearestHint("set", want, sets)
	r.sink.add(Fault{File: "ratings.csv", Line: 1, Column: 1, What: "no line names the set " + quote(want), Wanted: "a set named in the column set", Hint: hint, All: true})
}
