package tickets

import (
	"fmt"
	"strings"
	"testing"
)

// notesOf reads forms of one job and writes its notes a line each.
func notesOf(t *testing.T, archive string) string {
	t.Helper()
	res := readFolder(formsOf(archive), Options{NeedTickets: true})
	if len(res.Jobs) != 1 {
		t.Fatalf("%s:\n%s", archive, showFaults(res.Faults))
	}
	var lines []string
	for _, n := range res.Jobs[0].Notes {
		lines = append(lines, strings.TrimSpace(fmt.Sprintf("%s %d %s %s", n.Code, n.Line, n.Column, n.Detail)))
	}
	return strings.Join(lines, "\n")
}

// quiet are cells that draw no note of their own: a time, people, an interval
// and an outfit that says how it travels.
const (
	quietHeader = "ticket,weighed_at,setup,on_deck,reading,interval,people,scale,use,hitch\n"
	quietOutfit = "-- outfit.csv --\ntravels,trailer_axles\n%s,2\n"
)

// TestNotes draws each note alone. The least loads of the classes are those of
// OIML R 76-1:2006, Table 3: 20 e in class III, 10 e in class IIII.
func TestNotes(t *testing.T) {
	plain := fmt.Sprintf(quietOutfit, "plain")
	form := func(lines ...string) string {
		return "-- tickets.csv --\n" + quietHeader + strings.Join(lines, "\n") + "\n" + plain
	}
	tests := []struct{ name, archive, want string }{
		{"nothing to tell", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,2,,,"), ""},
		{"no people", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,,,,"), "people_not_stated 2 people"},
		{"no people on a trailer", form("1,2026-03-14 09:20,trailer_alone,all,2760,20,,,,"), ""},
		{"no people with the trailer's axles", form("1,2026-03-14 09:20,coupled,trailer,2760,20,,,,"), ""},
		{"no people on an unused line", "-- tickets.csv --\nticket,weighed_at,setup,on_deck,reading,interval,use,note\n1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,no,misread\n" + plain, ""},
		{"no date", form("1,,vehicle_alone,vehicle,2760,20,2,,,"), "no_time 2 weighed_at"},
		{"a date without a time", form("1,2026-03-14,vehicle_alone,vehicle,2760,20,2,,,"), "no_time 2 weighed_at 2026-03-14"},
		{"two days", form("1,2026-03-14 09:20,vehicle_alone,front,1260,20,2,,,", "2,2026-03-15 09:20,vehicle_alone,rear,1500,20,2,,,"), "different_days 0 weighed_at 2026-03-14, 2026-03-15"},
		{"days in their order, each once", form("1,2026-03-16 09:20,vehicle_alone,front,1260,20,2,,,", "2,2026-03-14 09:20,vehicle_alone,rear,1500,20,2,,,", "3,2026-03-15 09:20,trailer_alone,all,2440,20,,,,", "4,2026-03-14 10:20,vehicle_alone,vehicle,2760,20,2,,,"),
			"different_days 0 weighed_at 2026-03-14, 2026-03-15, 2026-03-16"},
		{"no interval", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2765,,2,,,"), "interval_assumed 2 interval 5"},
		{"below 20 e in class III", form("1,2026-03-14 09:20,trailer_alone,nose,380,20,,,,"), "below_minimum 2 reading 380"},
		{"10,000 e in class III", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,0.276,2,,,"), ""},
		{"beyond 1,000 e in class IIII, no max", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2000,2,2,b,,", "2,2026-03-14 09:30,vehicle_alone,vehicle,2002,2,2,b,,") + "-- scales.csv --\nscale,class\nb,4\n", "above_max 3 reading 2002"},
		{"20 e in class III", form("1,2026-03-14 09:20,trailer_alone,nose,400,20,,,,"), ""},
		{"below 10 e in class IIII", form("1,2026-03-14 09:20,trailer_alone,nose,180,20,,b,,") + "-- scales.csv --\nscale,class\nb,4\n", "below_minimum 2 reading 180"},
		{"10 e in class IIII", form("1,2026-03-14 09:20,trailer_alone,nose,200,20,,b,,") + "-- scales.csv --\nscale,class\nb,4\n", ""},
		{"below 10 e on each of four pads", form("1,2026-03-14 09:20,trailer_alone,trailer+nose,220,5,,b,,") + "-- scales.csv --\nscale,deck\nb,pads\n", "below_minimum 2 reading 220"},
		{"no least load in class none", form("1,2026-03-14 09:20,trailer_alone,nose,40,20,,b,,") + "-- scales.csv --\nscale,class,expanded_uncertainty\nb,none,10\n", ""},
		{"above max", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,2,b,,") + "-- scales.csv --\nscale,interval,max\nb,20,2500\n", "above_max 2 reading 2760"},
		{"above max of one pad, not of two", form("1,2026-03-14 09:20,vehicle_alone,front,1260,5,2,b,,") + "-- scales.csv --\nscale,deck,max\nb,pads,1000\n", ""},
		{"not a multiple", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2765,20,2,,,"), "not_a_multiple 2 reading 2765"},
		{"the nose off the deck", form("1,2026-03-14 09:20,trailer_alone,trailer,2440,20,,,,"), "nose_off_deck 2 on_deck trailer"},
		{"the nose in another column", "-- tickets.csv --\nticket,weighed_at,setup,trailer,nose,interval\n1,2026-03-14 09:20,trailer_alone,2440,400,20\n" + plain, ""},
		{"verified later", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,2,b,,") + "-- scales.csv --\nscale,verified_on\nb,2026-03-15\n", "scale_verified_later 2 scale b"},
		{"verified on the day", form("1,2026-03-14 09:20,vehicle_alone,vehicle,2760,20,2,b,,") + "-- scales.csv --\nscale,verified_on\nb,2026-03-14\n", ""},
		{"a time without a date", form("1,09:20,vehicle_alone,vehicle,2760,20,2,,,"), "no_time 2 weighed_at 09:20"},
		{"a printed total", form("1,2026-03-14 09:20,coupled,front,1260,20,2,,,", "1,,coupled,rear,1500,20,2,,,", "1,,coupled,trailer,2440,20,2,,,", "1,2026-03-14 09:20,coupled,all,5200,20,2,,,"),
			"no_time 3 weighed_at\nno_time 4 weighed_at\ntaken_as_calculated 5 reading 5200"},
		{"a printed total, said to be weighed", form("1,2026-03-14 09:20,coupled,front,1260,20,2,,,", "1,2026-03-14 09:20,coupled,rear,1500,20,2,,,", "1,2026-03-14 09:20,coupled,trailer,2440,20,2,,,", "1,2026-03-14 09:20,coupled,all,5200,20,2,,yes,"),
			"looks_calculated 5 reading 5200"},
		{"a net that adds up", form("1,2026-03-14 09:20,vehicle_alone,vehicle,3240,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,,2000,,,,calculated,", "1,2026-03-14 09:20,vehicle_alone,,1240,,,,calculated,"), ""},
		{"a net that does not", form("1,2026-03-14 09:20,vehicle_alone,vehicle,3240,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,front,1500,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,,1700,20,,,calculated,"), "does_not_add_up 4 reading 1700"},
		{"a net on the first line that does not", form("1,2026-03-14 09:20,vehicle_alone,,1700,20,,,calculated,", "1,2026-03-14 09:20,vehicle_alone,vehicle,3240,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,front,1500,20,2,,,"), "does_not_add_up 2 reading 1700"},
		{"a net to one interval", form("1,2026-03-14 09:20,vehicle_alone,vehicle,3240,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,front,1500,20,2,,,", "1,2026-03-14 09:20,vehicle_alone,,1720,20,,,calculated,"), ""},
	}
	codes := map[string]bool{}
	for _, tt := range tests {
		got := notesOf(t, tt.archive)
		if got != tt.want {
			t.Errorf("%s: notes\n%s\nwant\n%s", tt.name, got, tt.want)
		}
		for _, l := range strings.Split(got, "\n") {
			code, _, _ := strings.Cut(l, " ")
			codes[code] = true
		}
	}
	equal(t, "codes drawn, with none", len(codes), 13)
}

// TestTravels decides how the outfit travels, and says what it assumed.
func TestTravels(t *testing.T) {
	ticket := func(hitch, outfit string) string {
		return "-- tickets.csv --\n" + quietHeader + "1,2026-03-14 09:20,coupled,front,1260,20,2,,," + hitch + "\n" + fmt.Sprintf(quietOutfit, outfit)
	}
	tests := []struct {
		hitch, travels string
		want           State
		plain, stated  bool
		note           string
	}{
		{"", "", CoupledSlack, true, false, "no_hitch_stated 0 travels"},
		{"slack", "", CoupledSlack, true, false, "no_hitch_stated 0 travels"},
		{"tensioned", "", CoupledTensioned, false, false, "travels_assumed 0 travels tensioned"},
		{"", "plain", CoupledSlack, true, true, ""},
		{"", "slack", CoupledSlack, false, true, ""},
		{"slack", "tensioned", CoupledTensioned, false, true, ""},
		{"tensioned", "slack", CoupledSlack, false, true, ""},
	}
	for _, tt := range tests {
		archive := ticket(tt.hitch, tt.travels)
		res := readFolder(formsOf(archive), Options{NeedTickets: true})
		if len(res.Jobs) != 1 {
			t.Errorf("%+v: %s", tt, showFaults(res.Faults))
			continue
		}
		o := res.Jobs[0].Outfit
		if o.Travels != tt.want || o.TravelsPlain != tt.plain || o.TravelsStated != tt.stated {
			t.Errorf("%+v: travels %s, plain %v, stated %v", tt, o.Travels, o.TravelsPlain, o.TravelsStated)
		}
		if got := notesOf(t, archive); got != tt.note {
			t.Errorf("%+v: notes %q", tt, got)
		}
	}
}

// TestNoHitchOnASemiOrDrawbar: neither can have a load-distribution hitch, so
// there is nothing to note where none is stated.
func TestNoHitchOnASemiOrDrawbar(t *testing.T) {
	for kind, want := range map[string]string{"": "no_hitch_stated 0 travels", "centre_axle": "no_hitch_stated 0 travels", "semi": "", "drawbar": ""} {
		archive := "-- tickets.csv --\n" + quietHeader + "1,2026-03-14 09:20,coupled,front,1260,20,2,,,\n-- outfit.csv --\ntrailer_kind,trailer_axles\n" + kind + ",2\n"
		if got := notesOf(t, archive); got != want {
			t.Errorf("trailer_kind %q: notes %q (want %q)", kind, got, want)
		}
	}
}
