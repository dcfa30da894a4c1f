package words

import (
	"strings"
	"unicode/utf8"

	"reconcile/internal/record"
	"reconcile/internal/regions"
)

// supportWord says a support in words: "rear axle", "trailer axle group" where
// the outfit has several, "rear axle 1, left", "jockey wheel".
func (w *Words) supportWord(support string) string {
	group, axle, side := supportParts(support)
	word := w.groupWord(group, axle)
	if axle != "" {
		word += " " + axle
	}
	if side != "" {
		word += ", " + side
	}
	return word
}

// groupWord names a group; a drawbar trailer's axles are no group, for one of
// them is steered with the drawbar.
func (w *Words) groupWord(group, axle string) string {
	switch group {
	case "vehicle":
		return "whole vehicle"
	case "all":
		return "whole outfit"
	case "nose":
		return w.noseWord()
	case "coupling":
		return "coupling"
	case "front", "rear", "trailer":
		switch {
		case axle != "" || !w.severalAxles(group):
			return group + " axle"
		case group == "trailer" && w.drawbar():
			return "trailer axles"
		}
		return group + " axle group"
	}
	return codeWord(group)
}

// noseWord is what an uncoupled trailer rests its nose on.
func (w *Words) noseWord() string {
	if w.semi() {
		return "landing legs"
	}
	return "jockey wheel or stand"
}

// noseWas is the subject of what an uncoupled trailer rests its nose on.
func (w *Words) noseWas() string {
	if w.semi() {
		return "the landing legs were"
	}
	return "the jockey wheel or stand was"
}

// severalAxles says whether the outfit states more than one axle in a group.
func (w *Words) severalAxles(group string) bool {
	axles := w.Record.Outfit.TrailerAxles
	switch group {
	case "rear":
		axles = w.Record.Outfit.RearAxles
	case "front":
		return false
	}
	return axles != nil && *axles > 1
}

// axleNoun names an axle, a group or a side of it inside a sentence: "the rear
// axle", "rear axle 1", "the left of rear axle 1".
func (w *Words) axleNoun(on string) string {
	group, axle, side := supportParts(on)
	noun := "the " + w.groupWord(group, "")
	if axle != "" {
		noun = group + " axle " + axle
	}
	if side != "" {
		noun = "the " + side + " of " + noun
	}
	return noun
}

// tyreNoun names a tyre or rim inside a sentence: "rear tyre", "left rear
// tyre", "left tyre of trailer axle 2".
func (w *Words) tyreNoun(rating, on string) string {
	group, axle, side := supportParts(on)
	if side != "" {
		side += " "
	}
	if axle == "" {
		return side + group + " " + w.ratingLabel(rating)
	}
	return side + w.ratingLabel(rating) + " of " + group + " axle " + axle
}

// placeNoun says where load has to go from: "the rear axle", "the trailer",
// "each rear tyre".
func (w *Words) placeNoun(rating, on string) string {
	switch rating {
	case "gvm":
		return "the vehicle"
	case "gcm":
		return "the whole outfit"
	case "atm":
		return "the trailer"
	case "gtm":
		return w.axleNoun("trailer")
	case "towing":
		if w.towsAxles() {
			return w.axleNoun("trailer")
		}
		return "the trailer"
	case "axle":
		return w.axleNoun(on)
	case "download_max", "download_min", "d_value":
		return "the coupling"
	case "tyre", "wheel":
		return "each " + w.tyreNoun(rating, on)
	}
	return "the outfit"
}

// towsAxles says whether the region's towing rating limits the axle load.
func (w *Words) towsAxles() bool { return regions.Of(w.region()).TowsAxles.Yes }

// weighNoun says what has to be weighed to compare it with a rating.
func (w *Words) weighNoun(rating, on string) string {
	switch rating {
	case "download_max", "download_min":
		return "the " + w.download()
	case "d_value":
		return "the whole outfit"
	case "tyre", "wheel":
		return w.axleNoun(on)
	}
	return w.placeNoun(rating, on)
}

