package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// measured is what a rating line is compared with in one state.
//
// It is a sum of support loads in every case but a D-value, whose parts are its first
// derivatives: effects of a load are then found in one way for all.
type measured struct {
	summed
	parts   []derive.Part // the sum, as one tyre carries it where one is compared
	heldOn  []string
	assumed []string
	unequal float64 // u of an equal share among tyres, in parts of the share; 0: no share

	// What several lines may limit is measured once: see known.
	load  load
	set   string
	state tickets.State
	on    tickets.Term // of a support

	looked    bool // checked, mistakeKg and all of assumed are there: see lookBehind
	checked   bool
	mistakeKg *float64
}

const (
	gravity = 9.81           // m/s², as UN R55 takes it
	kNPerKg = gravity / 1000 // kN of a kilogram
)

// measure finds the load that a rating line is compared with.
func (h *checker) measure(r *tickets.Rating, l load, set string, state tickets.State) *measured {
	switch l {
	case oneTyre:
		return h.memory.weighed.Of(h.worstTyre(r, set, state))
	case couplerForce:
		return h.memory.weighed.Of(h.coupler(set))
	}
	var on tickets.Term
	shared := l != support
	if l == support && len(r.Terms) == 1 {
		on, shared = h.plain(r.Terms[0]), true
	}
	if shared {
		if m := h.known(l, set, state, on); m != nil {
			return m
		}
	}
	m := &h.memory.weighed.List(1)[0]
	m.parts = h.partsOf(r, l, state)
	m.summed = h.sum(set, m.parts)
	m.heldOn = heldOn(m.parts, l)
	if shared {
		m.load, m.set, m.state, m.on = l, set, state, on
		h.loads = append(h.loads, m)
	}
	return m
}

// known is a load that was measured for another line; nil where none was.
//
// A trailer has its own rating and the vehicle's for towing it, and a download a most, a
// least and the floor: what they compare is the same to the last bit.
func (h *checker) known(l load, set string, state tickets.State, on tickets.Term) *measured {
	for _, m := range h.loads {
		if m.load == l && m.state == state && m.on == on && m.set == set {
			return m
		}
	}
	return nil
}

// The names of what several supports make up, and of groups. Nobody changes these lists.
var (
	onVehicleAxles = []string{"vehicle"}
	onBoth         = []string{"vehicle", "trailer"}
	onCoupling     = []string{"coupling"}
	onWholeTrailer = []string{string(tickets.Trailer), string(tickets.Nose)}
	onGroup        = map[tickets.Group][]string{
		tickets.Front: {string(tickets.Front)}, tickets.Rear: {string(tickets.Rear)},
		tickets.Trailer: {string(tickets.Trailer)}, tickets.Nose: {string(tickets.Nose)},
	}
)

// heldOn names the supports whose load is compared, in the words of the forms.
func heldOn(parts []derive.Part, l load) []string {
	switch l {
	case vehicleAxles:
		return onVehicleAxles
	case wholeOutfit, couplerForce:
		return onBoth
	case download:
		return onCoupling
	case wholeTrailer:
		return onWholeTrailer[:len(parts):len(parts)] // a hinged drawbar has no nose
	}
	if t := parts[0].Support; len(parts) == 1 && t.Axle == 0 && t.Side == "" {
		return onGroup[t.Group]
	}
	names := make([]string, 0, len(parts))
	for _, p := range parts {
		names = append(names, tickets.Spell(p.Support))
	}
	return names
}

// The sums that are the same for every job. Nobody changes them.
var (
	vehicleIn = groupLoadsIn(threeStates, tickets.Front, tickets.Rear)
	axlesIn   = groupLoadsIn(coupledStates, tickets.Trailer)
	// The whole trailer, uncoupled: its axles and its nose.
	trailerSum = groupLoads(1, tickets.TrailerAlone, tickets.Trailer, tickets.Nose)
	// All wheels on the ground: the download is on the vehicle's, and so counts once.
	outfitSum = groupLoads(1, tickets.CoupledSlack, tickets.Front, tickets.Rear, tickets.Trailer)
	// D = coupled slack vehicle − vehicle alone (contract, section 2), whatever the
	// tension on the road: the ratings of couplings are static.
	downloadSum = addLoads(groupLoads(1, tickets.CoupledSlack, tickets.Front, tickets.Rear), -1, tickets.VehicleAlone, tickets.Front, tickets.Rear)
)

// groupLoadsIn is the loads on groups together in each of some states.
func groupLoadsIn(states []tickets.State, groups ...tickets.Group) map[tickets.State][]derive.Part {
	sums := map[tickets.State][]derive.Part{}
	for _, s := range states {
		sums[s] = groupLoads(1, s, groups...)
	}
	return sums
}

