package limits

import (
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

// What nobody typed of the instruments behind a value, and of how the outfit
// travels, is said of the value and as a caution.
func TestAssumed(t *testing.T) {
	job := au(allUsual()...)
	if c := row(t, found(t, job), "gvm", "", tickets.CoupledSlack, ""); len(c.Assumed) != 0 {
		t.Errorf("everything typed: assumed %v", c.Assumed)
	}
	job.Scales[0].Typed = map[string]string{}
	job.Outfit.TravelsStated = false
	for i := range job.Readings {
		job.Readings[i].HitchStated = true
		job.Readings[i].IntervalAssumed = job.Readings[i].State.Coupled()
	}
	f := found(t, job)
	for _, c := range []struct {
		word  string
		state tickets.State
		want  string
	}{
		{"gvm", tickets.CoupledSlack, "scale_class deck interval travels"}, {"atm", noState, "scale_class deck interval"},
	} {
		if got := strings.Join(row(t, f, c.word, "", c.state, "").Assumed, " "); got != c.want {
			t.Errorf("%s %s: assumed %q (want %q)", c.word, c.state, got, c.want)
		}
	}
	var got []string
	for _, c := range f.Cautions {
		if c.Code == "assumed" {
			got = append(got, c.Args.Of)
		}
	}
	if want := "scale_class deck interval travels"; strings.Join(got, " ") != want {
		t.Errorf("cautions of %v (want %s)", got, want)
	}
}
