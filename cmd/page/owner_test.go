//go:build browser

package main

import (
	"os"
	"path/filepath"
	"testing"
)

// plates are eleven figures of a made-up outfit, as its plates state them.
var plates = [][2]string{
	{"gvm||", "3200"}, {"axle|front|", "1500"}, {"axle|rear|", "1950"}, {"gcm||", "5950"}, {"towing||braked", "3500"}, {"download_max|vehicle|", "320"}, {"download_max|towbar|", "350"},
	{"atm||", "2800"}, {"gtm||", "2600"}, {"axle|trailer|", "2700"}, {"download_max|coupling|", "350"},
}

// An owner with one slip of four figures and eleven plates, who follows the main
// buttons and knows nothing else, comes to an answer on a telephone. With
// PICTURES=DIR each step is kept.
func TestOneSlipAndElevenPlates(t *testing.T) {
	b := open(t, 390, 844)
	step := func(name string) {
		if dir := os.Getenv("PICTURES"); dir != "" {
			b.settled()
			b.shot(filepath.Join(dir, "owner-"+name+".png"))
		}
	}
	step("1-start")
	b.choose(selector("region", "region"), "au")
	b.tap(`.card[data-at="slip"]`)
	step("2-plates")
	for _, p := range plates {
		b.write(selector("rating", p[0]+"|value|first"), p[1])
	}
	step("3-plates-typed")
	b.tap(`#plates button.main[value="slip"]`)
	step("4-slip")
	b.tap(`[data-do="add-slip"]`)
	step("5-slip-begun")
	b.write(selector("slip", "0|ticket"), "88213")
	b.choose(selector("when", "0|date"), "2026-11-21")
	b.choose(selector("when", "0|time"), "10:42")
	for i, l := range []line{
		{note: "STEER", figure: "1380", setup: "coupled", deck: []string{"front"}},
		{note: "DRIVE", figure: "1840", deck: []string{"rear"}},
		{note: "TRLR", figure: "2380", deck: []string{"trailer"}},
		{note: "GROSS", figure: "5600", deck: []string{"all"}},
	} {
		if i > 0 {
			b.tap(`[data-do="add-line"]`)
		}
		if i == 1 {
			step("6-next-line")
		}
		where := "tickets.csv|" + string(rune('0'+i))
		b.write(selector("cell", where+"|note"), l.note)
		b.write(selector("cell", where+"|reading"), l.figure)
		if l.setup != "" { // the next line begins with what the last one had
			b.tap(selector("setup", where+"|setup") + `[value="` + l.setup + `"]`)
		}
		for _, d := range l.deck {
			if d == "all" {
				b.tap(selector("whole-deck", where))
				continue
			}
			b.tap(selector("deck", where+"|"+d))
		}
	}
	step("7-slip-typed")
	b.tap(`#slip button.main[value="answer"]`)
	b.settled()
	step("8-answer")
	if got := b.text("#do-now"); got == "" {
		t.Errorf("no answer; it says %q", b.text("#answer"))
	}
	kept(b, "one slip and eleven plates")
	b.quiet()
}
