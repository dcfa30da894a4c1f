package main

import (
	"fmt"
	"slices"
)

// figures are those of one run: seconds, and kibibytes of memory at the peak.
type figures struct{ wall, cpu, peak float64 }

// series are the figures of several runs of one command, by rounds.
type series []figures

func wall(f figures) float64 { return f.wall }
func cpu(f figures) float64  { return f.cpu }
func peak(f figures) float64 { return f.peak }

// median is that of one figure.
func (s series) median(of func(figures) float64) float64 {
	var values []float64
	for _, f := range s {
		values = append(values, of(f))
	}
	return median(values)
}

// each are the milliseconds of one of n things that a run does.
func (s series) each(n int) string {
	ms := 1e3 / float64(n)
	return fmt.Sprintf("%.3g / %.3g", ms*s.median(wall), ms*s.median(cpu))
}

// ratio is the median of the ratios in each round.
func ratio(a, b series, of func(figures) float64) float64 {
	var values []float64
	for i := range a {
		values = append(values, of(a[i])/of(b[i]))
	}
	return median(values)
}

func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// bound is what a ratio has to keep: ours to theirs at most, or theirs to ours
// at least.
type bound struct{ most, least float64 }

func (b bound) String() string {
	if b.least > 0 {
		return fmt.Sprintf("≥ %g times as quick", b.least)
	}
	return fmt.Sprintf("≤ %g", b.most)
}

// row adds a row to the table: what a run of ours does n times, and theirs too.
func (b *bench) row(what string, ours series, n int, with string, theirs series, want bound) {
	var ratios [2]string
	for i, of := range []func(figures) float64{wall, cpu} {
		r := ratio(ours, theirs, of)
		kept := r <= want.most
		if want.least > 0 {
			r = ratio(theirs, ours, of)
			kept = r >= want.least
		}
		ratios[i] = fmt.Sprintf("%.2f", r)
		if !kept {
			ratios[i] += " (not kept)"
			b.missed++
		}
	}
	b.rows = append(b.rows, fmt.Sprintf("| %s | %s | %s | %s | %s / %s | %s |", what, ours.each(n), with, theirs.each(n), ratios[0], ratios[1], want))
}

// peak adds a row of memory.
func (b *bench) peak(what string, ours series, most float64) {
	mib, note := ours.median(peak)/1024, ""
	if mib > most {
		note = " (not kept)"
		b.missed++
	}
	b.rows = append(b.rows, fmt.Sprintf("| %s | %.1f MiB%s | | | | ≤ %g MiB |", what, mib, note, most))
}
