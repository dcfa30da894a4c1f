package tickets

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Error gives the fault as file:line:column: what (wanted), and a hint on a
// line of its own where there is a cure.
func (f Fault) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.What)
	if f.Wanted != "" {
		s += " (" + f.Wanted + ")"
	}
	if f.Hint != "" {
		s += "\nhint: " + f.Hint
	}
	return s
}

// sink gathers faults; the same fault met twice, as on a line that applies to
// every job, is one. The zero value is ready; most stay empty.
type sink struct {
	seen    map[Fault]bool
	list    []Fault
	stopped map[string]bool
	all     bool
}

// stop stops a job.
func (s *sink) stop(job string) {
	if s.stopped == nil {
		s.stopped = map[string]bool{}
	}
	s.stopped[job] = true
}

func (s *sink) add(f Fault) {
	if f.All {
		s.all = true
	} else {
		s.stop(f.Job)
	}
	if s.seen == nil {
		s.seen = map[Fault]bool{}
	}
	if !s.seen[f] {
		s.seen[f] = true
		s.list = append(s.list, f)
	}
}

// stopAllJobs makes faults of lines that hold for every job stop all jobs. The
// shape of a line is checked before it is known whether the folder has jobs.
func (s *sink) stopAllJobs() {
	for i, f := range s.list {
		if f.Job == "" && !f.All {
			delete(s.seen, f)
			f.All = true
			s.seen[f], s.list[i], s.all = true, f, true
		}
	}
}

// sorted gives the faults by form, line and column; of faults at one place
// those found first come first.
func (s *sink) sorted() []Fault {
	slices.SortStableFunc(s.list, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(formRank(a.File), formRank(b.File)), cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return s.list
}

// quote shows a cell in a message, cut where it is longer than a line of text. It looks
// no further: a hostile cell has very much text, and as many faults.
func quote(text string) string {
	const most = 60
	runes := 0
	for i := range text {
		if runes == most {
			text = string([]rune(text[:i])) + "…"
			break
		}
		runes++
	}
	return strconv.Quote(text)
}

// either joins words as a choice: "a, b or c".
func either(words ...string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
