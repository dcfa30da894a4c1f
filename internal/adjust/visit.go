package adjust

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// stopover is one placing of the outfit on the deck, and the readings it gives:
// one on a single deck, one per group or wheel on the others.
type stopover struct{ Readings []tickets.Reading }

// drive is one drive over the deck, with its stops in the order of driving. A
// gauge under the coupling is a drive of its own, though nothing is driven.
type drive struct {
	// CrossChecks: its stops are further ones, under which a mistake would show.
	CrossChecks bool
	State       tickets.State
	Gauge       bool // under the coupling
	Stops       []stopover
}

// visitCheck is a deciding check and what the plan is worth to it. Uncertainties
// are standard, in kilograms, for a D-value in kilonewtons.
type visitCheck struct {
	Check      limits.Check
	Determined bool    // by the drives of the plan
	U          float64 // then; 0 where not determined
	Checked    bool    // with the cross-checks too
	// MistakeKg is the largest effect that a mistake could have unseen with the
	// cross-checks too; nil where a reading stays unchecked.
	MistakeKg *float64
}

// mind is the code of something to see to before going.
type mind string

// What to mind, in the order it is said.
const (
	mindLoad    mind = "load"    // as it travels: fuel, water, people or their number
	mindDeck    mind = "deck"    // ask before going: length of the deck, level approach, weighing in parts
	mindBrakes  mind = "brakes"  // off, in every reading of a part
	mindHitch   mind = "hitch"   // the same tension as on the road; slack where said
	mindNose    mind = "nose"    // jockey wheel on the deck with the trailer alone, up when coupled
	mindPads    mind = "pads"    // every wheel on a pad or a dummy
	mindGauge   mind = "gauge"   // at towing height
	mindLengths mind = "lengths" // lengths that would let ties help
	mindRatings mind = "ratings" // not given yet
	mindTicket  mind = "ticket"  // what the operator should write
)

// VisitPlan answers which weighings the ratings of a job need, in which order,
// on one kind of deck.
type VisitPlan struct {
	Scale tickets.Scale
	// Drives determine every deciding check that any reading can, without
	// leaning on a length: the fewest drives, and in them the fewest stops. Those that
	// cross-check come after all others.
	Drives   []drive
	Checks   []visitCheck
	NotGiven []regions.On
	Taken    int // used readings that the job has already
	Mind     []mind
}

// Visit plans the weighings that a job's ratings need, on the kind of deck
// that its scale has, else on a single deck (class III, e = 20 kg). Readings
// that it has already count. It fails where the job cannot be solved.
//
// A job without any rating gets the plan that would serve the usual ones: every
// axle, the whole trailer and the download.
//
// It asks stop before each job that it solves; nil never stops. Once the answer
// was yes it fails with [context.Canceled].
func Visit(job *tickets.Job, stop func() bool) (*VisitPlan, error) {
	v, err := newVisit(job, stop)
	if err != nil {
		return nil, err
	}
	if err := v.choose(); err != nil {
		return nil, err
	}
	if err := v.crossCheck(); err != nil {
		return nil, err
	}
	return v.plan()
}

// visit is a plan in the making: all stops that can be made, and which of them
// are chosen.
type visit struct {
	job     *tickets.Job
	scale   tickets.Scale
	needs   []limits.Check
	given   []regions.On
	stops   []placed
	chosen  map[int]bool
	further map[int]bool
	taken   int
	stop    func() bool // nil: never
}

// placed is a stop and the drive it belongs to.
type placed struct {
	state tickets.State
	stopover
	gauge bool
	scale tickets.Scale
}

func newVisit(job *tickets.Job, stop func() bool) (*visit, error) {
	s, err := derive.Solve(rated(job), derive.Options{})
	if err != nil {
		return nil, fmt.Errorf("a plan of the visit: %w", err)
	}
	v := &visit{job: s.Job, scale: deckOf(job), chosen: map[int]bool{}, further: map[int]bool{}, taken: len(usedReadings(job)), stop: stop}
	f := limits.Find(v.job, s, limits.Guarded)
	for _, c := range f.Deciding {
		v.needs = append(v.needs, *c)
	}
	v.given = limits.Find(job, s, limits.Guarded).NotGiven
	return v, v.listStops(s)
}