// loadNoun names the load of a check inside a sentence: an axle, a tyre or the
// download by its name, all else with its rating: "the vehicle (GVM)".
func (w *Words) loadNoun(rating, on string) string {
	switch rating {
	case "axle":
		return w.axleNoun(on)
	case "tyre", "wheel":
		return "the " + w.tyreNoun(rating, on)
	case "download_max", "download_min":
		return "the " + w.download()
	}
	return w.placeNoun(rating, on) + " (" + w.ratingLabel(rating) + ")"
}

// ratingNoun names a rating inside a sentence: "rear axle rating", "GVM".
func (w *Words) ratingNoun(rating, on string) string {
	_, axle, side := supportParts(on)
	switch {
	case rating == "axle" && on == regions.TrailerOrGTM:
		return "trailer " + w.ratingLabel("axle") + " (or " + w.ratingLabel("gtm") + ")"
	case rating == "axle" && axle == "" && side == "":
		return strings.TrimSpace(on + " " + w.ratingLabel("axle"))
	case rating == "axle":
		return w.ratingLabel("axle") + " of " + w.axleNoun(on)
	case isDownload(rating):
		return w.ratingLabel(rating) + " limit"
	}
	return w.keyLabel(rating, on)
}

// shortNoun is loadNoun without its article, for a list of names.
func (w *Words) shortNoun(rating, on string) string {
	return strings.TrimPrefix(w.loadNoun(rating, on), "the ")
}

// whereNoun names a load of some state: "the rear axle (coupled)".
func (w *Words) whereNoun(on, state string) string {
	if on == "" {
		return w.stateWord(state)
	}
	return w.axleNoun(on) + w.inState(state)
}

// deckNouns says what is on a deck: "the front axle and the rear axle".
func (w *Words) deckNouns(onDeck string) string {
	switch onDeck {
	case "front+rear+trailer", "all":
		return "the whole outfit"
	case "front+rear":
		return "the whole vehicle"
	case "trailer+nose":
		return "the whole trailer, " + w.noseWord() + " included"
	}
	var words []string
	for term := range strings.SplitSeq(onDeck, "+") {
		words = append(words, w.axleNoun(strings.TrimSpace(term)))
	}
	return listed(words)
}

// readingName says which figure of the tickets is meant, by its ticket and what
// was on the deck, then where it is: "ticket 3, rear (line 7)".
func (w *Words) readingName(line int, column string) string {
	for i := range w.Record.Readings {
		g := &w.Record.Readings[i]
		if g.Line != line || g.Column != column {
			continue
		}
		if w.readingNames == nil {
			w.readingNames = make([]string, len(w.Record.Readings))
		}
		if w.readingNames[i] == "" {
			w.readingNames[i] = w.ticketName(g) + " (" + w.ticketLines(line) + ")"
		}
		return w.readingNames[i]
	}
	return w.ticketLines(line)
}

// mostOfNumber is how many characters of a ticket's number a list of readings
// prints; of a longer one it has as many of both ends as ends says.
const mostOfNumber, ends = 24, 10

// readingInShort is readingName for a list, in which a very long number would bury
// what it names: "ticket 2026031409…0000050112, rear (line 7)". The line says which
// ticket is meant even where two such numbers begin and end alike.
func (w *Words) readingInShort(line int, column string) string {
	name := w.readingName(line, column)
	g := w.readingAt(line, column)
	if g == nil || utf8.RuneCountInString(g.Ticket) <= mostOfNumber {
		return name
	}
	number := []rune(g.Ticket)
	return strings.Replace(name, g.Ticket, string(number[:ends])+"…"+string(number[len(number)-ends:]), 1)
}

// ticketName is "ticket 3, rear axle"; the wheel too where one was read.
func (w *Words) ticketName(g *record.Reading) string { return w.ticketOn(g.Ticket, g.OnDeck, g.Line) }

func (w *Words) ticketOn(ticket, onDeck string, line int) string {
	name := "ticket " + ticket
	if onDeck != "" {
		name += ", " + w.onDeckText(onDeck, line)
	}
	return name
}

// readingAt gives the reading of a line and column; of the line alone where the
// column is not known. nil: there is none.
func (w *Words) readingAt(line int, column string) *record.Reading {
	var first *record.Reading
	for i := range w.Record.Readings {
		g := &w.Record.Readings[i]
		switch {
		case g.Line != line:
		case g.Column == column:
			return g
		case first == nil:
			first = g
		}
	}
	return first
}
