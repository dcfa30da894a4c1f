package tickets

import (
	"fmt"
	"strings"
	"testing"

	"reconcile/internal/regions"
)

// TestPrintedMoments prints each date that is accepted in one form, which is
// read back as the same moment. A date without a time has no 00:00, a time
// alone no date (contract, section 1).
func TestPrintedMoments(t *testing.T) {
	for _, tt := range []struct {
		region         string
		typed, printed string
	}{
		{"", "2026-03-14 09:20", "2026-03-14 09:20"},
		{"", "2026-03-14T09:20:05", "2026-03-14 09:20:05"},
		{"", "2026-03-14", "2026-03-14"},
		{"", "2026-03-14 9:20 pm", "2026-03-14 21:20"},
		{"", "2026-03-14T09:20:30+10:00", "2026-03-14 09:20:30+10:00"},
		{"", "2026-03-14T09:20:00Z", "2026-03-14 09:20:00Z"},
		{"", "15:31", "15:31"},
		{"", "3:31:07 PM", "15:31:07"},
		{"au", "04/03/2026 09:20", "2026-03-04 09:20"},
		{"eu", "04.03.2026 09:20:15", "2026-03-04 09:20:15"},
		{"us", "04/03/2026 9:20AM", "2026-04-03 09:20"},
		{"us", "04.03.2026", "2026-04-03"},
		{"", "", ""},
	} {
		m, ok := ParseMoment(tt.typed, tt.region)
		equal(t, tt.typed+" is read", ok, true)
		equal(t, tt.typed, m.Printed, tt.printed)
		again, _ := ParseMoment(m.Printed, "")
		equal(t, tt.typed+" read back", again.Printed, tt.printed)
		if !again.Time.Equal(m.Time) || again.HasTime != m.HasTime || again.Known != m.Known {
			t.Errorf("%s is read back as %+v, was %+v", tt.typed, again, m)
		}
	}
	for _, bad := range []string{"14/03/2026", "24:10", "2026-13-01", "14/03.2026", "1949-01-01"} {
		if m, ok := ParseMoment(bad, ""); ok {
			t.Errorf("%s is read as %+v", bad, m)
		}
	}
}

// TestAssumedInterval holds e where nobody states it (contract, section 1): by
// hand, the largest step of which the readings are multiples.
func TestAssumedInterval(t *testing.T) {
	for _, tt := range []struct{ unit, readings, e, aside string }{
		{"kg", "1500 2260 2840", "20", ""},
		{"kg", "1500 2300 2800", "100", ""},
		{"kg", "1500 2300", "20", ""}, // two do not show a large step
		{"kg", "1500 2250 2850", "50", ""},
		{"kg", "1510 2260 2840", "10", ""},
		{"kg", "1505 2260 2840", "5", ""},
		{"kg", "1503 2260 2840", "5", ""}, // none fits and too few to leave one aside
		{"kg", "1503 2260 2840 3440", "5", ""},
		{"kg", "1503 2260 2840 3440 3080", "20", "1503"},
		{"kg", "1503 2201 2840 3440 3080", "5", ""},
		{"kg", "1503 2200 2800 3400 3000", "100", "1503"},
		{"t", "1.50 2.26 2.84", "20", ""},
		{"t", "1.505 2.26 2.84", "5", ""},
		{"lb", "3300 4980 6260", "9.0718474", ""}, // 20 lb
		{"lb", "3305 4980 6260", "4.5359237", ""}, // 10 lb, the smallest
	} {
		archive := "-- tickets.csv --\nticket,setup,on_deck,reading,unit\n"
		for i, r := range strings.Fields(tt.readings) {
			archive += fmt.Sprintf("%d,vehicle_alone,vehicle,%s,%s\n", i+1, r, tt.unit)
		}
		j := readOne(t, archive, Options{})
		aside := ""
		for _, r := range j.Readings {
			equal(t, tt.readings+" e", r.IntervalKg.String(), tt.e)
			if r.NotMultiple {
				aside += r.Typed
			}
		}
		equal(t, tt.readings+" left aside", aside, tt.aside)
	}
	j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading,interval\n1,vehicle_alone,front,1245,20\n2,vehicle_alone,rear,1500,20\n", Options{})
	equal(t, "no multiple of one stated", j.Readings[0].NotMultiple, true)
	equal(t, "a multiple of one stated", j.Readings[1].NotMultiple, false)
}

