package adjust

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// worth is what a set of stops gives to the deciding checks.
type worth struct {
	checks              []visitCheck
	determined, checked int
	left                float64 // Σ U as a share of the limits
}

// evaluate solves the job with the readings of a set of stops.
func (v *visit) evaluate(set map[int]bool) (worth, error) { return v.worthOf(v.job, set) }

// weighedAlone is the same without the lengths of the outfit: what is then
// determined was weighed, and no moment tie had a part in it.
// A plan that leaned on lengths would be worth no more than the tape that took
// them.
func (v *visit) weighedAlone(set map[int]bool) (worth, error) {
	job := *v.job
	job.Outfit.Wheelbase, job.Outfit.RearAxleToCoupling = tickets.Length{}, tickets.Length{}
	job.Outfit.CouplingToTrailerAxle, job.Outfit.NoseSupportToTrailerAxle = tickets.Length{}, tickets.Length{}
	return v.worthOf(&job, set)
}

// worthOf solves a job with the readings of some stops, whose figures are
// predicted: what is determined and checked depends on what is on the deck and
// hardly on the figures.
func (v *visit) worthOf(of *tickets.Job, set map[int]bool) (worth, error) {
	if v.stop != nil && v.stop() {
		return worth{}, context.Canceled
	}
	job := *of
	job.Readings, job.Scales = slices.Clone(job.Readings), slices.Clone(job.Scales)
	for i := range v.stops {
		if p := &v.stops[i]; set[i] {
			job.Readings = append(job.Readings, p.Readings...)
			if job.Scale(p.scale.Name) == nil {
				job.Scales = append(job.Scales, p.scale)
			}
		}
	}
	s, err := derive.Solve(&job, derive.Options{})
	if err != nil {
		return worth{}, fmt.Errorf("a plan of the visit: %w", err)
	}
	f := limits.Compare(&job, s, limits.Guarded)
	defer f.Release()
	var w worth
	for i := range v.needs {
		w.add(&v.needs[i], f.FindCheck(&v.needs[i]), s.Agreement.Scaling)
	}
	return w, nil
}

// add counts a check. The figures are supposed, so that readings that seem
// strained say nothing: their scaling is taken out again.
func (w *worth) add(need, c *limits.Check, scaling float64) {
	p := visitCheck{Check: *need}
	if c != nil && c.Found != nil {
		// Shares of the limits, so that 20 kg on a small rating weigh more than
		// on a large one, and kilonewtons can be added.
		p.Determined, p.U, p.Checked = true, gridOf(c, c.Found.U/scaling), c.Checked
		w.determined++
		w.left += p.U / math.Max(limitOf(c), 1)
		if c.Checked {
			w.checked++
			p.MistakeKg = mistakeOf(c)
		}
	}
	w.checks = append(w.checks, p)
}

// choose finds the fewest drives that determine every check that all of them
// together do, then the fewest stops in these. A drive costs work on the
// coupling, a further stop some metres; so drives are counted first. Of equally
// many the one with the least
//
//	Σ U/limit
func (v *visit) choose() error {
	// All drives together are the most that any plan can determine.
	all, err := v.weighedAlone(v.stopsIn(v.states()))
	if err != nil {
		return err
	}
	size, left := -1, math.Inf(1)
	for _, drives := range subsets(v.states()) {
		if size >= 0 && len(drives) > size {
			break // subsets come smallest first
		}
		set := v.stopsIn(drives)
		w, err := v.weighedAlone(set)
		if err != nil {
			return err
		}
		if w.determined == all.determined && w.left < left {
			v.chosen, size, left = set, len(drives), w.left
		}
	}
	return v.thin(v.chosen, v.weighedAlone, func(w worth) bool { return w.determined == all.determined })
}

// drivesIn counts the drives that a set of stops takes.
func (v *visit) drivesIn(set map[int]bool) int {
	seen := map[tickets.State]bool{}
	for i := range v.stops {
		if set[i] {
			seen[v.stops[i].state] = true
		}
	}
	return len(seen)
}

// stopsIn is every stop of some drives; the gauge is left to the cross-checks.
func (v *visit) stopsIn(drives []tickets.State) map[int]bool {
	set := map[int]bool{}
	for i := range v.stops {
		if !v.stops[i].gauge && slices.Contains(drives, v.stops[i].state) {
			set[i] = true
		}
	}
	return set
}

// subsets lists every set of drives, the smallest first, each in order.
func subsets(all []tickets.State) [][]tickets.State {
	var sets [][]tickets.State
	// Four drives at most, and so sixteen sets.
	for bits := range 1 << len(all) {
		var set []tickets.State
		for i := range all {
			if bits&(1<<i) != 0 {
				set = append(set, all[i])
			}
		}
		sets = append(sets, set)
	}
	slices.SortStableFunc(sets, func(a, b []tickets.State) int { return cmp.Compare(len(a), len(b)) })
	return sets
}

// thin takes stops out of a set, each time the one that is missed least, as long
// as it still does what it must; the stops chosen before stay. Of equal ones the
// first in the order of driving goes.
func (v *visit) thin(set map[int]bool, of func(map[int]bool) (worth, error), enough func(worth) bool) error {
	for {
		out, left := -1, math.Inf(1)
		for i := range v.stops {
			if !set[i] {
				continue
			}
			w, err := of(v.both(set, i, false))
			if err != nil {
				return err
			}
			if enough(w) && w.left < left {
				out, left = i, w.left
			}
		}
		if out < 0 {
			return nil
		}
		delete(set, out)
	}
}

// both is the chosen stops and a set, with one stop more or less.
func (v *visit) both(set map[int]bool, i int, with bool) map[int]bool {
	all := map[int]bool{}
	maps.Copy(all, v.chosen)
	maps.Copy(all, set)
	if with {
		all[i] = true
	} else {
		delete(all, i)
	}
	return all
}

// mostIdle is how many further stops may be added in a row that check nothing
// more yet: two readings can check each other where one cannot.
const mostIdle = 2

// crossCheck adds further stops until every check is cross-checked, or no
// stop helps: first in the drives that are made anyway. Then it takes out what
// turned out not to be needed.
func (v *visit) crossCheck() error {
	w, err := v.evaluate(v.chosen)
	if err != nil {
		return err
	}
	most := w.checked
	// Idle stops are taken back by thin if nothing came of them.
	for idle := 0; w.checked < w.determined && idle <= mostIdle; {
		next, then, err := v.nextCheck()
		if err != nil {
			return err
		}
		if next < 0 {
			break
		}
		v.further[next] = true
		w = then
		idle++
		if w.checked > most {
			most, idle = w.checked, 0
		}
	}
	return v.thin(v.further, v.evaluate, func(w worth) bool { return w.checked >= most })
}

// nextCheck is the stop that checks most, needs no further drive, and leaves
// the least U.
func (v *visit) nextCheck() (int, worth, error) {
	best, of, drives := -1, worth{}, 0
	for i := range v.stops {
		if v.chosen[i] || v.further[i] {
			continue
		}
		set := v.both(v.further, i, true)
		w, err := v.evaluate(set)
		if err != nil {
			return 0, w, err
		}
		d := v.drivesIn(set)
		// More checks first, then fewer drives, then less U; of equal ones the
		// first.
		if best < 0 || cmp.Or(cmp.Compare(of.checked, w.checked), cmp.Compare(d, drives), cmp.Compare(w.left, of.left)) < 0 {
			best, of, drives = i, w, d
		}
	}
	return best, of, nil
}
