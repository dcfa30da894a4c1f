package limits

import (
	"slices"

	"reconcile/internal/tickets"
)

// The codes of what a value rests on beyond the readings.
const (
	equalShare    = "equal_share" // of a load by several tyres
	fittedAssumed = "fitted"      // how many tyres: one on each end of an axle
	scaleClass    = "scale_class"
	deck          = "deck"
	interval      = "interval"
	split         = "split"
	travelsSo     = "travels"
)

// assumedBehind lists what nobody typed of the instruments of the readings
// behind a value, and of how the outfit travels.
func (h *checker) assumedBehind(c *Check, behind []int) []string {
	var codes []string
	// Only of the readings that the value rests on: a scale that another load was
	// weighed on has no part in it.
	assumed := h.assumptions()
	for k, code := range ofInstruments {
		if slices.ContainsFunc(behind, func(i int) bool { return assumed[i][k] }) {
			codes = append(codes, code)
		}
	}
	// Which state decides was then taken from the readings, and a D-value is of that
	// state too.
	if !h.job.Outfit.TravelsStated && (c.State == h.job.Outfit.Travels || c.LimitKN.Valid) {
		codes = append(codes, travelsSo)
	}
	return codes
}

// ofScale says of each of ofInstruments whether it was assumed.
type ofScale [len(ofInstruments)]bool

// ofInstruments are the codes of what was assumed of a reading's scale.
var ofInstruments = [...]string{scaleClass, deck, interval, split}

// assumptions says of each reading, and each of these codes, whether it was assumed;
// every row asks for those behind it, and they are found once.
func (h *checker) assumptions() []ofScale {
	if h.assumed == nil {
		h.assumed = h.memory.assumed.List(len(h.job.Readings))
		for i := range h.job.Readings {
			r := &h.job.Readings[i]
			s := h.job.Scale(r.Scale)
			for k, code := range ofInstruments {
				h.assumed[i][k] = assumedOf(s, r, code)
			}
		}
	}
	return h.assumed
}

// assumedOf reports whether what a code names was not typed of a reading's scale.
func assumedOf(s *tickets.Scale, r *tickets.Reading, code string) bool {
	// No scales.csv, or no line of it: class, deck and interval were all assumed.
	if s == nil {
		return code != split
	}
	switch code {
	case scaleClass: // a gauge of class none without a certificate has one assumed
		return s.Typed["class"] == "" || s.Class == "none" && !s.ExpandedKg.Valid
	case deck:
		return s.Typed["deck"] == ""
	case interval:
		return r.IntervalAssumed
	case split:
		return s.InTurn && !(s.SplitKg.Valid && s.Typed["split_uncertainty"] != "")
	}
	return false
}

// ofAssumed cautions of each assumption that a number rests on, once per scale.
//
// Marked wherever it is printed (contract, guides): a class III that is a class IIII has
// several times the error.
func (h *checker) ofAssumed(f *Findings) []caution {
	var all []caution
	for _, code := range ofInstruments {
		if !f.restsOn(code) {
			continue
		}
		for i := range h.job.Scales {
			if s := &h.job.Scales[i]; h.assumedOn(code, s.Name) {
				all = append(all, caution{Code: "assumed", Args: Args{Of: code, Name: s.Name}})
			}
		}
	}
	if f.restsOn(travelsSo) {
		all = append(all, caution{Code: "assumed", Args: Args{Of: travelsSo}})
	}
	return all
}

// restsOn reports whether some number rests on what a code names.
func (f *Findings) restsOn(code string) bool {
	for i := range f.Checks {
		if slices.Contains(f.Checks[i].Assumed, code) {
			return true
		}
	}
	return false
}

// assumedOn reports whether a used reading on a scale has what a code names assumed.
func (h *checker) assumedOn(code, scale string) bool {
	return slices.ContainsFunc(h.usedReadings(), func(r *tickets.Reading) bool {
		return r.Scale == scale && assumedOf(h.job.Scale(scale), r, code)
	})
}

// ofZeros cautions of each scale of which a zero that did not return would not
// show: no reading of an empty deck, and no reading that an error common to all
// would set against the others.
func (h *checker) ofZeros() []caution {
	// In a conflict a zero is among the mistakes that are tried, and untested readings
	// say it of everything.
	if a := h.s.Agreement; a.DOF == 0 || a.Conflict {
		return nil
	}
	var all []caution
	for _, zero := range h.s.Doubts().Zeros {
		if zero.Shows < seenZero {
			all = append(all, caution{Code: "zero_unseen", Args: Args{Name: zero.Scale}})
		}
	}
	return all
}

// seenZero is the part of a common error of a scale's readings that has to be
// left in the residuals for it to show.
const seenZero = 0.01
