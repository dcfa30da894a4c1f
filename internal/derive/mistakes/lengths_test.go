package mistakes

import (
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// Ties in force are left out one by one, and all that use one length;
// lengths that the same ties use are one hypothesis.
func TestLengthsAreTriedOnce(t *testing.T) {
	job := slips()
	job.Readings = append(job.Readings, weigh(tickets.CoupledTensioned, 1200, "front"))
	o := &job.Outfit
	o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = known(2850), known(1250), known(5000), known(4800)
	var got [][]string
	for _, h := range newSearch(mustSolve(t, job)).lengthMistakes() {
		got = append(got, append(append([]string{}, h.Ties...), h.Lengths...))
	}
	want := [][]string{
		{"vehicle"}, {"nose", "nose_support_to_trailer_axle"}, {"hitch"},
		{"vehicle", "hitch", "wheelbase", "rear_axle_to_coupling"}, {"nose", "hitch", "coupling_to_trailer_axle"},
	}
	if !slices.EqualFunc(got, want, func(a, b []string) bool { return slices.Equal(a, b) }) {
		t.Errorf("%q (want %q)", got, want)
	}
}

// Leaving out a tie touches its own observation, the ties being the last.
func TestLeavingOutTouches(t *testing.T) {
	tied := 0
	for _, solved := range conflicts(12) {
		s := newSearch(solved.Solution)
		for n, i := range s.ties {
			tied += n
			name := s.Observations[i].Name
			h := s.leavingOut("tie", []string{name})
			if len(h.touched) != 1 || s.Observations[h.touched[0]].Kind != "tie" || s.Observations[h.touched[0]].Name != name {
				t.Errorf("leaving out %s touches %v", name, h.touched)
			}
		}
	}
	if tied == 0 {
		t.Error("no job has two ties")
	}
}
