package derive

import "reconcile/internal/tickets"

// planGains gives a column to the relative error (gain) of every scale used: its span
// is off by the same fraction in all its readings of the job,
//
//	reading = load + gain·reading + …
//
// The reading is taken for the load that the gain multiplies: the difference is of second order.
func (y *system) planGains() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		for j := range y.used {
			if y.used[j].Scale == s.Name {
				y.layout.give(&y.layout.gain, s.Name)
				break
			}
		}
	}
}

// observeGains adds one gain for each scale, observed as 0: a verified scale has no
// known error, only limits. Local errors are thus
// within the limits on verification, the span within those in service. A scale
// whose span is off by 1 in 1,000 is off so in all its readings of the day, and no
// repeat shows it: it is one unknown, not a part of each reading's u.
func (y *system) observeGains() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		if c, ok := y.layout.gain.of(s.Name); ok {
			y.observeOne(observation{Kind: byScale, Name: s.Name, U: y.gainU(s)}, c, 0)
		}
	}
}

// gainU is u of a scale's gain, from all the job's used readings on it; of a route
// from those of the job, not from its few alone.
func (y *system) gainU(s *tickets.Scale) float64 {
	if y.options.partOf != nil {
		for i := range y.options.partOf.obs {
			if o := &y.options.partOf.obs[i]; o.Kind == byScale && o.Name == s.Name {
				return o.U
			}
		}
	}
	return gainU(s, largestOn(y.job, s, y.all))
}
