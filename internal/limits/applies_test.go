package limits

import (
	"fmt"
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

// TestWhatIsPartOfAGroup: from stated masses nobody knows what one axle of several,
// or one side, carries; of an entire group, or of a rating of no axle, they do.
func TestWhatIsPartOfAGroup(t *testing.T) {
	job := plated(rate("axle", "rear", 3000), rate("axle", "rear.1", 1600), rate("axle", "rear.left", 1600), rate("gvm", "", 3200))
	job.Outfit.RearAxles = 2
	want := map[string]bool{"axle rear": false, "axle rear.1": true, "axle rear.left": true, "gvm ": false}
	seen := 0
	for _, row := range Applies(job).Rows {
		key := row.Line.Word + " " + row.Line.On
		if part, ok := want[key]; !ok || row.Part != part {
			t.Errorf("%q: part %v (want %v)", key, row.Part, part)
		}
		seen++
	}
	if seen < len(want) {
		t.Errorf("%d rows (want one for each of %d lines at least)", seen, len(want))
	}
}

// TestWhatARatingLimits: each rating's load, of the masses of vehicle V and trailer T
// and of the download D, by the definitions of the contract: gvm V alone and V + D
// coupled, gcm V + T, atm T, the trailer's axles T − D, downloads D; the D-value is a
// force.
func TestWhatARatingLimits(t *testing.T) {
	for _, c := range []struct {
		line tickets.Rating
		want []string // state: V, T and D, and the group
	}{
		{rate("gvm", "", 3200), []string{"vehicle_alone: 1V +0T +0D", "coupled_slack: 1V +0T +1D"}},
		{rate("gcm", "", 6000), []string{": 1V +1T +0D"}},
		{rate("atm", "", 3000), []string{": 0V +1T +0D"}},
		{rate("gtm", "", 2800), []string{"coupled_slack: 0V +1T -1D"}},
		{rate("towing", "", 3000), []string{": 0V +1T +0D"}},
		{rate("download_max", "", 300), []string{": 0V +0T +1D"}},
		{rate("download_min", "", 30), []string{": 0V +0T +1D, a least"}},
		{rate("axle", "rear", 2000), []string{"vehicle_alone: 0V +0T +0D rear", "coupled_slack: 0V +0T +0D rear"}},
		{rate("axle", "trailer", 2800), []string{"coupled_slack: 0V +0T +0D trailer"}},
		{dValue(17.2), []string{": 0V +0T +0D, a force of 17.2 kN"}},
	} {
		job := plated(c.line)
		job.Region = "au"
		var got []string
		for _, a := range Applies(job).Rows {
			got = append(got, spellApplied(&a))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s %s: %q (want %q)", c.line.Word, c.line.On, got, c.want)
		}
	}
	four := with(rate("tyre", "trailer", 1000), func(r *tickets.Rating) { r.Fitted = 4 })
	job := plated(four)
	job.Outfit.TrailerAxles = 2
	rows := Applies(job).Rows
	if len(rows) != 1 || !rows[0].OneTyre || rows[0].Tyres != 4 || rows[0].Unequal != 0.12 {
		t.Errorf("one of four tyres under two axles: %+v (want 4, and 12 %% of its share: contract, section 3)", rows)
	}
	if slices.Contains(rows[0].Assumed, fittedAssumed) {
		t.Errorf("four tyres fitted: assumed %v", rows[0].Assumed)
	}
	job.Ratings[0].Fitted = 0
	if rows = Applies(job).Rows; rows[0].Tyres != 4 || !slices.Contains(rows[0].Assumed, fittedAssumed) {
		t.Errorf("tyres not counted: %+v (want one assumed on each of four ends)", rows)
	}
	// In the eu what may be towed is what the trailer's axles put on the road.
	job = plated(rate("towing", "", 3000))
	job.Region = "eu"
	rows = Applies(job).Rows
	if len(rows) != 1 || spellApplied(&rows[0]) != "coupled_slack: 0V +1T -1D" || rows[0].State != tickets.CoupledSlack {
		t.Errorf("towing in the eu: %+v (want the trailer's axles)", rows)
	}
}

func spellApplied(a *Applied) string {
	v := 0
	if a.Vehicle {
		v = 1
	}
	text := fmt.Sprintf("%s: %dV %+gT %+gD", a.State, v, a.Trailer, a.Download)
	if a.On != "" {
		text += " " + string(a.On)
	}
	if a.Lower {
		text += ", a least"
	}
	if a.Force {
		text += ", a force of " + a.LimitKN.Decimal.String() + " kN"
	}
	return text
}
