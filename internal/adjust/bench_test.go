package adjust

import (
	"slices"
	"testing"
	"time"

	"reconcile/internal/limits"
)

// BenchmarkPlan plans drawn jobs of 40 loads that may each go to four places
// (or three and be left behind), from the solved job to the plan recalculated,
// and reports median and longest time in milliseconds, and how many were not
// proved.
func BenchmarkPlan(b *testing.B) {
	kind := simulatedKind{least: 40, loads: 40, choices: 4, divisible: 80, tight: true}
	var times []time.Duration
	found, unproved := 0, 0
	for b.Loop() {
		times, found, unproved = nil, 0, 0
		for seed := range uint64(60) {
			w := simulate(kind, seed)
			s, f := solved(b, w.job, limits.Guarded)
			start := time.Now()
			p, err := Find(s, f, "", nil)
			if err != nil {
				b.Fatal(err)
			}
			if p.Why == inConflict || p.Found && len(p.Moves) == 0 {
				continue // nothing was searched
			}
			times = append(times, time.Since(start))
			if p.Found {
				found++
			}
			if !p.Proved {
				unproved++
			}
		}
		slices.Sort(times)
	}
	b.ReportMetric(float64(times[len(times)/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64(times[len(times)-1].Microseconds())/1000, "longest-ms")
	b.ReportMetric(float64(len(times)), "jobs")
	b.ReportMetric(float64(found), "plans")
	b.ReportMetric(float64(unproved), "unproved")
}
