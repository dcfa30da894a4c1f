package adjust

import (
	"os"
	"path/filepath"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// demo reads a job of testdata.
func demo(t testing.TB, name string) *tickets.Job {
	t.Helper()
	var forms []tickets.Form
	dir := filepath.Join("..", "..", "testdata", "tickets", name)
	for _, form := range []string{"tickets.csv", "ratings.csv", "outfit.csv", "scales.csv", "loads.csv", "places.csv"} {
		b, err := os.ReadFile(filepath.Join(dir, form))
		if os.IsNotExist(err) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		forms = append(forms, tickets.Form{Name: form, Bytes: b})
	}
	jobs, faults := tickets.Read(forms, tickets.Options{NeedTickets: true}).All()
	for _, f := range faults {
		t.Fatal(f.Error())
	}
	if len(jobs) != 1 {
		t.Fatalf("%s holds %d jobs, want 1", name, len(jobs))
	}
	return jobs[0]
}

// solved solves a job and compares it with its ratings.
func solved(t testing.TB, job *tickets.Job, rule string) (*derive.Solution, *limits.Findings) {
	t.Helper()
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s, limits.Find(job, s, rule)
}

// planned finds the plan of a job under the ratings in force.
func planned(t testing.TB, job *tickets.Job, rule string) *Plan {
	t.Helper()
	s, f := solved(t, job, rule)
	p, err := Find(s, f, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// withValue is a check with a value that has this standard uncertainty and margin.
func withValue(c limits.Check, u, margin float64) *limits.Check {
	fill(&c.Found)
	c.Found.U, c.Found.Margin = u, margin
	return &c
}

// fill points at a new value, of a type that has no name here.
func fill[T any](p **T) { *p = new(T) }
