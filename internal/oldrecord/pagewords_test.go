package record

import (
	"strings"
	"testing"
)

func TestPageWords(t *testing.T) {
	r := &Record{Options: Options{Region: "us"}, Outfit: Outfit{Travels: "plain"}}
	p, needed := 0.0004, 2014.6
	for _, c := range []struct{ got, want string }{
		{r.ImbalanceLabel("coupled_slack.trailer 1 left-right"), "trailer axle, coupled, axle 1, left less right"},
		{r.ImbalanceLabel("coupled_slack.rear 1-2"), "rear axle, coupled, axle 1 less axle 2"},
		{r.TieWord("nose"), "the nose load of the trailer alone, against the tongue weight"},
		{r.PlaceWord(Place{0, "tie vehicle"}), "tie vehicle"},
		{Reading{Use: "calculated"}.HowWeighed(), "added, not weighed"},
		{Reading{Use: "yes"}.HowWeighed(), "weighed at once"},
		{RatingStatusWord("other_kind"), "other kind of brakes, not held"},
		{Probability(&p), "< 0.001"},
		{Probability(nil), "–"},
		{Fit{Observations: 9, DOF: 1, ChiSquare: 0.305, PValue: &p}.Text(), "All equations: χ² 0.31 with 1 degree of freedom, p < 0.001. Without the moment ties: nothing to spare, so nothing is tested. 9 observations in all."},
		{(&Plan{}).Summary(), "No plan meets every limit."},
		{(&Plan{Found: true, LeftKg: "0", MovedKg: "1136", Touched: 2}).Summary(), "Left behind 0 kg, moved 1,136 kg, loads touched 2. Not proved to be the least."},
		{strings.Join(Check{Decides: true, NeededKg: &needed, Source: "plate"}.Notes(), "; "), "rating needed 2,015 kg; source: plate"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
