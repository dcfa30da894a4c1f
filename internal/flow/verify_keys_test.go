package flow

import (
	"fmt"
	"reflect"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// change is one false record: a key, as it is named whatever the entry of its
// list, and a record in which it alone is changed by the least that can be written.
type change struct {
	key  string
	make func(r *record.Record)
}

// changesOf walks a record, and gives for each key of it one change, taken where
// the walk first meets it.
func changesOf(r *record.Record) []change {
	w := keyWalk{seen: map[string]bool{}}
	w.value("", reflect.ValueOf(r).Elem(), func(r *record.Record) reflect.Value { return reflect.ValueOf(r).Elem() })
	return w.all
}

type keyWalk struct {
	seen map[string]bool
	all  []change
}

// at finds the value in a copy of the record.
type at func(r *record.Record) reflect.Value

func (w *keyWalk) add(key string, find at, set func(v reflect.Value)) {
	if !w.seen[key] {
		w.seen[key] = true
		w.all = append(w.all, change{key, func(r *record.Record) { set(find(r)) }})
	}
}

func (w *keyWalk) value(key string, v reflect.Value, find at) {
	switch v.Kind() {
	case reflect.Struct:
		w.fields(key, v, find)
	case reflect.Pointer:
		w.pointer(key, v, find)
	case reflect.Slice:
		w.list(key, v, find)
	case reflect.Array:
		for i := range v.Len() {
			w.value(fmt.Sprintf("%s[%d]", key, i), v.Index(i), func(r *record.Record) reflect.Value { return find(r).Index(i) })
		}
	default:
		w.add(key, find, func(v reflect.Value) { nudge(key, v) })
	}
}

func (w *keyWalk) fields(key string, v reflect.Value, find at) {
	for i := range v.NumField() {
		if beyondTheRecord(v.Type().Field(i)) {
			continue
		}
		w.value(keyOf(key, v.Type().Field(i)), v.Field(i), func(r *record.Record) reflect.Value { return find(r).Field(i) })
	}
}

func (w *keyWalk) pointer(key string, v reflect.Value, find at) {
	if v.IsNil() {
		w.add(key+" filled", find, func(v reflect.Value) {
			v.Set(reflect.New(v.Type().Elem()))
			if v.Elem().Kind() == reflect.Struct {
				emptyLists(v.Elem())
			}
		})
		return
	}
	w.value(key, v.Elem(), func(r *record.Record) reflect.Value { return find(r).Elem() })
	w.add(key+" null", find, func(v reflect.Value) { v.SetZero() })
}

func (w *keyWalk) list(key string, v reflect.Value, find at) {
	w.add(key+" longer", find, func(v reflect.Value) {
		x := reflect.New(v.Type().Elem()).Elem()
		if v.Len() > 0 {
			x.Set(v.Index(v.Len() - 1))
		} else if x.Kind() == reflect.Struct {
			emptyLists(x)
		}
		v.Set(reflect.Append(v, x))
	})
	if v.Len() > 0 {
		w.add(key+" shorter", find, func(v reflect.Value) { v.SetLen(v.Len() - 1) })
	}
	if v.Len() > 1 {
		w.add(key+" in another order", find, func(v reflect.Value) { reflect.Swapper(v.Interface())(0, 1) })
	}
	for i := range v.Len() {
		w.value(key+"[]", v.Index(i), func(r *record.Record) reflect.Value { return find(r).Index(i) })
	}
}

// emptyLists makes the lists of a new value lists, as the record has them.
func emptyLists(v reflect.Value) {
	for i := range v.NumField() {
		switch f := v.Field(i); f.Kind() {
		case reflect.Slice:
			f.Set(reflect.MakeSlice(f.Type(), 0, 0))
		case reflect.Struct:
			emptyLists(f)
		}
	}
}

var lastDigit = regexp.MustCompile(`[0-9]([^0-9]*)$`)

// nudge changes a value by the least that can be written.
func nudge(key string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Int:
		v.SetInt(v.Int() + 1)
	case reflect.Float64:
		least := 1e-9
		if strings.HasSuffix(key, "kg") || strings.HasSuffix(key, "mm") || strings.Contains(key, "lengths_mm") || strings.HasSuffix(key, "kgm") {
			least = 1e-6
		}
		v.SetFloat(v.Float() + least)
	case reflect.String:
		v.SetString(nudged(v.String()))
	}
}

