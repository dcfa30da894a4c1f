package tickets

import (
	"fmt"
	"slices"
)

// Reader is a folder of forms, gone through once. What holds for more than one
// job is read when it is made; each job is read when it is asked for, so that
// a folder of very many needs the memory of its forms and of the jobs in hand.
// Its jobs may be read side by side.
type Reader struct {
	Names   []string // the jobs in the order of the forms; one of no name where the folder has no jobs
	HasJobs bool     // the forms have a job column
	// Unfilled: nobody has typed a ticket yet, tickets.csv is just what Blank gives.
	Unfilled bool
	// Faults are those of entire forms and of the lines that hold for every
	// job; those of a job come with it.
	Faults     []Fault
	options    Options
	forms      [formCount]*form // nil where the folder has none
	faults     *sink
	byJob      map[string][]Fault // of faults, those that come with a job
	terms      []int              // columns of tickets.csv named like terms
	heads      []head
	letterhead *issuer // of the lines that hold for every job, once it is read
	shared     map[scope]*sharedLines
	before     *desk // for what is read before the jobs; nil afterwards
}

// head is what the forms with one line per job say of it.
type head struct {
	scope  scope
	outfit Outfit
	typed  outfitTyped
	issuer issuer
	axles  axleCounts
}

// scope is what the meaning of a line depends on that is not on the line.
type scope struct {
	region string
	units  lengthUnit
}

// rowReader reads lines by themselves.
type rowReader struct {
	copies func(name string) (int64, error)
	scope
	desk   *desk
	memory *memory
}

// sharedLines are what the lines that hold for every job say in one scope.
type sharedLines struct {
	scales  table[scaleEntry]
	places  table[placeEntry]
	loads   table[loadEntry]
	ratings []ratingEntry
}

// jobReader reads one job.
type jobReader struct {
	*Reader
	rowReader
	*head
	own     [formCount][]span // the lines of the job in each form
	found   *sink
	job     *Job
	scales  table[scaleEntry]
	places  table[placeEntry]
	loads   table[loadEntry]
	lines   []ticketLine
	cells   []cell     // where the figure of each reading is
	looks   []*Reading // figures said to be weighed that others add up to exactly
	ratings []ratingEntry
	named   map[string]Reading // loads and how they are named first
	guesses int
}

// Read goes through the forms of a folder. Same forms and options, same jobs and
// faults.
func Read(forms []Form, o Options) *Reader {
	r := &Reader{options: o, faults: &sink{}, shared: map[scope]*sharedLines{}, byJob: map[string][]Fault{}, before: &desk{}}
	r.take(forms)
	r.nameJobs()
	r.heads = make([]head, 0, len(r.Names))
	for _, name := range r.Names {
		h := r.readHead(name)
		r.before.clear()
		r.heads = append(r.heads, h)
		if r.shared[h.scope] == nil {
			r.shared[h.scope] = r.readShared(h.scope)
		}
	}
	r.before = nil
	r.checkSet()
	r.fileFaults()
	return r
}

// Job reads job i of Names: the job, nil where it is stopped, and those of its
// faults that Faults does not list. Each job is released by itself.
func (r *Reader) Job(i int) (*Job, []Fault) {
	d := desks.Get().(*desk)
	j := d.begin(r, i, memories.Get().(*memory))
	for _, f := range r.byJob[j.job.Name] {
		j.found.add(f)
	}
	j.read()
	job, faults := j.job, j.found.sorted()
	if r.faults.all || r.faults.stopped[job.Name] || len(faults) > 0 {
		job.Release()
		job = nil
	}
	d.clear()
	desks.Put(d)
	return job, faults
}

// begin lays out what job i is read into.
func (d *desk) begin(r *Reader, i int, m *memory) *jobReader {
	h := &r.heads[i]
	d.reader = jobReader{Reader: r, rowReader: rowReader{r.options.CopySize, h.scope, d, m}, head: h, found: &d.found, job: m.begin(r.Names[i], h)}
	for k, f := range r.forms {
		if f != nil {
			d.reader.own[k] = f.byJob[r.Names[i]]
		}
	}
	return &d.reader
}

// read reads all that the forms say of the job.
func (j *jobReader) read() {
	shared := j.shared[j.head.scope]
	j.scales = shared.scales.with(j.scaleLines(j.ownLines(scalesForm)))
	j.readPlaces(shared)
	j.readLoads(shared)
	j.readTickets()
	j.planScales()
	j.checkCapacities()
	j.resolveTravels()
	j.readRatings(shared)
	j.note()
	j.collect()
	j.memory.end()
}

// ownLines gives the job's own lines of a form.
func (j *jobReader) ownLines(form int) []record {
	f := j.forms[form]
	if f == nil {
		return nil
	}
	return f.records(j.desk, j.own[form], j.found)
}

// readShared reads the lines that hold for every job, for those in one scope.
func (r *Reader) readShared(s scope) *sharedLines {
	return r.readLines(rowReader{r.options.CopySize, s, &desk{}, &memory{}}, func(f *form) []record { return f.shared })
}

