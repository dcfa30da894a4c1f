package limits

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"reconcile/internal/derive"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// Caution is printed beside the verdict and never part of it.
type Caution struct{ Code, Text string }

// cautions lists what the owner should know beside the verdict: first what
// the loads themselves say, then guides that are not kept, then traps of the
// ratings.
func (h *holder) cautions(f *Findings) []Caution {
	var all []Caution
	all = append(all, h.ofDownload()...)
	all = append(all, h.ofAxles()...)
	all = append(all, h.ofSupports()...)
	all = append(all, h.ofGuides(f.Guides)...)
	all = append(all, h.ofBrakes(f)...)
	all = append(all, h.ofPlate()...)
	all = append(all, h.ofTyres()...)
	all = append(all, h.ofDualFront()...)
	all = append(all, h.ofIDs()...)
	return append(all, h.ofRaised()...)
}

// ofDownload cautions where the download may be nothing, and where the hitch
// puts back more than the trailer lifted.
func (h *holder) ofDownload() []Caution {
	var all []Caution
	if v, u, ok := h.s.Download().Number(); ok && v-coverage*u <= 0 {
		all = append(all, Caution{"download_not_positive", fmt.Sprintf("the %s may be nothing or lift: %s", h.downloadWord(), kgU(v, u))})
	}
	over := h.s.Add(h.s.FrontRestored(), -1, h.s.FrontLift())
	if v, u, ok := over.Number(); ok && v > coverage*u {
		all = append(all, Caution{"over_restored", fmt.Sprintf("the hitch puts %s more on the front axle than the trailer lifts off it: slacken it", kgU(v, u))})
	}
	return all
}

// ofAxles cautions where a group whose axles nobody counted is taken as one
// axle, and the download rests on moments or a gauge: of two axles or more, which
// pitch and share unequally, it is less certain than its ± says.
func (h *holder) ofAxles() []Caution {
	o := &h.job.Outfit
	gauge := slices.ContainsFunc(h.job.UsedReadings(), func(r tickets.Reading) bool {
		return slices.Contains(r.Terms, tickets.Term{Group: tickets.Coupling})
	})
	moment := h.s.Download().Basis == derive.ByMoment
	var columns []string
	if o.RearAxles == 0 && moment {
		columns = append(columns, "rear_axles")
	}
	if o.TrailerAxles == 0 && (moment || gauge) {
		columns = append(columns, "trailer_axles")
	}
	if len(columns) == 0 {
		return nil
	}
	return []Caution{{"axles_not_stated", strings.Join(columns, " and ") + " not stated and taken as 1: with more the " + h.downloadWord() + " is less certain than its ± says"}}
}

// ofSupports looks for loads that cannot be: below nothing by more than U.
func (h *holder) ofSupports() []Caution {
	var all []Caution
	for _, state := range derive.States {
		for _, g := range state.Groups() {
			terms := []tickets.Term{{Group: g}}
			if axles, sides := h.s.Split(g); axles > 0 || sides {
				terms = append(terms, h.finest(terms)...)
			}
			for _, t := range terms {
				if v, u, ok := h.s.Load(state, t).Number(); ok && v+coverage*u < 0 {
					where := h.inState(h.supportWords(h.plain(t)), state)
					all = append(all, Caution{"impossible_reading", fmt.Sprintf("impossible reading: %s would carry %s", where, kgU(v, u))})
				}
			}
		}
	}
	return all
}

// guideWords are the cautions of guides that are not kept, by guide and code;
// D stands for the region's download. The share above its upper guide is none.
var guideWords = []struct{ guide, code, words string }{
	{"download_share", "share_below_guide", "the D is a smaller share of the trailer than usual"},
	{"trailer_to_vehicle", "trailer_heavier", "the trailer is heavier than the vehicle"},
	{"trailer_brakes", "trailer_brakes", "the trailer is heavier, or has more axles, than its brakes are for"},
	{"towing_default", "towing_default", "no towing rating is given, and the trailer is above the regional default"},
	{"unbraked_share", "unbraked_share", "the trailer is heavy for one without brakes"},
	{"minimum_download", "minimum_download", "the D is below the least that is asked for on the road"},
	{"tyres_together", "tyres_together", "the tyres carry less together than the rating of their axle"},
}

func (h *holder) ofGuides(guides []Guide) []Caution {
	var all []Caution
	for _, g := range guides {
		name, on, _ := strings.Cut(g.Guide, " ")
		if g.Kept == nil || *g.Kept || name == "download_share" && *g.Value > *g.Low {
			continue
		}
		for _, w := range guideWords {
			if w.guide == name {
				words := strings.ReplaceAll(w.words, " D ", " "+h.downloadWord()+" ")
				if on != "" {
					words += ", " + on
				}
				all = append(all, Caution{w.code, words + ": " + g.figures() + " (" + g.Source + ")"})
			}
		}
	}
	return all
}

// figures prints a guide's value against the bound that it does not keep.
func (g *Guide) figures() string {
	bound, than := g.High, "at most"
	if g.Low != nil && *g.Value < *g.Low {
		bound, than = g.Low, "at least"
	}
	u := 0.0
	if g.U != nil {
		u = *g.U
	}
	switch g.Guide {
	case "download_share":
		return fmt.Sprintf("%.1f ± %.1f %%, %s %.0f %%", 100**g.Value, 100*coverage*u, than, 100**bound)
	case "trailer_to_vehicle":
		return fmt.Sprintf("%.2f ± %.2f times, %s %.0f", *g.Value, coverage*u, than, *bound)
	}
	return kgU(*g.Value, u) + ", " + than + " " + kg(*bound)
}

