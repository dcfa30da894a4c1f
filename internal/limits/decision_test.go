package limits

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

// decisions is what each rating is compared with, by region and state, as the
// value that the fixture has there, in kilograms (d_value in kN). Read line by
// line against the rules of each region:
//   - gvm, gvwr: the vehicle on its own wheels, download included;
//   - gcm: vehicle axles + trailer axles, coupled, so the download counts once;
//   - atm and a trailer's gvwr include the download, gtm does not;
//   - towing is the trailer's axle load in the eu, the whole trailer elsewhere;
//   - the download is always that of a slack hitch.
//
// Origin of the values: the constructed fixture (derived from the definitions):
// V 2760 = 1260 + 1500, Vc 3010 = 1150 + 1860 slack, 2985 = 1205 + 1780
// tensioned, T 2680, G 2430 and 2455, X 5440, D 250. A tyre carries an equal
// share by the number fitted.
const decisions = `
gvm                | all         | alone 2760 | slack 3010 | tensioned 2985
gcm                | all         | - 5440
atm                | all         | - 2680
gtm                | all         | slack 2430 | tensioned 2455
axle front         | all         | alone 1260 | slack 1150 | tensioned 1205
axle rear          | all         | alone 1500 | slack 1860 | tensioned 1780
axle trailer       | all         | slack 2430 | tensioned 2455
towing             | au nz uk us | - 2680
towing             | eu          | slack 2430 | tensioned 2455
towing/braked      | au nz uk us | - 2680
towing/braked      | eu          | slack 2430 | tensioned 2455
download_max       | all         | - 250
download_max ball  | all         | - 250
download_min       | all         | - 250
tyre front/2       | all         | alone 630 | slack 575 | tensioned 602.5
tyre rear/2        | all         | alone 750 | slack 930 | tensioned 890
tyre rear/4        | all         | alone 375 | slack 465 | tensioned 445
tyre trailer/4     | all         | slack 607.5 | tensioned 613.75
wheel front/2      | all         | alone 630 | slack 575 | tensioned 602.5
wheel trailer/4    | all         | slack 607.5 | tensioned 613.75
d_value            | all         | - Dc
`

var stateWords = map[string]tickets.State{
	"-": noState, "alone": tickets.VehicleAlone, "slack": tickets.CoupledSlack, "tensioned": tickets.CoupledTensioned,
}

// lineOf makes the rating line of a row: word, on, and kind or number fitted.
func lineOf(spec string) tickets.Rating {
	spec, extra, _ := strings.Cut(spec, "/")
	word, on, _ := strings.Cut(spec, " ")
	if word == "d_value" {
		return dValue(100)
	}
	limit := 99999.0 // kept everywhere: what decides is asked here, not the verdict
	if word == "download_min" {
		limit = 1
	}
	r := rate(word, on, limit)
	if word == "towing" {
		r.Kind = extra
	}
	if extra == "2" || extra == "4" {
		r.Fitted = int(extra[0] - '0')
	}
	return r
}

func TestDecisionTable(t *testing.T) {
	cases, rows := 0, 0
	regions := []string{"", "au", "nz", "uk", "eu", "us"}
	for _, line := range strings.Split(strings.TrimSpace(decisions), "\n") {
		cells := strings.Split(line, "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		for _, region := range regions {
			if cells[1] != "all" && (region == "" || !slices.Contains(strings.Fields(cells[1]), region)) {
				continue
			}
			for _, travels := range waysToTravel {
				cases++
				rows += decide(t, cells[0], region, travels, cells[2:])
			}
		}
	}
	if cases != 336 || rows != 666 {
		t.Errorf("%d cases with %d rows (want 336 with 666)", cases, rows)
	}
}

// decide holds one rating alone and compares its rows with the table's.
func decide(t *testing.T, spec string, region string, travels string, want []string) int {
	t.Helper()
	job := rated(jobOf(alone(), slack(), tensioned()), lineOf(spec))
	travel(job, travels)
	job.Region = region
	job.Outfit.RearAxles, job.Outfit.TrailerAxles = 1, 2
	name := fmt.Sprintf("%s in %q, travels %s", spec, region, travels)
	f := found(t, job)
	if len(ofLines(f)) != len(want) {
		t.Errorf("%s: %d rows (want %d)", name, len(ofLines(f)), len(want))
		return 0
	}
	for i, w := range want {
		word, figure, _ := strings.Cut(w, " ")
		c := &ofLines(f)[i]
		now := job.Outfit.Travels
		decides := word == "-" || word == "alone" || stateWords[word] == now
		value := fixtureFigure(figure, now)
		if c.State != stateWords[word] || c.Found == nil || math.Abs(c.Found.Value-value) > 0.01 || c.Decides != decides {
			t.Errorf("%s, row %d: state %q, found %+v, decides %v (want %s, decides %v)", name, i+1, c.State, c.Found, c.Decides, w, decides)
		}
		if c.Verdict != Within {
			t.Errorf("%s, row %d: %s (want within)", name, i+1, c.Verdict)
		}
	}
	return len(want)
}

// fixtureFigure reads a value of the table; Dc is UN R55's of the state travelled in.
func fixtureFigure(text string, now tickets.State) float64 {
	if text == "Dc" && now == tickets.CoupledTensioned {
		return 9.81 * 2.985 * 2.455 / (2.985 + 2.455)
	}
	if text == "Dc" {
		return 9.81 * 3.010 * 2.430 / (3.010 + 2.430)
	}
	var v float64
	if _, err := fmt.Sscan(text, &v); err != nil {
		return math.NaN()
	}
	return v
}

// Every rating word that limits something is in the decision table, and
// the table of what it is compared with has a row for each.
func TestDecisionTableIsComplete(t *testing.T) {
	for _, a := range comparisons {
		if !strings.Contains(decisions, "\n"+a.Word) {
			t.Errorf("%s is in no decision", a.Word)
		}
	}
	words := []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max", "download_min", "d_value", "tyre", "wheel"}
	for _, w := range words {
		if comparisonOf(&tickets.Job{}, &tickets.Rating{Word: w}) == nil {
			t.Errorf("%s is compared with nothing", w)
		}
	}
	for _, w := range emptyMasses {
		if comparisonOf(&tickets.Job{}, &tickets.Rating{Word: w}) != nil {
			t.Errorf("%s limits something", w)
		}
	}
}
