package limits

import (
	"math"
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// floorOf is the floor's row; nil where there is none.
func floorOf(f *Findings) *Check {
	for i := range f.Checks {
		if f.Checks[i].Floor {
			return &f.Checks[i]
		}
	}
	return nil
}

// lifting is the fixture with another download, kg.
func lifting(d float64) *tickets.Job {
	return coupledAt(map[string]float64{"coupled front": 1260 - 0.44*d, "coupled rear": 1500 + 1.44*d, "coupled trailer": 2680 - d})
}

// The floor: D + U < 0 over, D < 0 ≤ D + U unsettled, else within; U is 23 kg
// here. The last row, of no line, no rating given; it decides.
func TestFloor(t *testing.T) {
	for d, want := range map[float64]Verdict{250: Within, 0.5: Within, -10: Unsettled, -60: Over} {
		f := found(t, lifting(d))
		c := floorOf(f)
		if c == nil || c.Verdict != want || !c.Decides || c != &f.Checks[len(f.Checks)-1] || c.Line != nil || c.Rating != "download_min" {
			t.Fatalf("D %g: %+v (want %s, last, deciding)", d, c, want)
		}
		if math.Abs(c.Found.Value-d) > 1 || c.Found.Margin != c.Found.Value || c.NeededKg != nil || !slices.Equal(c.HeldOn, []string{"coupling"}) {
			t.Errorf("D %g: %+v on %v", d, c.Found, c.HeldOn)
		}
		if p := c.Found.POver; (want == Over) != (p > 0.97) || (want == Within && d > 100) != (p < 0.01) {
			t.Errorf("D %g: p_over %g", d, p)
		}
		if f.Given != 8 {
			t.Errorf("D %g: %d ratings given (want 8: the floor is none)", d, f.Given)
		}
	}
	// a least of the form and the floor decide both
	job := lifting(250)
	job.Ratings = append(job.Ratings, rate("download_min", "", 25))
	if c := row(t, found(t, job), "download_min", "", noState, ""); !c.Decides || c.Floor {
		t.Errorf("the form's least: %+v", c)
	}
	if f := found(t, job); !floorOf(f).Decides {
		t.Error("the form's least displaces the floor")
	}
	// simple rule: the value alone
	if c := floorOf(foundBy(t, lifting(-10), "simple")); c.Verdict != Over {
		t.Errorf("D −10, simple rule: %s (want over)", c.Verdict)
	}
	if got := judgeFloor(0, 10, Guarded); got != Within {
		t.Errorf("D 0: %s (want within: it does not lift)", got)
	}
	// none where D is not determined, or the drawbar is hinged
	drawbar := lifting(250)
	drawbar.Outfit.Drawbar = true
	uncoupled := rated(jobOf(alone()), allUsual()...)
	for name, job := range map[string]*tickets.Job{"drawbar": drawbar, "uncoupled alone": uncoupled} {
		if c := floorOf(found(t, job)); c != nil {
			t.Errorf("%s: %+v (want no floor)", name, c)
		}
	}
	// nothing but the floor decides: incomplete, with all given as none
	only := rated(lifting(250), none("gvm", ""), none("gcm", ""), none("atm", ""), none("axle", "front"), none("axle", "rear"), none("gtm", ""), none("towing", ""), none("download_max", ""))
	if f := found(t, only); f.Verdict != incomplete || f.UsualKnown != 0 || f.UsualAll != 8 {
		t.Errorf("nothing but the floor: %s, %d of %d known (want incomplete, 0 of 8)", f.Verdict, f.UsualKnown, f.UsualAll)
	}
}
