package words

import (
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
)

// leverKg is what a lever is stated for; per unit the figures are the same in
// pounds.
const leverKg = 10

// standardPlaces are the places that every outfit has, by unit; of a unit that
// is not said, the trailer's.
var standardPlaces = map[string]string{
	"at_front_axle vehicle": "over the front axle", "at_rear_axle vehicle": "over the rear axle",
	"at_coupling vehicle": "the vehicle's coupling", "at_coupling trailer": "over the coupling",
	"at_nose trailer": "the nose", "at_axle trailer": "over the axle",
	"at_front_axle ": "over the front axle", "at_rear_axle ": "over the rear axle", "at_coupling ": "over the coupling",
	"at_nose ": "the trailer's nose", "at_axle ": "over the trailer's axle",
}

// standardKeys are their keys in order.
var standardKeys = sync.OnceValue(func() []string { return slices.Sorted(maps.Keys(standardPlaces)) })

func placeName(place, on string) string {
	if words, standard := standardPlaces[place+" "+on]; standard {
		return words
	}
	return place
}

// ownPlaces is how many of the levers, from the first, are at places of places.csv.
// The standard ones follow them, once each and the front axle's first: a place of the
// form may have the name of any of them.
func (w *Words) ownPlaces() int {
	if w.ownLevers == nil {
		n := w.countOwnPlaces()
		w.ownLevers = &n
	}
	return *w.ownLevers
}

func (w *Words) countOwnPlaces() int {
	n, seen := len(w.Record.Levers), map[string]bool{}
	for ; n > 0; n-- {
		key := w.Record.Levers[n-1].Place + " " + w.Record.Levers[n-1].On
		if standardPlaces[key] == "" || seen[key] || seen["at_front_axle vehicle"] {
			break
		}
		seen[key] = true
	}
	return n
}

// ownName is the name of a place of places.csv as it was typed. Where a standard place
// is called the same it says whose it is.
func (w *Words) ownName(place, on string) string {
	for _, key := range standardKeys() {
		words := standardPlaces[key]
		if _, unit, _ := strings.Cut(key, " "); (unit == on || unit == "" || on == "") && strings.EqualFold(place, words) {
			return place + w.reader(" (in places.csv)", " (your place)")
		}
	}
	return place
}

// levers is what a load at each place does, and what moving something does.
type levers struct {
	Head      string     // of the table
	Heads     []string   // of its columns: place, front, rear and trailer axle, download
	Rows      [][]string // in the record's order
	Sentences []string   // "10 kg from the nose to over the axle takes 11 off the rear axle and 8 off the coupling"
}

func (w *Words) levers() levers {
	out := levers{
		Head:      say("what " + itoa(leverKg) + " " + w.Unit + " at a place adds, coupled" + strings.TrimPrefix(w.stateWord("coupled_slack"), "coupled")),
		Heads:     sayAll([]string{"place", w.supportWord("front"), w.supportWord("rear"), w.supportWord("trailer"), w.download()}),
		Sentences: sayAll(w.leverSentences()),
	}
	own := w.ownPlaces()
	for i, l := range w.Record.Levers {
		name := placeName(l.Place, l.On)
		if i < own {
			name = w.ownName(l.Place, l.On)
		}
		out.Rows = append(out.Rows, []string{say(name), leverFigure(l.FrontKg), leverFigure(l.RearKg), leverFigure(l.TrailerKg), leverFigure(l.DownloadKg)})
	}
	return out
}

// leverFigure prints what a lever adds, with its sign; a dash where it is not
// known. It is a ratio, the same in kilograms and pounds.
func leverFigure(kg *float64) string {
	if kg == nil {
		return "–"
	}
	s := fixed(*kg, 1)
	if *kg > 0 && s != "0.0" {
		return "+" + s
	}
	return s
}

// leverSentences says what moving something does: "10 kg from the nose to over
// the axle takes 11 off the rear axle and 8 off the coupling".
func (w *Words) leverSentences() []string {
	var all []string
	for _, m := range [][3]string{
		{"trailer", "at_nose", "at_axle"},
		{"vehicle", "at_coupling", "at_front_axle"},
	} {
		from, to := w.lever(m[0], m[1]), w.lever(m[0], m[2])
		if from < 0 || to < 0 {
			continue
		}
		if text := w.shift(from, to); text != "" {
			all = append(all, text)
		}
	}
	return all
}

