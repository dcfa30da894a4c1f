//go:build browser

package main

import (
	"strconv"

	"github.com/chromedp/chromedp"
)

// line is a line of a slip as it is typed and tapped.
type line struct {
	note, figure, setup, bars, people string
	deck                              []string    // wheels tapped; all: the button for everything
	wheels                            [][2]string // a figure for each wheel instead
	without                           string      // the line of loads.csv that was not on board
}

// slip is a slip as it is typed.
type slip struct {
	number, date, clock, unit, interval string
	lines                               []line
}

// typeSlip types a slip on a page that has none.
func typeSlip(b *tab, s slip) {
	b.t.Helper()
	b.part("slip")
	b.tap(`[data-do="add-slip"]`)
	if s.number == "" {
		b.tap(selector("not-on-it", "0|ticket"))
	} else {
		b.write(selector("slip", "0|ticket"), s.number)
	}
	if s.date != "" {
		b.choose(selector("when", "0|date"), s.date)
		b.choose(selector("when", "0|time"), s.clock)
	} else {
		b.tap(selector("not-on-it", "0|date"))
		b.tap(selector("not-on-it", "0|time"))
	}
	b.choose(selector("slip", "0|unit"), s.unit)
	if s.interval != "" {
		b.write(selector("slip", "0|interval"), s.interval)
	}
	for i, l := range s.lines {
		typeLine(b, i, l)
	}
}

func typeLine(b *tab, i int, l line) {
	b.t.Helper()
	if i > 0 {
		b.tap(`[data-do="add-line"]`)
	}
	where := "tickets.csv|" + strconv.Itoa(i)
	b.write(selector("cell", where+"|note"), l.note)
	if i > 0 { // folded, as in the line before
		b.do(chromedp.Evaluate(`document.querySelector('details[data-open="how-`+strconv.Itoa(i)+`"]').open = true`, nil))
		b.answered()
	}
	b.tap(selector("setup", where+"|setup") + `[value="` + l.setup + `"]`)
	if l.wheels != nil {
		b.tap(selector("wheels", where))
	} else {
		b.write(selector("cell", where+"|reading"), l.figure)
	}
	for _, w := range l.wheels {
		b.write(selector("cell", where+"|"+w[0]), w[1])
	}
	for _, d := range l.deck {
		if d == "all" {
			b.tap(selector("whole-deck", where))
			continue
		}
		b.tap(selector("deck", where+"|"+d))
	}
	if l.bars != "" {
		b.tap(selector("bars", where) + `[value="` + l.bars + `"]`)
	}
	if l.people != "" {
		b.write(selector("cell", where+"|people"), l.people)
	}
	if l.without != "" {
		b.choose(selector("rides", where+"|"+l.without), "without")
	}
}

// typePlates types the plates of the outfit of the README's five tickets.
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
	b.tap(`[data-rating="gvm||"] details.more summary`)
	b.tap(selector("certificate", "gvm||"))
	b.write(`[data-rating="gvm||"] [data-do="rating"][data-at^="gvm|||value|"]:not([data-at$="first"])`, "3350")
	b.tap(selector("none", "gcm||"))
	b.write(selector("rating", "gcm|||source|first"), "looked for on the plate and in the handbook")
	b.write(selector("one", "outfit.csv|people"), "2")
	b.choose(selector("one", "outfit.csv|rear_axles"), "1")
	b.choose(selector("one", "outfit.csv|trailer_axles"), "2")
	b.choose(selector("one", "outfit.csv|trailer_brakes"), "driver")
}

// fiveTickets are the README's, as an owner types them.
var fiveTickets = []slip{
	{"004711", "2026-03-14", "09:20", "t", "", []line{
		{note: "GROSS", figure: "5.84", setup: "coupled", deck: []string{"all"}},
		{note: "TARE", figure: "2.96", setup: "vehicle_alone", deck: []string{"front", "rear"}},
		{note: "NET", figure: "2.88", setup: "trailer_alone", deck: []string{"trailer", "nose"}},
	}},
	{"", "", "", "kg", "20", []line{
		{note: "AXLE1", figure: "1320", setup: "coupled", deck: []string{"front"}, people: "2"},
		{note: "AXLE2", figure: "1920", setup: "coupled", deck: []string{"rear"}},
		{note: "AXLE3+4", figure: "2600", setup: "coupled", deck: []string{"trailer"}},
		{note: "TOTAL", figure: "5840", setup: "coupled", deck: []string{"all"}},
	}},
	{"", "", "", "lb", "20", []line{
		{note: "STEER", figure: "2900", setup: "coupled", deck: []string{"front"}, people: "2"},
		{note: "DRIVE", figure: "4220", setup: "coupled", deck: []string{"rear"}},
		{note: "TRLR", figure: "5760", setup: "coupled", deck: []string{"trailer"}},
		{note: "GROSS", figure: "12880", setup: "coupled", deck: []string{"all"}},
	}},
	{"", "", "", "kg", "20", []line{
		{note: "trailer only, jockey wheel off the plate, driver out", figure: "2580", setup: "trailer_alone", deck: []string{"trailer"}},
	}},
	{"", "", "", "kg", "", []line{
		{note: "driver only", setup: "coupled", bars: "tensioned", people: "1", without: "1", wheels: [][2]string{
			{"front.left", "695"}, {"front.right", "690"}, {"rear.left", "855"}, {"rear.right", "865"},
			{"trailer.1.left", "655"}, {"trailer.1.right", "675"}, {"trailer.2.left", "665"}, {"trailer.2.right", "670"}}},
	}},
}

// typePads types what the fifth ticket needs beside its figures: pads under
// every wheel, who rides where, and how the bars are on the road.
func typePads(b *tab) {
	b.t.Helper()
	b.part("plates")
	b.choose(selector("one", "outfit.csv|travels"), "tensioned")
	b.part("whatif")
	b.tap(`[data-do="add-place"]`)
	b.write(selector("cell", "places.csv|0|place"), "seats")
	b.write(selector("cell", "places.csv|0|at"), "1500")
	for i, who := range [][2]string{{"driver", "85"}, {"passenger", "70"}} {
		b.tap(`[data-do="add-load"][data-at="whatif"]`)
		where := "loads.csv|" + strconv.Itoa(i)
		b.write(selector("cell", where+"|load"), who[0])
		b.write(selector("cell", where+"|mass"), who[1])
		b.choose(selector("cell", where+"|place"), "seats")
	}
}

// describePads says that the slip is of pads, with steps of 5 kg.
func describePads(b *tab) {
	b.t.Helper()
	b.tap(selector("scale", "described"))
	b.choose(selector("cell", "scales.csv|0|deck"), "pads")
	b.choose(selector("cell", "scales.csv|0|class"), "IIII")
	b.write(selector("cell", "scales.csv|0|interval"), "5")
}

// clearSlips takes every line of every slip away.
func clearSlips(b *tab) {
	b.t.Helper()
	b.part("slip")
	for b.eval(`[...document.querySelectorAll('[data-do="remove"][data-at^="tickets.csv|"]')].length`) != "0" {
		b.do(chromedp.Evaluate(`document.querySelector('#slip details[data-open^="line-"]').open = true`, nil))
		b.handled()
		b.answered()
		b.tap(`[data-do="remove"][data-at^="tickets.csv|"]`)
	}
}
