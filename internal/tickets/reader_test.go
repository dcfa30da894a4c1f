package tickets

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"reconcile/internal/shelf"
)

// readBackwards reads the jobs of a folder from the last to the first, two at
// a time, each twice, and puts the result together. Faults that stop all jobs
// must be known before the first job is read.
func readBackwards(t testing.TB, forms []Form, o Options) folderRead {
	t.Helper()
	r := Read(forms, o)
	res := folderRead{Order: r.Names, HasJobs: r.HasJobs}
	jobs, faults := make([]*Job, len(res.Order)), make([][]Fault, len(res.Order))
	var wait sync.WaitGroup
	for worker := range 2 {
		wait.Go(func() {
			for i := len(jobs) - 1 - worker; i >= 0; i -= 2 {
				r.Job(i)
				jobs[i], faults[i] = r.Job(i)
			}
		})
	}
	wait.Wait()
	all := &sink{}
	for _, f := range r.Faults {
		all.add(f)
	}
	for i, name := range res.Order {
		for _, f := range faults[i] {
			if f.All || f.Job != name {
				t.Errorf("with job %q comes the fault %+v", name, f)
			}
			all.add(f)
		}
		if jobs[i] == nil {
			res.Stopped = append(res.Stopped, name)
		} else {
			res.Jobs = append(res.Jobs, bare(jobs[i]))
		}
	}
	res.Faults = all.sorted()
	return res
}

// checkAnyOrder reads a folder in the order of its jobs and backwards.
func checkAnyOrder(t testing.TB, forms []Form, o Options) folderRead {
	t.Helper()
	got, want := readBackwards(t, forms, o), readFolder(forms, o)
	if showFaults(got.Faults) != showFaults(want.Faults) {
		t.Errorf("faults backwards\n%s\nin order\n%s\n%s", showFaults(got.Faults), showFaults(want.Faults), show(forms))
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("backwards\n%+v\nin order\n%+v\n%s", got, want, show(forms))
	}
	return want
}

func show(forms []Form) string {
	var b strings.Builder
	for _, f := range forms {
		fmt.Fprintf(&b, "-- %s --\n%s", f.Name, f.Bytes)
	}
	return b.String()
}

// TestFaultsInAnyOrder reads the corpus of faulty forms, also as folders of
// two jobs.
func TestFaultsInAnyOrder(t *testing.T) {
	for _, path := range faultFiles(t) {
		c := readFaultCase(t, path)
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			checkAnyOrder(t, c.forms, c.options)
			checkAnyOrder(t, withJobs(c.forms), c.options)
		})
	}
}

// withJobs puts a column job before every form, lines of a and b in turn, so
// that each fault is in a folder of two jobs.
func withJobs(forms []Form) []Form {
	var all []Form
	for _, f := range forms {
		sep := ","
		if strings.Contains(string(f.Bytes), ";") {
			sep = ";"
		}
		lines := strings.SplitAfter(string(f.Bytes), "\n")
		at := 0
		for i, l := range lines {
			if l == "" || isComment(l, ',') || strings.TrimSpace(l) == "" {
				continue
			}
			lines[i] = []string{"job", "a", "b"}[min(at, 1+at%2)] + sep + l
			at++
		}
		all = append(all, Form{Name: f.Name, Bytes: []byte(strings.Join(lines, ""))})
	}
	return all
}

// TestReaderAtRandom reads folders drawn at random, faulty and sound, in two
// orders; each job that is read is read the same from what is attached to it.
func TestReaderAtRandom(t *testing.T) {
	const folders = 400
	faulty, read := 0, 0
	for seed := range uint64(folders) {
		r := rand.New(rand.NewPCG(seed, 8))
		forms := randomForms(r)
		o := Options{NeedTickets: true, Region: []string{"au", "au", "", "us"}[r.IntN(4)], CopySize: onlyPhoto}
		if r.IntN(4) == 0 {
			o.Set = []string{"lift", "lfit"}[r.IntN(2)]
		}
		res := checkAnyOrder(t, forms, o)
		if len(res.Faults) > 0 {
			faulty++
		}
		for _, job := range res.Jobs {
			read++
			if again := readAgain(t, job); !reflect.DeepEqual(job, again) {
				t.Errorf("job %q read again is\n%+v\nwas\n%+v\n%s", job.Name, again, job, show(forms))
			}
		}
		if t.Failed() {
			t.Fatalf("folder %d", seed)
		}
	}
	if read < folders/2 || faulty < folders/4 || faulty > folders*9/10 {
		t.Errorf("of %d folders %d are faulty and %d jobs are read: the check is lopsided", folders, faulty, read)
	}
	t.Logf("of %d folders %d are faulty; %d jobs are read", folders, faulty, read)
}

