package page

import (
	"slices"
	"strconv"
	"strings"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// actions are what can be done on the page, by the word in its HTML.
var actions = map[string]func(*page, event, []string, *Reply){
	"goto": func(pg *page, e event, _ []string, r *Reply) {
		pg.view.Part = e.Value
		r.Focus = e.At
		if e.At == "" {
			r.Focus = "part-" + e.Value
		}
	},
	"restore": (*page).restore,
	"warm":    func(pg *page, _ event, _ []string, _ *Reply) { pg.warming = true },
	"start": func(pg *page, e event, _ []string, r *Reply) {
		pg.view.Have, pg.view.Part, r.Focus = e.At, e.Value, "part-"+e.Value
	},
	"have":   func(pg *page, e event, _ []string, _ *Reply) { pg.view.Have = e.Value },
	"region": (*page).doRegion,
	"unit":   func(pg *page, e event, _ []string, _ *Reply) { pg.view.Unit = e.Value },
	"open":   func(pg *page, e event, _ []string, _ *Reply) { pg.view.Open[e.At] = e.Value == "true" },
	"cell":   (*page).doCell,
	"one":    func(pg *page, e event, where []string, _ *Reply) { pg.forms.setOne(where[0], where[1], e.Value) },
	"axles":  (*page).doAxles,

	"confirm":   func(pg *page, _ event, where []string, _ *Reply) { pg.confirm(where, true) },
	"unconfirm": func(pg *page, _ event, where []string, _ *Reply) { pg.confirm(where, false) },
	"remove":    (*page).doRemove,

	"rating": (*page).doRating, "none": (*page).doNone, "certificate": (*page).doCertificate, "add-rating": (*page).doAddRating,

	"photo": (*page).doPhoto, "drop-photo": (*page).doDropPhoto,

	"add-slip": (*page).doAddSlip, "add-line": (*page).doAddLine, "slip": (*page).doSlip, "when": (*page).doWhen, "not-on-it": (*page).doNotOnIt,
	"setup": (*page).doSetup, "deck": (*page).doDeck, "whole-deck": (*page).doWholeDeck, "bars": (*page).doBars, "wheels": (*page).doWheels,
	"rides": (*page).doRides, "leave-out": (*page).doLeaveOut, "scale": (*page).doScale,

	"spot": (*page).doSpot, "fault": (*page).doFault,

	"try": (*page).doTry, "try-at": (*page).doTryAt,
	"add-load": (*page).doAddLoad, "add-place": (*page).doAddPlace, "add-planned": (*page).doAddPlanned, "set-shown": func(pg *page, e event, _ []string, _ *Reply) { pg.view.Set = e.Value },

	"pdf": (*page).doPDF, "sheet": (*page).doSheet, "zip": (*page).doZip, "record": (*page).doRecord, "sign": (*page).doSign, "files": (*page).doFiles, "forget": (*page).doForget,
	"look": (*page).doLook, "print": func(_ *page, _ event, _ []string, r *Reply) { r.Print = true },
}

func (pg *page) act(e event, r *Reply) {
	if action := actions[e.Do]; action != nil {
		where := append(strings.Split(e.At, "|"), "", "", "", "")
		pg.stayOpen(e.Do, where)
		action(pg, e, where, r)
	}
}

// stayOpen keeps open what is being filled in: it does not fold under the hand of
// whoever has just typed the last thing that was missing.
func (pg *page) stayOpen(do string, where []string) {
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

func (pg *page) doRegion(e event, _ []string, _ *Reply) {
	pg.view.Region = e.Value
	pg.forms.setOne(outfitForm, "region", e.Value)
	pg.view.Unit = regions.Of(pg.region()).PrintIn
	pg.forms.sep = ','
	if regions.Of(pg.region()).DecimalComma.Yes {
		pg.forms.sep = ';'
	}
}

// doCell fills a cell. A line of a form of which nothing is left goes.
func (pg *page) doCell(e event, where []string, _ *Reply) {
	row := number(where[1])
	pg.forms.set(where[0], row, where[2], e.Value)
	if where[0] == "tickets.csv" && where[2] == "scale" {
		pg.nameScales()
	}
}

// doAxles states how many axles a group has.
func (pg *page) doAxles(e event, where []string, _ *Reply) {
	pg.forms.setOne(outfitForm, where[0], e.Value)
}

func (pg *page) doRemove(_ event, where []string, _ *Reply) {
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
func (pg *page) confirm(where []string, yes bool) {
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
func (pg *page) doPhoto(e event, where []string, _ *Reply) {
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
func (pg *page) photoRows(where []string) []int {
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

func (pg *page) doDropPhoto(_ event, where []string, _ *Reply) {
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
func (pg *page) freeName(before, typed string) string {
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
func (pg *page) doSpot(e event, _ []string, r *Reply) {
	pg.view.Open["spot-"+e.At] = true
	r.Focus = "spot-" + e.At
}

// doFault goes to the field of a fault.
func (pg *page) doFault(e event, _ []string, r *Reply) {
	pg.view.Part = e.Value
	r.Focus = "fault:" + e.At
}
