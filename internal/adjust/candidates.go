package adjust

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// anyWeighbridge is the scale that a job without one is advised to use. No form can
// hold its name, nor that of anyGauge: they start with a control character. Nothing but
// its kind is known of it, and its interval is a usual one.
var anyWeighbridge = tickets.Scale{
	Name: "\x01weighbridge", Class: "III",
	IntervalKg: decimal.NewNullDecimal(decimal.NewFromInt(20)),
}

// anyGauge is a gauge under the coupling, which can be bought.
var anyGauge = tickets.Scale{
	Name: "\x01gauge", Class: "III", Gauge: true,
	IntervalKg: decimal.NewNullDecimal(decimal.NewFromInt(2)),
}

// candidate is a further reading that could be taken, and on what: a scale of the job
// or a new one. Its figure is filled in when the job is solved with it.
type candidate struct {
	Reading tickets.Reading
	Scale   tickets.Scale
}

// toTake is a reading that is still to be taken on a scale, with its interval.
func toTake(state tickets.State, scale *tickets.Scale, terms []tickets.Term) tickets.Reading {
	return tickets.Reading{
		State: state, Terms: terms, OnDeck: tickets.Spell(terms...),
		Scale: scale.Name, IntervalKg: scale.IntervalKg.Decimal, Unit: "kg", Used: true,
	}
}

// candidates lists every further reading that one drive over a deck can give:
// each state and set of supports on each kind of deck the job has used (else a
// class III weighbridge with a single deck, e = 20 kg), and last a gauge under
// the coupling of the trailer alone (class III, e = 2 kg), but of a drawbar trailer. The
// hitch is slack; also tensioned where the outfit travels so, or was weighed so.
func candidates(job *tickets.Job) []candidate {
	var all []candidate
	for _, scale := range decksAtHand(job) {
		for _, state := range statesAtHand(job) {
			for _, terms := range supportsIn(&job.Outfit, state) {
				all = append(all, candidate{toTake(state, &scale, terms), scale})
			}
		}
	}
	if job.Outfit.Drawbar {
		return all
	}
	return append(all, onGauge())
}

// onGauge is the one reading that shows the download by itself, on a cheap
// instrument that can be bought.
func onGauge() candidate {
	return candidate{toTake(tickets.TrailerAlone, &anyGauge, terms([]tickets.Group{tickets.Coupling})), anyGauge}
}

// decksAtHand is one scale of each kind of deck that the job used, in the order
// of the kinds, each with an interval.
func decksAtHand(job *tickets.Job) []tickets.Scale {
	var first [4]*tickets.Scale
	for i := range job.Scales {
		scale := job.Scales[i]
		if kind := deckKind(&scale); !scale.Gauge && first[kind] == nil && readOn(job, &scale) {
			first[kind] = &scale
		}
	}
	var all []tickets.Scale
	for _, scale := range first {
		if scale != nil {
			all = append(all, *scale)
		}
	}
	if len(all) == 0 {
		all = append(all, anyWeighbridge)
	}
	return all
}

// deckKind is the place of a deck in the order of the kinds: single, multi, pads,
// pads in turn.
func deckKind(s *tickets.Scale) int {
	switch {
	case s.InTurn:
		return 3
	case s.Pads:
		return 2
	case s.Multi:
		return 1
	}
	return 0
}

// readOn says whether a scale has a used reading, and gives it that one's
// interval where the scale states none. A scale that only ever was a gauge is
// no deck.
func readOn(job *tickets.Job, scale *tickets.Scale) bool {
	for _, r := range usedReadings(job) {
		if r.Scale != scale.Name || len(r.Terms) == 1 && r.Terms[0].Group == tickets.Coupling {
			continue
		}
		if !scale.IntervalKg.Valid {
			scale.IntervalKg = decimal.NewNullDecimal(r.IntervalKg)
		}
		return true
	}
	return false
}

// usedReadings are the readings of a job that are observations of a load: those of the
// job itself, as they are large and often gone through.
func usedReadings(job *tickets.Job) []*tickets.Reading {
	used := make([]*tickets.Reading, 0, len(job.Readings))
	for i := range job.Readings {
		if r := &job.Readings[i]; r.Used && !r.Empty {
			used = append(used, r)
		}
	}
	return used
}

// statesAtHand lists how an outfit can come to the deck.
func statesAtHand(job *tickets.Job) []tickets.State {
	all := []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone, tickets.CoupledSlack}
	tensioned := slices.ContainsFunc(usedReadings(job), func(r *tickets.Reading) bool { return r.State == tickets.CoupledTensioned })
	if tensioned || job.Outfit.Travels == tickets.CoupledTensioned {
		all = append(all, tickets.CoupledTensioned)
	}
	return all
}

// supportsIn lists what can be on one deck in a state: groups, then
// the axles of groups that have several.
func supportsIn(o *tickets.Outfit, state tickets.State) [][]tickets.Term {
	var all [][]tickets.Term
	seen := map[tickets.Group]bool{}
	for _, groups := range derive.DecksOf(o, state) {
		if groups[0] == tickets.Coupling {
			continue
		}
		all = append(all, terms(groups))
		seen[groups[0]] = true
	}
	for _, g := range []tickets.Group{tickets.Rear, tickets.Trailer} {
		for a := 1; seen[g] && o.Axles(g) > 1 && a <= o.Axles(g); a++ {
			all = append(all, []tickets.Term{{Group: g, Axle: a}})
		}
	}
	return all
}

// terms are groups as one set of supports, each with all its axles and both
// sides.
func terms(groups []tickets.Group) []tickets.Term {
	var all []tickets.Term
	for _, g := range groups {
		all = append(all, tickets.Term{Group: g})
	}
	return all
}
