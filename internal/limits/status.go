package limits

import (
	"slices"
	"time"

	"reconcile/internal/tickets"
)

// status is what became of a rating line.
type status string

// The statuses. Held is also the status of an empty mass in force, which limits nothing.
const (
	held        status = "held"
	saysNone    status = "none"
	replaced    status = "replaced"
	notInForce  status = "not_in_force"
	ofOtherKind status = "other_kind"
	displaced   status = "displaced" // by a line with `when`, or its own state never comes
)

// inForce is the job's rating lines, what each is compared with, and which of them
// apply in which set and state.
type inForce struct {
	job      *tickets.Job
	status   []status      // by line; Displaced is found later, where no row is made
	compares []*comparison // by line; nil for an empty mass
}

func (m *memory) inForce(job *tickets.Job) inForce {
	n := len(job.Ratings)
	st := inForce{job: job, status: m.statuses.List(n), compares: m.compares.List(n)}
	for i := range job.Ratings {
		r := &job.Ratings[i]
		st.status[i], st.compares[i] = statusOf(job, r), comparisonOf(job, r)
	}
	return st
}

func statusOf(job *tickets.Job, r *tickets.Rating) status {
	// First what makes a line count for nothing whatever its figure: replaced, then of
	// brakes that this trailer has not. `none` before the date, since a certificate that
	// says none is none on any day.
	switch {
	case r.Replaced:
		return replaced
	case otherKind(job, r):
		return ofOtherKind
	case r.None:
		return saysNone
	case certifiedLater(job, r):
		return notInForce
	}
	return held
}

// certifiedLater reports whether a line is certified on a day after the last weighing.
func certifiedLater(job *tickets.Job, r *tickets.Rating) bool {
	// A line of a set is a plan: its day is to come.
	if r.Set != "" || !r.CertifiedOn.Known {
		return false
	}
	last := lastDay(job)
	return last != "" && r.CertifiedOn.Printed[:len(time.DateOnly)] > last
}

// lastDay is the day, like 2026-03-14, of the last dated used reading; "" where none is
// dated.
func lastDay(job *tickets.Job) string {
	var last *tickets.Reading
	for i := range job.Readings {
		r := &job.Readings[i]
		if r.Used && r.WeighedAt.Known && (last == nil || r.WeighedAt.Time.After(last.WeighedAt.Time)) {
			last = r
		}
	}
	if last == nil {
		return ""
	}
	return last.WeighedAt.Printed[:len(time.DateOnly)]
}

// notInForce lists the lines with a limit that are certified after the last weighing,
// those of brakes that this trailer has not among them: the reader is told that they
// were read and not compared.
func (h *checker) notInForce() []*tickets.Rating {
	var all []*tickets.Rating
	for i := range h.job.Ratings {
		if r := &h.job.Ratings[i]; !r.Replaced && !r.None && certifiedLater(h.job, r) {
			all = append(all, r)
		}
	}
	return all
}

// otherKind reports a towing line of the brakes that this trailer has not.
func otherKind(job *tickets.Job, r *tickets.Rating) bool {
	// Without `trailer_brakes` a single kind was typed (two are refused), and it is
	// taken to be the trailer's.
	if r.Word != "towing" || r.Kind == "" || job.Outfit.TrailerBrakes == "" {
		return false
	}
	return (r.Kind == "unbraked") != (job.Outfit.TrailerBrakes == "none")
}

// sets lists the names of planned ratings and of the loads that come with
// them, in the order of the forms; "" means the ratings in force.
func sets(job *tickets.Job) []string {
	names := []string{""}
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, r := range job.Ratings {
		add(r.Set)
	}
	for _, l := range job.Loads {
		add(l.Set)
	}
	return names
}

// appliesIn reports whether line i applies in a state under a set of ratings. A
// line with `when` replaces the ones without of the same rating and `on` in the
// states it names; a line of a set replaces the plated ones of the same rating
// and `on` in the states it names. Only a line with a limit in force replaces
// another: one that says none lifts nothing.
func (st *inForce) appliesIn(i int, set string, state tickets.State) bool {
	r := &st.job.Ratings[i]
	if st.status[i] != held || r.Set != "" && r.Set != set || !st.names(r, state) {
		return false
	}
	// A line yields to another only of its own rating and `on`, and only to one with a
	// limit in force in this state: a towing allowance for coupled leaves the plate
	// in force for the vehicle alone.
	for j := range st.job.Ratings {
		m := &st.job.Ratings[j]
		switch {
		case st.status[j] != held || m.Word != r.Word || m.On != r.On || !st.names(m, state):
		// The handbook's line for the state is more particular than the plate.
		case m.Set == r.Set && m.When != "" && r.When == "":
			return false
		// The planned rating takes the place of the plated one; all others carry over.
		case m.Set == set && r.Set != set:
			return false
		}
	}
	return true
}

// names reports whether a line's `when` names a state. What is compared in no
// state applies as the outfit travels.
func (st *inForce) names(r *tickets.Rating, state tickets.State) bool {
	// A line for a tensioned hitch limits the download of an outfit that travels so,
	// though the download itself has no state.
	if state == noState {
		state = st.job.Outfit.Travels
	}
	switch r.When {
	case "alone":
		return state == tickets.VehicleAlone
	case "coupled":
		return state.Coupled()
	case "slack":
		return state == tickets.CoupledSlack
	case "tensioned":
		return state == tickets.CoupledTensioned
	}
	return true
}
