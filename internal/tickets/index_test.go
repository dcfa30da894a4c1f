package tickets

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unsafe"
)

func sourcesOf(forms []Form) []Source {
	var sources []Source
	for _, f := range forms {
		sources = append(sources, Source{f.Name, bytes.NewReader(f.Bytes), int64(len(f.Bytes))})
	}
	return sources
}

// readIndexed reads every job of an index, some in one go, and puts the
// results together.
func readIndexed(t testing.TB, forms []Form, o Options, perBlock int) (res Result, inParts bool) {
	t.Helper()
	x, err := NewIndex(sourcesOf(forms), o)
	if err != nil {
		t.Fatal(err)
	}
	x.perBlock = perBlock
	all := newSink()
	for _, f := range x.Faults {
		all.add(f)
	}
	res = Result{Order: x.Order, HasJobs: x.HasJobs, NextNumber: x.NextNumber}
	for i, name := range x.Order {
		job, faults, err := x.Job(i)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range faults {
			if f.All || f.Job != name {
				t.Errorf("with job %q comes the fault %+v", name, f)
			}
			all.add(f)
		}
		if job == nil {
			res.Stopped = append(res.Stopped, name)
		} else {
			res.Jobs = append(res.Jobs, *job)
		}
	}
	res.Faults = all.sorted()
	return res, x.whole == nil
}

// checkIndexed holds what an index gives against what Read gives.
func checkIndexed(t testing.TB, forms []Form, o Options) (inParts bool) {
	t.Helper()
	want := Read(forms, o)
	for _, perBlock := range []int{1, 3, blockJobs} {
		var got Result
		got, inParts = readIndexed(t, forms, o, perBlock)
		sameResults(t, forms, got, want)
	}
	return inParts
}

func sameResults(t testing.TB, forms []Form, got, want Result) {
	t.Helper()
	if showFaults(got.Faults) != showFaults(want.Faults) {
		t.Errorf("faults in parts\n%s\nas a whole\n%s\n%s", showFaults(got.Faults), showFaults(want.Faults), show(forms))
	}
	if !slices.Equal(got.Stopped, want.Stopped) || !slices.Equal(got.Order, want.Order) {
		t.Errorf("stopped in parts %q of %q, as a whole %q of %q\n%s", got.Stopped, got.Order, want.Stopped, want.Order, show(forms))
	}
	if got.NextNumber != want.NextNumber || got.HasJobs != want.HasJobs {
		t.Errorf("in parts next number %q, jobs %v; as a whole %q, %v\n%s", got.NextNumber, got.HasJobs, want.NextNumber, want.HasJobs, show(forms))
	}
	for i := range want.Jobs {
		if i < len(got.Jobs) && !reflect.DeepEqual(got.Jobs[i], want.Jobs[i]) {
			t.Errorf("job in parts\n%+v\nas a whole\n%+v\n%s", got.Jobs[i], want.Jobs[i], show(forms))
		}
	}
}

func show(forms []Form) string {
	var b strings.Builder
	for _, f := range forms {
		fmt.Fprintf(&b, "-- %s --\n%s", f.Name, f.Bytes)
	}
	return b.String()
}

// TestIndexOfMany reads folders of many jobs in parts, in every encoding.
func TestIndexOfMany(t *testing.T) {
	inParts := 0
	for _, e := range encodings {
		for _, forms := range [][]Form{formsOf(manyJobs), folder(40)} {
			for i := range forms {
				forms[i].Bytes = e.write(string(forms[i].Bytes))
			}
			o := Options{NeedTickets: true, HasFile: func(n string) bool { return n == "ticket.jpg" }}
			if checkIndexed(t, forms, o) {
				inParts++
			}
		}
	}
	equal(t, "folders read in parts, all but those of two-byte text", inParts, 2*(len(encodings)-2))
}

