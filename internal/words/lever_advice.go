package words

import (
	"cmp"
	"slices"

	"reconcile/internal/record"
)

// leverMoves are the moves between standard places that an owner can make, by
// unit and place; where there is no nose support, over the coupling does.
var leverMoves = [][2][2]string{
	{{"trailer", "at_nose"}, {"trailer", "at_axle"}},
	{{"trailer", "at_axle"}, {"trailer", "at_nose"}},
	{{"vehicle", "at_coupling"}, {"vehicle", "at_front_axle"}},
	{{"vehicle", "at_rear_axle"}, {"vehicle", "at_front_axle"}},
	{{"vehicle", "at_front_axle"}, {"vehicle", "at_rear_axle"}},
	{{"trailer", "at_axle"}, {"vehicle", "at_front_axle"}},
	{{"trailer", "at_axle"}, {"vehicle", "at_rear_axle"}},
	{{"vehicle", "at_rear_axle"}, {"trailer", "at_axle"}},
}

// mostLevers is how many moves are named.
const mostLevers = 3

// advised is a move, how many limits it helps more than it hurts, and by how
// much for 10 kg.
type advised struct {
	text   string
	helped int
	by     float64
}

// leverAdvice says, to an owner whose forms name nothing that may move, what
// moving something would do to the limits that are not kept: what helps most
// of them first, and what helps one more than another before it.
func (w *Words) leverAdvice(blocking []record.Blocking) []string {
	var all []advised
	for _, m := range leverMoves {
		from, to := w.leverOr(m[0]), w.leverOr(m[1])
		if from < 0 || to < 0 {
			continue
		}
		if a := w.advise(from, to, blocking); a.helped > 0 && a.text != "" {
			all = append(all, a)
		}
	}
	slices.SortStableFunc(all, func(a, b advised) int {
		return cmp.Or(b.helped-a.helped, cmp.Compare(b.by, a.by))
	})
	var texts []string
	for _, a := range all[:min(len(all), mostLevers)] {
		texts = append(texts, a.text)
	}
	return texts
}

// advise weighs a move against the limits that are not kept.
func (w *Words) advise(from, to int, blocking []record.Blocking) advised {
	a := advised{text: w.shift(from, to)}
	for _, b := range blocking {
		switch by := w.leverRelief(b, from, to); {
		case by > 0:
			a.helped, a.by = a.helped+1, a.by+by
		case by < 0:
			a.helped--
		}
	}
	return a
}

// leverOr is which lever is at a place; over the coupling for a nose that is not known.
func (w *Words) leverOr(at [2]string) int {
	if i := w.lever(at[0], at[1]); i >= 0 || at[1] != "at_nose" {
		return i
	}
	return w.lever(at[0], "at_coupling")
}

// leverRelief is by how much a move of 10 kg helps a limit that is not kept; 0
// where it does nothing to it, or where that is not known.
func (w *Words) leverRelief(b record.Blocking, from, to int) float64 {
	change := func(parts ...func(lever int) *float64) float64 {
		sum := 0.0
		for _, part := range parts {
			was, will := part(from), part(to)
			if was == nil || will == nil {
				return 0
			}
			sum += *will - *was
		}
		if sum > -0.5 && sum < 0.5 {
			return 0 // printed as nothing
		}
		return sum
	}
	front := func(i int) *float64 { return w.Record.Levers[i].FrontKg }
	rear := func(i int) *float64 { return w.Record.Levers[i].RearKg }
	trailer := func(i int) *float64 { return w.Record.Levers[i].TrailerKg }
	download := func(i int) *float64 { return w.Record.Levers[i].DownloadKg }
	group, _, _ := supportParts(b.On)
	switch {
	case b.Rating == "download_min":
		return change(download)
	case b.Rating == "download_max":
		return -change(download)
	case b.Rating == "gvm":
		return -change(front, rear)
	case b.Rating == "gtm", b.Rating == "d_value", group == "trailer":
		return -change(trailer)
	case b.Rating == "atm", b.Rating == "towing":
		return -change(trailer, download)
	case group == "front":
		return -change(front)
	case group == "rear":
		return -change(rear)
	}
	return 0
}
