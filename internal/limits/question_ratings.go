package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// Fractions of ratings that are compared with each other, exact.
//
// As decimals: a plate is compared with a plate as both are typed, so that a rating of
// exactly 1.1 times the others is on the right side of the bound on every machine.
var (
	two          = decimal.NewFromInt(2)
	sumFactor    = decimal.RequireFromString("1.1")
	downloadPart = decimal.RequireFromString("0.25")
	eachPart     = decimal.RequireFromString("0.7")
)

// The least that ratings are not asked about, in kilograms.
var (
	smallRating = decimal.NewFromInt(200)
	smallAxle   = decimal.NewFromInt(100)
)

// The parts of gvm and atm below which, with its U, a load is asked about, and
// the part of an empty mass from which it is not.
//
// A rating read in pounds and typed as kilograms is 2.2 times too high: a vehicle within
// its true rating then weighs less than half of the one typed. A trailer may well be
// weighed empty, at a third of its rating, so that only a quarter is asked about. From
// 0.9 of its empty mass a load is that of an empty unit, and no doubt falls on the
// rating. Common practice, no source.
const (
	farGvm      = 2.0
	farGvmSemi  = 2.5
	farAtm      = 4.0
	nearlyEmpty = 0.9
)

// plateQuestion asks something of the plates under a set.
//
// Questions of ratings ask of the plates alone, as they would be without any weighing;
// only the two *_far_above compare a plate with what was weighed.
type plateQuestion struct {
	code string
	ask  func(*checker, string, *plates) []plateAsked
}

// plateAsked is one question: the plates it is about, the first of which has
// the line that is asked, and its arguments.
type plateAsked struct {
	about []*plate
	args  Args
}

// ratingQuestions are the questions of ratings, in their order.
var ratingQuestions = []plateQuestion{
	{"rating_small", (*checker).ratingSmall},
	{"axles_below_gvm", (*checker).axlesBelowGvm},
	{"axles_far_above_gvm", (*checker).axlesFarAboveGvm},
	{"axle_above_gvm", (*checker).axleAboveGvm},
	{"gvm_far_above", (*checker).gvmFarAbove},
	{"gcm_below_gvm", (*checker).gcmBelowGvm},
	{"gcm_above_sum", (*checker).gcmAboveSum},
	{"gtm_above_atm", (*checker).gtmAboveAtm},
	{"atm_far_above", (*checker).atmFarAbove},
	{"download_far_above", (*checker).downloadFarAbove},
	{"axle_each", (*checker).axleEach},
}

// ofRatings asks of the ratings in force, and of each set among its lines and
// those carried over; what is asked of the ratings in force is not asked again.
func (h *checker) ofRatings() []question {
	var all []question
	for _, q := range ratingQuestions {
		var asked []question
		for _, set := range h.sets {
			for _, a := range q.ask(h, set, h.plates(set)) {
				// A set carries the plated lines over. What is asked of them alone is
				// asked once, of the ratings in force; a line of the set has to be among
				// those compared for the set to be asked.
				if set != "" && !slices.ContainsFunc(a.about, func(p *plate) bool { return p != nil && p.ofSet }) {
					continue
				}
				// The line asked is that of the first rating named (contract), since a
				// person looks at the suspicious figure first and at what it is compared
				// with second.
				line := a.about[0].line
				a.args.Set = set
				asked = append(asked, question{
					Code: q.code, File: ratingsForm, Line: line.Line, Answered: slices.Contains(line.Confirmed, q.code), Args: a.args,
				})
			}
		}
		all = append(all, inOrder(asked)...)
	}
	return all
}

// compared is the question that a plate is out of proportion to a limit.
func compared(limit decimal.Decimal, first *plate, others ...*plate) []plateAsked {
	args := Args{Kg: first.number(), LimitKg: of(portable.Kg(limit.InexactFloat64()))}
	return []plateAsked{{append([]*plate{first}, others...), args}}
}