// ofBrakes cautions where nobody said what brakes a trailer has that may not
// be without.
func (h *holder) ofBrakes(f *Findings) []Caution {
	if h.job.Outfit.TrailerBrakes != "" {
		return nil
	}
	for _, b := range brakeClasses {
		if b.Region != h.job.Region || b.Brakes != "none" {
			continue
		}
		v, _, ok := h.classMass(f, b.By)
		if ok && (v > b.MostKg || b.Below && v >= b.MostKg || b.MostAxles > 0 && h.axlesStated(tickets.Trailer) > b.MostAxles) {
			return []Caution{{"brakes_not_stated", "trailer_brakes is not stated, and this trailer needs brakes (" + b.Source + ")"}}
		}
	}
	return nil
}

// ofPlate cautions where a United Kingdom plate has no train weight.
//
// Source: government page of 2012: if the plate lists none, do not tow.
func (h *holder) ofPlate() []Caution {
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if h.job.Region == tickets.UnitedKingdom && r.Word == "gcm" && r.Set == "" && h.st.status[i] == None {
			return []Caution{{"no_train_weight", "the plate gives no " + regions.Label("gcm", h.job.Region) + ": do not tow with it (government page of 2012)"}}
		}
	}
	return nil
}

// ofIDs cautions where a used reading is of another vehicle or trailer than the
// outfit, or than an earlier reading, by the marks printed on the tickets.
func (h *holder) ofIDs() []Caution {
	o := &h.job.Outfit
	vehicle := h.otherID("vehicle_id", o.VehicleID, tickets.TrailerAlone, func(r *tickets.Reading) string { return r.VehicleID })
	trailer := h.otherID("trailer_id", o.TrailerID, tickets.VehicleAlone, func(r *tickets.Reading) string { return r.TrailerID })
	return append(vehicle, trailer...)
}

// otherID looks for the first reading whose mark is not the one known; a setup
// without the unit says nothing of it.
func (h *holder) otherID(column, known string, without tickets.Setup, of func(*tickets.Reading) string) []Caution {
	for _, r := range h.job.UsedReadings() {
		id := of(&r)
		switch {
		case r.Setup == without || mark(id) == "":
		case mark(known) == "":
			known = id
		case mark(id) != mark(known):
			return []Caution{{"other_id", fmt.Sprintf("%s %q on line %d of tickets.csv is not %q: is it the same outfit?", column, id, r.Line, known)}}
		}
	}
	return nil
}

// mark is a printed mark by its letters and figures alone.
func mark(id string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToUpper(r)
	}, id)
}

// ofDualFront cautions of a front axle said to carry two tyres or rims on each
// end: if those of the rear axle were counted with them, each carries twice as
// much as is held.
func (h *holder) ofDualFront() []Caution {
	var all []Caution
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Set != "" || h.st.status[i] != Held || !slices.ContainsFunc(r.Terms, func(t tickets.Term) bool { return t.Group == tickets.Front }) {
			continue
		}
		if h.perEnd(r) > 1 {
			all = append(all, Caution{"front_dual", fmt.Sprintf("%s %s: %d fitted is two on each end of the front axle; if those of other axles are among them, each carries twice what is held here", h.tyreWord(r), r.On, r.Fitted)})
		}
	}
	return all
}

// ofTyres cautions where what is not said about a tyre could make its limit too high.
func (h *holder) ofTyres() []Caution {
	var all []Caution
	tyre := regions.Label("tyre", h.job.Region)
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Word != "tyre" || r.Set != "" || h.st.status[i] != Held {
			continue
		}
		perEnd, us := h.perEnd(r), h.job.Region == tickets.UnitedStates
		if r.Index != nil && !r.Index.HasDual && perEnd > 1 {
			all = append(all, Caution{"dual_index_missing", fmt.Sprintf("%s %s: fitted dual, and the load index for dual fitting is not given; it is lower than the single one used here", tyre, r.On)})
		}
		if perEnd > 1 && perEnd != 2 || perEnd < 1 {
			all = append(all, Caution{"tyres_uneven", fmt.Sprintf("%s %s: %d fitted is not the same number on every end of an axle; some carry more than an equal share", tyre, r.On, r.Fitted)})
		}
		if us && r.Kind == "" && onTrailer(r.Terms) {
			all = append(all, Caution{"tyre_kind_not_stated", fmt.Sprintf("%s %s: if it is a passenger %s, its rating counts ÷ 1.10 on a trailer", tyre, r.On, tyre)})
		}
		if us && r.Kind == "passenger" && !onTrailer(r.Terms) {
			all = append(all, Caution{"passenger_tyre", fmt.Sprintf("%s %s: on a truck, bus or multipurpose vehicle a passenger %s counts its rating ÷ 1.10", tyre, r.On, tyre)})
		}
	}
	return all
}

func (h *holder) downloadWord() string { return regions.Label("download", h.job.Region) }

// kg prints whole kilograms with thousands set apart.
func kg(v float64) string {
	text := message.NewPrinter(language.English).Sprintf("%.0f kg", v)
	return strings.Replace(text, "-0 kg", "0 kg", 1)
}

// kgU prints a value with U; without uncertainty it stands alone.
func kgU(v, u float64) string {
	if u <= 0 {
		return kg(v)
	}
	return strings.TrimSuffix(kg(v), " kg") + " ± " + kg(max(coverage*u, 1))
}
