package flow

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/screen"
	"reconcile/internal/tickets"
)

// span is a piece of memory, and what leads to it.
type span struct {
	from, to uintptr
	path     string
}

// spans lists the memory that a value leads to, texts aside, which nobody changes.
type spans struct {
	all  []span
	seen map[span]bool
}

func (s *spans) of(path string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && s.add(path, v, v.Type().Elem().Size()) {
			s.of(path, v.Elem())
		}
	case reflect.Slice:
		if s.add(path, v, uintptr(v.Len())*v.Type().Elem().Size()) {
			for i := range v.Len() {
				s.of(fmt.Sprintf("%s[%d]", path, i), v.Index(i))
			}
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			s.of(path+"[]", v.MapIndex(key))
		}
	case reflect.Interface:
		s.of(path, v.Elem())
	case reflect.Array:
		for i := range v.Len() {
			s.of(fmt.Sprintf("%s[%d]", path, i), v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.Name != "memory" { // where a record is has room for others
				s.of(path+"."+f.Name, v.Field(i))
			}
		}
	}
}

// add is false where nothing is there, or what is was listed.
func (s *spans) add(path string, v reflect.Value, size uintptr) bool {
	from := v.Pointer()
	known := span{from, from + size, v.Type().String()}
	if size == 0 || s.seen[known] {
		return false
	}
	s.seen[known] = true
	s.all = append(s.all, span{from, from + size, path})
	return true
}

func spansOf(name string, v any) []span {
	s := spans{seen: map[span]bool{}}
	s.of(name, reflect.ValueOf(v))
	slices.SortFunc(s.all, func(a, b span) int { return int(a.from) - int(b.from) })
	return s.all
}

// TestRecordsOwnTheirMemory: nothing in a record but texts is in the memory of the job, of
// what was solved, or of what the ratings say of it, all of which may be another
// job's while the record is still printed.
func TestRecordsOwnTheirMemory(t *testing.T) {
	o := Options{Program: testProgram}
	records := 0
	for _, name := range folders(t) {
		f := openJob(t, name)
		jobs, _ := Read(f, o, true).All()
		for _, job := range jobs {
			found, err := Find(job, f, o, nil)
			if err != nil {
				t.Fatal(err)
			}
			r, err := found.Result(o)
			if err != nil {
				t.Fatal(err)
			}
			others := spansOf("found", &found.parts)
			for _, own := range spansOf("record", r.Record) {
				for i := range others {
					if x := &others[i]; x.from < own.to && own.from < x.to {
						t.Errorf("%s: %s is where %s is", name, own.path, x.path)
					}
				}
			}
			if len(others) < 100 {
				t.Errorf("%s: what the record was built of has only %d pieces", name, len(others))
			}
			records++
		}
	}
	if records != demoRecords {
		t.Errorf("%d records (want %d)", records, demoRecords)
	}
}

// TestResultsInUsedMemory runs the demo jobs in drawn orders, each in the memory of those
// before, on one core and on two, and wants of each the same record, what is attached
// to it and the same report as of the one that was built alone.
func TestResultsInUsedMemory(t *testing.T) {
	o := Options{Program: testProgram}
	type one struct {
		folder       Folder
		jobs         *tickets.Reader
		place        int // among them
		line, report string
	}
	var all []one
	for _, name := range folders(t) {
		f := openJob(t, name)
		jobs := Read(f, o, true)
		for i, r := range recordsOf(t, name) {
			if all = append(all, one{f, jobs, i, string(r.Line), reportOf(r)}); r.Record.Schema == "" {
				t.Fatalf("%s: the record is gone", name)
			}
		}
	}
	for seed, cores := range []int{1, 2, 1, 2} {
		before := runtime.GOMAXPROCS(cores)
		order := rand.New(rand.NewPCG(uint64(seed), 28)).Perm(3 * len(all))
		var lock sync.Mutex
		var waiting []*Result // as those that are issued together
		var whose []int
		done := 0
		check := func() {
			for k, r := range waiting {
				if x := &all[whose[k]]; string(r.Line) != x.line || reportOf(r) != x.report {
					t.Errorf("order %d on %d cores: job %d is not as it was alone", seed, cores, whose[k])
				}
				r.Release()
			}
			waiting, whose = waiting[:0], whose[:0]
		}
		onAllCores(len(order), func(i int) {
			x := &all[order[i]%len(all)]
			job, _ := x.jobs.Job(x.place)
			found, err := Find(job, x.folder, o, nil)
			if err != nil {
				panic(err)
			}
			r, err := found.Result(o)
			if err != nil {
				panic(err)
			}
			found.Release()
			lock.Lock()
			defer lock.Unlock()
			if waiting, whose = append(waiting, r), append(whose, order[i]%len(all)); len(waiting) > done%8 {
				check()
			}
			done++
		})
		check()
		runtime.GOMAXPROCS(before)
		if done != 3*demoRecords {
			t.Errorf("order %d: %d results (want %d)", seed, done, 3*demoRecords)
		}
	}
}

// reportOf is what the screen says of a result, and what is attached.
func reportOf(r *Result) string {
	var b strings.Builder
	for _, file := range r.Files {
		b.WriteString(file.Name)
		b.Write(file.Bytes)
	}
	screen.Report(&b, r.Say)
	screen.Brief(&b, r.Say, "job")
	return b.String()
}

// TestReleasedResult: a result that was released leads to nothing, and releasing it
// once more, or one of another's making, does nothing.
func TestReleasedResult(t *testing.T) {
	r := derived(t, "planetarium")[0]
	line := bytes.Clone(r.Line)
	copied := *r
	copied.Release()
	if !bytes.Equal(r.Line, line) || r.Record.Schema == "" {
		t.Errorf("a released copy leaves a record of schema %q, a line of %d bytes", r.Record.Schema, len(r.Line))
	}
	copied = *r
	r.Release()
	next := derived(t, "planetarium")[0] // mostly in the memory that was released
	copied.Release()
	if again, err := record.Line(nil, next.Record); err != nil || !bytes.Equal(again, line) {
		t.Errorf("a copy of a released result leaves of another %s, %v", again, err)
	}
	if !reflect.DeepEqual(*r, Result{}) {
		t.Errorf("released: %+v", r)
	}
	r.Release()
	other := &Result{Line: line}
	other.Release()
	if again := derived(t, "planetarium")[0]; !bytes.Equal(again.Line, line) {
		t.Errorf("after others were released:\n%s\n(want %s)", again.Line, line)
	}
}