// columnPools are cells to draw from, by form and column; the last of each is
// drawn seldom.
var columnPools = map[string]map[string][]string{
	"tickets.csv": {"ticket": {"1", "#5"}, "setup": {"coupled", "vehicle_alone", "trailer_alone", "towed"}, "on_deck": {"all", "roof"},
		"reading": {"2000", "2500", "3000", "2.400"}, "unit": {"kg", "lb", ""}, "scale": {"bridge", "pad", "bride"},
		"weighed_at": {"2026-03-14 09:20", "", "14/03/2026 09:20"}, "without": {"", "driver"}, "note": {"", "\"wet, \"\"very\"\"\nand windy\"", "\"plain\"", strings.Repeat("x", 10_001)}},
	"ratings.csv": {"rating": {"gvm", "atm", "gcm", "gmv"}, "value": {"3500", "2800", "6000", "3,5"}, "unit": {"kg", "t", "st"}, "set": {"", "", "lift", ""}, "certified_on": {"", "2026-01-02", "02/01/2026"}},
	"outfit.csv":  {"owner": {"Lantern Hill", "", ""}, "region": {"", "", "au", "us"}, "length_unit": {"", "mm", "cm"}, "wheelbase": {"", "3220", "322"}, "people": {"", "two"}},
	"scales.csv":  {"scale": {"bridge", "pad", "depot", "Bridge"}, "interval": {"20", "10", "0"}, "unit": {"kg", "lb", ""}, "verified_on": {"", "2026-01-02", "02/01/2026"}, "copy": {"", "ticket.jpg", "lost.jpg"}},
	"loads.csv":   {"load": {"driver", "tank", "lamp", "Driver"}, "mass": {"82", "90", "60", "-1"}, "unit": {"kg", "lb", ""}, "on": {"vehicle", "trailer", ""}, "place": {"", "set"}, "set": {"", "lift", ""}},
	"places.csv":  {"place": {"seat", "bay", "rack", "Seat"}, "on": {"vehicle", "trailer", ""}, "at": {"1250", "", "900", "12.5"}, "capacity": {"", "200", "300", "-4"}},
	"issuer.csv":  {"name": {"Copper Lane", "", ""}, "next_number": {"", "A-098", "2026-9", "none"}},
}

// randomForms draws a folder of up to eight jobs.
func randomForms(r *rand.Rand) []Form {
	jobs := []string{"ash", "birch", "cedar", "elm", "fir", "oak", "pine", "yew"}[:1+r.IntN(8)]
	var forms []Form
	rare := []int{100, 1000, 20_000}[r.IntN(3)]
	for _, s := range specs {
		if s == specs[0] || r.IntN(4) > 0 {
			forms = append(forms, Form{Name: s.name, Bytes: randomForm(r, s, jobs, rare)})
		}
	}
	return forms
}

