package mistakes

import (
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// injected is one mistake put into a form: right is the job as it should have
// been typed, wrong the form as it is.
type injected struct {
	kind        kind
	right, form *tickets.Job
	is          func(m *Mistake) bool // the mistake that was made
	ideal       func(i int) float64   // a figure of the form, had the scale no error
}

// inject makes one mistake of a kind in a job of the world's design; false
// where this design has no place for it.
func (w *world) inject(of kind) (injected, bool) {
	right := w.job()
	w.design(right)
	in := injected{kind: of, right: right}
	change := map[kind]func(*injected) bool{
		digitsSwapped: w.swapDigits, digitWrong: w.spoilDigit, unitWrong: w.spoilUnit, exchanged: w.exchangeTwo,
		hitchWrong: w.spoilHitch, loadWrong: w.spoilLoad, setupWrong: w.spoilSetup, calculated: w.typeTotal, lengthWrong: w.spoilLength,
		digitCount: w.countWrong, zeroWrong: w.offZero,
	}[of]
	ok := change(&in)
	if ok && in.ideal == nil {
		in.ideal = func(i int) float64 { return w.onDeck(&right.Readings[i]) }
	}
	if ok && in.is == nil {
		want := text(in.right)
		in.is = func(m *Mistake) bool { return m.Kind == of && text(m.Job) == want }
	}
	return in, ok
}

// draw weighs the job as it was and copies it with a change.
func (w *world) copyWrong(in *injected, change func(*tickets.Job)) {
	w.weigh(in.right)
	in.form = changed(in.right, change)
}

func (w *world) any(job *tickets.Job) int { return w.rng.IntN(len(job.Readings)) }

func (w *world) swapDigits(in *injected) bool {
	w.weigh(in.right)
	i := w.any(in.right)
	d := []byte(in.right.Readings[i].Typed)
	a := w.rng.IntN(len(d) - 1)
	b := a + 1
	if w.rng.IntN(5) == 0 {
		b = a + 1 + w.rng.IntN(len(d)-a-1)
	}
	d[a], d[b] = d[b], d[a]
	return w.retype(in, i, string(d))
}

func (w *world) spoilDigit(in *injected) bool {
	w.weigh(in.right)
	i := w.any(in.right)
	d := []byte(in.right.Readings[i].Typed)
	d[w.rng.IntN(len(d))] = byte('0' + w.rng.IntN(10))
	return w.retype(in, i, string(d))
}

// countWrong loses a digit, or types one twice.
func (w *world) countWrong(in *injected) bool {
	w.weigh(in.right)
	i := w.any(in.right)
	d := in.right.Readings[i].Typed
	a := w.rng.IntN(len(d))
	if w.rng.IntN(2) == 0 {
		return len(d) > 1 && w.retype(in, i, d[:a]+d[a+1:])
	}
	return w.retype(in, i, d[:a+1]+d[a:])
}

// offZero shows 1 to 10 intervals with nothing on the deck of one scale.
func (w *world) offZero(in *injected) bool {
	scale := in.right.Readings[w.any(in.right)].Scale
	n := decimal.NewFromInt(int64(1 + w.rng.IntN(10)))
	w.weigh(in.right)
	in.form = changed(in.right, func(j *tickets.Job) {
		for k := range j.Readings {
			if r := &j.Readings[k]; r.Scale == scale {
				r.Kg = r.Kg.Add(n.Mul(r.IntervalKg))
				r.Typed = r.Kg.String()
			}
		}
	})
	in.ideal = func(k int) float64 {
		return w.onDeck(&in.right.Readings[k]) + in.form.Readings[k].Kg.Sub(in.right.Readings[k].Kg).InexactFloat64()
	}
	in.is = func(m *Mistake) bool { return m.Kind == zeroWrong && in.right.Readings[m.Readings[0]].Scale == scale }
	return true
}

func (w *world) retype(in *injected, i int, figure string) bool {
	if figure[0] == '0' || figure == in.right.Readings[i].Typed {
		return false
	}
	in.form = changed(in.right, func(j *tickets.Job) {
		j.Readings[i].Typed, j.Readings[i].Kg = figure, decimal.RequireFromString(figure)
	})
	in.ideal = func(k int) float64 {
		off := in.form.Readings[k].Kg.Sub(in.right.Readings[k].Kg).InexactFloat64()
		return w.onDeck(&in.right.Readings[k]) + off
	}
	return true
}

// spoilUnit: kilograms typed as pounds or tonnes, pounds as kilograms; one
// figure or all of a ticket. An interval on the line goes with the unit.
func (w *world) spoilUnit(in *injected) bool {
	which := w.rng.IntN(3)
	if which == 1 {
		w.weighInPounds(in.right)
	} else {
		w.weigh(in.right)
	}
	wrong := func(r *tickets.Reading) {
		by, unit := [...]decimal.Decimal{pound, decimal.NewFromInt(1), thousand}[which], [...]string{"lb", "kg", "t"}[which]
		r.Unit, r.Kg, r.IntervalKg = unit, decimal.RequireFromString(r.Typed).Mul(by), decimal.NewFromFloat(w.e).Mul(by)
	}
	i := w.any(in.right)
	ticket := w.rng.IntN(2) == 0
	in.form = changed(in.right, func(j *tickets.Job) {
		for k := range j.Readings {
			if k == i || ticket && j.Readings[k].Ticket == j.Readings[i].Ticket {
				wrong(&j.Readings[k])
			}
		}
	})
	in.ideal = func(k int) float64 {
		return w.onDeck(&in.right.Readings[k]) * in.form.Readings[k].Kg.InexactFloat64() / in.right.Readings[k].Kg.InexactFloat64()
	}
	return true
}

// weighInPounds weighs on a scale whose interval is 20 or 50 lb.
func (w *world) weighInPounds(job *tickets.Job) {
	e := decimal.NewFromInt([]int64{20, 20, 50}[w.rng.IntN(3)])
	w.e = e.Mul(pound).InexactFloat64()
	w.weigh(job)
	w.e = e.InexactFloat64()
	for i := range job.Readings {
		r := &job.Readings[i]
		lb := decimal.NewFromFloat(r.Kg.InexactFloat64() / pound.InexactFloat64() / w.e).Round(0).Mul(e)
		r.Typed, r.Unit, r.Kg, r.IntervalKg = lb.String(), "lb", lb.Mul(pound), e.Mul(pound)
	}
}

func (w *world) exchangeTwo(in *injected) bool {
	i := w.any(in.right)
	k := w.any(in.right)
	if i == k || in.right.Readings[i].Ticket != in.right.Readings[k].Ticket {
		return false
	}
	w.copyWrong(in, func(j *tickets.Job) { exchange(&j.Readings[i], &j.Readings[k]) })
	in.ideal = func(n int) float64 {
		switch n {
		case i:
			n = k
		case k:
			n = i
		}
		return w.onDeck(&in.right.Readings[n])
	}
	return !in.right.Readings[i].Kg.Equal(in.right.Readings[k].Kg)
}

func (w *world) spoilHitch(in *injected) bool {
	other := map[tickets.State]tickets.State{tickets.CoupledSlack: tickets.CoupledTensioned, tickets.CoupledTensioned: tickets.CoupledSlack}
	i := w.any(in.right)
	r := in.right.Readings[i]
	tensioned := slices.ContainsFunc(in.right.Readings, func(o tickets.Reading) bool { return o.State == tickets.CoupledTensioned })
	if !r.State.Coupled() || !tensioned {
		return false
	}
	whole := w.rng.IntN(2) == 0
	w.copyWrong(in, func(j *tickets.Job) {
		for k := range j.Readings {
			if k == i || whole && j.Readings[k].Ticket == r.Ticket {
				j.Readings[k].State = other[r.State]
			}
		}
	})
	return true
}

// spoilLoad: the driver, or a person nobody listed, was on board or not against
// the form; on a line or a ticket.
func (w *world) spoilLoad(in *injected) bool {
	i := w.any(in.right)
	r := in.right.Readings[i]
	name := []string{"driver", unlistedPerson}[w.rng.IntN(2)]
	onBoard := name == unlistedPerson && w.rng.IntN(2) == 0
	if !couldBear(&r, in.right.Load("driver")) && !(onBoard && r.State == tickets.TrailerAlone && !onGauge(&r)) {
		return false
	}
	whole := w.rng.IntN(2) == 0
	var touched []int
	w.asItWas(in, func(k int, o *tickets.Reading) {
		same := k == i || whole && o.Ticket == r.Ticket
		if !same || !couldBear(o, in.right.Load("driver")) && o.State != tickets.TrailerAlone || onGauge(o) {
			return
		}
		touched = append(touched, k)
		if onBoard {
			o.With = []string{name}
		} else {
			o.Without = []string{name}
		}
	})
	listed := name
	if name == unlistedPerson {
		listed = "" // in a list; a hypothesis has the name
	}
	in.is = func(m *Mistake) bool {
		return m.Kind == loadWrong && (m.Load == name || m.Load == listed) && m.OnBoard == onBoard && slices.Equal(m.Readings, touched)
	}
	return len(touched) > 0
}

// asItWas weighs the job with what was on board, and types it without saying so.
func (w *world) asItWas(in *injected, change func(int, *tickets.Reading)) {
	for k := range in.right.Readings {
		change(k, &in.right.Readings[k])
	}
	w.weigh(in.right)
	in.form = changed(in.right, func(j *tickets.Job) {
		for k := range j.Readings {
			j.Readings[k].With, j.Readings[k].Without = nil, nil
		}
	})
	in.right.Loads = append(slices.Clone(in.right.Loads), tickets.Load{Name: unlistedPerson, Kg: decimal.NewFromInt(personKg), UKg: personU, On: tickets.OnVehicle})
	for k := range in.right.Readings {
		if r := &in.right.Readings[k]; r.State == tickets.TrailerAlone && len(r.With) > 0 {
			in.right.Loads[1].On = tickets.OnTrailer
		}
	}
}

// spoilSetup: the jockey wheel off, a wheel too many or too few on the deck,
// or alone for coupled.
func (w *world) spoilSetup(in *injected) bool {
	i := w.any(in.right)
	r := in.right.Readings[i]
	if w.rng.IntN(3) == 0 && r.State != tickets.TrailerAlone && only(&r, vehicleGroups...) {
		w.copyWrong(in, func(j *tickets.Job) {
			x := &j.Readings[i]
			if x.State.Coupled() {
				x.State = tickets.VehicleAlone
			} else {
				x.State = tickets.CoupledSlack
			}
		})
		return true
	}
	others := otherTerms(&in.right.Outfit, &r)
	typedAs := others[w.rng.IntN(len(others))]
	w.copyWrong(in, func(j *tickets.Job) { j.Readings[i].Terms = typedAs })
	return true
}

// typeTotal: what two figures of the ticket give was typed for what it is not.
func (w *world) typeTotal(in *injected) bool {
	w.weigh(in.right)
	i, k := w.any(in.right), w.any(in.right)
	a, b := in.right.Readings[i], in.right.Readings[k]
	if i == k || a.Ticket != b.Ticket {
		return false
	}
	sum := a
	sum.Line, sum.Used, sum.Calculated = len(in.right.Readings)+2, false, true
	if w.rng.IntN(2) == 0 {
		sum.Kg = a.Kg.Add(b.Kg)
	} else {
		sum.Kg = a.Kg.Sub(b.Kg).Abs()
	}
	sum.Typed = sum.Kg.String()
	all := derive.DecksOf(&in.right.Outfit, a.State)
	sum.Terms = termsOf(all[w.rng.IntN(len(all))])
	same := func(o *tickets.Reading) bool { return o.State == sum.State && slices.Equal(o.Terms, sum.Terms) }
	if !sum.Kg.IsPositive() || same(&a) || same(&b) {
		return false
	}
	in.right.Readings = append(in.right.Readings, sum)
	in.ideal = func(n int) float64 {
		switch {
		case n < len(in.right.Readings)-1:
			return w.onDeck(&in.right.Readings[n])
		case sum.Kg.Equal(a.Kg.Add(b.Kg)):
			return w.onDeck(&a) + w.onDeck(&b)
		}
		return math.Abs(w.onDeck(&a) - w.onDeck(&b))
	}
	in.form = changed(in.right, func(j *tickets.Job) { j.Readings[sum.Line-2].Used, j.Readings[sum.Line-2].Calculated = true, false })
	return true
}

// spoilLength: one length wrong, by a factor of up to two and a half.
func (w *world) spoilLength(in *injected) bool {
	if !in.right.Outfit.Wheelbase.Known {
		return false
	}
	lengths := []string{"wheelbase", "rear_axle_to_coupling", "coupling_to_trailer_axle", "nose_support_to_trailer_axle"}
	length := lengths[w.rng.IntN(len(lengths))]
	w.weigh(in.right)
	by := 1.2 + 1.3*w.rng.Float64()
	if w.rng.IntN(2) == 0 {
		by = 1 / by
	}
	in.form = changed(in.right, func(j *tickets.Job) {
		at := map[string]*tickets.Length{
			"wheelbase": &j.Outfit.Wheelbase, "rear_axle_to_coupling": &j.Outfit.RearAxleToCoupling,
			"coupling_to_trailer_axle": &j.Outfit.CouplingToTrailerAxle, "nose_support_to_trailer_axle": &j.Outfit.NoseSupportToTrailerAxle,
		}[length]
		at.Mm *= by
	})
	s, err := derive.Solve(in.form, derive.Options{})
	if err != nil {
		return false
	}
	ties := newSearch(s).tiesUsing(length)
	in.is = func(m *Mistake) bool { return m.Kind == lengthWrong && slices.Equal(m.Ties, ties) }
	return len(ties) > 0
}
