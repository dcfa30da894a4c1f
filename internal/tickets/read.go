package tickets

import (
	"cmp"
	"fmt"
	"slices"
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
	job     Job
	outfit  outfitRow
	hasLine bool // outfit.csv has a line for the job
	axles   axleCounts
	units   lengthUnit
	scales  table[scaleEntry]
	places  table[placeEntry]
	loads   table[loadEntry]
	lines   []ticketLine
	ratings []ratingEntry
	named   map[string]Reading // loads and how they are named first
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
	if r.hasJobs {
		r.sink.widen()
	}
	for _, s := range specs {
		if f := r.forms[s.name]; f != nil {
			f.partial = r.hasJobs
			f.checkSigns()
		}
	}
}

// mostGuesses bounds the search for nearest names: in a folder of very many
// jobs with very many faults the later ones come without a hint.
const mostGuesses = 20_000_000

// declaredIn is the form in which things of a kind get their names.
var declaredIn = map[string]string{"scale": "scales.csv", "load": "loads.csv", "place": "places.csv"}

// nearestHint names the nearest of the declared names, or says that there are none.
func (r *reader) nearestHint(kind, word string, names []string) string {
	for _, n := range names {
		r.guesses += len(n) * len(word)
	}
	near := ""
	if r.guesses < mostGuesses {
		near = nearest(word, names)
	}
	if form := declaredIn[kind]; len(names) == 0 && form != "" {
		return fmt.Sprintf("no %s is declared; give %s a line in %s", kind, quote(word), form)
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
	j.planScales()
	j.checkCapacities()
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
	r.refuseSet(sets)
}

// refuseSet refuses the set asked for where it is not among those named.
func (r *reader) refuseSet(sets []string) {
	want := r.options.Set
	if slices.Contains(sets, want) {
		return
	}
	sets = slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(sets))), func(s string) bool { return s == "" })
	hint := r.nearestHint("set", want, sets)
	r.sink.add(Fault{File: "ratings.csv", Line: 1, Column: 1, What: "no line names the set " + quote(want), Wanted: "a set named in the column set", Hint: hint, All: true})
}