func randomForm(r *rand.Rand, s *spec, jobs []string, rare int) []byte {
	var columns []string
	for _, c := range append([]string{"job"}, s.columns[1:]...) {
		if c == "job" && (s == specs[0] || r.IntN(5) > 0) || columnPools[s.name][c] != nil && (slices.Contains(s.required, c) || r.IntN(4) > 0) {
			columns = append(columns, c)
		}
	}
	if s == specs[0] && !slices.Contains(columns, "reading") {
		columns = append(columns, "reading")
	}
	if s == specs[0] && !slices.Contains(columns, "on_deck") {
		columns = append(columns, "on_deck")
	}
	r.Shuffle(len(columns), func(i, k int) { columns[i], columns[k] = columns[k], columns[i] })
	sep := []string{",", ",", ";", "\t"}[r.IntN(4)]
	var b strings.Builder
	b.WriteString([]string{"", "", "\ufeff", "# said \"so\n", "\"# a quoted\nnote\",\n"}[r.IntN(5)])
	b.WriteString(strings.Join(columns, sep) + "\n")
	for n, job := range randomJobs(r, s, jobs, slices.Contains(columns, "job")) {
		b.WriteString(randomLine(r, s, columns, job, sep, n, rare))
		b.WriteString([]string{"", "", "", "\n", "# it said \"so\n", sep + sep + "\n", "  " + sep + "\n"}[r.IntN(7)])
	}
	text := b.String()
	if r.IntN(4) == 0 {
		text = strings.TrimSuffix(text, "\n")
	}
	if r.IntN(6) == 0 {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return []byte(text)
}

// randomJobs draws the job of each line of a form.
func randomJobs(r *rand.Rand, s *spec, jobs []string, hasJobs bool) []string {
	var lines []string
	switch {
	case s == specs[0]:
		for _, j := range jobs {
			lines = append(lines, slices.Repeat([]string{j}, 1+r.IntN(4))...)
		}
	case s.name == "outfit.csv" || s.name == "issuer.csv":
		if !hasJobs {
			return []string{""}
		}
		lines = slices.DeleteFunc(append([]string{""}, jobs...), func(string) bool { return r.IntN(4) == 0 })
	default:
		lines = append([]string{"", "", ""}, slices.DeleteFunc(slices.Clone(jobs), func(string) bool { return r.IntN(2) == 0 })...)
	}
	if r.IntN(2) == 0 {
		r.Shuffle(len(lines), func(i, k int) { lines[i], lines[k] = lines[k], lines[i] })
	}
	return lines
}

func randomLine(r *rand.Rand, s *spec, columns []string, job, sep string, n, rare int) string {
	var cells []string
	for _, c := range columns {
		pool := columnPools[s.name][c]
		switch {
		case c == "job" && r.IntN(rare) == 0:
			cells = append(cells, []string{"", "ASH", "ghost", "a/b", ".elm", "a:b"}[r.IntN(6)])
		case c == "job":
			cells = append(cells, job)
		case c == "ticket" && r.IntN(rare) > 0:
			cells = append(cells, fmt.Sprint(r.IntN(1_000_000)))
		case slices.Contains([]string{"scale", "load", "place"}, c) && s != specs[0] && c+"s.csv" == s.name && r.IntN(rare) > 0: // declared names
			cells = append(cells, []string{pool[min(n, 2)], fmt.Sprint(pool[0], n)}[min(n/3, 1)])
		case r.IntN(rare) == 0:
			cells = append(cells, pool[len(pool)-1])
		default:
			cells = append(cells, pool[r.IntN(len(pool)-1)])
		}
	}
	if r.IntN(rare) == 0 {
		cells = append(cells, "beyond")
	}
	return strings.Join(cells, sep) + "\n"
}

// TestSignsOfAForm holds that a decimal sign is compared with those of other
// jobs above it.
func TestSignsOfAForm(t *testing.T) {
	tickets := "job;ticket;setup;on_deck;reading;unit\na;1;coupled;all;5000,5;kg\nb;1;coupled;all;5000.5;kg\nb;2;coupled;all;5000,5;kg\n"
	res := checkAnyOrder(t, []Form{{Name: "tickets.csv", Bytes: []byte(tickets)}}, Options{NeedTickets: true})
	equal(t, "stopped", strings.Join(res.Stopped, " "), "b")
	equal(t, "faults", len(res.Faults), 1)
}

// TestShapeStopsItsJob holds that a line of a wrong shape stops its own job,
// and one that holds for every job all of them.
func TestShapeStopsItsJob(t *testing.T) {
	tickets := "job,ticket,setup,on_deck,reading\na,1,coupled,all,5000,xx\nb,1,coupled,all,5000\n"
	res := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(tickets)}}, Options{NeedTickets: true})
	equal(t, "stopped by its own line", strings.Join(res.Stopped, " "), "a")
	sound := strings.Replace(tickets, ",xx", "", 1)
	res = readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(sound)}, {Name: "issuer.csv", Bytes: []byte("name\nCopper Lane,xx\n")}}, Options{NeedTickets: true})
	equal(t, "stopped by a line of every job", strings.Join(res.Stopped, " "), "a b")
}

// folderRead is all that reading a folder gives.
type folderRead struct {
	Jobs    []Job
	Faults  []Fault
	Stopped []string // names of jobs with a fault, in the order of the forms
	Order   []string // all job names in the order of the forms
	HasJobs bool
}

// readFolder reads the forms of a folder with every job.
func readFolder(forms []Form, o Options) folderRead {
	r := Read(forms, o)
	res := folderRead{Order: r.Names, HasJobs: r.HasJobs}
	jobs, faults := r.All()
	res.Faults = faults
	for _, name := range r.Names {
		if len(jobs) > 0 && jobs[0].Name == name {
			res.Jobs, jobs = append(res.Jobs, bare(jobs[0])), jobs[1:]
		} else {
			res.Stopped = append(res.Stopped, name)
		}
	}
	return res
}

// bare is a job without its memory, in which other jobs of the same forms may lie
// elsewhere.
func bare(job *Job) Job {
	j := *job
	j.memory, j.Lent = nil, shelf.Lent[Job]{}
	return j
}
