package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// question is what is not impossible but hardly right, asked at a line of a
// form. Until the line confirms it the answer is never within; a question of a
// set (Args.Set) is asked of the set alone.
//
// An instrument reads right and a form is typed as it was meant, and the answer is wrong
// all the same, where a sum of a ticket, a coupled reading or a plate in pounds was
// taken for something else. Such a figure cannot be refused, as it may be true, and must
// not pass, as it may not: so it is asked (contract, section 3, questions).
type question struct {
	Code, File string
	Line       int
	Answered   bool // the line's `confirmed` has the code
	Args       Args
}

const (
	ticketsForm = "tickets.csv"
	ratingsForm = "ratings.csv"
	outfitForm  = "outfit.csv"
)

// questions lists all that is asked, in the order of the contract: first of
// the readings, then of the ratings.
func (h *checker) questions(f *Findings) []question {
	return append(h.ofReadings(), h.ofRatings()...)
}

// ofReadings asks of the readings.
func (h *checker) ofReadings() []question {
	return slices.Concat(
		h.axleLight(), h.notUncoupled(), h.shareHigh(), h.notAMultiple(), h.leftOutDisagrees(),
		h.withEverywhere(), h.barsUnknown(), h.barsNotStated(),
	)
}

// asked makes a question of a reading's line.
func (h *checker) asked(code string, reading int, args Args) question {
	r := &h.job.Readings[reading]
	return question{Code: code, File: ticketsForm, Line: r.Line, Answered: slices.Contains(r.Confirmed, code), Args: args}
}

// inOrder sorts the questions of one code by the lines asked; equal ones keep
// the order in which they were found.
//
// Within one code the order is that of the form, so that a reader goes down it once.
func inOrder(all []question) []question {
	slices.SortStableFunc(all, func(a, b question) int { return a.Line - b.Line })
	return all
}

// askOfLoad asks at the line of a load: the used reading that it rests on most.
func (h *checker) askOfLoad(code string, q derive.Quantity, args Args) []question {
	// A wrong load comes from one wrong line most often, and the line that moves the
	// load most is the best guess; of equal ones the first (contract: "the line of x").
	at := h.s.Behind(q).Most
	if at < 0 {
		return nil
	}
	return []question{h.asked(code, at, args)}
}

// lightShare is the part of the vehicle below which an axle of it is asked about.
//
// A front or rear axle with less than a fifth of the vehicle is a vehicle of another
// kind, or a sum read as an axle. Common practice, no source.
const lightShare = 0.2

// axleLight asks of an axle of the vehicle that carries, with its U, less than
// 20 % of the vehicle in a state; once an axle, in the first such state.
func (h *checker) axleLight() []question {
	var all []question
	for _, g := range []tickets.Group{tickets.Front, tickets.Rear} {
		for _, state := range threeStates {
			load := h.load(state, g)
			v, u, ok := load.Number()
			vehicle, _, okVehicle := h.load(state, tickets.Front, tickets.Rear).Number()
			if !ok || !okVehicle {
				continue
			}
			least := portable.Kg(float64(lightShare * vehicle))
			// Only where it is surely light: value with U. An axle that was never
			// weighed by itself has a large U and is not asked about.
			if portable.Kg(v+float64(coverage*u)) < least {
				args := Args{On: string(g), State: string(state), Kg: of(v), UKg: of(u), LimitKg: of(least)}
				all = append(all, h.askOfLoad("axle_light", load, args)...)
				break
			}
		}
	}
	return inOrder(all)
}

// leastShare is the share of the trailer below which a download looks as if the
// trailer had not been unhitched.
//
// A trailer that is unhitched for its reading and hitched up for the next puts some per
// cent of its mass on the vehicle; if it never was unhitched, both readings are of the
// same thing and D comes out as nothing.
const leastShare = 0.03

