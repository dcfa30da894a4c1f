package limits

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// says is all that findings hold, and what their checks answer.
func says(t interface{ Fatal(...any) }, job *tickets.Job, f *Findings) string {
	all, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	text := string(all)
	for i := range f.Checks {
		for _, on := range []tickets.Unit{tickets.OnVehicle, tickets.OnTrailer} {
			perKg, missing := derive.Effect(job, at(on, 400), f.Checks[i].Parts...)
			text += fmt.Sprint(perKg, missing)
		}
	}
	return text
}

// TestFoundInUsedMemory compares what is found of drawn jobs in new memory with what is
// found of them where other jobs' findings were; findings that were not released
// stay as they are.
func TestFoundInUsedMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		jobs := rapid.SliceOfN(rapid.Custom(drawn), 2, 4).Draw(t, "jobs")
		var solved []*derive.Solution
		var want []string
		var kept []*Findings
		for _, job := range jobs {
			s, err := derive.Solve(job, derive.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for !reflect.ValueOf(memories.Get()).Elem().IsZero() { // what was released before
			}
			f := Find(job, s, Guarded)
			solved, want, kept = append(solved, s), append(want, says(t, job, f)), append(kept, f)
		}
		for range 2 {
			for i, job := range jobs {
				f := Find(job, solved[i], Guarded)
				if got := says(t, job, f); got != want[i] {
					t.Fatalf("job %d in used memory:\n%s\n(want %s)", i, got, want[i])
				}
				f.Release()
				f.Release() // once more gives nothing
			}
		}
		for i, job := range jobs {
			if got := says(t, job, kept[i]); got != want[i] {
				t.Fatalf("job %d after others were compared:\n%s\n(want %s)", i, got, want[i])
			}
		}
	})
}

// TestReleasedFindings: findings that were released hold nothing, and all of their memory
// is there for the next ones.
func TestReleasedFindings(t *testing.T) {
	f := found(t, levered(au(allUsual()...)))
	m, c := f.memory, &f.Checks[0]
	if c.Rating == "" {
		t.Fatalf("check %+v", c)
	}
	copied := *f
	copied.Release() // which gives nothing
	if len(f.Checks) == 0 || c.Rating == "" {
		t.Fatalf("a released copy leaves %+v", f)
	}
	copied = *f
	f.Release()
	copied.Release()
	if len(f.Checks) > 0 || f.Verdict != "" || c.Rating != "" || c.Line != nil {
		t.Errorf("released findings hold %+v, a check of them %+v", f, c)
	}
	for v, i := reflect.ValueOf(m).Elem(), 0; i < v.NumField(); i++ {
		if v.Field(i).Kind() != reflect.Struct {
			continue
		}
		if taken := v.Field(i).FieldByName("taken"); taken.IsValid() && taken.Int() != 0 {
			t.Errorf("%s: %d are still lent", v.Type().Field(i).Name, taken.Int())
		}
	}
}
