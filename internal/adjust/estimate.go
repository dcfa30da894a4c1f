package adjust

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// statedMass is a mass that follows from stated ones, with its standard uncertainty,
// both on the grid of kilograms.
type statedMass struct{ ValueKg, UKg float64 }

// likely is the verdict of a check on stated masses.
type likely string

// The verdicts: the value and U keep the limit, exceed it, or lie on both sides
// of it; notKnown where a mass that the value needs is not stated.
const (
	likelyWithin likely = "likely_within"
	likelyOver   likely = "likely_over"
	likelyOpen   likely = "open"
	notKnown     likely = "not_known"
)

// statedCheck is one rating line compared with what the stated masses come to.
// estimatedValue is nil where it is not known. Limit, value, u and margin of a D-value
// are kilonewtons.
type statedCheck struct {
	limits.Applied
	Value   *estimatedValue
	Verdict likely
}

// estimatedValue is a compared value with its standard uncertainty and what is left to
// the limit.
type estimatedValue struct{ Value, U, Margin float64 }

// fits is the heaviest trailer, and its download, for which the ratings hold on
// the values. StopsFirst is the check that stops it, or that fails whatever the
// trailer's mass; nil where no limit is known.
type fits struct {
	Ok                    bool
	TrailerKg, DownloadKg float64
	StopsFirst            *statedCheck
}

// step is one line of a running sum: what is added or taken off, and what there
// is then.
type step struct {
	Step   string // gvm, atm, kerb, tare, running_order, driver_counted, load, download
	Name   string // of a load; what an empty mass is on
	Line   int    // in its form; 0 for what no line states
	Kg     float64
	ThenKg float64
}

// share is the download as a part of the trailer's mass. From says where it
// comes from: outfit, region, semi or drawbar.
type share struct {
	Value, U float64
	From     string
}

// underSet is what the masses come to under the ratings in force (Set "") or under
// a set of planned ratings, with the loads that come with it. nil is not known.
type underSet struct {
	Set                                     string
	Vehicle, Trailer, Download, Combination *statedMass
	VehicleFrom, TrailerFrom                string // kerb, tare, running_order, front_and_rear; atm; ""
	Payload                                 decimal.NullDecimal
	PayloadLeft                             *statedMass
	Fits                                    fits
	PayloadSum, TrailerSum                  []step
}

// Estimated is what the stated masses of a job come to before anything is
// weighed. Cases begins with the ratings in force; Checks has the rows of all
// of them.
type Estimated struct {
	Share    share
	Cases    []underSet
	Checks   []statedCheck
	NotGiven []regions.On
	Remarks  []remark
}

// Estimate adds up the masses that ratings.csv and loads.csv state, and
// compares the sums with the ratings. Readings are not looked at.
func Estimate(job *tickets.Job) *Estimated {
	unweighed := *job
	unweighed.Readings = nil // no certificate is younger than a weighing that is yet to come
	e := estimator{job: &unweighed, share: shareOf(&unweighed)}
	all := &Estimated{Share: e.share}
	rated := limits.Applies(e.job)
	e.applied, e.empty, all.NotGiven = rated.Rows, rated.Empty, rated.NotGiven
	byCase := map[string][]statedCheck{}
	for _, set := range rated.Sets {
		c, checks := e.estimate(set)
		all.Cases = append(all.Cases, c)
		byCase[set] = checks
	}
	all.Checks = e.inOrder(byCase)
	e.leftOut(byCase[""])
	all.Remarks = e.remarks
	return all
}

// estimator adds up one job.
type estimator struct {
	job     *tickets.Job
	share   share
	applied []limits.Applied
	empty   map[string]map[string]*tickets.Rating // lines with empty masses, by set and what they are on
	remarks []remark
}

// estimate adds up under one set of ratings.
func (e *estimator) estimate(set string) (underSet, []statedCheck) {
	m := e.masses(set)
	c := underSet{
		Set: set, Vehicle: m.vehicle.stated(), Trailer: m.trailer.stated(), Download: m.download.stated(),
		Combination: m.vehicle.plus(1, m.trailer).stated(), VehicleFrom: m.vehicleFrom, TrailerFrom: m.trailerFrom,
	}
	checks := e.compare(m)
	e.payload(&c, m)
	c.TrailerSum = m.trailerSum()
	c.Fits = e.fits(m, checks)
	return c, checks
}

// payload is what the vehicle may carry and what is left of it:
//
//	payload       gvm − empty vehicle
//	payload left  gvm − V − D
//
// with the lowest gvm that applies coupled. Ratings have no uncertainty.
func (e *estimator) payload(c *underSet, m *masses) {
	gvm := e.lowest("gvm", c.Set)
	if gvm == nil || !m.emptyVehicle.Valid {
		return
	}
	c.Payload = decimal.NewNullDecimal(gvm.LimitKg.Decimal.Sub(m.emptyVehicle.Decimal))
	c.PayloadSum = m.payloadSum(gvm)
	if coupled := m.vehicle.plus(1, m.download).stated(); coupled != nil {
		c.PayloadLeft = &statedMass{portable.Kg(gvm.LimitKg.Decimal.InexactFloat64() - coupled.ValueKg), coupled.UKg}
	}
}

// lowest is the lowest limit of a word that applies under a set, as the outfit
// travels; nil where there is none.
func (e *estimator) lowest(word, set string) *limits.Applied {
	var least *limits.Applied
	for i := range e.applied {
		a := &e.applied[i]
		if a.Line.Word == word && a.Set == set && !alone(a) && a.LimitKg.Valid && (least == nil || a.LimitKg.Decimal.LessThan(least.LimitKg.Decimal)) {
			least = a
		}
	}
	return least
}
