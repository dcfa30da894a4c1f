package tickets

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// fuzzSeeds is the number of seeds of FuzzRead: the faulty forms, three
// dialects, and the two jobs of the tests.
const fuzzSeeds = faultCases + 3 + 2

var fuzzRegions = []string{"", "au", "nz", "uk", "eu", "us"}

// FuzzRead reads any bytes as forms: never a panic, every job read or stopped,
// and every job that is read keeps its invariants and is read the same again.
func FuzzRead(f *testing.F) {
	seeds := 0
	add := func(region string, forms []Form) {
		var b [7][]byte
		for _, form := range forms {
			if i := formRank(form.Name); i < len(b) {
				b[i] = form.Bytes
			}
		}
		f.Add(uint8(slices.Index(fuzzRegions, region)), b[0], b[1], b[2], b[3], b[4], b[5], b[6])
		seeds++
	}
	for _, path := range faultFiles(f) {
		c := readFaultCase(f, path)
		add(c.options.Region, c.forms)
	}
	for _, country := range []string{"german", "us", "australian"} {
		add("", exported(f, country))
	}
	add("", formsOf(planetarium))
	add("", formsOf(manyJobs))
	if seeds != fuzzSeeds {
		f.Fatalf("%d seeds, want %d", seeds, fuzzSeeds)
	}
	f.Fuzz(func(t *testing.T, region uint8, tickets, ratings, outfit, scales, loads, places, issuer []byte) {
		var forms []Form
		for i, b := range [][]byte{tickets, ratings, outfit, scales, loads, places, issuer} {
			if len(b) > 0 {
				forms = append(forms, Form{Name: specs[i].name, Bytes: b})
			}
		}
		o := Options{NeedTickets: true, Region: fuzzRegions[int(region)%len(fuzzRegions)]}
		res := readFolder(forms, o)
		checkStopped(t, res)
		for _, fault := range res.Faults {
			checkFault(t, fault)
		}
		for _, j := range res.Jobs {
			checkJob(t, j)
			if again := readAgain(t, j); !reflect.DeepEqual(j, again) {
				t.Errorf("job read again is\n%+v\nwas\n%+v", again, j)
			}
		}
	})
}

func checkFault(t *testing.T, f Fault) {
	t.Helper()
	text := f.What + f.Wanted + f.Hint
	if f.Line < 1 || f.Column < 1 || f.What == "" || f.Wanted == "" || strings.ContainsAny(text, "\n\r\x00") {
		t.Errorf("fault %+v", f)
	}
}

// checkJob holds what later steps rely on.
func checkJob(t *testing.T, j Job) {
	t.Helper()
	o := j.Outfit
	if o.Travels == "" || o.LengthUncertaintyMm < 0 {
		t.Errorf("outfit %+v", o)
	}
	for _, l := range []Length{o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle} {
		if l.Known && (l.Mm <= 0 || math.IsInf(l.Mm, 0)) {
			t.Errorf("length %+v", l)
		}
	}
	for _, r := range j.Readings {
		checkReading(t, &j, r)
	}
	for _, l := range j.Loads {
		if l.Name == "" || l.Kg.Sign() < 0 || l.Kg.IsZero() && !l.Most.Valid || l.UKg <= 0 || math.IsInf(l.UKg, 0) || l.Place != "" && (j.Place(l.Place) == nil || j.Place(l.Place).On != l.On) {
			t.Errorf("load %+v", l)
		}
	}
	for _, r := range j.Ratings {
		holds := 0
		for _, h := range []bool{r.None, r.LimitKg.Valid, r.LimitKN.Valid, r.Index != nil} {
			if h {
				holds++
			}
		}
		if holds != 1 || ruleOf(r.Word) == nil || r.Word == "towing" && j.Region == "" && !r.None && !r.Replaced {
			t.Errorf("rating %+v", r)
		}
	}
}

func checkReading(t *testing.T, j *Job, r Reading) {
	t.Helper()
	s := j.Scale(r.Scale)
	if r.Empty {
		if r.IntervalKg.Sign() <= 0 || len(r.Terms) > 0 || r.State != "" || r.People != nil || len(r.With)+len(r.Without) > 0 {
			t.Errorf("reading of an empty deck %+v", r)
		}
		return
	}
	if s == nil || r.Ticket == "" || r.State == "" || r.Typed == "" || r.IntervalKg.Sign() <= 0 || massUnits[r.Unit].IsZero() {
		t.Errorf("reading %+v on scale %+v", r, s)
	}
	if r.HitchUnknown && r.State != CoupledTensioned {
		t.Errorf("hitch of %+v", r)
	}
	if r.Used && (r.Kg.Sign() <= 0 || len(r.Terms) == 0) || len(r.Terms) == 0 && !r.Calculated {
		t.Errorf("reading %+v", r)
	}
	groups := append(r.State.groups(), Coupling)
	for i, a := range r.Terms {
		if !slices.Contains(groups, a.Group) || i > 0 && compareTerms(r.Terms[i-1], a) >= 0 {
			t.Errorf("terms %v in state %s", r.Terms, r.State)
		}
		for _, b := range r.Terms[:i] {
			if a.overlaps(b) {
				t.Errorf("terms %v overlap", r.Terms)
			}
		}
	}
	for _, name := range slices.Concat(r.Without, r.With) {
		if len(r.Terms) > 0 && (j.Load(name) == nil || j.Load(name).On == "") {
			t.Errorf("load %q of reading %+v", name, r)
		}
	}
}
