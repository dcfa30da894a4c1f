package limits

import (
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Guide is common practice, or a rule beside the ratings: it never decides.
// Value and its standard uncertainty U are kilograms, or a ratio; nil is not
// known, or no bound on that side. Kept compares the value alone.
type Guide struct {
	Guide               string
	Value, U, Low, High *float64
	Kept                *bool
	Source              string
}

// shareGuide is the usual download as a share of the trailer's mass.
type shareGuide struct {
	Region    tickets.Region
	Low, High float64
	Source    string
}

// downloadShares is the usual download by region. The eu has no lower guide.
//
// Source: trade guidance, codes and handbooks of each region; no rule behind them.
var downloadShares = []shareGuide{
	{tickets.Australia, 0.08, 0.15, "common practice: 8 to 15 %, 10 % usual"},
	{tickets.NewZealand, 0.08, 0.15, "common practice: 8 to 15 %, 10 % usual"},
	{tickets.UnitedKingdom, 0.05, 0.07, "common practice: 5 to 7 %"},
	{tickets.UnitedStates, 0.10, 0.15, "common practice: 10 to 15 %"},
}

// ShareGuide is the region's usual download as a share of the trailer's mass;
// ok is false where it has none.
func ShareGuide(region tickets.Region) (low, high float64, ok bool) {
	for _, g := range downloadShares {
		if g.Region == region {
			return g.Low, g.High, true
		}
	}
	return 0, 0, false
}

// brakeClass is the heaviest trailer that may have no, or only over-run, brakes.
type brakeClass struct {
	Region    tickets.Region
	Brakes    string   // as outfit.csv's trailer_brakes
	MostKg    float64  // of By
	Below     bool     // less than MostKg, not up to it
	MostAxles int      // 0: any
	By        []string // rating words whose figure counts, the first given; laden is the trailer as weighed
	Source    string
}

// brakeClasses is the trailer brakes by mass class. Brakes that the driver
// operates have no row: nothing in these classes asks for more.
//
// Sources: au ADR 38 and state pages, on the GTM rating; nz Land Transport Rule
// Light-vehicle Brakes 2002, on the laden mass; uk safety checks of the
// government, on the maximum mass, and C&U 1986; eu UN R13 (O1, O2), from
// memory; us 49 CFR 393.42, commercial vehicles only, states differ.
var brakeClasses = []brakeClass{
	{tickets.Australia, "none", 750, false, 1, []string{"gtm", "axle trailer", "atm", "laden"}, "ADR 38: unbraked up to 750 kg GTM on a single axle"},
	{tickets.Australia, "overrun", 2000, false, 0, []string{"gtm", "axle trailer", "atm", "laden"}, "ADR 38: over-run brakes up to 2,000 kg GTM"},
	{tickets.NewZealand, "none", 2000, true, 0, []string{"laden"}, "Light-vehicle Brakes Rule 2002: unbraked below 2,000 kg laden"},
	{tickets.NewZealand, "overrun", 2500, false, 0, []string{"laden"}, "Light-vehicle Brakes Rule 2002: over-run brakes up to 2,500 kg laden, with a certificate up to 3,500"},
	{tickets.UnitedKingdom, "none", 750, false, 0, []string{"atm", "laden"}, "trailer safety checks of the government: brakes above 750 kg maximum mass"},
	{tickets.UnitedKingdom, "overrun", 3500, false, 0, []string{"atm", "laden"}, "Construction and Use Regulations 1986: over-run brakes up to 3,500 kg"},
	{tickets.Europe, "none", 750, false, 0, []string{"atm", "laden"}, "UN R13, class O1, from memory: unbraked up to 750 kg"},
	{tickets.Europe, "overrun", 3500, false, 0, []string{"atm", "laden"}, "UN R13, class O2, from memory: over-run brakes up to 3,500 kg"},
	{tickets.UnitedStates, "none", 1360.77711, false, 0, []string{"laden"}, "49 CFR 393.42, commercial vehicles: unbraked up to 3,000 lb gross; states differ"},
}

// towingGuide is what may be towed where no rating says, or beside one:
//
//	(mass of Of + Plus) × Factor
type towingGuide struct {
	Guide   string
	Region  tickets.Region
	Brakes  []string // trailer_brakes it holds for; "" is not stated
	Factor  float64
	Of      string  // kerb: the vehicle's empty mass; gvm: its rating
	Plus    float64 // kg
	Unrated bool    // only where no towing rating is given
	MostKg  float64 // never more than this; 0 for no such bound
	Source  string
}

// towingGuides are the defaults by region. Brakes that are not stated count as
// ones that the driver cannot operate.
//
// Sources: au South Australia, Light Vehicle Mass and Loading Requirements
// 2013 Sch. 1, New South Wales Road Rules 2014 r 294-2; nz agency
// recommendation; uk government page of 2012; Germany StVZO § 42(1), (2).
var towingGuides = []towingGuide{
	{Guide: "towing_default", Region: tickets.Australia, Brakes: []string{"driver"}, Factor: 1.5, Of: "kerb", Unrated: true,
		Source: "SA Regulations 2013 Sch. 1: 1.5 × unladen mass with brakes operable by the driver"},
	{Guide: "towing_default", Region: tickets.Australia, Brakes: []string{"none", "overrun", ""}, Factor: 1, Of: "kerb", Unrated: true,
		Source: "SA Regulations 2013 Sch. 1: 1.0 × unladen mass without brakes operable by the driver (NSW r 294-2: 1.5 with any working brakes)"},
	{Guide: "unbraked_share", Region: tickets.NewZealand, Brakes: []string{"none"}, Factor: 0.75, Of: "kerb",
		Source: "agency recommendation: unbraked up to 3/4 of the unladen vehicle"},
	{Guide: "unbraked_share", Region: tickets.UnitedKingdom, Brakes: []string{"none"}, Factor: 0.5, Of: "kerb",
		Source: "government page of 2012: unbraked up to half of the car's weight"},
	{Guide: "towing_default", Region: tickets.Europe, Brakes: []string{"overrun", "driver"}, Factor: 1, Of: "gvm", Unrated: true, MostKg: 3500,
		Source: "Germany, StVZO § 42(1): up to the maximum mass of the vehicle, at most 3,500 kg"},
	{Guide: "towing_default", Region: tickets.Europe, Brakes: []string{"none"}, Factor: 0.5, Of: "kerb", Plus: 75, Unrated: true, MostKg: 750,
		Source: "Germany, StVZO § 42(2): unbraked up to (empty mass + 75 kg)/2, at most 750 kg"},
}

// The least download on the road in Germany, by the trailer's mass.
//
// Source: StVZO § 44(3): 4 % of the actual mass, but no more than 25 kg is
// asked for; above 3.5 t no more than 500 kg.
const (
	leastShare      = 0.04
	leastLightKg    = 25
	leastHeavyKg    = 500
	lightTrailersKg = 3500
)

// LeastDownload is Germany's least download of a trailer, in kilograms:
//
//	min(0.04·mass, 25), above 3,500 kg min(0.04·mass, 500)
func LeastDownload(trailerKg float64) float64 {
	most := float64(leastLightKg)
	if trailerKg > lightTrailersKg {
		most = leastHeavyKg
	}
	return math.Min(leastShare*trailerKg, most)
}

// guides lists the region's guides; without a region there are none.
func (h *holder) guides(f *Findings) []Guide {
	if h.job.Region == tickets.NoRegion {
		return nil
	}
	all := h.shareGuides()
	all = append(all, h.notHeavier())
	all = append(all, h.brakes(f)...)
	all = append(all, h.towing(f)...)
	all = append(all, h.leastDownload()...)
	return append(all, h.tyresTogether()...)
}

func (h *holder) shareGuides() []Guide {
	for _, g := range downloadShares {
		if g.Region == h.job.Region {
			v, u, ok := h.s.DownloadShare().Number()
			return []Guide{bounded("download_share", v, u, ok, &g.Low, &g.High, g.Source)}
		}
	}
	return nil
}

// notHeavier compares the trailer with the vehicle, both alone and as they travel.
func (h *holder) notHeavier() Guide {
	most := 1.0
	v, u, ok := h.ratio(h.s.TrailerMass(), h.s.Total(derive.VehicleAlone, tickets.Front, tickets.Rear))
	return bounded("trailer_to_vehicle", v, u, ok, nil, &most, "common practice: a trailer no heavier than the vehicle")
}

// ratio is a/b with its standard uncertainty to first order and full covariance.
func (h *holder) ratio(a, b derive.Quantity) (value, u float64, ok bool) {
	x, ux, okA := a.Number()
	y, uy, okB := b.Number()
	if !okA || !okB || y <= 0 {
		return 0, 0, false
	}
	r := x / y
	variance := ux*ux + r*r*uy*uy - 2*r*h.s.Covariance(a, b)
	return r, math.Sqrt(math.Max(variance, 0)) / y, true
}

// brakes compares the trailer's mass class with the brakes stated.
func (h *holder) brakes(f *Findings) []Guide {
	for _, b := range brakeClasses {
		if b.Region != h.job.Region || b.Brakes != h.job.Outfit.TrailerBrakes {
			continue
		}
		v, u, ok := h.classMass(f, b.By)
		g := bounded("trailer_brakes", v, u, ok, nil, &b.MostKg, b.Source)
		if ok && (b.Below && v >= b.MostKg || b.MostAxles > 0 && h.axlesStated(tickets.Trailer) > b.MostAxles) {
			g.Kept = new(bool)
		}
		return []Guide{g}
	}
	return nil
}

// classMass is the mass that puts a trailer in its class: the first rating in
// force of the words, or the trailer as weighed, in kilograms.
func (h *holder) classMass(f *Findings, by []string) (kg, u float64, ok bool) {
	for _, word := range by {
		switch word {
		case "laden":
			return h.s.TrailerMass().Number()
		case "axle trailer":
			kg, ok = f.lowestOn("axle", "trailer", travelled(h.job))
		case "gtm":
			kg, ok = f.lowest(word, travelled(h.job))
		default:
			kg, ok = f.lowest(word, noState)
		}
		if ok {
			return kg, 0, true
		}
	}
	return 0, 0, false
}

// towing compares the trailer with the regional defaults.
func (h *holder) towing(f *Findings) []Guide {
	var all []Guide
	rated := h.rated(f)
	for i := range towingGuides {
		t := &towingGuides[i]
		if t.Region != h.job.Region || !slices.Contains(t.Brakes, h.job.Outfit.TrailerBrakes) || t.Unrated && rated {
			continue
		}
		v, u, ok := h.s.TrailerMass().Number()
		all = append(all, bounded(t.Guide, v, u, ok, nil, h.mostTowed(f, t), t.Source))
	}
	return all
}

// rated reports whether a towing rating with a figure is in force.
func (h *holder) rated(f *Findings) bool {
	for i := range f.Checks {
		if f.Checks[i].Rating == "towing" && f.Checks[i].Set == "" {
			return true
		}
	}
	return false
}

// mostTowed is the bound of a towing guide; nil where the mass it is a multiple
// of is not given.
func (h *holder) mostTowed(f *Findings, t *towingGuide) *float64 {
	kg, _, ok := h.empty(tickets.OnVehicle)
	if t.Of == "gvm" {
		kg, ok = f.lowest("gvm", travelled(h.job))
	}
	if !ok {
		return nil
	}
	most := (kg + t.Plus) * t.Factor
	if t.MostKg > 0 {
		most = math.Min(most, t.MostKg)
	}
	return &most
}

func (h *holder) leastDownload() []Guide {
	if h.job.Region != tickets.Europe {
		return nil
	}
	var least *float64
	if t, _, ok := h.s.TrailerMass().Number(); ok {
		l := LeastDownload(t)
		least = &l
	}
	v, u, ok := h.s.Download().Number()
	return []Guide{bounded("minimum_download", v, u, ok, least, nil, "Germany, StVZO § 44(3): 4 % of the trailer's mass, no more than 25 kg is asked for (above 3.5 t: 500 kg)")}
}

// tyresTogether compares what the tyres of an axle or group carry together
// with its rating.
func (h *holder) tyresTogether() []Guide {
	source := "common practice: the tyres carry at least the axle rating"
	if h.job.Region == tickets.UnitedStates {
		source = "49 CFR 571.110 and 571.120: the tires carry at least the GAWR"
	}
	var all []Guide
	for i := range h.job.Ratings {
		tyre := &h.job.Ratings[i]
		limit := h.limitOf(tyre)
		if tyre.Word != "tyre" || tyre.Set != "" || h.st.status[i] != Held || !limit.Valid {
			continue
		}
		for j := range h.job.Ratings {
			axle := &h.job.Ratings[j]
			if axle.Word != "axle" || axle.On != tyre.On || axle.Set != "" || h.st.status[j] != Held || !axle.LimitKg.Valid {
				continue
			}
			sum := limit.Decimal.InexactFloat64() * h.perEnd(tyre) * h.ends(tyre.Terms...)
			low := axle.LimitKg.Decimal.InexactFloat64()
			all = append(all, bounded("tyres_together "+axle.On, sum, 0, true, &low, nil, source))
		}
	}
	return all
}

// bounded makes a guide; u 0 is a value without uncertainty of its own. It is
// kept or not only where the value and a bound are known.
func bounded(name string, value, u float64, ok bool, low, high *float64, source string) Guide {
	g := Guide{Guide: name, Low: low, High: high, Source: source}
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
