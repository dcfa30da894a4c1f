package derive

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// band is one line of the table of maximum permissible errors: up to and
// including load units of e, the error is mpe units of e.
type band struct {
	load int64
	mpe  float64
}

// bands are the maximum permissible errors on initial verification, in units
// of e; upper bounds are inclusive. Beyond the last load the last error applies.
//
// Source: OIML R 76-1:2006, 3.5.1, Table 6.
var bands = map[string][]band{
	"III":  {{500, 0.5}, {2000, 1.0}, {10000, 1.5}},
	"IIII": {{50, 0.5}, {200, 1.0}, {1000, 1.5}},
}

// mpe returns the maximum permissible error on initial verification of a load,
// both in kilograms, on an instrument of the class and scale interval e.
//
// Class III L: 0.5 e for every 500 e begun (from memory). Class none: 0, its
// certificate applies instead. It panics on a class that the forms do not know:
// an error of 0 would be a false certainty.
func mpe(class string, load, e decimal.Decimal) float64 {
	interval := e.InexactFloat64()
	load = load.Abs()
	switch class {
	case "none":
		return 0
	case "III L":
		begun := load.Div(e.Mul(decimal.NewFromInt(500))).Ceil().InexactFloat64()
		return float64(float64(0.5*math.Max(begun, 1)) * interval)
	}
	table, known := bands[class]
	if !known {
		panic("derive: no maximum permissible errors of class " + strconv.Quote(class))
	}
	kg := load.InexactFloat64()
	for _, b := range table {
		if withinBand(load, e, kg, interval, b.load) {
			return float64(b.mpe * interval)
		}
	}
	return float64(table[len(table)-1].mpe * interval)
}

// withinBand says whether a load is at most n units of e. The numbers as decimals
// decide where those of the processor are too close to tell.
func withinBand(load, e decimal.Decimal, kg, interval float64, n int64) bool {
	const clear = 1e-9 // of the load
	bound := float64(interval * float64(n))
	if math.Abs(kg-bound) > float64(clear*bound) {
		return kg < bound
	}
	return load.LessThanOrEqual(e.Mul(decimal.NewFromInt(n)))
}

// perWeigher is the part of a reading that each of n weighers has under it.
func perWeigher(kg decimal.Decimal, n int) decimal.Decimal {
	if n == 1 && kg.Exponent() >= -int32(decimal.DivisionPrecision) { // what the division would give
		return kg
	}
	return kg.Div(decimal.NewFromInt(int64(n)))
}

// spanLoad is the load, in units of e, at which a gain is bounded, next to the
// largest reading, of the model; no source.
func spanLoad(class string) decimal.Decimal {
	if class == "IIII" {
		return decimal.NewFromInt(100)
	}
	return decimal.NewFromInt(500)
}

// weighers is k of a reading.
func weighers(o *tickets.Outfit, s *tickets.Scale, r *tickets.Reading) int {
	return o.Weighers(s, r.Terms)
}

// largest is the job's largest used reading on a scale, per weigher on pads,
// with the scale interval of that reading, both in kilograms.
type largest struct{ load, interval decimal.Decimal }

// largestOn is the reading at which a scale's span was used most, its used
// readings of all states taken together.
func largestOn(job *tickets.Job, s *tickets.Scale, used []*tickets.Reading) largest {
	var l largest
	for _, r := range used {
		if r.Scale != s.Name {
			continue
		}
		per := perWeigher(r.Kg, weighers(&job.Outfit, s, r))
		if per.GreaterThan(l.load) {
			l = largest{per, r.IntervalKg}
		}
	}
	return l
}

// The expanded uncertainty of a gauge that nobody certified, in parts of the
// reading and at least so many kilograms; no source.
const (
	assumedGauge = 0.03
	leastGauge   = 3.0
)

// gainU is the standard uncertainty of a scale's relative error, a number without
// unit: within the
// in-service limits at the largest reading and at spanLoad,
// or as its certificate says:
//
//	u = min over X of 2·mpe(X)/(√3·X);  or U/2/stated_at
//
// A gauge of class none without a certificate is taken to have U = 3 % of the
// reading, at least 3 kg.
//
// Source: OIML R 76-1:2006, 3.5.2 (in service: twice the error on verification).
func gainU(s *tickets.Scale, l largest) float64 {
	if s.ExpandedKg.Valid {
		at := l.load
		if s.StatedAtKg.Valid {
			at = s.StatedAtKg.Decimal
		}
		return s.ExpandedKg.Decimal.InexactFloat64() / 2 / at.InexactFloat64()
	}
	if s.Class == "none" {
		x := l.load.InexactFloat64()
		return math.Max(float64(assumedGauge*x), leastGauge) / 2 / x
	}
	bound := func(x decimal.Decimal) float64 {
		return float64(2*mpe(s.Class, x, l.interval)) / float64(math.Sqrt(3)*x.InexactFloat64())
	}
	return math.Min(bound(l.load), bound(l.interval.Mul(spanLoad(s.Class))))
}
