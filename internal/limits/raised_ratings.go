package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// raisedWith lists, for each gross rating, the ratings that a higher one is of
// no use without: a gross rating raised while an axle, tyre, towing or
// combination rating stays is the usual trap.
//
// Source: common practice, no source.
var raisedWith = []struct {
	gross string
	on    []tickets.Group // axle, tyre and wheel lines that count
	words []string
}{
	{"gvm", []tickets.Group{tickets.Front, tickets.Rear}, []string{"axle", "tyre", "wheel", "gcm", "towing"}},
	{"atm", []tickets.Group{tickets.Trailer}, []string{"gtm", "axle", "tyre", "wheel", "gcm", "towing", "d_value"}},
	{"gtm", []tickets.Group{tickets.Trailer}, []string{"axle", "tyre", "wheel", "gcm"}},
	{"gcm", nil, []string{"towing", "d_value"}},
}

// ofRaised cautions of each gross rating that a set, or a certificate in
// force, raises while a rating that goes with it stays.
//
// A vehicle may carry what the weakest of its ratings allows: tyres and wheels, springs,
// axle, gross mass, combination (contract, section 3, sets). So a certificate for one of
// them helps only if the others allow as much already, and its owner has to look.
func (h *checker) ofRaised() []caution {
	var all []caution
	for _, set := range h.sets {
		for _, g := range raisedWith {
			// A set that leaves the gross rating alone or lowers it promises nothing.
			if !h.raised(set, g.gross) {
				continue
			}
			var stay []regions.On
			for i := range h.job.Ratings {
				r := &h.job.Ratings[i]
				// What stays is named, each once: a line per axle would repeat the
				// rating.
				if slices.Contains(g.words, r.Word) && h.goesWith(r, g.on) && h.stays(i, set) {
					stay = append(stay, regions.On{Rating: r.Word, On: r.On})
				}
			}
			if len(stay) > 0 {
				all = append(all, caution{Code: "raised_alone", Args: Args{Rating: g.gross, Set: set, Ratings: slices.Compact(stay)}})
			}
		}
	}
	return all
}

// raised reports whether a set's rating is above the one in force, or for ""
// the one in force above a replaced one.
func (h *checker) raised(set, word string) bool {
	// For a set the plate is before and the set after; for the ratings in force the
	// replaced plate is before and what replaced it after.
	was := held
	if set == "" {
		was = replaced
	}
	before := h.figure(word, "", was)
	if !before.Valid {
		return false
	}
	after := h.figure(word, set, held)
	return after.Valid && after.Decimal.GreaterThan(before.Decimal)
}

// figure is the lowest limit of a rating's lines of a set and status.
func (h *checker) figure(word, set string, status status) decimal.NullDecimal {
	var least decimal.NullDecimal
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if r.Word != word || r.Set != set || h.st.status[i] != status || !r.LimitKg.Valid {
			continue
		}
		// The lowest governs, so the lowest is what has to be raised.
		if !least.Valid || r.LimitKg.Decimal.LessThan(least.Decimal) {
			least = r.LimitKg
		}
	}
	return least
}

// goesWith reports whether a line on supports is on the groups given.
func (h *checker) goesWith(r *tickets.Rating, on []tickets.Group) bool {
	for _, t := range r.Terms {
		if !slices.Contains(on, t.Group) {
			return false
		}
	}
	return true
}

// stays reports whether line i, as plated and in force, has no line of the
// same rating and `on` in the set, or for "" no replaced one before it.
func (h *checker) stays(i int, set string) bool {
	r := &h.job.Ratings[i]
	if r.Set != "" || h.st.status[i] != held {
		return false
	}
	for j := range h.job.Ratings {
		o := &h.job.Ratings[j]
		if o.Word != r.Word || o.On != r.On || o.Set != set {
			continue
		}
		if set != "" && h.st.status[j] == held || set == "" && h.st.status[j] == replaced {
			return false
		}
	}
	return true
}
