package words

import (
	"math"
	"slices"
	"strings"
)

// change is a quantity that two visits both found, in words.
type change struct {
	Label    string
	Old, New string // "1,890 ± 24"
	By       string // "+12 ± 30"
	Word     string // heavier, lighter, or within its ±
}

// changes are what a record changed since that of an earlier visit; blank without one.
type changes struct {
	Head     string   // with both dates and which visit is the later
	Rows     []change // load by load, in the order of the record
	WrongWay string   // refuses to compare where the earlier visit is the later
}

// changes compares this record with that of an earlier visit. The two visits
// are taken as independent.
func (w *Words) changes() changes {
	if w.Earlier == nil {
		return changes{}
	}
	return changes{say(w.changesHead()), w.changeRows(), say(w.wrongWayRound())}
}

func (w *Words) changeRows() []change {
	var changes []change
	for i := range w.Record.Quantities {
		name, now := w.Record.Quantities[i].Name, w.Record.Quantities[i].Value
		old := w.Earlier.Quantities.Get(name)
		if now == nil || old == nil || now.Unit != "kg" || old.Unit != "kg" || strings.Contains(name, "payload") {
			continue
		}
		by, u := now.Value-old.Value, math.Sqrt(float64(now.U*now.U)+float64(old.U*old.U))
		word := "within its ±"
		switch {
		case by > expanded(u):
			word = "heavier"
		case by < -expanded(u):
			word = "lighter"
		}
		changes = append(changes, change{
			Label: say(w.quantityLabel(name)), Old: w.massU(old.Value, old.U), New: w.massU(now.Value, now.U),
			By: w.massSigned(by) + " " + w.plusMinus(u), Word: say(word),
		})
	}
	return changes
}

// changesHead heads the comparison, with both dates and which visit is the
// later.
func (w *Words) changesHead() string {
	before, now := Of(w.Earlier, nil).weighedWhen(), w.weighedWhen()
	if before == "" {
		before = "on a day not stated"
	}
	if now == "" {
		now = "on a day not stated"
	}
	head := "changes since the earlier weighing: weighed " + before + ", then " + now
	switch order, known := weighedAfter(w.Record, w.Earlier); {
	case !known:
		head += " (which is later is not known: a date is missing)"
	case order > 0:
		head += " (the later)"
	case order == 0:
		head += " (the same time: neither is later)"
	}
	return head + ", in " + w.Unit + ":"
}

// wrongWayRound refuses a comparison in which the earlier visit is the later;
// blank where it is not.
func (w *Words) wrongWayRound() string {
	if order, known := weighedAfter(w.Record, w.Earlier); !known || order >= 0 {
		return ""
	}
	return "the earlier visit was weighed " + Of(w.Earlier, nil).weighedWhen() + ", after this one (" + w.weighedWhen() + "): compare the other way round"
}

// weighedWhen gives the first and last time of the used readings as the record
// has them; a time without a day alone only where no day is known.
func (w *Words) weighedWhen() string {
	var dated, timed []string
	for _, g := range w.Record.Readings {
		switch {
		case g.WeighedAt == "" || g.Use == "no":
		case strings.Contains(g.WeighedAt, "-"):
			dated = append(dated, g.WeighedAt)
		default:
			timed = append(timed, g.WeighedAt)
		}
	}
	if len(dated) == 0 {
		return span(timed, 0)
	}
	return span(dated, len("2006-01-02"))
}

// span is the first and the last of times; the day of the last is left out
// where it is that of the first, day being its length.
func span(times []string, day int) string {
	if len(times) == 0 {
		return ""
	}
	first, last := slices.Min(times), slices.Max(times)
	switch {
	case first == last:
		return first
	case day > 0 && len(first) > day && len(last) > day && first[:day] == last[:day]:
		return first + " to " + last[day+1:]
	case day > 0 && len(first) == day && len(last) > day && first == last[:day]:
		return first
	}
	return first + " to " + last
}

// weighedWhere names the sites, each once.
func (w *Words) weighedWhere() string {
	var sites []string
	for _, g := range w.Record.Readings {
		if g.Site != "" {
			sites = addOnce(sites, g.Site)
		}
	}
	return strings.Join(sites, "; ")
}