// rated gives a job without ratings those whose loads everybody asks for; no
// figure of theirs is ever shown.
func rated(job *tickets.Job) *tickets.Job {
	if len(job.Ratings) > 0 {
		return job
	}
	c := *job
	for _, r := range []struct{ word, on string }{{"axle", "front"}, {"axle", "rear"}, {"axle", "trailer"}, {"atm", ""}, {"download_max", ""}} {
		rating := tickets.Rating{Word: r.word, On: r.on, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(2000))}
		if r.on != "" {
			rating.Terms = []tickets.Term{{Group: tickets.Group(r.on)}}
		}
		c.Ratings = append(c.Ratings, rating)
	}
	return &c
}

// deckOf is the first scale of the job that is a deck, else any weighbridge.
func deckOf(job *tickets.Job) tickets.Scale {
	scale := anyWeighbridge
	for i := range job.Scales {
		if !job.Scales[i].Gauge {
			scale = job.Scales[i]
			break
		}
	}
	if !scale.IntervalKg.Valid {
		scale.IntervalKg = anyWeighbridge.IntervalKg
	}
	return scale
}

// plan writes the chosen stops down.
func (v *visit) plan() (*VisitPlan, error) {
	first, err := v.evaluate(v.chosen)
	if err != nil {
		return nil, err
	}
	then, err := v.evaluate(v.both(v.further, -1, false))
	if err != nil {
		return nil, err
	}
	p := &VisitPlan{Scale: v.scale, NotGiven: v.given, Taken: v.taken, Checks: first.checks}
	for i := range p.Checks {
		p.Checks[i].Checked, p.Checks[i].MistakeKg = then.checks[i].Checked, then.checks[i].MistakeKg
	}
	p.Drives = append(v.drives(v.chosen, false), v.drives(v.further, true)...)
	p.Mind = v.mind(p)
	return p, nil
}

// drives sorts stops into drives.
func (v *visit) drives(set map[int]bool, crossChecks bool) []drive {
	var all []drive
	last := placed{}
	for i := range v.stops {
		p := v.stops[i]
		if !set[i] {
			continue
		}
		if len(all) == 0 || p.state != last.state || p.gauge != last.gauge {
			all = append(all, drive{CrossChecks: crossChecks, State: p.state, Gauge: p.gauge})
		}
		all[len(all)-1].Stops = append(all[len(all)-1].Stops, p.stopover)
		last = p
	}
	return all
}

// mind lists what to see to before going, for the weighings of the plan.
func (v *visit) mind(p *VisitPlan) []mind {
	gauge := p.hasGauge()
	pads := v.scale.Pads
	o := &v.job.Outfit
	unknown := !o.Wheelbase.Known || !o.RearAxleToCoupling.Known
	if !o.Drawbar { // a hinged drawbar has no tie of the trailer's lengths
		unknown = unknown || !o.CouplingToTrailerAxle.Known || !o.NoseSupportToTrailerAxle.Known
	}
	var all []mind
	for _, m := range []struct {
		mind mind
		when bool
	}{
		{mindRatings, len(p.NotGiven) > 0}, {mindLengths, unknown}, {mindLoad, true}, {mindDeck, !pads}, {mindPads, pads},
		{mindBrakes, true}, {mindHitch, o.Travels == tickets.CoupledTensioned || !o.TravelsStated}, {mindNose, true}, {mindGauge, gauge}, {mindTicket, true},
	} {
		if m.when {
			all = append(all, m.mind)
		}
	}
	return all
}

// hasGauge says whether the plan needs a gauge under the coupling.
func (p *VisitPlan) hasGauge() bool {
	return slices.ContainsFunc(p.Drives, func(d drive) bool { return d.Gauge })
}