// nudged changes one character: the last figure by one, else the last letter, else
// there is one where there was none.
func nudged(s string) string {
	if i := lastDigit.FindStringIndex(s); i != nil {
		return s[:i[0]] + string('0'+(s[i[0]]-'0'+1)%10) + s[i[0]+1:]
	}
	if s == "" {
		return "1"
	}
	last := s[len(s)-1] + 1
	if last > 'z' {
		last = 'a'
	}
	return s[:len(s)-1] + string(last)
}

// freeChoices are the keys whose change makes another true record, if the pages
// show it: they are given by whoever makes it, and nothing else says them.
var freeChoices = []string{
	"options.paper", "options.unit", "options.short", "options.issued", "options.signed_by null",
	"replaces.number", "replaces.record_sha256", "replaces.because", "replaces null",
	"inputs[].lines shorter", // the first lines of a form: whether it had more, only the folder knows
}

// TestVerifyEveryKey changes every key of the records of several jobs in turn, by
// the least that can be written, and draws the pages of the false record: each
// is found, whether it is signed by somebody trusted or not. Without -study it is
// every twentieth key.
func TestVerifyEveryKey(t *testing.T) {
	jobs := folders(t)
	if testing.Short() {
		jobs = []string{"planetarium", "over-rear-axle"}
	}
	keys := map[string]bool{}
	var changed []func()
	for _, r := range append(forgeable(t, jobs), signedResult(t), amendment(t), moreResult(t)) {
		for _, c := range changesOf(r.Record) {
			if keys[c.key] {
				continue // found in a job before
			}
			keys[c.key] = true
			if step := study.Size(1, 20, 20); len(keys)%step == 0 {
				changed = append(changed, func() { forgeKey(t, r, c) })
			}
		}
	}
	onAllCores(len(changed), func(i int) { changed[i]() })
	t.Logf("%d of %d keys changed", len(changed), len(keys))
	if least := 300; len(keys) < least || len(changed) < study.Size(least, least/20, least/20) {
		t.Errorf("%d of %d keys changed (want at least %d keys)", len(changed), len(keys), least)
	}
	if !testing.Short() {
		wantAllKeys(t, keys)
	}
}

// onAllCores does n things, each of which may only report errors.
func onAllCores(n int, do func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wait.Wait()
}

func forgeable(t *testing.T, jobs []string) []*Result {
	var all []*Result
	for _, name := range jobs {
		all = append(all, recordsOf(t, name)...)
	}
	return all
}

func forgeKey(t *testing.T, r *Result, c change) {
	t.Helper()
	f := forgeryOf(t, r)
	c.make(f.record)
	line, err := record.Line(nil, f.record)
	if err != nil {
		return // the writer itself refuses it
	}
	if string(line) == string(r.Line) {
		t.Errorf("%s: nothing was changed", c.key)
		return
	}
	f.pages = f.record
	pdf, err := drawnForgery(f, line, r)
	if err != nil {
		return // the program cannot draw it
	}
	if r.Record.Options.SignedBy != nil {
		pdf = signedBy(t, pdf, yard())
	}
	v := Verify(pdf, nil)
	switch {
	case slices.Contains(freeChoices, c.key):
		if v.Outcome == "not_read" {
			t.Errorf("%s: %s", c.key, v.Last)
		}
	case v.Outcome != "not_sound" && v.Outcome != notRead:
		t.Errorf("%s changed: %s\n%s", c.key, v.Outcome, said(v))
	}
	if strings.Contains(said(v), "the program failed") {
		t.Errorf("%s changed: %s", c.key, said(v))
	}
	if c.key == "replaces.record_sha256" {
		return // the pages show how it begins
	}
	f.pages = r.Record // the true pages with the false record
	if pdf, err = drawnForgery(f, line, r); err != nil {
		t.Error(err)
		return
	}
	if v := Verify(pdf, nil); v.Outcome != "not_sound" && v.Outcome != notRead {
		t.Errorf("%s changed, the pages as they were: %s", c.key, v.Outcome)
	}
}

// drawnForgery draws a false record; where it has not the codes that words
// expect, the true pages go with it.
func drawnForgery(f *forged, line []byte, r *Result) (pdf []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			pdf, err = drawForged(r.Record, line, f, r.Say.Earlier)
		}
	}()
	return drawForged(f.pages, line, f, r.Say.Earlier)
}