// readLines reads lines of the forms by themselves.
func (r *Reader) readLines(rows rowReader, of func(f *form) []record) *sharedLines {
	lines := func(form int) []record {
		if f := r.forms[form]; f != nil {
			return of(f)
		}
		return nil
	}
	ratings, _ := rows.ratingLines(lines(ratingsForm))
	return &sharedLines{
		scales:  newTable(rows.scaleLines(lines(scalesForm))),
		places:  newTable(rows.placeLines(lines(placesForm))),
		loads:   newTable(rows.loadLines(lines(loadsForm))),
		ratings: ratings,
	}
}

// fileFaults files the faults found so far under the jobs that they come with.
func (r *Reader) fileFaults() {
	if len(r.faults.list) == 0 {
		return
	}
	known := make(map[string]bool, len(r.Names))
	for _, name := range r.Names {
		known[name] = true
	}
	for _, f := range r.faults.sorted() {
		if f.All || !known[f.Job] {
			r.Faults = append(r.Faults, f)
		} else {
			r.byJob[f.Job] = append(r.byJob[f.Job], f)
		}
	}
}

// All reads every job: those that have no fault, in the order of the forms, and
// every fault of every form.
func (r *Reader) All() (jobs []*Job, faults []Fault) {
	all := &sink{}
	for _, f := range r.Faults {
		all.add(f)
	}
	for i := range r.Names {
		job, faults := r.Job(i)
		for _, f := range faults {
			all.add(f)
		}
		if job != nil {
			jobs = append(jobs, job)
		}
	}
	return jobs, all.sorted()
}

// take goes through the forms, tickets.csv first: it says whether the folder
// has jobs.
func (r *Reader) take(forms []Form) {
	for _, in := range forms {
		r.takeForm(in)
	}
	t := r.forms[ticketsForm]
	if t == nil && r.options.NeedTickets {
		r.faults.add(Fault{File: "tickets.csv", Line: 1, Column: 1, What: "the form is missing", Wanted: "one line per reading", All: true,
			Hint: "type the figures of the weighbridge tickets into it; before anything is weighed, the stated masses can be estimated and a visit to a weighbridge planned"})
	}
	if t != nil {
		r.HasJobs, r.terms = t.hasJobs, t.termColumns()
	}
	if t == nil || t.broken {
		for _, f := range r.forms {
			r.HasJobs = r.HasJobs || f != nil && len(f.jobs) > 0
		}
	}
	if r.HasJobs {
		r.faults.stopAllJobs()
	}
	shared := &desk{}
	for _, f := range r.forms {
		if f != nil {
			f.settle(r.HasJobs, shared)
		}
	}
}

func (r *Reader) takeForm(in Form) {
	rank := formRank(in.Name)
	what := ""
	switch {
	case rank == len(specs):
		what = quote(in.Name) + " is not a form"
	case r.forms[rank] != nil:
		what = quote(in.Name) + " is given twice"
	}
	if what != "" {
		r.faults.add(Fault{File: in.Name, Line: 1, Column: 1, What: what, Wanted: either(FormNames()...), All: true})
		return
	}
	r.forms[rank] = readForm(in, specs[rank], r.faults)
	r.Unfilled = r.Unfilled || rank == ticketsForm && isBlank(in)
}

// mostGuesses bounds the search for the nearest names: where very many are
// wrong the later ones come without a hint.
const mostGuesses = 20_000_000

// listedIn is the form in which things of a kind get their names.
var listedIn = map[string]string{"scale": "scales.csv", "load": "loads.csv", "place": "places.csv"}

// nearestHint names the nearest of the listed names, or says that there are
// none. guesses counts the letters compared.
func nearestHint(kind, word string, names []string, guesses *int) string {
	for _, n := range names {
		*guesses += len(n) * len(word)
	}
	near := ""
	if *guesses < mostGuesses {
		near = nearest(word, names)
	}
	if form := listedIn[kind]; len(names) == 0 && form != "" {
		return fmt.Sprintf("%s lists no %s; give %s a line there", form, kind, quote(word))
	}
	if near == "" {
		return ""
	}
	return fmt.Sprintf("the nearest %s is %s", kind, quote(near))
}

// lists says whether a form has lines for the job: one without is absent for it.
func (j *jobReader) lists(form int) bool {
	f := j.forms[form]
	return f != nil && (f.broken || len(j.own[form]) > 0 || len(f.noJob) > 0)
}

// unreadable says whether a form could not be read to its end, so that a name not
// found in it may yet be there.
func (r *Reader) unreadable(form int) bool {
	f := r.forms[form]
	return f != nil && f.broken
}

// checkSet refuses a set asked for that no line names.
func (r *Reader) checkSet() {
	want := r.options.Set
	if want == "" {
		return
	}
	var sets []string
	for _, f := range []*form{r.forms[ratingsForm], r.forms[loadsForm]} {
		if f == nil {
			continue
		}
		if f.sets[want] || f.broken || f.numbers != nil {
			return // a line names it, or may in the part that is not here
		}
		for s := range f.sets {
			if s != "" {
				sets = append(sets, s)
			}
		}
	}
	slices.Sort(sets)
	r.faults.add(Fault{File: "ratings.csv", Line: 1, Column: 1, What: "no line names the set " + quote(want), Wanted: "a set named in the column set",
		Hint: nearestHint("set", want, slices.Compact(sets), new(int)), All: true})
}
