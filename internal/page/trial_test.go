package page

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"
)

// tryOn is a page with a demo job on which something is tried.
func tryOn(t *testing.T, job string, tries ...[2]string) *page {
	t.Helper()
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, job)}, {Do: "goto", Value: "whatif"}})
	if len(pg.faults) > 0 {
		t.Fatal(pg.faults)
	}
	for _, try := range tries {
		act(pg, [3]string{"try", try[0], try[1]})
	}
	return pg
}

// An item of 100 kg at a place, by the law of the lever: over the trailer's axle
// centre it is on those axles; at the coupling it is download; over the front or
// the rear axle it is on that axle; where nothing says how far, on its vehicle.
func TestItemAtAPlace(t *testing.T) {
	cases := []struct {
		name, on, tap                  string
		front, rear, trailer, download float64
	}{
		{"trailer axles", "", "trailer", 0, 0, 100, 0},
		{"front axle", "", "front", 100, 0, 0, 0},
		{"rear axle", "", "rear", 0, 100, 0, 0},
		{"coupling", "", "coupling", -40.357, 140.357, 0, 100}, // 1,245 behind a rear axle 3,085 behind the front one: 100·1,245/3,085 = 40.357 off the front
	}
	for _, c := range cases {
		pg := tryOn(t, "planetarium", [2]string{"mass", "100"})
		before := pg.answer
		act(pg, [3]string{"try-at", c.tap, ""})
		r, faults, err := pg.tried()
		if r == nil {
			t.Errorf("%s: %v %v", c.name, faults, err)
			continue
		}
		for key, want := range map[string]float64{"coupled_slack.front": c.front, "coupled_slack.rear": c.rear, "coupled_slack.trailer": c.trailer, "download": c.download} {
			was, now := before.Quantities.Get(key), r.Quantities.Get(key)
			if was == nil || now == nil {
				t.Errorf("%s: %s is not determined", c.name, key)
				continue
			}
			if got := now.Value - was.Value; math.Abs(got-want) > 0.01 { // the fit moves lengths a little
				t.Errorf("%s: %s by %.3f kg (want %.0f)", c.name, key, got, want)
			}
		}
	}
}

// What is tried is not kept: forms, record and answer stay, and only what the
// page remembers changes.
func TestTrialLeavesTheForms(t *testing.T) {
	pg := tryOn(t, "planetarium")
	was := map[string][]byte{}
	for _, name := range pg.forms.names() {
		was[name], _ = pg.forms.bytesOf(name)
	}
	answer := pg.answer
	r := pg.do([]event{{Do: "try", At: "mass", Value: "100"}, {Do: "try-at", At: "trailer"}, {Do: "try", At: "trailer", Value: "2000"}})
	for _, name := range pg.forms.names() {
		if now, _ := pg.forms.bytesOf(name); !bytes.Equal(now, was[name]) {
			t.Errorf("%s is changed", name)
		}
	}
	if pg.answer != answer || len(pg.forms.names()) != len(was) {
		t.Error("the answer is another, or a form came to the others")
	}
	for _, f := range r.Save {
		if f.Name != viewFile {
			t.Errorf("%s is to be stored", f.Name)
		}
	}
	if !strings.Contains(onPage(pg, "whatif"), `id="tried"`) {
		t.Error("nothing is shown of the item")
	}
}

// What is typed wrong is refused by the core.
func TestTrialIsRefused(t *testing.T) {
	for _, try := range [][2]string{{"mass", "ten"}, {"mass", "-5"}, {"at", "far"}} {
		pg := tryOn(t, "planetarium", [2]string{"mass", "100"}, [2]string{"at", "10"}, try)
		if r, faults, _ := pg.tried(); r != nil || len(faults) == 0 {
			t.Errorf("%s %q is answered", try[0], try[1])
		}
		if text := onPage(pg, "whatif"); strings.Contains(text, `id="tried"`) || !strings.Contains(text, "fault-list") {
			t.Errorf("%s %q: no refusal is shown", try[0], try[1])
		}
	}
}

// A trailer of 2,000 kg with 10 % on the coupling puts 200 kg there; 8 % are
// 160. With an item of 100 kg it is 2,100 and 210. By hand.
func TestAnotherTrailer(t *testing.T) {
	for _, c := range []struct {
		tries    [][2]string
		trailer  string
		download string
	}{
		{[][2]string{{"trailer", "2000"}, {"share", "10"}}, "2,000", "200"},
		{[][2]string{{"trailer", "2000"}, {"share", "8"}}, "2,000", "160"},
		{[][2]string{{"trailer", "2000"}, {"share", "10"}, {"mass", "100"}, {"on", "trailer"}}, "2,100", "210"},
	} {
		pg := tryOn(t, "stated-only", c.tries...)
		text := onPage(pg, "whatif")
		for _, want := range []string{"From stated masses, nothing weighed", c.trailer, c.download + " "} {
			if !strings.Contains(text, want) {
				t.Errorf("%v: no %q in %s", c.tries, want, text)
			}
		}
	}
}