// signedResult is a record that says who signed it, amendment one that replaces
// another, with a number and an earlier record.
func signedResult(t *testing.T) *Result {
	t.Helper()
	f := openJob(t, "planetarium")
	o := Options{Program: Program, Issued: "2026-03-14", SignedBy: &record.Signer{Name: yard().Name, Fingerprint: yard().Fingerprint}}
	r, err := resultOf(firstJob(f, o), f, o)
	if err != nil {
		t.Fatal(err)
	}
	if v := Verify(signedBy(t, summaryOf(t, r), yard()), nil); v.Outcome != "signed" {
		t.Fatalf("signed: %s", said(v))
	}
	return r
}

func amendment(t *testing.T) *Result {
	t.Helper()
	earlier := recordsOf(t, "planetarium")[0]
	r := recordWith(t, "weighed-again", Options{Earlier: earlier.Line, Number: "8",
		Replaces: &record.Replaces{Number: "7", RecordSHA256: strings.Repeat("A", 64), Because: "another plate"}})
	wantOutcome(t, "an amendment", summaryOf(t, r), "not_signed")
	return r
}

// moreForms are a job that has what the demo jobs have not: figures that do not
// add up.
var moreForms = map[string]string{
	"tickets.csv": "ticket,setup,hitch,on_deck,reading,use,without\n" +
		"1,coupled,slack,front,1240,,\n1,coupled,slack,rear,1760,,\n1,coupled,slack,trailer,2240,,crate\n1,coupled,slack,all,5280,calculated,\n2,trailer_alone,,all,2440,,crate\n",
	"loads.csv":   "load,mass,on\ncrate,40,trailer\n",
	"ratings.csv": "rating,on,value\ngvm,,3200\natm,,2800\n",
}

func moreResult(t *testing.T) *Result {
	t.Helper()
	f, o := Folder{}, Options{Program: Program}
	for _, name := range tickets.FormNames() {
		if text, ok := moreForms[name]; ok {
			f.Forms = append(f.Forms, tickets.Form{Name: name, Bytes: []byte(text)})
		}
	}
	jobs, faults := Read(f, o, true).All()
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	r, err := resultOf(jobs[0], f, o)
	if err != nil {
		t.Fatal(err)
	}
	wantOutcome(t, "more", summaryOf(t, r), "not_signed")
	return r
}

// argument is a key of a code's arguments, which all codes share.
var argument = regexp.MustCompile(`^(do|questions|cannot_be|cautions|footnotes)\[\](\.args)?\.`)

// wantAllKeys wants each key of the schema among those changed; the arguments of
// codes under any one of them.
func wantAllKeys(t *testing.T, changed map[string]bool) {
	t.Helper()
	for key := range changed {
		changed[argument.ReplaceAllString(key, "*.")] = true
	}
	w := typeWalk{seen: map[string]bool{}}
	w.of("", reflect.TypeFor[record.Record]())
	var missing []string
	for key := range w.seen {
		if !changed[key] && !changed[key+" filled"] && !changed[strings.TrimSuffix(key, "[]")+" longer"] {
			missing = append(missing, key)
		}
	}
	slices.Sort(missing)
	if len(missing) > 0 || len(w.seen) < 300 {
		t.Errorf("of %d keys %d were not changed:\n%s", len(w.seen), len(missing), strings.Join(missing, "\n"))
	}
}

// typeWalk lists the keys of a type that hold no others.
type typeWalk struct{ seen map[string]bool }

func (w *typeWalk) of(key string, x reflect.Type) {
	switch x.Kind() {
	case reflect.Pointer:
		w.of(key, x.Elem())
	case reflect.Slice:
		w.of(key+"[]", x.Elem())
	case reflect.Array:
		w.of(key+"[0]", x.Elem())
	case reflect.Struct:
		for i := range x.NumField() {
			if f := x.Field(i); !beyondTheRecord(f) {
				w.of(keyOf(key, f), f.Type)
			}
		}
	default:
		w.seen[argument.ReplaceAllString(key, "*.")] = true
	}
}

// beyondTheRecord says of a field whether it is no key: no line of a record has it.
func beyondTheRecord(f reflect.StructField) bool { return f.Tag.Get("json") == "-" }

// keyOf is the key of a field below another.
func keyOf(key string, f reflect.StructField) string {
	if f.Anonymous {
		return key
	}
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if name == "" {
		name = strings.ToLower(f.Name)
	}
	return strings.TrimPrefix(key+"."+name, ".")
}
