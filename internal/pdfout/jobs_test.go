package pdfout

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// jobFolders are the demo jobs of the program, one of each kind, all invented.
const jobFolders = "../../testdata/tickets"

// jobs are the records of every demo job, by folder and job.
var jobs = sync.OnceValues(func() (map[string]*record.Record, error) {
	files, err := filepath.Glob(filepath.Join(jobFolders, "*", "tickets.csv"))
	if err != nil {
		return nil, err
	}
	all := map[string]*record.Record{}
	for _, file := range files {
		records, err := recordsOf(filepath.Dir(file))
		if err != nil {
			return nil, err
		}
		for _, r := range records {
			name := filepath.Base(filepath.Dir(file))
			if r.Job != "" {
				name += " " + r.Job
			}
			all[name] = r
		}
	}
	return all, nil
})

// recordsOf takes the jobs of a folder through every step.
func recordsOf(dir string) ([]*record.Record, error) {
	var forms []tickets.Form
	for _, name := range tickets.FormNames() {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err == nil {
			forms = append(forms, tickets.Form{Name: name, Bytes: b})
		}
	}
	jobs, faults := tickets.Read(forms, tickets.Options{NeedTickets: true, CopySize: func(name string) (int64, error) {
		_, err := os.Stat(filepath.Join(dir, name))
		return 0, err
	}}).All()
	if len(faults) > 0 {
		return nil, &faults[0]
	}
	var all []*record.Record
	for _, job := range jobs {
		s, err := derive.Solve(job, derive.Options{})
		if err != nil {
			return nil, err
		}
		found := limits.Find(job, s, limits.Guarded)
		advice, err := adjust.Next(s, found, nil)
		if err != nil {
			return nil, err
		}
		parts := record.Parts{Program: "2.0.0", Job: job, Solution: s, Findings: found, Advice: advice}
		given := &parts.Options
		given.Rule, given.Issued, given.Paper, given.Unit = "guarded", "2026-03-16", "a4", unitOf(job)
		switch {
		case found.Conflict:
			parts.Mistakes, _ = mistakes.Find(s, nil)
		case found.Verdict == limits.Over, found.Verdict == limits.Unsettled:
			if parts.Plan, err = adjust.Find(s, found, "", nil); err != nil {
				return nil, err
			}
		}
		all = append(all, record.Build(parts))
	}
	return all, nil
}

func unitOf(job *tickets.Job) string {
	if job.Region == "us" {
		return "lb"
	}
	return "kg"
}

// allJobs are the demo jobs; a check that runs on them runs on many.
func allJobs(t *testing.T) map[string]*record.Record {
	t.Helper()
	all, err := jobs()
	if err != nil || len(all) < 48 {
		t.Fatalf("%d demo jobs, want at least 48 (%v)", len(all), err)
	}
	return all
}
