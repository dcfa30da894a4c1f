package limits

import (
	"slices"
	"strings"
	"unicode"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// caution is printed next to the verdict and never part of it. Line is that of
// the form the code speaks of; 0 is the job.
//
// A caution needs no answer and changes no verdict: a false alarm costs a reader a line,
// so that each may speak up sooner than a question does.
type caution struct {
	Code string
	Line int
	Args Args
}

// cautions lists what the owner should know next to the verdict: first what
// the loads themselves say and what they rest on, then guides that are not
// kept, then traps of the ratings.
func (h *checker) cautions(f *Findings) []caution {
	return slices.Concat(
		h.ofDownload(), h.ofAxles(), h.ofAssumed(f), h.ofZeros(),
		h.ofGuides(f.Guides), h.ofBrakes(f), h.ofPlate(), h.ofAllowance(f), h.ofCertificate(),
		h.ofTyres(), h.ofDualFront(), h.ofIDs(), h.ofRaised(),
	)
}

// ofDownload cautions where the download may be nothing, and where the hitch
// puts back more than the trailer lifted.
func (h *checker) ofDownload() []caution {
	var all []caution
	// D − U ≤ 0 (contract, guides): a trailer that may lift the vehicle's rear sways.
	// Nothing rests on a hinged drawbar, so that nothing is amiss there.
	v, u, ok := h.s.Figures().Download.Number()
	if ok && !h.job.Outfit.Drawbar && portable.Kg(v-float64(coverage*u)) <= 0 {
		all = append(all, caution{Code: "download_not_positive", Args: Args{Kg: of(v), UKg: of(u)}})
	}
	// More back on the front axle than the trailer took off it unloads the rear wheels.
	// What it restores less what it lifted: the slack readings, which both share, fall out.
	front := tickets.Term{Group: tickets.Front}
	over := h.s.Sum(
		derive.Part{Factor: 1, State: tickets.CoupledTensioned, Support: front},
		derive.Part{Factor: -1, State: tickets.VehicleAlone, Support: front},
	)
	if v, u, ok := over.Number(); ok && v > portable.Kg(float64(coverage*u)) {
		all = append(all, caution{Code: "over_restored", Args: Args{Kg: of(v), UKg: of(u)}})
	}
	return all
}

// ofAxles cautions where a group whose axles nobody counted is taken as one
// axle, and the download rests on moments or a gauge: of two axles or more, which
// pitch and share unequally, it is less certain than its ± says.
func (h *checker) ofAxles() []caution {
	o := &h.job.Outfit
	moment := h.s.Figures().Download.ByMoment
	var columns []string
	// The ties' own uncertainty t grows with two axles (contract, section 2, moment
	// ties; the gauge 3 or 5 kg): a number of axles left blank takes the smaller one.
	if o.RearAxles == 0 && moment {
		columns = append(columns, "rear_axles")
	}
	if o.TrailerAxles == 0 && (moment || h.gauged()) {
		columns = append(columns, "trailer_axles")
	}
	if len(columns) == 0 {
		return nil
	}
	return []caution{{Code: "axles_not_stated", Args: Args{Names: columns}}}
}

// gauged reports whether a used reading is that of a gauge under the coupling.
func (h *checker) gauged() bool {
	return slices.ContainsFunc(h.usedReadings(), func(r *tickets.Reading) bool {
		return slices.Contains(r.Terms, tickets.Term{Group: tickets.Coupling})
	})
}

// guideCodes are the cautions of guides that are not kept. The share above its
// upper guide is none.
//
// A share above the guide makes the coupling's rating the limit, and that is compared
// anyway; below it the trailer sways, which no rating shows.
var guideCodes = map[string]string{
	"download_share": "share_below_guide", "trailer_to_vehicle": "trailer_heavier", "trailer_brakes": "trailer_brakes",
	"towing_default": "towing_default", "unbraked_share": "unbraked_share", "minimum_download": "minimum_download",
	"tyres_together": "tyres_together",
}

// ratios are the guides whose value is a ratio.
var ratios = []string{"download_share", "trailer_to_vehicle"}

func (h *checker) ofGuides(guides []guide) []caution {
	var all []caution
	for i := range guides {
		g := &guides[i]
		// A guide without a value, or without a bound, is neither kept nor broken.
		if g.Kept == nil || *g.Kept || g.Guide == "download_share" && *g.Value > *g.Low {
			continue
		}
		all = append(all, caution{Code: guideCodes[g.Guide], Args: g.args()})
	}
	return all
}

// args gives a guide's value and the bound that it does not keep.
func (g *guide) args() Args {
	bound := g.High
	if g.Low != nil && *g.Value < *g.Low {
		bound = g.Low
	}
	if slices.Contains(ratios, g.Guide) {
		return Args{On: g.On, Of: g.Source, Value: g.Value, U: g.U, Limit: bound}
	}
	return Args{On: g.On, Of: g.Source, Kg: g.Value, UKg: g.U, LimitKg: bound}
}

// ofBrakes cautions where nobody said what brakes a trailer has that may not
// be without.
//
// Brakes that are stated have a guide of their own; this is about the cell left blank on
// a trailer whose mass class must have some.
func (h *checker) ofBrakes(f *Findings) []caution {
	if h.job.Outfit.TrailerBrakes != "" {
		return nil
	}
	for i := range h.region.Brakes {
		b := &h.region.Brakes[i]
		// The class of trailers without brakes ends where brakes must begin.
		if b.Brakes != "none" {
			continue
		}
		if v, _, ok := h.classMass(f, b.By); ok && h.needsMore(i, v) {
			return []caution{{Code: "brakes_not_stated", Args: Args{Of: b.Source}}}
		}
	}
	return nil
}

// ofPlate cautions where a plate without a combination mass means that nothing
// may be towed.
func (h *checker) ofPlate() []caution {
	if !h.region.NoTrainWeight.Yes {
		return nil
	}
	for i := range h.job.Ratings {
		// `none` says that the plate was read and has no such mass: in this region that
		// is a vehicle not approved to tow, and no other rating would ever show it.
		if r := &h.job.Ratings[i]; r.Word == "gcm" && r.Set == "" && h.st.status[i] == saysNone {
			return []caution{{Code: "no_train_weight", Line: r.Line}}
		}
	}
	return nil
}

// The most by which a rating may be exceeded when towing where the region's
// handbooks state an allowance: of the rear axle 15 %, of the gross mass the
// lower of 10 % and 100 kg.
//
// Source: Reg. (EU) 1230/2012 Annex I, from memory.
const (
	rearAllowance  = 0.15
	grossAllowance = 0.10
	grossMostKg    = 100
)

// ofAllowance cautions of a coupled rear axle, or gross mass, that is over by no
// more than a handbook may allow for towing.
func (h *checker) ofAllowance(f *Findings) []caution {
	if !h.region.RearAllowance.Yes {
		return nil
	}
	var all []caution
	for _, c := range f.Deciding {
		// The allowance is for towing: not alone, not of the floor, and not where a line
		// of the handbook with a `when` is what is exceeded already.
		if c.Verdict != Over || c.State == tickets.VehicleAlone || c.Floor || c.Line.When != "" {
			continue
		}
		most := portable.Kg(float64(rearAllowance * *c.Limit))
		switch {
		case c.Rating == "gvm":
			most = min(portable.Kg(float64(grossAllowance**c.Limit)), grossMostKg)
		// Of the axles only the rear one as a group gains from it.
		case c.Rating != "axle" || !slices.Equal(c.HeldOn, []string{string(tickets.Rear)}):
			continue
		}
		if over := -c.Found.Margin; over <= most {
			all = append(all, caution{Code: "eu_allowance", Line: c.Line.Line, Args: Args{Rating: c.Rating, On: c.On, Kg: &over}})
		}
	}
	return all
}

// ofCertificate cautions where a certificate in force gives the gross mass and
// the axles' ratings together are below it.
//
// The question axles_below_gvm falls away with a certificate, whose engineer may know of
// axles that its owner did not type; the sentence still has to be read by somebody.
func (h *checker) ofCertificate() []caution {
	p := h.plates("")
	gvm, axles := p.gvm, p.both
	if gvm == nil || axles == nil || gvm.line.Certificate == "" || axles.kg.GreaterThanOrEqual(gvm.kg) {
		return nil
	}
	return []caution{{Code: "axles_below_certificate", Line: axles.line.Line, Args: Args{Kg: axles.number(), LimitKg: gvm.number()}}}
}

// ofIDs cautions where a used reading is of another vehicle or trailer than the
// outfit, or than an earlier reading, by the marks printed on the tickets.
//
// Two outfits weighed in a row mix up easily, and their figures fit each other well
// enough to pass.
func (h *checker) ofIDs() []caution {
	o := &h.job.Outfit
	vehicle := h.otherID("vehicle_id", o.VehicleID, tickets.TrailerAlone, func(r *tickets.Reading) string { return r.VehicleID })
	trailer := h.otherID("trailer_id", o.TrailerID, tickets.VehicleAlone, func(r *tickets.Reading) string { return r.TrailerID })
	return append(vehicle, trailer...)
}

// otherID looks for the first reading whose mark is not the one known; a state
// without the unit says nothing of it.
func (h *checker) otherID(column, known string, without tickets.State, of func(*tickets.Reading) string) []caution {
	for _, r := range h.usedReadings() {
		id := of(r)
		switch {
		case r.State == without || mark(id) == "":
		// Without one in outfit.csv the first ticket's mark is what the others are
		// compared with.
		case mark(known) == "":
			known = id
		case mark(id) != mark(known):
			return []caution{{Code: "other_id", Line: r.Line, Args: Args{Column: column, Typed: id, Other: known}}}
		}
	}
	return nil
}

// mark is a printed mark by its letters and figures alone.
func mark(id string) string {
	// Weighbridges print AB 12 CD and ab-12cd for one plate.
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToUpper(r)
	}, id)
}

