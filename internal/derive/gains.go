package derive

// planGains gives a column to the relative error of every scale used.
func (y *system) planGains() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		for j := range y.used {
			if y.used[j].Scale == s.Name {
				y.layout.gain[s.Name] = y.layout.add()
				break
			}
		}
	}
}

// observeGains adds one gain a scale, observed as 0. Local errors are thus
// within the limits on verification, the span within those in service. A scale
// whose span is off by 1 in 1,000 is off so in all its readings of the day, and no
// repeat shows it: it is one unknown, not a part of each reading's u.
func (y *system) observeGains() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		if c, ok := y.layout.gain[s.Name]; ok {
			u := gainU(s, largestOn(y.job, s, y.all))
			y.observeOne(Observation{Kind: byScale, Name: s.Name, U: u}, c, 0)
		}
	}
}