// notUncoupled asks whether the trailer was unhitched where the download, not
// gauged, is nothing within its U, or with its U less than 3 % of the trailer.
func (h *checker) notUncoupled() []question {
	// A reading alone is the claim that is doubted, and a gauge under the coupling
	// proves that the trailer was free of the vehicle: one without the other leaves
	// nothing to ask.
	alone := slices.ContainsFunc(h.usedReadings(), func(r *tickets.Reading) bool { return !r.State.Coupled() })
	q := h.s.Figures().Download
	d, u, ok := q.Number()
	if !ok || !alone || h.gauged() || h.job.Outfit.Drawbar {
		return nil
	}
	t, _, okT := h.s.Figures().TrailerMass.Number()
	okT = okT && t > 0
	// D − U ≤ 0: nothing at the coupling is as likely as what was found.
	low := portable.Kg(d-float64(coverage*u)) <= 0
	if !low && !(okT && portable.Ratio((d+float64(coverage*u))/t) < leastShare) {
		return nil
	}
	args := Args{Kg: of(d), UKg: of(u)}
	if okT {
		args.Value = of(portable.Ratio(d / t))
	}
	return h.askOfLoad("not_uncoupled", q, args)
}

// The share of the trailer above which a download is asked about.
const (
	highShare     = 0.25
	highShareSemi = 0.5
)

// shareHigh asks of a download that, less its U, is more than a quarter of the
// trailer; of a semi-trailer half.
func (h *checker) shareHigh() []question {
	q := h.s.Figures().Download
	d, u, ok := q.Number()
	t, _, okT := h.s.Figures().TrailerMass.Number()
	if !ok || !okT || t <= 0 {
		return nil
	}
	// Common practice, no source: rigid drawbars put a tenth of the trailer on the
	// coupling, semi-trailers up to a third. What is far above comes from a reading of
	// vehicle and trailer taken for one of the vehicle.
	most := highShare
	if h.job.Outfit.Semi {
		most = highShareSemi
	}
	if portable.Ratio((d-float64(coverage*u))/t) <= most {
		return nil
	}
	args := Args{Kg: of(d), UKg: of(u), Value: of(portable.Ratio(d / t)), Limit: of(most)}
	if _, uShare, ok := h.s.Figures().DownloadShare.Number(); ok {
		args.U = &uShare
	}
	return h.askOfLoad("share_high", q, args)
}

// notAMultiple asks of a used reading that is not a multiple of its interval, as reading
// found it: an instrument shows whole multiples of its interval and nothing between.
func (h *checker) notAMultiple() []question {
	var all []question
	for i := range h.job.Readings {
		r := &h.job.Readings[i]
		if r.Used && !r.Empty && r.NotMultiple {
			all = append(all, h.asked("not_a_multiple", i, Args{Typed: r.Typed, Other: inUnit(r)}))
		}
	}
	return all
}

// inUnit is a reading's interval in the reading's unit.
func inUnit(r *tickets.Reading) string {
	if r.Kg.IsZero() {
		return r.IntervalKg.String()
	}
	// The form may be in pounds or tonnes: e in the unit of the figure is e in kilograms
	// by the ratio of the figure to its kilograms, which is exact as typed.
	figure, err := decimal.NewFromString(r.Typed)
	if err != nil {
		return r.IntervalKg.String()
	}
	return r.IntervalKg.Mul(figure).DivRound(r.Kg, 6).String()
}

// leftOutDisagrees asks of a reading left out that does not fit what the others
// say it would have shown.
//
// Leaving out the reading that spoils the answer is the easiest way to be within. A line
// with `use` no keeps its figure as evidence, and is asked about where the others
// contradict it.
func (h *checker) leftOutDisagrees() []question {
	var all []question
	for _, out := range h.s.Doubts().LeftOut {
		args := Args{Typed: h.job.Readings[out.Reading].Typed, Kg: &out.Kg, UKg: &out.U}
		all = append(all, h.asked("left_out_disagrees", out.Reading, args))
	}
	return all
}

// leftOutOver reports whether, with one of the readings left out that disagree
// and are not confirmed, a deciding check would be over.
func (h *checker) leftOutOver(f *Findings) bool {
	for _, q := range f.Questions {
		// A confirmed line was looked into; an open one may be the only true one, and
		// the verdict is then at best unsettled.
		if q.Code == "left_out_disagrees" && !q.Answered && h.overWith(q.Line) {
			return true
		}
	}
	return false
}