// ofDualFront cautions of a front axle said to carry two tyres or rims on each
// end: if those of the rear axle were counted with them, each carries twice as
// much as is compared.
//
// Cars and light trucks have single tyres in front; `fitted` 6 typed on front is the
// vehicle's tyres all counted.
func (h *checker) ofDualFront() []caution {
	var all []caution
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Set != "" || h.st.status[i] != held || !slices.ContainsFunc(r.Terms, func(t tickets.Term) bool { return t.Group == tickets.Front }) {
			continue
		}
		if h.perEnd(r) > singleTyres {
			all = append(all, caution{Code: "front_dual", Line: r.Line, Args: Args{Rating: r.Word, On: r.On, Number: of(r.Fitted)}})
		}
	}
	return all
}

// ofTyres cautions where what is not said about a tyre could make its limit too high.
func (h *checker) ofTyres() []caution {
	var all []caution
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Word != "tyre" || r.Set != "" || h.st.status[i] != held {
			continue
		}
		add := func(code string, number *int) {
			all = append(all, caution{Code: code, Line: r.Line, Args: Args{On: r.On, Number: number}})
		}
		perEnd, derates := h.perEnd(r), h.region.PassengerTyreDivisor != "1"
		// A dual tyre carries less than a single one, and its index is the second of the
		// two: with the first the limit is some 5 to 10 % too high.
		if h.singleForDual(r) {
			add("dual_index_missing", nil)
		}
		// Three tyres on two ends share no load evenly: the figure is a slip, or one
		// axle of several was meant.
		if perEnd > 1 && perEnd != 2 || perEnd < 1 {
			add("tyres_uneven", of(r.Fitted))
		}
		// On a trailer the kind decides whether its limit is divided by 1.10 (vehicle-
		// rules.md 6.3); without it the full figure is taken, the higher one.
		if derates && r.Kind == "" && onTrailer(r.Terms) {
			add("tyre_kind_not_stated", nil)
		}
		// On a vehicle the rule asks for the same of trucks and vans, and not of cars;
		// which of these it is no form says.
		if derates && r.Kind == "passenger" && !onTrailer(r.Terms) {
			add("passenger_tyre", nil)
		}
	}
	return all
}
