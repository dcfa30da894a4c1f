package derive

import (
	"cmp"
	"math"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// The assumed shares of a load whose position or levers are not known, in
// parts of its stated mass. A share is an unknown of its own, observed with the
// value and the standard uncertainty below, so that what is not known about a
// position widens every load that depends on it and no other.
//
// Common practice, no source: a load in a vehicle can be anywhere between the
// axles (a rectangle from 0 to 1 has u = 1/(2√3)); one on a trailer puts 10 % on
// the coupling, as trailers are loaded, give or take 20 %.
const (
	vehicleShareValue = 0.5 // half on each axle, rectangular over all of it
	trailerShareValue = 0.1 // on the coupling
	semiShareValue    = 0.35
	trailerShareU     = 0.2
	// negligible is a coefficient that is rounding: shares are of size 1.
	negligible = 1e-12
)

// unknownShare is a share that was assumed, and the number that would fix it: the page
// says so, and what the owner could measure.
type unknownShare struct {
	Load    string
	Missing string        // place, or a length's column in outfit.csv
	Group   tickets.Group // set for a side share: nobody said left or right
}

// planLoads gives columns to the mass of every load that a used reading names
// and to every share that the readings need and no number fixes.
//
// A load that no reading names travels in every reading: it is part of the loads
// on the supports and needs no column.
func (y *system) planLoads() {
	for i := range y.job.Loads {
		l := &y.job.Loads[i]
		if !y.named(l.Name) {
			continue
		}
		y.loads = append(y.loads, l)
		y.layout.give(&y.layout.mass, l.Name)
		if missing := y.needsShare(l); missing != "" {
			y.layout.give(&y.layout.share, l.Name)
			y.Unknown = append(y.Unknown, unknownShare{Load: l.Name, Missing: missing})
		}
		for _, g := range coupledGroups {
			if y.sideU(l, g) > 0 {
				y.layout.giveSide(sideKey{l.Name, g})
				y.Unknown = append(y.Unknown, unknownShare{Load: l.Name, Missing: "side", Group: g})
			}
		}
	}
}

// named says whether a used reading was taken with or without a load, so that its mass
// makes a difference between readings.
func (y *system) named(load string) bool {
	for i := range y.used {
		if names(y.used[i], load) {
			return true
		}
	}
	return false
}

// names says whether a reading names a load in without or with.
func names(r *tickets.Reading, load string) bool { return sign(r, load) != 0 }

// sign is −1 for a load that travels and was not on board, +1 for one that was on
// board in this reading and does not travel; 0 for all others. The loads solved for
// are those in travelling condition, so a reading without a load shows less than
// they are, and one with an additional load shows more.
func sign(r *tickets.Reading, load string) float64 {
	for _, n := range r.Without {
		if n == load {
			return -1
		}
	}
	for _, n := range r.With {
		if n == load {
			return 1
		}
	}
	return 0
}

// needsShare names the number without which a reading's share of the load is
// not known; blank where none depends on it. With both axles of a unit on the deck
// the shares cancel, and no position is needed: what counts is the sum.
func (y *system) needsShare(l *tickets.Load) string {
	for i := range y.used {
		r := y.used[i]
		if !names(r, l.Name) {
			continue
		}
		p := y.onDeck(r, partsOf(y.job, l, r.State))
		if math.Abs(p.byShare) > negligible {
			return p.missing
		}
	}
	return ""
}

// onDeck is what a load puts on the supports of a reading, sides balanced:
//
//	Σ over the supports on the deck of fraction·part
//
// part being that of the support's group by the law of the lever (share.go).
func (y *system) onDeck(r *tickets.Reading, p parts) part {
	var sum part
	for _, t := range r.Terms {
		on := p[t.Group].times(Fraction(&y.job.Outfit, t))
		sum.byMass += on.byMass
		sum.byShare += on.byShare
		sum.missing = cmp.Or(sum.missing, on.missing)
	}
	return sum
}

// Fraction is the part of a group's load that one of its supports carries:
// equal parts by axle, half on each side. That is how the axles of a group that
// shares its load take up an additional load; what a load off the middle adds to
// one side is its side share, an unknown of its own.
func Fraction(o *tickets.Outfit, t tickets.Term) float64 {
	f := 1.0
	if t.Axle > 0 {
		f /= float64(max(axlesOf(o, t.Group), 1))
	}
	if t.Side != "" {
		f /= 2
	}
	return f
}

// leaning is the coefficient of a load's side share in a group: the axles'
// part for each left side on the deck, less the same for each right one. What the
// left side carries beyond half, the right side lacks; with both on the deck it
// cancels.
func (y *system) leaning(r *tickets.Reading, g tickets.Group) float64 {
	sum := 0.0
	for _, t := range r.Terms {
		if t.Group != g || t.Side == "" {
			continue
		}
		f := float64(2 * Fraction(&y.job.Outfit, t))
		if t.Side == tickets.Right {
			f = -f
		}
		sum += f
	}
	return sum
}

// sideU is the standard uncertainty of a load's side share in a group,
// |part|/(2√3) with the largest part over the used readings that name it; 0
// where no reading depends on it. Nobody states left or right: the load can be
// anywhere across the group, from half its part too little on the left to half of
// it too much, a rectangle of half-width part/2.
func (y *system) sideU(l *tickets.Load, g tickets.Group) float64 {
	needed, largest := false, 0.0
	mass := l.Kg.InexactFloat64()
	for i := range y.used {
		needed = needed || names(y.used[i], l.Name) && math.Abs(y.leaning(y.used[i], g)) > negligible
	}
	for i := range y.all {
		r := y.all[i]
		if !names(r, l.Name) {
			continue
		}
		p := partsOf(y.job, l, r.State)[g]
		share, _, _ := assumedShare(&y.job.Outfit, l)
		largest = math.Max(largest, math.Abs(float64(p.byMass*mass)+float64(p.byShare*share)))
	}
	if !needed || largest < negligible {
		return 0
	}
	return largest / float64(2*math.Sqrt(3))
}

// assumedShare is what a load of unknown position is taken to put on the rear
// axle, or on the coupling or nose, with its standard uncertainty, in kilograms:
//
//	on the vehicle   m/2 on the rear axle, u = m/(2√3)
//	on the trailer   0.1·m on the coupling (semi-trailer 0.35·m), u = 0.2·m
//
// leverU is what a trailer load adds to front or rear where a/w is taken as 0.45.
func assumedShare(o *tickets.Outfit, l *tickets.Load) (value, u, leverU float64) {
	m := l.Kg.InexactFloat64()
	if leverU = float64(leverUnknown * m); l.On == tickets.OnVehicle {
		return float64(vehicleShareValue * m), m / float64(2*math.Sqrt(3)), leverU
	}
	return float64(trailerShare(o) * m), float64(trailerShareU * m), leverU
}

// addNamed takes off the loads that a reading was without and adds those it was
// with. It returns false where a load or share is not in the model: a reading that
// is not used may name what no used one does.
func (y *system) addNamed(row []float64, r *tickets.Reading) bool {
	complete := true
	for _, names := range [...][]string{r.Without, r.With} {
		for _, name := range names {
			complete = y.addLoad(row, r, y.job.Load(name), sign(r, name)) && complete
		}
	}
	return complete
}

// addNamedOrStated is addNamed where a reading may name loads that are not in the model:
// those are left out of the row, and what they put on its deck is returned as the form
// states it, in kilograms, with its variance.
func (y *system) addNamedOrStated(row []float64, r *tickets.Reading) (kg, variance float64) {
	for _, names := range [...][]string{r.Without, r.With} {
		for _, name := range names {
			l, sign := y.job.Load(name), sign(r, name)
			if y.addLoad(row, r, l, sign) {
				continue
			}
			value, square := y.asStated(r, l)
			kg += float64(sign * value)
			variance += square
		}
	}
	return kg, variance
}

// asStated is what a load puts on the supports of a reading by the form alone, of what
// addLoad did not put in the row, with its variance: its mass, its share and its sides as
// they would be observed.
func (y *system) asStated(r *tickets.Reading, l *tickets.Load) (kg, variance float64) {
	groups := partsOf(y.job, l, r.State)
	p, mass := y.onDeck(r, groups), l.Kg.InexactFloat64()
	share, shareU, _ := assumedShare(&y.job.Outfit, l)
	if _, inModel := y.layout.mass.of(l.Name); !inModel {
		kg, variance = float64(p.byMass*mass), portable.Square(float64(p.byMass*l.UKg))
	}
	kg += float64(p.byShare * share)
	variance += portable.Square(float64(p.byShare * shareU))
	for _, g := range coupledGroups {
		part := float64(groups[g].byMass*mass) + float64(groups[g].byShare*share)
		variance += portable.Square(float64(y.leaning(r, g)*part) / float64(2*math.Sqrt(3)))
	}
	return kg, variance
}

// addLoad adds a load by what it puts on the supports of a reading: its mass by the
// exact part, its unknown share by the rest, and what its sides do not balance. The
// mass is solved for, not taken as typed, so that its u reaches every result and a
// reading may correct it.
func (y *system) addLoad(row []float64, r *tickets.Reading, l *tickets.Load, sign float64) bool {
	p := y.onDeck(r, partsOf(y.job, l, r.State))
	mass, inModel := y.layout.mass.of(l.Name)
	if !inModel {
		return math.Abs(p.byMass) < negligible && math.Abs(p.byShare) < negligible
	}
	row[mass] += float64(sign * p.byMass)
	if math.Abs(p.byShare) > negligible {
		c, ok := y.layout.share.of(l.Name)
		if !ok {
			return false
		}
		row[c] += float64(sign * p.byShare)
	}
	for _, g := range coupledGroups {
		lean := y.leaning(r, g)
		if math.Abs(lean) < negligible {
			continue
		}
		if c, ok := y.layout.side[sideKey{l.Name, g}]; ok {
			row[c] += float64(sign * lean)
		}
	}
	return true
}

// observeLoads adds the stated masses, then the assumed shares: each is known from
// the form alone, with its own u, and independent of the readings.
func (y *system) observeLoads() {
	for _, l := range y.loads {
		c, _ := y.layout.mass.of(l.Name)
		y.observeOne(observation{Kind: byLoad, Name: l.Name, U: l.UKg}, c, l.Kg.InexactFloat64())
	}
	for _, l := range y.loads {
		if c, ok := y.layout.share.of(l.Name); ok {
			value, u, _ := assumedShare(&y.job.Outfit, l)
			y.observeOne(observation{Kind: byShare, Name: l.Name, U: u}, c, value)
		}
		for _, g := range coupledGroups {
			if c, ok := y.layout.side[sideKey{l.Name, g}]; ok {
				y.observeOne(observation{Kind: byShare, Name: l.Name, U: y.sideU(l, g)}, c, 0)
			}
		}
	}
}
