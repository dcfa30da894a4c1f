package limits

import (
	"slices"
	"strings"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// JobVerdict is the verdict of a job.
type JobVerdict string

// The verdicts of a job; the first that applies, in this order.
const (
	JobConflict   JobVerdict = "conflict"   // the readings disagree
	JobOver       JobVerdict = "over"       // a deciding check is over
	JobUnsettled  JobVerdict = "unsettled"  // a deciding check is unsettled
	JobIncomplete JobVerdict = "incomplete" // something that decides is not weighed, not given, or nothing decides
	JobWithin     JobVerdict = "within"
)

// judge gives the job its verdict, and counts what it rests on.
func (f *Findings) judge(a derive.Agreement) {
	f.Verdict = f.verdictOf("", a)
	lines := map[*tickets.Rating]bool{}
	for _, c := range f.Deciding("") {
		lines[c.Line] = true
		f.NotCrossChecked = f.NotCrossChecked || !c.Checked
	}
	f.Given = len(lines)
}

// IfApplied is the verdict that a job would have if the ratings of a set
// applied. It is never the verdict of the job.
func (f *Findings) IfApplied(set string, a derive.Agreement) JobVerdict { return f.verdictOf(set, a) }

func (f *Findings) verdictOf(set string, a derive.Agreement) JobVerdict {
	deciding := f.Deciding(set)
	has := func(v Verdict) bool {
		return slices.ContainsFunc(deciding, func(c *Check) bool { return c.Verdict == v })
	}
	switch {
	case a == derive.Conflict:
		return JobConflict
	case has(Over):
		return JobOver
	case has(Unsettled):
		return JobUnsettled
	case has(NotWeighed), len(f.NotGiven) > 0, len(deciding) == 0:
		return JobIncomplete
	}
	return JobWithin
}

// Deciding lists the checks that decide ("") or that would, if the ratings of
// a set applied.
func (f *Findings) Deciding(set string) []*Check {
	var all []*Check
	for i := range f.Checks {
		if f.Checks[i].Set == set && f.Checks[i].Governs {
			all = append(all, &f.Checks[i])
		}
	}
	return all
}

// OverInAll lists the deciding checks that are over in the job and in every
// one of its hypotheses: what can be said of a job whose readings disagree.
// There is no such check where no hypothesis is given.
func (f *Findings) OverInAll(hypotheses []*Findings) []*Check {
	var all []*Check
	for _, c := range f.Deciding("") {
		over := len(hypotheses) > 0
		for _, h := range hypotheses {
			over = over && h.isOver(c)
		}
		if over {
			all = append(all, c)
		}
	}
	return all
}

// isOver reports whether the check of the same line and state is over.
func (f *Findings) isOver(c *Check) bool {
	return slices.ContainsFunc(f.Checks, func(o Check) bool {
		return o.Line.Line == c.Line.Line && o.State == c.State && o.Set == "" && o.Verdict == Over
	})
}

// notGiven lists the region's usual ratings for which no line holds as the
// outfit travels and none was looked for in vain. A superseded plate, one not
// yet in force, a line of other brakes or of a state that never comes gives nothing.
func (h *holder) notGiven(checks []Check) []string {
	var missing []string
	for _, word := range usualIn(h.job.Region) {
		if !h.given(word, checks) {
			missing = append(missing, word)
		}
	}
	return missing
}

func (h *holder) given(usual string, checks []Check) bool {
	word, on, _ := strings.Cut(usual, " ")
	if word != "axle" {
		return h.has(word, "", checks)
	}
	group := tickets.Group(strings.TrimSuffix(on, " or gtm"))
	if h.has("axle", string(group), checks) || group == tickets.Trailer && h.has("gtm", "", checks) {
		return true
	}
	return h.hasEveryAxle(group, checks)
}

// hasEveryAxle reports whether each axle of a group has a rating of its own.
func (h *holder) hasEveryAxle(g tickets.Group, checks []Check) bool {
	n := h.axlesStated(g)
	for a := 1; a <= n; a++ {
		if !h.has("axle", derive.SupportName(tickets.Term{Group: g, Axle: a}), checks) {
			return false
		}
	}
	return n > 0
}

// has reports whether a rating has a row as the outfit travels, or a line that
// says none. on "" is any.
func (h *holder) has(word, on string, checks []Check) bool {
	now := travelled(h.job)
	for i := range checks {
		c := &checks[i]
		if c.Rating == word && (on == "" || c.On == on) && c.Set == "" && (c.State == noState || c.State == now) {
			return true
		}
	}
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if h.st.status[i] == None && r.Word == word && (on == "" || r.On == on) && r.Set == "" && h.st.names(r, now) {
			return true
		}
	}
	return false
}

// onlyWeighed reports whether a used reading names a load as aboard only when
// weighed.
func onlyWeighed(job *tickets.Job, load string) bool {
	return slices.ContainsFunc(job.UsedReadings(), func(r tickets.Reading) bool { return slices.Contains(r.With, load) })
}