// ratingSmall asks of a gross rating below 200 kg, an axle's below 100.
func (h *checker) ratingSmall(_ string, p *plates) []plateAsked {
	var all []plateAsked
	for i := range p.all {
		r := &p.all[i]
		least := smallRating
		switch r.line.Word {
		// Gross masses below 200 kg are no vehicle and no trailer that anybody weighs on
		// a bridge: tonnes typed as kilograms.
		case "gvm", "gcm", "atm", "gtm":
		case "axle":
			least = smallAxle
		default:
			continue
		}
		if r.kg.LessThan(least) {
			all = append(all, plateAsked{[]*plate{r}, Args{Rating: r.line.Word, On: r.line.On, Kg: r.number()}})
		}
	}
	return all
}

// axlesBelowGvm asks where the axles together are rated below the vehicle; not
// where a certificate gives its gross mass (a caution says so).
//
// The axles have to carry the vehicle: a maker never plates them for less. A certificate
// that raises the gross mass alone does, which is why that is a caution of its own.
func (h *checker) axlesBelowGvm(_ string, p *plates) []plateAsked {
	gvm, axles := p.gvm, p.both
	if gvm == nil || axles == nil || gvm.line.Certificate != "" || axles.kg.GreaterThanOrEqual(gvm.kg) {
		return nil
	}
	return compared(gvm.kg, axles, gvm)
}

// axlesFarAboveGvm asks where the axles together are rated above twice the vehicle.
//
// Axles are rated some tenths above the gross mass together. Twice as much is pounds in
// the axles' lines, or a group's rating on each of its axles.
func (h *checker) axlesFarAboveGvm(_ string, p *plates) []plateAsked {
	gvm, axles := p.gvm, p.both
	if gvm == nil || axles == nil || axles.kg.LessThanOrEqual(gvm.kg.Mul(two)) {
		return nil
	}
	return compared(gvm.kg.Mul(two), axles, gvm)
}

// axleAboveGvm asks of a front axle, or a rear of one axle, rated above the
// vehicle.
func (h *checker) axleAboveGvm(set string, p *plates) []plateAsked {
	gvm := p.gvm
	if gvm == nil || gvm.line.Certificate != "" {
		return nil
	}
	var all []plateAsked
	for _, g := range []tickets.Group{tickets.Front, tickets.Rear} {
		a := p.axles(g)
		// A group of two axles may well carry more than the gross mass less the front
		// axle; one axle cannot carry more than all of them.
		if a == nil || h.job.Outfit.Axles(g) > 1 || a.kg.LessThanOrEqual(gvm.kg) {
			continue
		}
		q := compared(gvm.kg, a, gvm)
		q[0].args.On = string(g)
		all = append(all, q...)
	}
	// If both axles together are asked about already, the same slip would be asked about
	// twice.
	if len(all) > 0 && len(h.axlesFarAboveGvm(set, p)) > 0 {
		return nil
	}
	return all
}

// heaviest is the vehicle's heaviest determined state.
//
// The heaviest state says most about how the vehicle is used: alone it may be half
// empty.
func (h *checker) heaviest() (value, u float64, ok bool) {
	for _, state := range threeStates {
		v, uv, determined := h.load(state, tickets.Front, tickets.Rear).Number()
		if determined && (!ok || v > value) {
			value, u, ok = v, uv, true
		}
	}
	return value, u, ok
}

// farAbove asks of a rating that is out of all proportion to what was weighed:
// pounds? Not where an empty mass says that the load is nearly that.
func (h *checker) farAbove(p *plate, part float64, unit tickets.Unit, v, u float64) []plateAsked {
	// Value with its U below the part of the rating: what is only perhaps so low is not
	// asked about.
	limit := portable.Kg(portable.Kg(p.kg.InexactFloat64()) / part)
	if portable.Kg(v+float64(coverage*u)) >= limit {
		return nil
	}
	if empty, ok := h.empty(unit); ok && v >= portable.Kg(float64(nearlyEmpty*empty)) {
		return nil
	}
	return []plateAsked{{[]*plate{p}, Args{Kg: of(v), UKg: of(u), LimitKg: p.number()}}}
}

// gvmFarAbove asks whether the vehicle's rating is in pounds. A tractor of a semi-
// trailer runs emptier than a car: 2.5 for 2.
func (h *checker) gvmFarAbove(_ string, p *plates) []plateAsked {
	v, u, ok := h.heaviest()
	gvm := p.gvm
	if !ok || gvm == nil {
		return nil
	}
	part := farGvm
	if h.job.Outfit.Semi {
		part = farGvmSemi
	}
	return h.farAbove(gvm, part, tickets.OnVehicle, v, u)
}

