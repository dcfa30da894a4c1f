package tickets

import (
	"cmp"
	"math/bits"
	"slices"

	"github.com/shopspring/decimal"
)

// wheels is a set of wheels, noses and couplings, one bit each: what was on
// the deck, so that it can be said of what others it is made up.
type wheels uint64

// wheelsOf gives the wheels of terms. Axles that nobody counted are one: no
// term of the job names one of them.
func wheelsOf(o *Outfit, terms []Term) wheels {
	var w wheels
	for _, t := range terms {
		at := slices.Index(groupOrder, t.Group) * 2 * mostAxles
		first, last := 0, max(o.Axles(t.Group), 1)-1
		if t.Axle > 0 {
			first, last = t.Axle-1, t.Axle-1
		}
		if t.Group == Nose || t.Group == Coupling {
			// the bits of these two follow those of three groups of axles
			w |= 1 << (3*2*mostAxles + slices.Index(groupOrder, t.Group) - 3)
			continue
		}
		for axle := first; axle <= last; axle++ {
			if t.Side != Right {
				w |= 1 << (at + 2*axle)
			}
			if t.Side != Left {
				w |= 1 << (at + 2*axle + 1)
			}
		}
	}
	return w
}

// summand is a line that may be a sum or a part of one.
type summand struct {
	*Reading
	deck wheels
}

// sumSearch looks for lines that are sums of others of their ticket.
type sumSearch struct {
	coupled, vehicle, trailer wheels    // of the whole outfit, of its units alone
	lines                     []summand // longest on_deck first, then in the order of the form
	taken                     map[*Reading]bool
	steps                     int // of the search of one sum
}

// leastParts is the fewest lines whose sum is taken for a printed total: with
// two, readings that were all weighed meet it too often.
const leastParts = 3

// mostSteps bounds the search for the parts of one sum.
const mostSteps = 20_000

// takeCalculated takes lines that others of their ticket add up to exactly as
// calculated, where use is blank; where it says yes a footnote says how they
// look. Wheels in columns of one line are not summed.
func (j *jobReader) takeCalculated() {
	o := &j.job.Outfit
	s := sumSearch{coupled: wheelsOf(o, wholeOutfit), vehicle: wheelsOf(o, wholeVehicle), trailer: wheelsOf(o, j.wholeTrailer())}
	s.lines = j.desk.sums.List(len(j.job.Readings))[:0]
	for i := range j.job.Readings {
		if r := &j.job.Readings[i]; r.Column == "" && !r.Empty && len(r.Terms) > 0 {
			s.lines = append(s.lines, summand{r, wheelsOf(&j.job.Outfit, r.Terms)})
		}
	}
	slices.SortStableFunc(s.lines, func(a, b summand) int {
		return cmp.Compare(bits.OnesCount64(uint64(b.deck)), bits.OnesCount64(uint64(a.deck)))
	})
	for _, total := range s.lines {
		j.takeNet(&s, total)
		if s.isSum(total) {
			j.takeSum(&s, total)
		}
	}
}

// takeSum takes a line as calculated, or says that it looks so.
func (j *jobReader) takeSum(s *sumSearch, l summand) {
	switch {
	case l.UseStated && l.Used:
		j.looks = append(j.looks, l.Reading)
	case !l.UseStated:
		l.Used, l.Calculated = false, true
		l.TakenAsCalculated = true
		if s.taken == nil {
			s.taken = map[*Reading]bool{}
		}
		s.taken[l.Reading] = true
	}
}

// takeNet looks for the sum over setups: a coupled outfit that reads exactly
// what its vehicle and its trailer read alone. The trailer's is then the
// figure that nobody weighed.
func (j *jobReader) takeNet(s *sumSearch, gross summand) {
	if !gross.State.Coupled() || gross.deck != s.coupled || s.taken[gross.Reading] {
		return
	}
	for _, tare := range s.lines {
		if tare.State != VehicleAlone || tare.deck != s.vehicle || !gross.sameVisit(tare) || s.taken[tare.Reading] {
			continue
		}
		for _, net := range s.lines {
			whole := net.State == TrailerAlone && net.deck == s.trailer
			if whole && !net.Calculated && gross.sameVisit(net) && tare.Kg.Add(net.Kg).Equal(gross.Kg) {
				j.takeSum(s, net)
			}
		}
	}
}

// The supports of whole states; they are not for changing.
var (
	wholeOutfit  = spelt(CoupledSlack)
	wholeVehicle = spelt(VehicleAlone)
	wholeTrailer = spelt(TrailerAlone)
)

// spelt gives the supports of a whole state.
func spelt(s State) []Term {
	var terms []Term
	for _, g := range s.groups() {
		terms = append(terms, Term{Group: g})
	}
	return terms
}

// wholeTrailer gives the supports that carry a trailer alone.
func (j *jobReader) wholeTrailer() []Term {
	if j.job.Outfit.Drawbar {
		return wholeTrailer[:1] // without a nose
	}
	return wholeTrailer
}

// sameVisit says whether two lines of different setups can be figures of one
// printed sum.
func (r summand) sameVisit(o summand) bool {
	return r.Ticket == o.Ticket && r.Scale == o.Scale
}

// sameDraft says whether a line can be a part of a printed sum r.
func (r summand) sameDraft(o summand) bool {
	people := r.People == nil && o.People == nil || r.People != nil && o.People != nil && *r.People == *o.People
	time := r.WeighedAt.Typed == "" || o.WeighedAt.Typed == "" || r.WeighedAt.Printed == o.WeighedAt.Printed
	return r.sameVisit(o) && r.State == o.State && r.HitchUnknown == o.HitchUnknown && people && time &&
		sameNames(r.With, o.With) && sameNames(r.Without, o.Without)
}

// sameNames says whether two lists hold the same names in any order.
func sameNames(a, b []string) bool {
	return len(a) == len(b) && (len(a) == 0 || slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))))
}

// isSum says whether three or more other lines split the deck of a line exactly
// and add up to it.
func (s *sumSearch) isSum(total summand) bool {
	if total.UseStated && !total.Used || s.taken[total.Reading] {
		return false
	}
	var parts []summand
	for _, l := range s.lines {
		inside := l.deck&^total.deck == 0 && l.deck != total.deck
		if inside && !l.Calculated && total.sameDraft(l) {
			parts = append(parts, l)
		}
	}
	s.steps = 0
	return s.split(total.deck, total.Kg, 0, parts)
}

// split says whether parts cover a deck exactly and add up to what is left.
func (s *sumSearch) split(deck wheels, left decimal.Decimal, used int, parts []summand) bool {
	if deck == 0 {
		return used >= leastParts && left.IsZero()
	}
	next := deck & -deck // the part that holds the first wheel not covered yet
	for _, p := range parts {
		if s.steps++; s.steps > mostSteps {
			return false
		}
		if p.deck&next != 0 && p.deck&^deck == 0 && s.split(deck&^p.deck, left.Sub(p.Kg), used+1, parts) {
			return true
		}
	}
	return false
}