// partsOf writes a load as a sum of support loads.
func (h *checker) partsOf(r *tickets.Rating, l load, state tickets.State) []derive.Part {
	switch l {
	case vehicleAxles:
		return vehicleIn[state]
	case trailerAxles:
		return axlesIn[state]
	case wholeTrailer:
		// A hinged drawbar has no nose; the trailer's mass is that of its axles.
		if h.job.Outfit.Drawbar {
			return trailerSum[:1:1]
		}
		return trailerSum
	case wholeOutfit:
		return outfitSum
	case download:
		return downloadSum
	}
	parts := h.memory.parts.List(len(r.Terms))
	for i, t := range r.Terms {
		parts[i] = derive.Part{Factor: 1, State: state, Support: h.plain(t)}
	}
	return parts
}

// groupLoads is a factor times the loads on groups in a state, as a sum.
func groupLoads(f float64, state tickets.State, groups ...tickets.Group) []derive.Part {
	return addLoads(make([]derive.Part, 0, len(groups)), f, state, groups...)
}

// addLoads adds such loads to a sum.
func addLoads(parts []derive.Part, f float64, state tickets.State, groups ...tickets.Group) []derive.Part {
	for _, g := range groups {
		parts = append(parts, derive.Part{Factor: f, State: state, Support: tickets.Term{Group: g}})
	}
	return parts
}

// load is the load on groups together in a state, in force and as derived.
func (h *checker) load(state tickets.State, groups ...tickets.Group) derive.Quantity {
	var room [3]derive.Part // no state has more groups
	return h.s.Sum(addLoads(room[:0], 1, state, groups...)...)
}

// plain names the only axle of a group as the group.
func (h *checker) plain(t tickets.Term) tickets.Term {
	if t.Axle == 1 && h.job.Outfit.Axles(t.Group) == 1 {
		t.Axle = 0
	}
	return t
}

// sameLoads says whether two sums are one quantity: the same supports with the same
// factors in the same states, in whatever order, so that front + rear is rear + front.
func sameLoads(a, b []derive.Part) bool {
	if len(a) != len(b) {
		return false
	}
	times := func(in []derive.Part, p derive.Part) (n int) {
		for _, o := range in {
			if o == p {
				n++
			}
		}
		return n
	}
	for _, p := range a {
		if times(a, p) != times(b, p) {
			return false
		}
	}
	return true
}

// coupler is Dc in kilonewtons, of the coupled vehicle T and the trailer's axles C:
//
//	Dc = g·T·C/(T + C)
//	u(Dc) first order, ∂Dc/∂T = g·(C/(T + C))², ∂Dc/∂C = g·(T/(T + C))²
//
// with their covariance. T and C are tonnes and g is 9.81. The quantity is the
// mass of which Dc is the weight.
//
// Source: UN R55, rigid drawbar and centre-axle trailers; T includes the download.
func (h *checker) coupler(set string) measured {
	state := h.job.Outfit.Travels
	vehicle, axles := h.partsOf(nil, vehicleAxles, state), h.partsOf(nil, trailerAxles, state)
	m := measured{parts: slices.Concat(vehicle, axles), heldOn: heldOn(nil, couplerForce)}
	t, c := h.sum(set, vehicle), h.sum(set, axles)
	if !t.ok || !c.ok || t.value+c.value <= 0 {
		return m
	}
	// The slopes at the loads as they are; U is small next to them, so that the second
	// order does not matter.
	both := t.value + c.value
	slopes := slices.Concat(scaled(vehicle, portable.Square(c.value/both)), scaled(axles, portable.Square(t.value/both)))
	m.summed = h.sum(set, slopes)
	m.value, m.u = portable.Ratio(dc(t.value, c.value)), portable.Ratio(float64(kNPerKg*m.u))
	m.parts = scaled(slopes, kNPerKg)
	return m
}

// platedDc is Dc of the plated vehicle, and of the trailer's axles as plated:
// gtm, else their axle rating.
func (h *checker) platedDc(set string) *float64 {
	p := h.plates(set)
	vehicle, axles := p.gvm, p.gtm
	if axles == nil {
		axles = p.axles(tickets.Trailer)
	}
	if vehicle == nil || axles == nil {
		return nil
	}
	return of(portable.Ratio(dc(*vehicle.number(), *axles.number())))
}

// dc is Dc in kilonewtons of two masses in kilograms.
func dc(t, c float64) float64 { return float64(float64(kNPerKg*t)*c) / (t + c) }

// scaled multiplies a sum by a factor.
func scaled(parts []derive.Part, factor float64) []derive.Part {
	out := slices.Clone(parts)
	for i := range out {
		out[i].Factor = float64(out[i].Factor * factor)
	}
	return out
}

// limitOf is the limit of a line, in kilograms or, for a D-value, kilonewtons.
func (h *checker) limitOf(r *tickets.Rating) decimal.NullDecimal {
	switch r.Word {
	case "tyre", "wheel":
		return h.tyreLimit(r)
	case "d_value":
		return r.LimitKN
	}
	return r.LimitKg
}
