package words

import (
	"math"
	"strings"
)

// DrawingText says what the side view of the outfit shows, for whoever does not
// see it: the loads in a state of coupling, the download, the lengths given.
func (w *Words) DrawingText(state string) string {
	var loads []string
	for _, group := range []string{"front", "rear", "trailer"} {
		loads = append(loads, w.SupportWord(group)+" "+w.drawnLoad(state+"."+group))
	}
	text := "Side view of the outfit, " + w.StateWord(state) + ". Loads on the road: " + strings.Join(loads, ", ") + "."
	if !w.drawbar() {
		text += " At the coupling, " + w.DownloadLabel() + ": " + w.drawnLoad("download") + "."
	}
	var lengths []string
	l := w.r.Outfit.LengthsMm
	for _, d := range []struct {
		name string
		mm   *float64
	}{{"front axle to rear axle", l.Wheelbase}, {"rear axle to coupling", l.RearAxleToCoupling}, {"coupling to the middle of the trailer's axles", l.CouplingToTrailerAxle}} {
		if d.mm != nil {
			lengths = append(lengths, d.name+" "+Count(int(math.Floor(*d.mm+0.5)))+" mm")
		}
	}
	if len(lengths) > 0 {
		text += " Lengths: " + strings.Join(lengths, ", ") + "."
	}
	return text
}

// drawnLoad is a quantity as a drawing prints it.
func (w *Words) drawnLoad(name string) string {
	q := w.r.Quantities.Get(name)
	if q == nil {
		return "not weighed"
	}
	return w.MassU(q.Value, q.U) + " " + w.UnitWord()
}

// HitchDrawing says what the drawing of the bars shows: the front axle from slack
// to all of its load put back, and the range that is allowed; blank where the record
// has no range.
func (w *Words) HitchDrawing() string {
	h := w.r.HitchRange
	if h == nil || len(h.Table) == 0 {
		return ""
	}
	n := len(h.Table)
	if n == 0 {
		return ""
	}
	text := "Scale of the front axle's load, from slack, " + w.Mass(h.Table[0].FrontKg) + ", to as much as uncoupled, " + w.Mass(h.Table[n-1].FrontKg) + " " + w.UnitWord()
	if h.LowKg != nil && h.HighKg != nil {
		text += "; allowed: " + w.HitchRangeFront()
	}
	return text + "."
}