// TestIndexOfFaults reads the corpus of faulty forms in parts.
func TestIndexOfFaults(t *testing.T) {
	for _, path := range faultFiles(t) {
		c := readFaultCase(t, path)
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			checkIndexed(t, c.forms, c.options)
			checkIndexed(t, withJobs(c.forms), c.options)
		})
	}
}

// withJobs puts a column job before every form, lines of a and b in turn, so
// that each fault stands in a folder of two jobs.
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

// TestIndexAtRandom reads folders drawn at random, faulty and sound.
func TestIndexAtRandom(t *testing.T) {
	const folders = 400
	inParts, faulty := 0, 0
	for seed := range uint64(folders) {
		r := rand.New(rand.NewPCG(seed, 8))
		forms := randomForms(r)
		o := Options{NeedTickets: true, Region: []Region{Australia, Australia, NoRegion, UnitedStates}[r.IntN(4)], HasFile: func(n string) bool { return n == "ticket.jpg" }}
		if r.IntN(4) == 0 {
			o.Set = []string{"lift", "lfit"}[r.IntN(2)]
		}
		if checkIndexed(t, forms, o) {
			inParts++
			if len(Read(forms, o).Faults) > 0 {
				faulty++
			}
		}
		if t.Failed() {
			t.Fatalf("folder %d", seed)
		}
	}
	if inParts < folders/2 || faulty < folders/4 || faulty > inParts*9/10 {
		t.Errorf("%d folders of %d read in parts, %d of them faulty: the check is lopsided", inParts, folders, faulty)
	}
	t.Logf("%d folders of %d read in parts, %d of them faulty", inParts, folders, faulty)
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
	rare := []int{60, 400, 20_000}[r.IntN(3)]
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

// TestIndexOfSigns holds that a decimal sign is compared with those of other
// jobs above it, though each job is read apart.
func TestIndexOfSigns(t *testing.T) {
	tickets := "job;ticket;setup;on_deck;reading;unit\na;1;coupled;all;5000,5;kg\nb;1;coupled;all;5000.5;kg\nb;2;coupled;all;5000,5;kg\n"
	forms := []Form{{Name: "tickets.csv", Bytes: []byte(tickets)}}
	if !checkIndexed(t, forms, Options{NeedTickets: true}) {
		t.Error("not read in parts")
	}
	res, _ := readIndexed(t, forms, Options{NeedTickets: true}, 1)
	equal(t, "stopped", strings.Join(res.Stopped, " "), "b")
	equal(t, "faults", len(res.Faults), 1)
}

// TestIndexEntry holds the size of what is kept of a line.
func TestIndexEntry(t *testing.T) {
	equal(t, "bytes a line", unsafe.Sizeof(entry{}), uintptr(16))
}

// TestCountUpBy counts up at once and one by one.
func TestCountUpBy(t *testing.T) {
	for _, number := range []string{"1", "007", "2026-0099", "A9", "99", "R-998", "x0"} {
		one := number
		for n := range 1200 {
			if got := countUpBy(number, n); got != one {
				t.Fatalf("%s counted up %d times is %s, one by one %s", number, n, got, one)
			}
			one = countUp(one)
		}
	}
}

// TestShapeStopsItsJob holds that a line of a wrong shape stops its own job,
// and one that holds for every job all of them.
func TestShapeStopsItsJob(t *testing.T) {
	tickets := "job,ticket,setup,on_deck,reading\na,1,coupled,all,5000,xx\nb,1,coupled,all,5000\n"
	res := Read([]Form{{Name: "tickets.csv", Bytes: []byte(tickets)}}, Options{NeedTickets: true})
	equal(t, "stopped by its own line", strings.Join(res.Stopped, " "), "a")
	sound := strings.Replace(tickets, ",xx", "", 1)
	res = Read([]Form{{Name: "tickets.csv", Bytes: []byte(sound)}, {Name: "issuer.csv", Bytes: []byte("name\nCopper Lane,xx\n")}}, Options{NeedTickets: true})
	equal(t, "stopped by a line of every job", strings.Join(res.Stopped, " "), "a b")
}
