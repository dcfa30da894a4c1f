package limits

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// holder holds one job's loads against its ratings.
type holder struct {
	job  *tickets.Job
	s    *derive.Solution
	rule Rule
	st   *standing
	// scaling is √(χ²/dof) where the readings are strained, else 1
	scaling float64
}

// Found is the value of a check that is determined: in kilograms, for a
// D-value in kilonewtons. U is the standard uncertainty, scaled where the
// readings are strained, so that no check needs to know why.
type Found struct {
	Value, U, Margin, POver float64
}

// measured is what a rating line is held against in one state.
type measured struct {
	summed
	parts   []derive.Part // the sum, as it bears on one tyre where one is held
	key     string        // names the quantity: equal keys are one quantity
	words   string
	assumed string
	shared  bool // an equal share among tyres
}

const gravity = 9.81 // m/s², as UN R55 takes it

// measure finds the load that a rating line is held against.
func (h *holder) measure(r *tickets.Rating, a against, set string, state derive.State) measured {
	switch a.Load {
	case oneTyre:
		return h.worstTyre(r, set, state)
	case couplerForce:
		return h.coupler(set, a)
	}
	m := measured{parts: h.partsOf(r, a.Load, state)}
	m.summed = h.sum(set, m.parts)
	m.key = keyOf(m.parts)
	m.words = h.words(r, a)
	if a.Load == vehicleAxles && state != derive.VehicleAlone {
		m.words += h.named(", D included")
	}
	m.words = h.inState(m.words, state)
	if a.Load == download && h.job.Outfit.Travels != tickets.TravelsPlain {
		m.words += ", hitch slack"
	}
	return m
}

// partsOf spells a load out as a sum of support loads.
func (h *holder) partsOf(r *tickets.Rating, l load, state derive.State) []derive.Part {
	on := func(f float64, state derive.State, groups ...tickets.Group) (parts []derive.Part) {
		for _, g := range groups {
			parts = append(parts, derive.Part{Factor: f, State: state, Support: tickets.Term{Group: g}})
		}
		return parts
	}
	switch l {
	case vehicleAxles:
		return on(1, state, tickets.Front, tickets.Rear)
	case trailerAxles:
		return on(1, state, tickets.Trailer)
	case wholeTrailer:
		return on(1, derive.TrailerAlone, tickets.Trailer, tickets.Nose)
	case wholeOutfit:
		return on(1, derive.CoupledSlack, tickets.Front, tickets.Rear, tickets.Trailer)
	case download:
		return append(on(1, derive.CoupledSlack, tickets.Front, tickets.Rear), on(-1, derive.VehicleAlone, tickets.Front, tickets.Rear)...)
	}
	var parts []derive.Part
	for _, t := range r.Terms {
		parts = append(parts, derive.Part{Factor: 1, State: state, Support: h.plain(t)})
	}
	return parts
}

// plain names the only axle of a group as the group.
func (h *holder) plain(t tickets.Term) tickets.Term {
	if t.Axle == 1 && h.axlesStated(t.Group) == 1 {
		t.Axle = 0
	}
	return t
}

// axlesStated is the number of axles of a group; 0 where the outfit does not say.
func (h *holder) axlesStated(g tickets.Group) int {
	switch g {
	case tickets.Rear:
		return h.job.Outfit.RearAxles
	case tickets.Trailer:
		return h.job.Outfit.TrailerAxles
	}
	return 1
}

// keyOf names a quantity: the same supports with the same factors in the same states.
func keyOf(parts []derive.Part) string {
	words := make([]string, 0, len(parts))
	for _, p := range parts {
		words = append(words, strconv.FormatFloat(p.Factor, 'g', 9, 64)+" "+string(p.State)+" "+derive.SupportName(p.Support))
	}
	slices.Sort(words)
	return strings.Join(words, " + ")
}

// coupler is Dc in kilonewtons, of the coupled vehicle T and the trailer's axles C:
//
//	Dc = g·T·C/(T + C)
//	u(Dc) first order, ∂Dc/∂T = g·(C/(T + C))², ∂Dc/∂C = g·(T/(T + C))²
//
// with their covariance. T and C are tonnes and g is 9.81.
//
// Source: UN R55, rigid drawbar and centre-axle trailers; T includes the download.
func (h *holder) coupler(set string, a against) measured {
	state := travelled(h.job)
	vehicle, axles := h.partsOf(nil, vehicleAxles, state), h.partsOf(nil, trailerAxles, state)
	m := measured{key: "Dc", words: h.named(a.Words), parts: append(vehicle, axles...)}
	t, c := h.sum(set, vehicle), h.sum(set, axles)
	if !t.ok || !c.ok || t.value+c.value <= 0 {
		return m
	}
	const perKg = gravity / 1000 // kN of a kilogram
	m.parts = scaled(vehicle, perKg*math.Pow(c.value/(t.value+c.value), 2))
	m.parts = append(m.parts, scaled(axles, perKg*math.Pow(t.value/(t.value+c.value), 2))...)
	m.summed = h.sum(set, m.parts)
	m.value = dc(t.value, c.value)
	return m
}

// dc is Dc in kilonewtons of two masses in kilograms.
func dc(t, c float64) float64 { return gravity / 1000 * t * c / (t + c) }

// scaled multiplies a sum by a factor.
func scaled(parts []derive.Part, factor float64) []derive.Part {
	out := slices.Clone(parts)
	for i := range out {
		out[i].Factor *= factor
	}
	return out
}

// limitOf is the limit of a line, in kilograms or, for a D-value, kilonewtons.
func (h *holder) limitOf(r *tickets.Rating) decimal.NullDecimal {
	switch r.Word {
	case "tyre", "wheel":
		return tyreLimit(h.job, r, h.perEnd(r))
	case "d_value":
		return r.LimitKN
	}
	return r.LimitKg
}

// words says what a rating is held against, without the state.
func (h *holder) words(r *tickets.Rating, a against) string {
	if a.Load != support {
		return h.named(a.Words)
	}
	var names []string
	for _, t := range r.Terms {
		names = append(names, h.supportWords(h.plain(t)))
	}
	return "the load on the ground of " + strings.Join(names, " and ")
}

// named puts the region's word for the download in.
func (h *holder) named(words string) string {
	return strings.ReplaceAll(words, " D ", " "+regions.Label("download", h.job.Region)+" ")
}

// supportWords says a support: the rear axle, the trailer's axles, axle 2 of
// the trailer, left side.
func (h *holder) supportWords(t tickets.Term) string {
	words := "the " + string(t.Group) + " axle"
	switch {
	case t.Axle > 0:
		words = fmt.Sprintf("%s axle %d", t.Group, t.Axle)
	case h.axlesStated(t.Group) > 1:
		words += " group"
	}
	if t.Side != tickets.Both {
		words += ", " + string(t.Side) + " side"
	}
	return words
}

// inState adds a state to what is held.
func (h *holder) inState(words string, state derive.State) string {
	switch {
	case state == derive.VehicleAlone:
		return words + ", vehicle uncoupled"
	case state == derive.CoupledTensioned:
		return words + ", coupled, hitch tensioned"
	case state == derive.CoupledSlack && h.job.Outfit.Travels == tickets.TravelsPlain:
		return words + ", coupled"
	case state == derive.CoupledSlack:
		return words + ", coupled, hitch slack"
	}
	return words
}
