package words

import (
	"slices"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// levered has the levers of an outfit with w 3,085, a 1,245, L 4,600 and the
// nose support 4,200 ahead of the axle. By hand, of 10 kg: a/w = 0.4036; at the
// nose 10·4200/4600 = 9.13 on the coupling, 3.68 off the front, 12.81 on the
// rear, 0.87 on the trailer's axle; on the vehicle's coupling 4.04 off the front
// and 14.04 on the rear.
func levered() *Words {
	w := Of(base(au), nil)
	addLever(w.Record, "at_front_axle", "vehicle", 10, 0, 0, 0)
	addLever(w.Record, "at_rear_axle", "vehicle", 0, 10, 0, 0)
	addLever(w.Record, "at_coupling", "vehicle", -4.04, 14.04, 0, 0)
	addLever(w.Record, "at_coupling", "trailer", -4.04, 14.04, 0, 10)
	addLever(w.Record, "at_nose", "trailer", -3.68, 12.81, 0.87, 9.13)
	addLever(w.Record, "at_axle", "trailer", 0, 0, 10, 0)
	return w
}

// addLever adds what 10 kg at a place add.
func addLever(r *record.Record, place, on string, front, rear, trailer, download float64) {
	l := add(&r.Levers)
	l.Place, l.On, l.FrontKg, l.RearKg, l.TrailerKg, l.DownloadKg = place, on, &front, &rear, &trailer, &download
}

const (
	noseToAxle  = "10 kg from the nose to over the axle takes 13 off the rear axle and 9 off the coupling, and puts 4 on the front axle and 9 on the trailer axle group"
	axleToNose  = "10 kg from over the axle to the nose takes 4 off the front axle and 9 off the trailer axle group, and puts 13 on the rear axle and 9 on the coupling"
	tailToFront = "10 kg from the vehicle's coupling to over the front axle takes 14 off the rear axle, and puts 14 on the front axle"
)

// TestLeverAdvice: what helps each limit, the best first; nothing that makes it
// worse.
func TestLeverAdvice(t *testing.T) {
	block := func(all ...string) (b []record.Blocking) {
		for _, one := range all {
			rating, on, _ := strings.Cut(one, " ")
			b = append(b, record.Blocking{Rating: rating, On: on, ExcessKg: 10})
		}
		return b
	}
	for _, c := range []struct {
		name  string
		block []record.Blocking
		first string
		n     int
	}{
		{"rear axle", block("axle rear"), tailToFront, 3},
		{"coupling", block("download_max vehicle"), noseToAxle, 1},
		{"rear axle and coupling: what helps both", block("axle rear", "download_max vehicle"), noseToAxle, 3},
		{"too little download", block("download_min coupling"), axleToNose, 1},
		{"trailer axles", block("axle trailer"), "10 kg from over the trailer's axle to over the front axle takes 10 off the trailer axle group, and puts 10 on the front axle", 3},
		{"the entire trailer", block("atm "), "10 kg from over the trailer's axle to over the front axle takes 10 off the trailer axle group, and puts 10 on the front axle", 2},
		{"front axle", block("axle front"), "10 kg from over the front axle to over the rear axle takes 10 off the front axle, and puts 10 on the rear axle", 2},
		{"gvm", block("gvm "), "10 kg from over the rear axle to over the trailer's axle takes 10 off the rear axle, and puts 10 on the trailer axle group", 2},
		{"gcm: nothing that moves helps", block("gcm "), "", 0},
		{"front against rear: only what leaves the vehicle helps", block("axle front", "axle rear"), "10 kg from over the rear axle to over the trailer's axle takes 10 off the rear axle, and puts 10 on the trailer axle group", 1},
	} {
		got := levered().leverAdvice(c.block)
		if len(got) != c.n || c.n > 0 && got[0] != c.first {
			t.Errorf("%s: %d\n%s\nwant %d, first %q", c.name, len(got), strings.Join(got, "\n"), c.n, c.first)
		}
	}
	w := levered() // a, w not known: over the coupling in place of the nose, the rear axle's part not known
	w.Record.Levers[3].FrontKg, w.Record.Levers[3].RearKg = nil, nil
	w.Record.Levers = slices.Delete(w.Record.Levers, 4, 5)
	if got := w.leverAdvice(block("download_max vehicle")); len(got) != 1 || got[0] != "10 kg from over the coupling to over the axle takes 10 off the coupling, and puts 10 on the trailer axle group" {
		t.Errorf("without a/w: %q", got)
	}
	if got := w.leverAdvice(block("axle rear")); len(got) != 3 || strings.Contains(strings.Join(got, "\n"), "over the coupling") {
		t.Errorf("without a/w, rear: %q", got)
	}
	if got := (&Words{Record: &record.Record{}}).leverAdvice(block("axle rear")); len(got) != 0 {
		t.Errorf("no levers: %q", got)
	}
}

// TestLeversOfAPlan: only where nothing of the form may move and no plan is found.
func TestLeversOfAPlan(t *testing.T) {
	planned := func(why string, offered int) *Words {
		w := levered()
		w.Record.Plan = &record.Plan{Blocking: []record.Blocking{{Rating: "download_max", On: "vehicle", ExcessKg: 58}}}
		f := made(&w.Record.Plan.Facts)
		f.Why, f.Offered = why, offered
		return w
	}
	if got := planned("cannot_hold", 0).plan().Levers; len(got) != 1 || got[0] != noseToAxle {
		t.Errorf("%q", got)
	}
	if got := planned("cannot_hold", 1).plan().Levers; len(got) != 0 {
		t.Errorf("a load may move: %q", got)
	}
	w := planned("cannot_hold", 1) // only the trip is not kept
	w.Record.Do = append(w.Record.Do, do("not_on_trip", record.Args{Rating: "download_max", Of: "over", Kg: ptr(331.0), UKg: ptr(12.0), LimitKg: ptr(310.0), Names: []string{"front tank"}}))
	want(t, "trip", w.plan().DoNow, "it may be driven as weighed, not with another mass of front tank: towball download 331 ± 24 against 310; otherwise list in loads.csv what else may move or be left behind")
	if got := planned("not_weighed", 0).plan().Levers; len(got) != 0 {
		t.Errorf("not weighed: %q", got)
	}
}