// overWith solves the job with the readings of a line that was left out.
func (h *checker) overWith(line int) bool {
	job := *h.job
	job.Readings = slices.Clone(job.Readings)
	for i := range job.Readings {
		if r := &job.Readings[i]; r.Line == line && !r.Used && !r.Calculated {
			r.Used = true
		}
	}
	s, err := derive.Solve(&job, derive.Options{})
	if err != nil {
		return true // not solved: nothing speaks against it
	}
	f := Compare(&job, s, string(h.rule))
	defer f.Release()
	return slices.ContainsFunc(f.Deciding, func(c *Check) bool { return c.Verdict == Over })
}

// withEverywhere asks of a load that every used reading of its unit names as on
// board only when weighed.
func (h *checker) withEverywhere() []question {
	var all []question
	for i := range h.job.Loads {
		l := &h.job.Loads[i]
		// One reading with the load on board is a way to weigh it. Every one of two or
		// more says that it always rides along, and `with` (what does not travel) was
		// misread as `who was on board`: its mass would be taken off every check.
		first, n, everywhere := -1, 0, true
		for j := range h.job.Readings {
			r := &h.job.Readings[j]
			if !r.Used || !standsOn(r, l.On) {
				continue
			}
			if !slices.Contains(r.With, l.Name) {
				everywhere = false
				break
			}
			if n++; first < 0 {
				first = j
			}
		}
		if everywhere && n >= 2 {
			all = append(all, h.asked("with_everywhere", first, Args{Name: l.Name}))
		}
	}
	return inOrder(all)
}

// standsOn reports whether any support of a unit was on the deck.
//
// standsOn is asked by unit, since a load of the trailer has nothing to say of a reading
// of the vehicle alone.
func standsOn(r *tickets.Reading, unit tickets.Unit) bool {
	return slices.ContainsFunc(r.Terms, func(t tickets.Term) bool {
		vehicle := t.Group == tickets.Front || t.Group == tickets.Rear
		return vehicle == (unit == tickets.OnVehicle)
	})
}

// barsUnknown asks at the first used line on which nobody knows how the bars were.
func (h *checker) barsUnknown() []question {
	for i := range h.job.Readings {
		if r := &h.job.Readings[i]; r.HitchUnknown && r.Used {
			return []question{h.asked("bars_unknown", i, Args{})}
		}
	}
	return nil
}

// barsNotStated asks whether there is a load-distribution hitch, where such are
// usual, nothing was said of one, and the trailer is more than two thirds of
// the vehicle. It is answered by filling `travels` in.
func (h *checker) barsNotStated() []question {
	o := &h.job.Outfit
	// Where such hitches are common and one is on the outfit but not typed, tensioned
	// readings would be taken for slack ones and the download come out too small.
	// Filling `travels` in, even with plain, is the answer; so is a hitch stated on any
	// line.
	if !h.region.BarsUsual.Yes || !h.centreAxle() || o.TravelsStated || h.hitchStated() {
		return nil
	}
	t, _, okT := h.s.Figures().TrailerMass.Number()
	v, _, okV := h.load(tickets.VehicleAlone, tickets.Front, tickets.Rear).Number()
	// T > 2/3·V in whole numbers, exact on the grid. A light trailer is seldom levelled
	// by bars.
	if !okT || !okV || portable.Kg(float64(3*t)) <= portable.Kg(float64(2*v)) {
		return nil
	}
	if o.Line > 0 {
		return []question{{Code: "bars_not_stated", File: outfitForm, Line: o.Line}}
	}
	return []question{{Code: "bars_not_stated", File: ticketsForm, Line: 1}}
}

// hitchStated reports whether some line says how the hitch was.
func (h *checker) hitchStated() bool {
	for i := range h.job.Readings {
		if r := &h.job.Readings[i]; r.HitchStated || r.State == tickets.CoupledTensioned {
			return true
		}
	}
	return false
}