// atmFarAbove does not ask of a semi-trailer.
func (h *checker) atmFarAbove(_ string, p *plates) []plateAsked {
	v, u, ok := h.s.Figures().TrailerMass.Number()
	atm := p.atm
	if !ok || atm == nil || h.job.Outfit.Semi {
		return nil
	}
	return h.farAbove(atm, farAtm, tickets.OnTrailer, v, u)
}

// gcmBelowGvm asks of a combination that is rated below the vehicle it begins with.
func (h *checker) gcmBelowGvm(_ string, p *plates) []plateAsked {
	gcm, gvm := p.gcm, p.gvm
	if gcm == nil || gvm == nil || gcm.kg.GreaterThanOrEqual(gvm.kg) {
		return nil
	}
	return compared(gvm.kg, gcm, gvm)
}

// gcmAboveSum asks where the combination is rated above 1.1 times the vehicle
// and the largest trailer together; only where a towing value says how large
// that is.
func (h *checker) gcmAboveSum(set string, p *plates) []plateAsked {
	gcm, gvm := p.gcm, p.gvm
	// An unbraked value alone says nothing of how heavy a trailer may be: cars with 750
	// kg unbraked tow 2,000 kg braked.
	largest, _, braked := h.towed(set, p)
	if gcm == nil || gvm == nil || !braked {
		return nil
	}
	limit := gvm.kg.Add(largest).Mul(sumFactor)
	if gcm.kg.LessThanOrEqual(limit) {
		return nil
	}
	return compared(limit, gcm, gvm, p.lowest("atm"), p.lowest("towing"))
}

// gtmAboveAtm does not ask where the sum of the trailer's axle ratings may be above.
//
// The axles carry the trailer less its download, so that their rating is no more than
// the trailer's; in the us the plates give the sum of the axles' own ratings, which may
// be above.
func (h *checker) gtmAboveAtm(_ string, p *plates) []plateAsked {
	gtm, atm := p.gtm, p.atm
	if gtm == nil || atm == nil || h.region.GtmMayExceedAtm.Yes || gtm.kg.LessThanOrEqual(atm.kg) {
		return nil
	}
	return compared(atm.kg, gtm, atm)
}

// downloadFarAbove asks of a download rating above a quarter of the largest
// trailer; only where a towing value is given, and not of a semi-trailer.
func (h *checker) downloadFarAbove(set string, p *plates) []plateAsked {
	largest, given, _ := h.towed(set, p)
	if !given || h.job.Outfit.Semi {
		return nil
	}
	// A download is 5 to 15 % of the trailer in every region's practice; a rating above
	// a quarter of the largest trailer is a trailer's rating in the coupling's line, or
	// newtons.
	limit := largest.Mul(downloadPart)
	var all []plateAsked
	for i := range p.all {
		r := &p.all[i]
		if r.line.Word == "download_max" && r.kg.GreaterThan(limit) {
			all = append(all, compared(limit, r, p.lowest("atm"), p.lowest("towing"))...)
		}
	}
	return all
}

// axleEach asks whether a trailer's axle rating is each axle's or the group's,
// where it is less than 0.7 of what the axles should carry together.
func (h *checker) axleEach(_ string, p *plates) []plateAsked {
	axle := p.of("axle", string(tickets.Trailer))
	if axle == nil || h.job.Outfit.TrailerAxles < 2 {
		return nil
	}
	// What the axles carry together is gtm; without it the trailer less the most that
	// may rest on the coupling.
	whole, others := p.gtm, []*plate{}
	if whole == nil {
		atm, download := p.atm, p.lowest("download_max")
		if atm == nil || download == nil {
			return nil
		}
		whole, others = &plate{atm.kg.Sub(download.kg), atm.line, atm.ofSet}, append(others, download)
	}
	// Half of it is each axle's of two, and a third each of three; 0.7 is above both and
	// below what the axles of a group are plated under it together.
	limit := whole.kg.Mul(eachPart)
	if axle.kg.GreaterThanOrEqual(limit) {
		return nil
	}
	return compared(limit, axle, append(others, whole)...)
}
