package derive

import (
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// The names of the moment ties.
const (
	tieVehicle = "vehicle"
	tieNose    = "nose"
	tieHitch   = "hitch"
)

// allTies are those that a fit without any leaves out.
var allTies = map[string]bool{tieVehicle: true, tieNose: true, tieHitch: true}

// tie is one moment equation between states, observed as 0:
//
//	row·x − ratio·(amount row·x) = 0,  u² = t² + (amount·u(ratio))²
//
// t covers the pitch of a group that does not share its load, friction in
// the suspension, and slope. The second term is the error of the lengths: a ratio that
// is off by u(ratio) is off by amount·u(ratio) kilograms. A tie is an observation and
// no constraint, because a real outfit keeps the law of the lever only about so well.
type tie struct {
	name   string
	t      float64
	ratio  ratio
	amount []float64 // the functional that the ratio multiplies
	row    []float64
}

// planTies lists the ties in force: lengths known, states with a used reading. A tie
// to a state that was not weighed would derive all of that state from moments.
func (y *system) planTies() {
	vehicle, trailer, slack, tensioned := y.weighed()
	y.addTie(tieVehicle, vehicle && (slack || tensioned), y.vehicleTie)
	y.addTie(tieNose, trailer && !y.job.Outfit.Drawbar, y.noseTie)
	y.addTie(tieHitch, tensioned, y.hitchTie)
}

// addTie adds a tie whose states were weighed, where its lengths are known and no option
// leaves it out.
func (y *system) addTie(name string, weighed bool, of func() (tie, bool)) {
	if !weighed || y.options.WithoutTies[name] {
		return
	}
	if t, ok := of(); ok {
		y.ties = append(y.ties, t)
	}
}

// weighed says which states have a used reading; a gauge counts for the trailer, as
// the trailer is then uncoupled.
func (y *system) weighed() (vehicle, trailer, slack, tensioned bool) {
	for i := range y.used {
		switch y.used[i].State {
		case tickets.VehicleAlone:
			vehicle = true
		case tickets.TrailerAlone:
			trailer = true
		case tickets.CoupledSlack:
			slack = true
		case tickets.CoupledTensioned:
			tensioned = true
		}
	}
	return vehicle, trailer, slack, tensioned
}

// groupRow adds f × the load of a group in a state to a row.
func (y *system) groupRow(row []float64, s tickets.State, g tickets.Group, f float64) {
	for _, c := range y.layout.cellsOf(s, g) {
		row[c.column] += f
	}
}

// vehicleTie: coupled slack front − alone front + (a/w)·D = 0. The download D acts
// a behind the rear axle and levers the front axle up over it, w away; with a
// negative, ahead of the rear axle, it presses the front axle down.
//
// Source: moments about the rear axle of a vehicle loaded behind it.
func (y *system) vehicleTie() (t tie, known bool) {
	o := &y.job.Outfit
	if !o.RearAxleToCoupling.Known || !o.Wheelbase.Known {
		return t, false
	}
	q := ratioOf(o.LengthUncertaintyMm, named{lengthW, o.Wheelbase}, named{lengthA, o.RearAxleToCoupling})
	t = tie{name: tieVehicle, t: vehicleTieT(o), ratio: q, amount: y.row(), row: y.row()}
	y.addDownload(t.amount, 1)
	y.groupRow(t.row, tickets.CoupledSlack, tickets.Front, 1)
	y.groupRow(t.row, tickets.VehicleAlone, tickets.Front, -1)
	y.addDownload(t.row, q.value)
	return t, true
}

// vehicleTieT is t of the vehicle tie, in kilograms: more where the trailer has
// two axles, whose pitch when coupled shifts the download, and most where the
// vehicle has a rear bogie that does not share its load. Common practice, no source.
func vehicleTieT(o *tickets.Outfit) float64 {
	switch {
	case o.RearAxles >= 2:
		return 15
	case o.TrailerAxles >= 2:
		return 10
	}
	return 5
}

// rocker is the suspension of a group that shares its load between its axles.
const rocker = "rocker"

// noseTieT is t of the nose tie, in kilograms: two axles on springs of their own
// carry a moment between them, 20 kg at the nose, when the jockey wheel is not wound to
// just the height of the coupling. Common practice, no source.
func noseTieT(o *tickets.Outfit) float64 {
	if o.TrailerAxles >= 2 && o.Suspension != rocker {
		return 20
	}
	return 5
}

// noseTie: alone nose − (L/n)·D = 0. Level, the trailer has the same moment about
// its axle on the jockey wheel, n away, as on the coupling, L away. Two axles on
// springs share it between them, unless they rock: t is larger there.
//
// Source: moments about the trailer's axle, nose·n = D·L.
func (y *system) noseTie() (t tie, known bool) {
	o := &y.job.Outfit
	if !o.CouplingToTrailerAxle.Known || !o.NoseSupportToTrailerAxle.Known {
		return t, false
	}
	q := ratioOf(o.LengthUncertaintyMm, named{lengthN, o.NoseSupportToTrailerAxle}, named{lengthL, o.CouplingToTrailerAxle})
	t = tie{name: tieNose, t: noseTieT(o), ratio: q, amount: y.row(), row: y.row()}
	y.addDownload(t.amount, 1)
	y.groupRow(t.row, tickets.TrailerAlone, tickets.Nose, 1)
	y.addDownload(t.row, -q.value)
	return t, true
}

// hitchTie: (tensioned front − slack front) − ((L + a)/w)·(tensioned trailer − slack trailer) = 0.
// The bars put a moment M between the two. The trailer's axle gains M/L, by moments
// about the coupling, and the download falls by as much; the vehicle's front gains
// (M + a·M/L)/w, by moments about the rear axle, which loses both. M is not known and
// falls out of the ratio of the two, (L + a)/w.
func (y *system) hitchTie() (t tie, known bool) {
	o := &y.job.Outfit
	if !o.CouplingToTrailerAxle.Known || !o.RearAxleToCoupling.Known || !o.Wheelbase.Known {
		return t, false
	}
	q := ratioOf(o.LengthUncertaintyMm, named{lengthW, o.Wheelbase},
		named{lengthL, o.CouplingToTrailerAxle}, named{lengthA, o.RearAxleToCoupling})
	t = tie{name: tieHitch, t: 5, ratio: q, amount: y.row(), row: y.row()}
	if o.RearAxles >= 2 || o.TrailerAxles >= 2 {
		t.t = 10
	}
	y.groupRow(t.amount, tickets.CoupledTensioned, tickets.Trailer, 1)
	y.groupRow(t.amount, tickets.CoupledSlack, tickets.Trailer, -1)
	y.groupRow(t.row, tickets.CoupledTensioned, tickets.Front, 1)
	y.groupRow(t.row, tickets.CoupledSlack, tickets.Front, -1)
	for c, a := range t.amount {
		t.row[c] -= float64(q.value * a)
	}
	return t, true
}

// u is the standard uncertainty of the tie at an amount, in kilograms: a wrong
// length matters more the more load it levers.
func (t *tie) u(amount float64) float64 { return portable.Hypot(t.t, float64(amount*t.ratio.u)) }
