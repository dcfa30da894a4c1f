package page

import (
	"slices"
	"strconv"
	"strings"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// actions are what can be done on the page, by the word in its HTML.
var actions = map[string]func(*Page, Event, []string, *Reply){
	"goto": func(pg *Page, e Event, _ []string, r *Reply) {
		pg.view.Part = e.Value
		r.Focus = e.At
		if e.At == "" {
			r.Focus = "part-" + e.Value
		}
	},
	"restore": (*Page).restore,
	"warm":    func(pg *Page, _ Event, _ []string, _ *Reply) { pg.warming = true },
	"start": func(pg *Page, e Event, _ []string, r *Reply) {
		pg.view.Have, pg.view.Part, r.Focus = e.At, e.Value, "part-"+e.Value
	},
	"have":   func(pg *Page, e Event, _ []string, _ *Reply) { pg.view.Have = e.Value },
	"region": (*Page).doRegion,
	"unit":   func(pg *Page, e Event, _ []string, _ *Reply) { pg.view.Unit = e.Value },
	"open":   func(pg *Page, e Event, _ []string, _ *Reply) { pg.view.Open[e.At] = e.Value == "true" },
	"cell":   (*Page).doCell,
	"one":    func(pg *Page, e Event, where []string, _ *Reply) { pg.forms.setOne(where[0], where[1], e.Value) },
	"axles":  (*Page).doAxles,

	"confirm":   func(pg *Page, _ Event, where []string, _ *Reply) { pg.confirm(where, true) },
	"unconfirm": func(pg *Page, _ Event, where []string, _ *Reply) { pg.confirm(where, false) },
	"remove":    (*Page).doRemove,

	"rating": (*Page).doRating, "none": (*Page).doNone, "certificate": (*Page).doCertificate, "add-rating": (*Page).doAddRating,

	"photo": (*Page).doPhoto, "drop-photo": (*Page).doDropPhoto,

	"add-slip": (*Page).doAddSlip, "add-line": (*Page).doAddLine, "slip": (*Page).doSlip, "when": (*Page).doWhen, "not-on-it": (*Page).doNotOnIt,
	"setup": (*Page).doSetup, "deck": (*Page).doDeck, "whole-deck": (*Page).doWholeDeck, "bars": (*Page).doBars, "wheels": (*Page).doWheels,
	"rides": (*Page).doRides, "leave-out": (*Page).doLeaveOut, "scale": (*Page).doScale,

	"spot": (*Page).doSpot, "fault": (*Page).doFault,

	"try": (*Page).doTry, "try-at": (*Page).doTryAt,
	"add-load": (*Page).doAddLoad, "add-place": (*Page).doAddPlace, "add-planned": (*Page).doAddPlanned, "set-shown": func(pg *Page, e Event, _ []string, _ *Reply) { pg.view.Set = e.Value },

	"pdf": (*Page).doPDF, "sheet": (*Page).doSheet, "zip": (*Page).doZip, "record": (*Page).doRecord, "sign": (*Page).doSign, "files": (*Page).doFiles, "forget": (*Page).doForget,
	"look": (*Page).doLook, "print": func(_ *Page, _ Event, _ []string, r *Reply) { r.Print = true },
}

func (pg *Page) do(e Event, r *Reply) {
	if act := actions[e.Do]; act != nil {
		where := append(strings.Split(e.At, "|"), "", "", "", "")
		pg.stayOpen(e.Do, where)
		act(pg, e, where, r)
	}
}

// stayOpen keeps open what is being filled in: it does not fold under the hand of
// whoever has just typed the last thing that was missing.
func (pg *Page) stayOpen(do string, where []string) {
	switch do {
	case "slip", "when", "not-on-it":
		pg.view.Open["head-"+where[0]] = true
	case "remove", "fault", "goto":
	default:
		switch {
		case where[0] == ticketsForm:
			pg.view.Open["line-"+where[1]] = true
		case where[0] == outfitForm && slices.Contains(lengthColumns, where[1]):
			pg.view.Open["lengths"] = true
		case where[0] == loadsForm && do == "cell":
			pg.openLoad(number(where[1]))
		}
	}
}

func number(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		return -1
	}
	return n
}

