package limits

import (
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// guide is common practice, or a rule next to the ratings: it never decides.
// Value and its standard uncertainty U are kilograms, or a ratio; nil is not
// known, or no bound on that side. Kept compares the value alone. Source is a
// code: common_practice, or the short name of what is published.
type guide struct {
	Guide, On           string
	Value, U, Low, High *float64
	Kept                *bool
	Source              string
}

// guides lists the region's guides; without a region there are none.
func (h *checker) guides(f *Findings) []guide {
	// Practice differs from region to region, and a guide of the wrong one would be
	// worse than none.
	if h.job.Region == "" {
		return nil
	}
	all := h.memory.guides.List(guidesExpected)[:0]
	all = h.shareGuides(all)
	all = append(all, h.notHeavier())
	all = h.brakes(all, f)
	all = h.towing(all, f)
	all = h.leastDownload(all)
	return h.tyresTogether(all)
}

// guidesExpected is the number of guides that most outfits have.
const guidesExpected = 6

// shareGuides adds the usual download as a share of the trailer's mass; a
// hinged drawbar carries none, and what a semi-trailer puts down has no guide.
func (h *checker) shareGuides(all []guide) []guide {
	// Semi-trailers put a third of their mass on the coupling by design; no published
	// share holds for them.
	g := &h.region.Share
	if !g.Stated || !h.centreAxle() {
		return all
	}
	v, u, ok := h.s.Figures().DownloadShare.Number()
	return append(all, bounded("download_share", v, u, ok, &g.Low, &g.High, g.Source))
}

// centreAxle reports a trailer with a rigid drawbar.
func (h *checker) centreAxle() bool {
	return !h.job.Outfit.Drawbar && !h.job.Outfit.Semi
}

// notHeavier compares the trailer with the vehicle, both alone and as they travel.
func (h *checker) notHeavier() guide {
	v, u, ok := h.s.Figures().TrailerToVehicle.Number()
	return bounded("trailer_to_vehicle", v, u, ok, nil, of(1.0), "common_practice")
}

// brakes compares the trailer's mass class with the brakes stated. Brakes that
// the driver operates have no row: nothing in these classes asks for more.
func (h *checker) brakes(all []guide, f *Findings) []guide {
	for i := range h.region.Brakes {
		b := &h.region.Brakes[i]
		if b.Brakes != h.job.Outfit.TrailerBrakes {
			continue
		}
		v, u, ok := h.classMass(f, b.By)
		g := bounded("trailer_brakes", v, u, ok, nil, &b.MostKg, b.Source)
		// The bound alone does not say it: some classes end below their figure, and some
		// ask for one axle.
		if ok && h.needsMore(i, v) {
			g.Kept = of(false)
		}
		return append(all, g)
	}
	return all
}

// needsMore reports whether a trailer of a class mass needs more brakes than
// those of a row of the region's.
func (h *checker) needsMore(row int, kg float64) bool {
	b := &h.region.Brakes[row]
	tooMany := b.MostAxles > 0 && h.job.Outfit.Axles(tickets.Trailer) > b.MostAxles
	return kg > b.MostKg || b.Below && kg >= b.MostKg || tooMany
}

// classMass is the mass that puts a trailer in its class: the first rating in
// force of the words, or the trailer as weighed, in kilograms.
func (h *checker) classMass(f *Findings, words []regions.On) (kg, u float64, ok bool) {
	for _, by := range words {
		state := h.job.Outfit.Travels
		if by.Rating == "atm" {
			state = noState
		}
		// Plated masses have no uncertainty.
		if kg, ok = f.lowestOn(by.Rating, by.On, state); ok {
			return kg, 0, true
		}
	}
	return h.s.Figures().TrailerMass.Number() // what the law calls laden mass
}

// towing compares the trailer with the regional defaults. Brakes that are not
// stated count as ones that the driver cannot operate.
func (h *checker) towing(all []guide, f *Findings) []guide {
	rated := h.rated(f)
	for i := range h.region.Towed {
		t := &h.region.Towed[i]
		// Some defaults hold only where the maker gave no rating; a towing line in force
		// takes their place.
		if !slices.Contains(t.Brakes, h.job.Outfit.TrailerBrakes) || t.Unrated && rated {
			continue
		}
		var most *float64
		if kg, ok := h.towingMass(f, t.Of); ok {
			most = of(portable.Kg(float64((kg + t.PlusKg) * t.Factor)))
			// The law caps the multiple at a mass.
			if t.MostKg > 0 {
				*most = min(*most, t.MostKg)
			}
		}
		v, u, ok := h.s.Figures().TrailerMass.Number()
		all = append(all, bounded(t.Guide, v, u, ok, nil, most, t.Source))
	}
	return all
}

// rated reports whether a towing rating with a figure is in force.
func (h *checker) rated(f *Findings) bool {
	for i := range f.Checks {
		if f.Checks[i].Rating == "towing" && f.Checks[i].Set == "" {
			return true
		}
	}
	return false
}

// towingMass is the mass in kilograms of which a towing guide is a multiple. Some
// regions set the default as a multiple of the empty vehicle, with the driver added
// where the plate leaves him out; others of its gross mass.
func (h *checker) towingMass(f *Findings, of string) (kg float64, ok bool) {
	if of == "gvm" {
		return f.lowest("gvm", h.job.Outfit.Travels)
	}
	return h.empty(tickets.OnVehicle)
}

// leastDownload compares the download with the least that is asked for on the road.
func (h *checker) leastDownload(all []guide) []guide {
	if !h.region.Least.Stated || !h.centreAxle() {
		return all
	}
	var least *float64
	if t, _, ok := h.s.Figures().TrailerMass.Number(); ok {
		least = of(portable.Kg(leastOnTheRoad(h.region, t)))
	}
	v, u, ok := h.s.Figures().Download.Number()
	return append(all, bounded("minimum_download", v, u, ok, least, nil, h.region.Least.Source))
}

// leastOnTheRoad is the least download that a region asks for, in kilograms: a part
// of the trailer's mass, up to a figure.
func leastOnTheRoad(region *regions.Row, trailerKg float64) float64 {
	l := &region.Least
	if trailerKg > l.LightUpToKg {
		return min(float64(l.Share*trailerKg), l.HeavyKg)
	}
	return min(float64(l.Share*trailerKg), l.LightKg)
}

// tyresTogether compares what the tyres of an axle or group carry together
// with its rating.
func (h *checker) tyresTogether(all []guide) []guide {
	for i := range h.job.Ratings {
		tyre := &h.job.Ratings[i]
		if tyre.Word != "tyre" || tyre.Set != "" || h.st.status[i] != held {
			continue
		}
		limit := h.limitOf(tyre)
		if !limit.Valid {
			continue
		}
		for j := range h.job.Ratings {
			axle := &h.job.Ratings[j]
			// Only where both lines are on the same supports: a tyre line on one side
			// says nothing of the axle.
			if axle.Word != "axle" || axle.On != tyre.On || axle.Set != "" || h.st.status[j] != held || !axle.LimitKg.Valid {
				continue
			}
			tyres := float64(h.perEnd(tyre) * h.ends(tyre.Terms...))
			// The tyres have to carry the axle at its rating. If they do not, the axle's
			// plate promises more than its wheels allow.
			sum := portable.Kg(float64(limit.Decimal.InexactFloat64() * tyres))
			g := bounded("tyres_together", sum, 0, true, of(axle.LimitKg.Decimal.InexactFloat64()), nil, h.region.TyresTogether)
			g.On = axle.On
			all = append(all, g)
		}
	}
	return all
}

// bounded makes a guide; u 0 is a value without uncertainty of its own. It is
// kept or not only where the value and a bound are known.
func bounded(name string, value, u float64, ok bool, low, high *float64, source string) guide {
	g := guide{Guide: name, Low: low, High: high, Source: source}
	if !ok {
		return g
	}
	g.Value = &value
	if u > 0 {
		g.U = &u
	}
	if low != nil || high != nil {
		kept := (low == nil || value >= *low) && (high == nil || value <= *high)
		g.Kept = &kept
	}
	return g
}