// lever is which of the levers is at a standard place; -1 for none.
func (w *Words) lever(on, place string) int {
	for i := w.ownPlaces(); i < len(w.Record.Levers); i++ {
		if l := &w.Record.Levers[i]; l.On == on && l.Place == place {
			return i
		}
	}
	return -1
}

// shift says what 10 kg moved from the place of one lever to that of another do.
func (w *Words) shift(at, then int) string {
	from, to := &w.Record.Levers[at], &w.Record.Levers[then]
	var off, on []string
	for _, s := range []struct {
		noun     string
		from, to *float64
	}{
		{"the front axle", from.FrontKg, to.FrontKg},
		{"the rear axle", from.RearKg, to.RearKg},
		{w.axleNoun("trailer"), from.TrailerKg, to.TrailerKg},
		{"the coupling", from.DownloadKg, to.DownloadKg},
	} {
		if s.from == nil || s.to == nil {
			continue
		}
		moved := fixed(math.Abs(*s.to-*s.from), 0)
		switch {
		case moved == "0":
		case *s.to < *s.from:
			off = append(off, moved+" off "+s.noun)
		default:
			on = append(on, moved+" on "+s.noun)
		}
	}
	onFrom, onTo := from.On, to.On
	if onFrom != onTo {
		onFrom, onTo = "", "" // whose axle it is has to be said
	}
	text := itoa(leverKg) + " " + w.Unit + " from " + placeName(from.Place, onFrom) + " to " + placeName(to.Place, onTo)
	return moveEffects(text, off, on)
}

// moveEffects puts what comes off and on behind a move; blank where nothing does.
func moveEffects(move string, off, on []string) string {
	switch {
	case len(off)+len(on) == 0:
		return ""
	case len(off) == 0:
		return move + " puts " + listed(on)
	case len(on) == 0:
		return move + " takes " + listed(off)
	}
	return move + " takes " + listed(off) + ", and puts " + listed(on)
}

// headroom is how much more fits at a place, and what stops it.
type headroom struct {
	Text  string   // in a sentence
	Cells []string // the place, how much, the rating that is reached, its state
}

func (w *Words) headroom() []headroom {
	own := w.ownRooms()
	var all []headroom
	for i, h := range w.Record.Headroom {
		var name, inText string
		if i < own {
			name = w.ownName(h.Place, "")
			inText = name
		} else {
			name, inText = placeName(h.Place, w.placeOn(i, own)), placeName(h.Place, "")
		}
		fits, stops := w.massDown(h.Kg), w.loadInState(h.Rating, h.On, h.State)
		text := inText + ": " + fits + " " + w.Unit + " more, then " + stops + " is at its limit"
		switch {
		case h.Rating == "capacity" && fits == "0":
			text = inText + ": it is full"
		case h.Rating == "capacity":
			text = inText + ": " + fits + " " + w.Unit + " more, then it is full"
		case fits == "0":
			text = inText + ": no room left, because of " + stops
		}
		all = append(all, headroom{
			Text:  say(text),
			Cells: []string{say(name), fits, say(w.keyLabel(h.Rating, h.On)), say(w.stateWord(h.State))},
		})
	}
	return all
}

// ownRooms is how many rows of the headroom, from the first, are of places.csv. The
// rows are in the order of the levers, of which some have none.
func (w *Words) ownRooms() int {
	n, own := len(w.Record.Headroom), w.ownPlaces()
	for i := len(w.Record.Levers) - 1; i >= own && n > 0; i-- {
		if w.Record.Headroom[n-1].Place == w.Record.Levers[i].Place {
			n--
		}
	}
	return n
}

// placeOn is the unit that the standard place of the i-th headroom is on, by the
// levers: theirs in their order where all have one, else that of the only lever at it.
func (w *Words) placeOn(i, own int) string {
	place, on, levers := w.Record.Headroom[i].Place, "", w.Record.Levers[w.ownPlaces():]
	if len(w.Record.Headroom)-own == len(levers) && levers[i-own].Place == place {
		return levers[i-own].On
	}
	for _, l := range levers {
		switch {
		case l.Place != place:
		case on != "":
			return "" // both units have such a place
		default:
			on = l.On
		}
	}
	return on
}