// TestTakenAsCalculated takes the printed totals of tickets (contract, section
// 1; sums by hand): 1260 + 1500 + 2440 = 5200, 5200 − 2760 = 2440.
func TestTakenAsCalculated(t *testing.T) {
	for _, tt := range []struct{ name, lines, calculated string }{
		{"GROSS of three", "1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2440,\n1,coupled,all,5200,\n", "5200"},
		{"GROSS first", "1,coupled,all,5200,\n1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2440,\n", "5200"},
		{"of two parts", "1,coupled,vehicle,2760,\n1,coupled,trailer,2440,\n1,coupled,all,5200,\n", ""},
		{"an interval off", "1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2420,\n1,coupled,all,5200,\n", ""},
		{"said to be weighed", "1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2440,\n1,coupled,all,5200,yes\n", ""},
		{"on two tickets", "1,coupled,front,1260,\n1,coupled,rear,1500,\n2,coupled,trailer,2440,\n1,coupled,all,5200,\n", ""},
		{"a part that nobody weighed", "1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2440,calculated\n1,coupled,all,5200,\n", ""},
		{"NET of GROSS and TARE", "1,coupled,all,5200,\n1,vehicle_alone,vehicle,2760,\n1,trailer_alone,all,2440,\n", "2440"},
		{"NET of a GROSS that is a sum too", "1,coupled,front,1260,\n1,coupled,rear,1500,\n1,coupled,trailer,2440,\n1,coupled,all,5200,\n1,vehicle_alone,all,2700,\n1,trailer_alone,all,2500,\n", "5200 2500"},
		{"a trailer without its nose", "1,coupled,all,5200,\n1,vehicle_alone,vehicle,2760,\n1,trailer_alone,trailer,2440,\n", ""},
		{"by wheels", "1,trailer_alone,trailer.left,1220,\n1,trailer_alone,trailer.1.right,600,\n1,trailer_alone,trailer.2.right,620,\n1,trailer_alone,trailer,2440,\n", "2440"},
	} {
		j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading,use\n"+tt.lines+"-- outfit.csv --\ntrailer_axles\n2\n", Options{})
		var taken []string
		for _, r := range j.Readings {
			if r.TakenAsCalculated {
				taken = append(taken, r.Typed)
				equal(t, tt.name+", calculated", r.Calculated && !r.Used, true)
			}
		}
		equal(t, tt.name, strings.Join(taken, " "), tt.calculated)
	}
}

// TestLabelsAsRatings types every label of section 3 of the contract as a
// rating: a page can print it.
func TestLabelsAsRatings(t *testing.T) {
	labels := map[string]string{
		"gvm": "GVM|MAM|F.1 max laden mass|GVWR", "gcm": "GCM|gross train weight|F.3 combination mass|GCWR",
		"atm":          "ATM|GVM of trailer|MTPLM|max laden mass of trailer|trailer GVWR",
		"gtm":          "GTM|trailer axle weight|trailer axle load|sum of trailer GAWR",
		"axle":         "axle rating|plated axle weight|max axle mass|GAWR",
		"towing":       "rated towing capacity|towing limit|towable mass (axle load)|tow rating",
		"download_max": "towball download|noseweight|static coupling load (S)|tongue weight",
	}
	n := 0
	for word, all := range labels {
		for _, label := range strings.Split(all, "|") {
			if r := ruleOf(label); r == nil || r.word != word {
				t.Errorf("%q is read as %v, want %s", label, r, word)
			}
			n++
		}
	}
	equal(t, "labels", n, 29)
	for i := range regions.Table {
		for _, r := range ratingRules {
			if got := ruleOf(regions.Table[i].Labels[r.word]); got == nil || got.word != r.word {
				t.Errorf("label %q of %s is read as %v", regions.Table[i].Labels[r.word], r.word, got)
			}
		}
		// that of a semi-trailer's download
		if label := regions.Table[i].Labels["download_semi"]; ruleOf(label) == nil || ruleOf(label).word != "download_max" {
			t.Errorf("label %q is not read as download_max", label)
		}
	}
}

