package main

import (
	"testing"
)

// line is a line of a slip as it is typed.
type line struct {
	note, figure, setup, bars, people string
	deck                              []string
	wheels                            [][2]string
	calculated                        bool
}

// typeSlip types a slip.
func typeSlip(b *tab, number, date, clock, unit, interval string, lines []line) {
	b.t.Helper()
	b.part("slip")
	b.tap(`[data-do="add-slip"]`)
	if number == "" {
		b.tap(selector("not-on-it", "0|ticket"))
	} else {
		b.write(selector("slip", "0|ticket"), number)
	}
	if date != "" {
		b.set(selector("when", "0|date"), date)
		b.set(selector("when", "0|time"), clock)
	} else {
		b.tap(selector("not-on-it", "0|date"))
		b.tap(selector("not-on-it", "0|time"))
	}
	b.choose(selector("slip", "0|unit"), unit)
	if interval != "" {
		b.write(selector("slip", "0|interval"), interval)
	}
	for i, l := range lines {
		typeLine(b, i, l)
	}
}

func typeLine(b *tab, i int, l line) {
	b.t.Helper()
	if i > 0 {
		b.tap(`[data-do="add-line"]`)
	}
	where := "tickets.csv|" + string(rune('0'+i))
	b.write(selector("cell", where+"|note"), l.note)
	b.tap(selector("setup", where+"|setup") + `[value="` + l.setup + `"]`)
	if l.wheels != nil {
		b.tap(selector("wheels", where))
		for _, w := range l.wheels {
			b.write(selector("cell", where+"|"+w[0]), w[1])
		}
	} else {
		b.write(selector("cell", where+"|reading"), l.figure)
		for _, d := range l.deck {
			if d == "all" {
				b.tap(selector("whole-deck", where))
				continue
			}
			b.tap(selector("deck", where+"|"+d))
		}
	}
	if l.bars != "" {
		b.tap(selector("bars", where) + `[value="` + l.bars + `"]`)
	}
	if l.people != "" {
		b.write(selector("cell", where+"|people"), l.people)
	}
}

// typePlates types the plates of the outfit of the five tickets.
func typePlates(b *tab) {
	b.t.Helper()
	b.tap(`.card[data-at="slip"]`)
	b.part("have")
	b.choose(selector("region", "region"), "au")
	b.part("plates")
	for _, r := range [][2]string{{"gvm||", "3050"}, {"atm||", "3000"}, {"gtm||", "2700"}, {"axle|front|", "1480"}, {"axle|rear|", "1950"},
		{"towing||braked", "3500"}, {"towing||unbraked", "750"}, {"download_max|towbar|", "350"}, {"download_max|vehicle|", "310"}} {
		b.write(selector("rating", r[0]+"|value|first"), r[1])
	}
	b.tap(selector("certificate", "gvm||"))
	b.write(`[data-rating="gvm||"] .figure:nth-of-type(1) ~ .figure [data-do="rating"][inputmode]`, "3350")
	b.tap(selector("none", "gcm||"))
	b.write(selector("rating", "gcm|||source|first"), "looked for on the plate and in the handbook")
	b.write(selector("one", "outfit.csv|people"), "2")
	b.choose(selector("one", "outfit.csv|rear_axles"), "1")
	b.choose(selector("one", "outfit.csv|trailer_axles"), "2")
	b.choose(selector("one", "outfit.csv|trailer_brakes"), "driver")
}

func TestTry(t *testing.T) {
	b := open(t, 390, 844)
	t.Log("ready", b.eval(`document.body.dataset.ready`))
	typePlates(b)
	b.shot("/tmp/shots/plates.png")
	typeSlip(b, "004711", "2026-03-14", "09:20", "t", "", []line{
		{note: "GROSS", figure: "5.84", setup: "coupled", deck: []string{"all"}},
		{note: "TARE", figure: "2.96", setup: "vehicle_alone", deck: []string{"front", "rear"}},
		{note: "NET", figure: "2.88", setup: "trailer_alone", deck: []string{"all"}},
	})
	b.settled()
	b.shot("/tmp/shots/slip.png")
	b.part("answer")
	b.settled()
	b.shot("/tmp/shots/answer.png")
	t.Log(b.text("#do-now"))
	b.part("keep")
	b.shot("/tmp/shots/keep.png")
	t.Log(b.errors, b.requests)
}
