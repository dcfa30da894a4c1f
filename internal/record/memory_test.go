package record

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// TestReleaseLeavesNothing builds and releases the records of demo jobs: nothing of them is
// left in their memory, each part of which at least one of them used.
func TestReleaseLeavesNothing(t *testing.T) {
	used := map[string]bool{}
	for _, name := range []string{"planetarium", "planetarium-conflict", "planned-upgrade", "slack-and-tensioned", "day"} {
		var forms []tickets.Form
		for _, form := range tickets.FormNames() {
			if b, err := os.ReadFile(filepath.Join("../../testdata/tickets", name, form)); err == nil {
				forms = append(forms, tickets.Form{Name: form, Bytes: b})
			}
		}
		jobs, faults := tickets.Read(forms, tickets.Options{CopySize: func(string) (int64, error) { return 1, nil }}).All()
		if len(jobs) == 0 || len(faults) > 0 {
			t.Fatal(name, faults)
		}
		for _, job := range jobs {
			s, err := derive.Solve(job, derive.Options{})
			if err != nil {
				t.Fatal(err)
			}
			r := Build(Parts{Job: job, Solution: s, Findings: limits.Find(job, s, limits.Guarded)})
			m := r.memory
			copied := *r
			copied.Release() // which gives nothing
			if r.memory != m || len(r.Readings) == 0 || r.Readings[0].Line == 0 {
				t.Errorf("%s: a released copy leaves %+v", name, r.Readings)
			}
			eachShelf(m, func(part string, taken int, empty bool) { used[part] = used[part] || taken > 0 && !empty })
			r.Release()
			eachShelf(m, func(part string, taken int, empty bool) {
				if taken != 0 || !empty {
					t.Errorf("%s: %d taken of %s, empty %v", name, taken, part, empty)
				}
			})
			if !reflect.ValueOf(m.record).IsZero() || !reflect.ValueOf(m.hitchRange).IsZero() || !reflect.ValueOf(m.governs).IsZero() {
				t.Errorf("%s: the record is left", name)
			}
			r.Release() // once more gives nothing
		}
	}
	eachShelf(new(memory), func(part string, _ int, _ bool) {
		if !used[part] {
			t.Errorf("no record used %s", part)
		}
	})
}

// eachShelf visits the shelves of a record's memory: how much of each is taken, and whether
// all its values are zero.
func eachShelf(m *memory, visit func(part string, taken int, empty bool)) {
	v := reflect.ValueOf(m).Elem()
	for i := range v.NumField() {
		taken, room := v.Field(i).FieldByName("taken"), v.Field(i).FieldByName("room")
		if !room.IsValid() {
			continue
		}
		empty := true
		for k := range room.Len() {
			empty = empty && room.Index(k).IsZero()
		}
		visit(v.Type().Field(i).Name, int(taken.Int()), empty)
	}
}