// TestSupported reads what later steps do not compute with yet.
func TestSupported(t *testing.T) {
	j := readOne(t, `-- tickets.csv --
ticket,weighed_at,setup,hitch,on_deck,reading,unit,interval,confirmed
1,2026-03-14 09:20,,,EMPTY,-4,kg,20,
1,2026-03-14 09:25,coupled,unknown,front,1260,kg,20,not_uncoupled+bars_unknown
1,2026-03-14 09:30,coupled,slack,all,5200,kg,20,
-- outfit.csv --
travels,suspension,download_share,because
tensioned,rocker,10.5,typing slip
-- loads.csv --
load,mass,unit,on,least,most
water,40,kg,trailer,0,80.5
tank,0,kg,vehicle,,70
-- ratings.csv --
rating,on,value,unit,confirmed
gvm,,3300,kg,axles_below_gvm
kerb,front,1200,kg,
kerb,vehicle,2200,kg,
-- scales.csv --
scale,deck
a,pads_in_turn
`, Options{})
	var empty, used []Reading
	for _, r := range j.Readings {
		switch {
		case !r.Used:
		case r.Empty:
			empty = append(empty, r)
		default:
			used = append(used, r)
		}
	}
	equal(t, "empty readings", len(empty), 1)
	equal(t, "an empty deck shows", empty[0].Kg.String(), "-4")
	equal(t, "an empty deck is empty", empty[0].OnDeck == "empty" && empty[0].State == "" && len(empty[0].Terms) == 0, true)
	equal(t, "used readings", len(used), 2)
	equal(t, "bars as set", used[0].State, CoupledTensioned)
	equal(t, "bars that nobody looked at", used[0].HitchUnknown, true)
	equal(t, "confirmed", strings.Join(used[0].Confirmed, " "), "not_uncoupled bars_unknown")
	equal(t, "suspension", j.Outfit.Suspension, "rocker")
	equal(t, "share", j.Outfit.DownloadShare.Decimal.String(), "10.5")
	equal(t, "because", j.Outfit.Because, "typing slip")
	equal(t, "least", j.Loads[0].Least.Decimal.String(), "0")
	equal(t, "most", j.Loads[0].Most.Decimal.String(), "80.5")
	equal(t, "no least", j.Loads[1].Least.Valid, false)
	equal(t, "confirmed of a rating", strings.Join(j.Ratings[0].Confirmed, " "), "axles_below_gvm")
	equal(t, "an empty mass on an axle", j.Ratings[1].On, "front")

	j = readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading\n1,trailer_alone,all,8200\n-- outfit.csv --\ntrailer_kind\ndrawbar\n", Options{})
	equal(t, "all of a drawbar trailer", Spell(j.Readings[0].Terms...), "trailer")
	for typed, mm := range map[string]float64{"0": 0, "-600": -600, "700": 700} {
		j = readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading\n1,coupled,all,8200\n-- outfit.csv --\ntrailer_kind,rear_axle_to_coupling\nsemi,"+typed+"\n", Options{})
		equal(t, "coupling of a semi-trailer", j.Outfit.RearAxleToCoupling, Length{true, mm})
		equal(t, "a semi-trailer", j.Outfit.Semi, true)
	}
}

// TestBlankFormsOfOneJob: the full forms work for one job as they are.
func TestBlankFormsOfOneJob(t *testing.T) {
	for _, f := range Blank("au", true, nil) {
		for _, l := range strings.Split(string(f.Bytes), "\n") {
			if !strings.HasPrefix(l, "#") && strings.Contains(","+l+",", ",job,") {
				t.Errorf("%s has a column job: %s", f.Name, l)
			}
		}
	}
}
