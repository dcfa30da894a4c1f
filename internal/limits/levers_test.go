package limits

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

// What 10 kg at each place add, by the lever law: w 2,850, a 1,250, L 5,000, n
// 4,500: over the coupling front −10·1250/2850 = −4.386, rear 14.386; at the
// nose 9 on the coupling, 1 on the axle.
func TestLevers(t *testing.T) {
	spellLever := func(l lever) string {
		words := []string{l.Place, string(l.On)}
		for _, v := range []*float64{l.FrontKg, l.RearKg, l.TrailerKg, l.DownloadKg} {
			if v == nil {
				words = append(words, "null")
			} else {
				words = append(words, fmt.Sprintf("%.3f", *v))
			}
		}
		return strings.Join(words, " ")
	}
	check := func(name string, job *tickets.Job, want []string) {
		t.Helper()
		var got []string
		for _, l := range found(t, job).Levers {
			got = append(got, spellLever(l))
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\n%s\nwant:\n%s", name, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	check("all lengths", placed(levered(plated())), []string{
		"midway vehicle 5.000 5.000 0.000 0.000", "ahead trailer -0.877 2.877 8.000 2.000", "behind trailer 0.877 -2.877 12.000 -2.000",
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling vehicle -4.386 14.386 0.000 0.000", "at_coupling trailer -4.386 14.386 0.000 10.000",
		"at_nose trailer -3.947 12.947 1.000 9.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
	drawbar := levered(plated())
	drawbar.Outfit.Drawbar = true
	check("drawbar", drawbar, []string{
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling vehicle -4.386 14.386 0.000 0.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
	bare := placed(plated())
	bare.Outfit.CouplingToTrailerAxle = known(5000)
	check("L alone", bare, []string{
		"midway vehicle null null 0.000 0.000", "ahead trailer null null 8.000 2.000", "behind trailer null null 12.000 -2.000",
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling trailer null null 0.000 10.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
}