func (pg *Page) doRegion(e Event, _ []string, _ *Reply) {
	pg.view.Region = e.Value
	pg.forms.setOne(outfitForm, "region", e.Value)
	pg.view.Unit = regions.Of(pg.region()).PrintIn
	pg.forms.sep = ','
	if regions.Of(pg.region()).DecimalComma.Yes {
		pg.forms.sep = ';'
	}
}

// doCell fills a cell. A line of a form of which nothing is left goes.
func (pg *Page) doCell(e Event, where []string, _ *Reply) {
	row := number(where[1])
	pg.forms.set(where[0], row, where[2], e.Value)
	if where[0] == "tickets.csv" && where[2] == "scale" {
		pg.nameScales()
	}
}

// doAxles states how many axles a group has.
func (pg *Page) doAxles(e Event, where []string, _ *Reply) {
	pg.forms.setOne(outfitForm, where[0], e.Value)
}

func (pg *Page) doRemove(_ Event, where []string, _ *Reply) {
	row := number(where[1])
	before := pg.slips()
	pg.forms.remove(where[0], row)
	if where[0] != ticketsForm {
		return
	}
	pg.shiftRows(row, -1)
	for i, s := range before {
		if len(s.rows) == 1 && s.rows[0] == row { // the slip went with its only line
			pg.shiftOpen(ofSlips, i, -1)
		}
	}
}

// confirm writes a question's code into the line that it is asked of, or takes
// it out.
func (pg *Page) confirm(where []string, yes bool) {
	form, row, code := where[0], number(where[1]), where[2]
	codes := terms(pg.forms.cell(form, row, "confirmed"))
	codes = slices.DeleteFunc(codes, func(c string) bool { return c == code })
	if yes {
		codes = append(codes, code)
	}
	pg.forms.set(form, row, "confirmed", strings.Join(codes, "+"))
}

// terms splits what is joined by +.
func terms(cell string) []string {
	var all []string
	for t := range strings.SplitSeq(cell, "+") {
		if t = strings.TrimSpace(t); t != "" {
			all = append(all, t)
		}
	}
	return all
}

// doPhoto keeps a photo as the copy of a line.
func (pg *Page) doPhoto(e Event, where []string, _ *Reply) {
	if len(e.Files) == 0 {
		return
	}
	name := pg.freeName(strings.TrimSuffix(where[0], ".csv"), e.Files[0].Name)
	pg.forms.put(name, e.Files[0].Bytes)
	for _, row := range pg.photoRows(where) {
		pg.forms.set(where[0], row, "copy", name)
	}
}

// photoRows are the lines that a photo belongs to: all of a slip, or one.
func (pg *Page) photoRows(where []string) []int {
	row := number(where[1])
	if where[0] == "tickets.csv" {
		for _, s := range pg.slips() {
			if slices.Contains(s.rows, row) {
				return s.rows
			}
		}
	}
	return []int{row}
}

func (pg *Page) doDropPhoto(_ Event, where []string, _ *Reply) {
	name := pg.forms.cell(where[0], number(where[1]), "copy")
	for _, row := range pg.photoRows(where) {
		pg.forms.set(where[0], row, "copy", "")
	}
	for _, form := range tickets.FormNames() {
		for row := range pg.forms.rows(form) {
			if pg.forms.cell(form, row, "copy") == name {
				return // named elsewhere
			}
		}
	}
	pg.forms.drop(name)
}

// freeName is a name for a copy that none has yet.
func (pg *Page) freeName(before, typed string) string {
	ending := ".jpg"
	if at := strings.LastIndexByte(typed, '.'); at >= 0 && len(typed)-at <= 5 {
		ending = strings.ToLower(typed[at:])
	}
	for n := 1; ; n++ {
		name := before + "-photo-" + itoa(n) + ending
		if _, taken := pg.forms.copies[name]; !taken {
			return name
		}
	}
}

// doSpot opens a load below the drawing.
func (pg *Page) doSpot(e Event, _ []string, r *Reply) {
	pg.view.Open["spot-"+e.At] = true
	r.Focus = "spot-" + e.At
}

// doFault goes to the field of a fault.
func (pg *Page) doFault(e Event, _ []string, r *Reply) {
	pg.view.Part = e.Value
	r.Focus = "fault:" + e.At
}
