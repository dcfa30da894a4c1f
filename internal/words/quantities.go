package words

import "strings"

// quantityWords are the names of single quantities; a % is replaced by what the
// region calls the download, the GVM or the ATM, as the quantity needs it.
var quantityWords = map[string]string{
	"trailer_mass":         "whole trailer",
	"combination":          "whole outfit",
	"download":             "%",
	"front_lift":           "lifted off the front axle when coupled",
	"front_restored":       "put back on the front axle by the hitch",
	"download_share":       "%, share of the whole trailer",
	"restoration":          "share of the lift that the hitch puts back",
	"hitch_moment":         "moment of the tensioned hitch",
	"vehicle_cg":           "centre of gravity of the vehicle, behind its front axle",
	"trailer_cg":           "centre of gravity of the trailer, ahead of its axle",
	"payload_used":         "payload used, vehicle",
	"payload_left":         "payload left to the %",
	"trailer_payload_used": "payload used, trailer",
	"trailer_payload_left": "payload left to the %",
	"unlisted":             "on board the vehicle, not listed",
}

// quantityRating is the rating word behind the % of quantityWords.
var quantityRating = map[string]string{
	"download":             "download",
	"download_share":       "download",
	"payload_left":         "gvm",
	"trailer_payload_left": "atm",
}

// quantity is what is said of one quantity.
type quantity struct {
	Label  string   // "rear axle, coupled", "towball download"
	Text   string   // with its ± U and unit: "240 ± 22 kg"; "not determined" for one that is not
	Figure string   // a mass without its unit; blank for one that is not determined
	Basis  string   // where the value comes from
	Causes []string // of its uncertainty, each with its u, in the record's order: "ticket 3, rear (line 7): 4.1"
}

// Quantity says a quantity by its name in the record, once. Of one that the record
// does not know there is a label and no figure.
func (w *Words) Quantity(name string) quantity {
	for i := range w.Record.Quantities {
		if q := &w.Record.Quantities[i]; q.Name == name && q.Value != nil {
			return w.quantity(i)
		}
	}
	return quantity{Label: say(w.quantityLabel(name)), Text: say(notDetermined)}
}

// quantity says the i-th quantity of the record, which is determined.
func (w *Words) quantity(i int) quantity {
	if w.quantities == nil {
		w.quantities = make([]*quantity, len(w.Record.Quantities))
	}
	if w.quantities[i] == nil {
		name, q := w.Record.Quantities[i].Name, w.Record.Quantities[i].Value
		said := quantity{Label: say(w.quantityLabel(name)), Text: w.quantityText(name), Basis: say(basisWord(q.Basis))}
		if q.Unit == "kg" {
			said.Figure = w.massU(q.Value, q.U)
		}
		causes := w.Record.Budgets.Get(name)
		said.Causes = make([]string, len(causes))
		for k, c := range causes {
			said.Causes[k] = say(w.causeText(c.Cause, c.Name, c.Line, c.Column, c.UKg))
		}
		w.quantities[i] = &said
	}
	return *w.quantities[i]
}

// quantityLabel says the name of a quantity in the owner's words. An unknown
// one comes back as it is.
func (w *Words) quantityLabel(name string) string {
	if words, single := quantityWords[name]; single {
		return strings.Replace(words, "%", w.ratingLabel(quantityRating[name]), 1)
	}
	state, support, found := strings.Cut(name, ".")
	if !found {
		return codeWord(name)
	}
	if name == "vehicle_alone.vehicle" {
		return "whole vehicle, alone"
	}
	return w.supportWord(support) + ", " + w.stateWord(state)
}

// quantityText prints a quantity with its ± U and unit: "240 ± 22 kg",
// "9.6 ± 0.9 %" for a ratio.
func (w *Words) quantityText(name string) string {
	q := w.Record.Quantities.Get(name)
	switch q.Unit {
	case "":
		return percentU(q.Value, q.U)
	case "kgm":
		return w.massU(q.Value, q.U) + " " + w.Unit + "·m"
	case "mm":
		return millimetres(q.Value, q.U)
	}
	return w.massU(q.Value, q.U) + " " + w.Unit
}

// millimetres prints a length with its U; lengths stay in millimetres.
func millimetres(mm, u float64) string {
	least := max(expanded(u), 1)
	return grouped(fixed(mm, 0)) + " ± " + grouped(fixed(least, 0)) + " mm"
}

// basisWord says where a value comes from.
func basisWord(basis string) string {
	switch basis {
	case "moment":
		return "from the lengths"
	case "difference":
		return "by difference"
	}
	return codeWord(basis)
}

// routeWord says by which readings a route finds the download.
func routeWord(route string) string {
	switch route {
	case "trailer":
		return "whole trailer less its axles coupled"
	case "vehicle":
		return "vehicle coupled less vehicle alone"
	case "front_lift":
		return "what the front axle loses, by the lengths"
	case "gauge":
		return "gauge under the coupling"
	}
	return codeWord(route)
}

// imbalanceLabel says "coupled_slack.trailer.1.left_right" in words: the
// support, the axle where it is one of several, and what is taken off what.
func (w *Words) imbalanceLabel(code string) string {
	at := strings.LastIndex(code, ".")
	if at < 0 {
		return codeWord(code)
	}
	of, what := w.quantityLabel(code[:at]), code[at+1:]
	first, second, two := strings.Cut(what, "_")
	switch {
	case what == "left_right":
		return of + ", left less right"
	case two:
		return of + ", axle " + first + " less axle " + second
	}
	return of + ", " + codeWord(what)
}

// causeText names a cause of a quantity's uncertainty with its u: "ticket 3,
// rear (line 7): 4.1".
func (w *Words) causeText(cause, name string, line int, column string, u float64) string {
	return w.causeWord(cause, name, line, column) + ": " + w.tenths(u)
}

func (w *Words) causeWord(cause, name string, line int, column string) string {
	switch cause {
	case "reading":
		return w.readingInShort(line, column)
	case "scale":
		if name == "" {
			return "the scale"
		}
		return "scale " + name
	case "load":
		return name + ", as stated"
	case "share":
		return "where " + name + " rides"
	case "tie":
		if name == "drawbar" {
			return "the weight of the drawbar"
		}
		return "moments, " + codeWord(name)
	case "length":
		return "length " + codeWord(name)
	}
	return codeWord(cause)
}

// tenths prints a mass to one decimal of the unit.
func (w *Words) tenths(kg float64) string { return w.rounded(kg, 1) }
