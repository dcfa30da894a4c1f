package words

import (
	"math"
	"strings"
)

// drawing is what the side view of the outfit shows: the loads in the state
// travelled in, the download, and three lengths, front axle to rear axle to
// coupling to trailer axle, blank where one is not given.
type drawing struct {
	State                          string // the one travelled in
	Front, Rear, Trailer, Download string // the names of what carries the loads
	Lengths                        []string
	Alt                            string // all of it, for whoever does not see it
}

func (w *Words) drawing() drawing {
	state := "coupled_slack"
	if w.Record.Outfit.Travels == "tensioned" {
		state = "coupled_tensioned"
	}
	d := drawing{State: say(w.stateWord(state)), Front: say(w.supportWord("front")), Rear: say(w.supportWord("rear")), Trailer: say(w.supportWord("trailer")), Download: say(w.download())}
	l := w.Record.Outfit.LengthsMm
	for _, mm := range []*float64{l.Wheelbase, l.RearAxleToCoupling, l.CouplingToTrailerAxle} {
		text := ""
		if mm != nil {
			text = Count(int(math.Floor(*mm+0.5))) + " mm"
		}
		d.Lengths = append(d.Lengths, text)
	}
	d.Alt = say(w.drawingText(state, d.Lengths))
	return d
}

func (w *Words) drawingText(state string, mm []string) string {
	var loads []string
	for _, group := range []string{"front", "rear", "trailer"} {
		loads = append(loads, w.supportWord(group)+" "+w.drawnLoad(state+"."+group))
	}
	text := "Side view of the outfit, " + w.stateWord(state) + ". Loads on the road: " + strings.Join(loads, ", ") + "."
	if !w.drawbar() {
		text += " At the coupling, " + w.download() + ": " + w.drawnLoad("download") + "."
	}
	var lengths []string
	for i, name := range []string{"front axle to rear axle", "rear axle to coupling", "coupling to the middle of the trailer's axles"} {
		if mm[i] != "" {
			lengths = append(lengths, name+" "+mm[i])
		}
	}
	if len(lengths) > 0 {
		text += " Lengths: " + strings.Join(lengths, ", ") + "."
	}
	return text
}

// drawnLoad is a quantity as a drawing prints it.
func (w *Words) drawnLoad(name string) string {
	q := w.Record.Quantities.Get(name)
	if q == nil {
		return "not weighed"
	}
	return w.massU(q.Value, q.U) + " " + w.Unit
}
