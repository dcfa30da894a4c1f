// Package steps times each step from forms to a verified summary:
//
//	go test -bench . ./steps
package steps

import (
	"crypto/rand"
	"io"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"reconcile/bench/day"
	"reconcile/internal/derive"
	"reconcile/internal/flow"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

var benchOptions = flow.Options{Program: flow.Program}

// opened goes through the forms of a made-up day, kept in memory.
func opened(tb testing.TB, jobs int, conflict float64) *tickets.Reader {
	tb.Helper()
	r := flow.Read(folderOf(day.New(jobs, conflict, 1)), benchOptions, true)
	if len(r.Faults) > 0 || len(r.Names) != jobs {
		tb.Fatal(r.Faults)
	}
	return r
}

func folderOf(forms day.Forms) flow.Folder {
	var f flow.Folder
	for name, b := range forms {
		f.Forms = append(f.Forms, tickets.Form{Name: name, Bytes: b})
	}
	return f
}

func jobOf(tb testing.TB, r *tickets.Reader, i int) *tickets.Job {
	tb.Helper()
	job, faults := r.Job(i)
	if job == nil {
		tb.Fatal(faults)
	}
	return job
}

func deriveOf(tb testing.TB, job *tickets.Job) *flow.Result {
	tb.Helper()
	found, err := flow.Find(job, flow.Folder{}, benchOptions, nil)
	if err != nil {
		tb.Fatal(err)
	}
	r, err := found.Result(benchOptions)
	if err != nil {
		tb.Fatal(err)
	}
	found.Release()
	return r
}

// jobs of a day that the steps are measured on, one after the other.
const benchJobs = 60

// BenchmarkOpen goes through the forms of a day once; figures are of a day of
// 1,000 jobs.
func BenchmarkOpen(b *testing.B) {
	folder := folderOf(day.New(1000, 0, 1))
	for b.Loop() {
		flow.Read(folder, benchOptions, true)
	}
}

// BenchmarkRead reads one job of a day; as those below, of one job.
func BenchmarkRead(b *testing.B) {
	x := opened(b, benchJobs, 0)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		jobOf(b, x, i%benchJobs).Release()
		i++
	}
}

// each runs one step on the jobs of a day in turn.
func each(b *testing.B, conflict float64, step func(job *tickets.Job)) {
	x := opened(b, benchJobs, conflict)
	var jobs []*tickets.Job
	for i := range benchJobs {
		jobs = append(jobs, jobOf(b, x, i))
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		step(jobs[i%benchJobs])
		i++
	}
}

func BenchmarkSolve(b *testing.B) {
	each(b, 0, func(job *tickets.Job) {
		if _, err := derive.Solve(job, derive.Options{}); err != nil {
			b.Fatal(err)
		}
	})
}

func BenchmarkCompare(b *testing.B) {
	solved := map[*tickets.Job]*derive.Solution{}
	each(b, 0, func(job *tickets.Job) {
		s := solved[job]
		if s == nil {
			s, _ = derive.Solve(job, derive.Options{})
			solved[job] = s
		}
		limits.Find(job, s, limits.Guarded)
	})
}

// BenchmarkDerive takes a job to its record, where that of the job before was, and that
// written as JSON.
func BenchmarkDerive(b *testing.B) {
	each(b, 0, func(job *tickets.Job) { deriveOf(b, job).Record.Release() }) // the job is used again
}

// BenchmarkDeriveConflict does so where the readings disagree, and every
// likely mistake is tried.
func BenchmarkDeriveConflict(b *testing.B) {
	each(b, 1, func(job *tickets.Job) { deriveOf(b, job).Record.Release() })
}

func BenchmarkJSON(b *testing.B) {
	r := deriveOf(b, jobOf(b, opened(b, 1, 0), 0))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := record.Line(nil, r.Record); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	r := deriveOf(b, jobOf(b, opened(b, 3, 0), 1))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := r.Summary(nil); err != nil {
			b.Fatal(err)
		}
	}
}

func benchSummary(b *testing.B) []byte {
	pdf, _, err := deriveOf(b, jobOf(b, opened(b, 3, 0), 1)).Summary(nil)
	if err != nil {
		b.Fatal(err)
	}
	return pdf
}

func BenchmarkSign(b *testing.B) {
	pdf := benchSummary(b)
	now := time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	key, err := signoff.NewKey("Copper Lane", now, "lantern", rand.Reader)
	if err != nil {
		b.Fatal(err)
	}
	signer, err := signoff.LoadSigningKey(key.P12, "lantern")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := signoff.Sign(pdf, signer, now, ""); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerify(b *testing.B) {
	pdf := benchSummary(b)
	b.ReportAllocs()
	for b.Loop() {
		v := flow.Verify(pdf, nil)
		if !v.Usable {
			b.Fatal(v.Last)
		}
		v.Release()
	}
}

// BenchmarkDay takes a whole day to its records, on all cores; figures are of
// a day of 200 jobs.
func BenchmarkDay(b *testing.B) { wholeDay(b, 0) }

// BenchmarkDayConflict does so where one job in ten is in conflict.
func BenchmarkDayConflict(b *testing.B) { wholeDay(b, 0.1) }

func wholeDay(b *testing.B, conflict float64) {
	x := opened(b, 200, conflict)
	b.ReportAllocs()
	for b.Loop() {
		var next atomic.Int64
		var wait sync.WaitGroup
		for range runtime.GOMAXPROCS(0) {
			wait.Go(func() {
				for i := next.Add(1); i <= int64(len(x.Names)); i = next.Add(1) {
					io.Discard.Write(deriveOf(b, jobOf(b, x, int(i-1))).Line)
				}
			})
		}
		wait.Wait()
	}
}
