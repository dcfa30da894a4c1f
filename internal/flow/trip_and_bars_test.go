package flow_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/flow"
	"reconcile/internal/limits"
	"reconcile/internal/regions"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// On the road after the visit: loads that vary, and bars that may be tighter or
// looser. Outfits are drawn by the simulator; the worst corner is sought here by
// trying all of them, with the law of the lever written out once more.

// tank is a load that varies: declared and true mass as weighed, its ends, and
// the relative error of what is declared of it.
type tank struct {
	name        string
	trailer     bool
	at          float64
	mass        float64
	least, most float64
	u, error    float64 // relative standard uncertainty, and the true relative error
}

// shares are what a kilogram at the tank's place puts on front, rear, the
// trailer's axles and the coupling.
func (k *tank) shares(o *simulatedOutfit) (front, rear, trailer, coupling float64) {
	if !k.trailer {
		return 1 - k.at/o.wheelbase, k.at / o.wheelbase, 0, 0
	}
	on := k.at / o.drawbar
	return -on * o.overhang / o.wheelbase, on * (1 + o.overhang/o.wheelbase), 1 - on, on
}

// road is an outfit with tanks, and what is plated.
type road struct {
	o      *simulatedOutfit
	tanks  []tank
	plates []simulatedPlate
}

// drawRoad draws an outfit with up to six loads that vary, of lengths in whole
// millimetres, as they are typed.
func drawRoad(d dice) *road {
	o, _ := drawOutfit(d, "", "au", false)
	o.bars, o.couple = false, 0
	for _, l := range []*float64{&o.wheelbase, &o.overhang, &o.drawbar, &o.nose} {
		*l = math.Round(*l)
	}
	r := &road{o: o}
	for i := range 1 + d.IntN(6) {
		k := tank{name: "tank " + strconv.Itoa(i), trailer: d.chance(0.6), u: 0.05, error: d.normal(0.05)}
		k.at = math.Round(d.between(0, 1.3) * o.wheelbase)
		if k.trailer {
			k.at = math.Round(d.between(-0.4, 0.8) * o.drawbar)
		}
		k.mass = math.Round(d.between(20, 120)) // at least 20 kg: 5 % is then at least 1 kg
		k.least, k.most = math.Round(k.mass*d.between(0, 1)), math.Round(k.mass*d.between(1, 2))
		c := carried{k.name, k.mass * (1 + k.error), k.at}
		if k.trailer {
			o.trailer = append(o.trailer, c)
		} else {
			o.vehicle = append(o.vehicle, c)
		}
		r.tanks = append(r.tanks, k)
	}
	return r
}

// truly are the true loads with the tanks at the ends that the bits of corner say.
func (r *road) truly(corner int) (alone, coupled axleLoads, trailer float64) {
	o := *r.o
	o.vehicle, o.trailer = append([]carried{}, o.vehicle...), append([]carried{}, o.trailer...)
	for i := range r.tanks {
		k := &r.tanks[i]
		end := k.least
		if corner>>i&1 == 1 {
			end = k.most
		}
		for _, unit := range [][]carried{o.vehicle, o.trailer} {
			for j := range unit {
				if unit[j].name == k.name {
					unit[j].kg = end * (1 + k.error)
				}
			}
		}
	}
	trailer, _ = moment(o.trailer, nil)
	return o.loads(simVehicleAlone), o.loads(simSlack), trailer
}

// of is the true load that a plate limits, coupled or with the vehicle alone.
func (r *road) of(p simulatedPlate, corner int) []float64 {
	alone, l, trailer := r.truly(corner)
	switch p.word + " " + p.on {
	case "gvm ":
		return []float64{l.front + l.rear, alone.front + alone.rear}
	case "gcm ":
		return []float64{l.front + l.rear + l.trailer}
	case "atm ", "towing ":
		return []float64{trailer}
	case "gtm ":
		return []float64{l.trailer}
	case "axle front":
		return []float64{l.front, alone.front}
	case "axle rear":
		return []float64{l.rear, alone.rear}
	}
	return []float64{l.coupling}
}

// plate gives every rating a limit near its worst corner, so that many trips are
// hardly within.
func (r *road) plate(d dice) {
	for _, p := range []simulatedPlate{{"gvm", "", 0}, {"gcm", "", 0}, {"atm", "", 0}, {"gtm", "", 0}, {"axle", "front", 0}, {"axle", "rear", 0}, {"towing", "", 0}, {"download_max", "vehicle", 0}} {
		for corner := range 1 << len(r.tanks) {
			for _, kg := range r.of(p, corner) {
				p.kg = max(p.kg, kg)
			}
		}
		p.kg = to(p.kg+d.between(0, 60), 5)
		r.plates = append(r.plates, p)
	}
}

// reading is one line of tickets.csv and what is truly on the deck.
type reading struct{ setup, hitch, deck, figure string }

// weighed are the six readings of a usual visit, by a scale.
func (r *road) weighed(show func(w weighing) string) []reading {
	var all []reading
	for _, w := range []struct {
		setup, deck, state string
		partial            bool
	}{{"coupled", "front", simSlack, true}, {"coupled", "front+rear", simSlack, true}, {"coupled", "trailer", simSlack, true},
		{"vehicle_alone", "vehicle", simVehicleAlone, false}, {"vehicle_alone", "front", simVehicleAlone, true}, {"trailer_alone", "all", simTrailerAlone, false}} {
		l := r.o.loads(w.state)
		kg := map[string]float64{"front": l.front, "front+rear": l.front + l.rear, "trailer": l.trailer, "vehicle": l.front + l.rear, "all": l.trailer + l.nose}[w.deck]
		all = append(all, reading{w.setup, "", w.deck, show(weighing{kg: kg, key: w.setup + w.deck, weighers: 1, partial: w.partial, tandem: r.o.trailerAxles > 1})})
	}
	return all
}

func number(kg float64) string { return strconv.FormatFloat(kg, 'f', -1, 64) }

// forms types it all.
func (r *road) forms(readings []reading, travels string, scale []string) map[string][]byte {
	o := r.o
	lines := [][]string{{"ticket", "scale", "setup", "hitch", "on_deck", "reading", "unit", "people"}}
	for i, w := range readings {
		people := "2"
		if w.setup == "trailer_alone" {
			people = ""
		}
		lines = append(lines, []string{strconv.Itoa(i + 1), "bridge", w.setup, w.hitch, w.deck, w.figure, "kg", people})
	}
	ratings := [][]string{{"rating", "on", "value", "unit", "kind", "confirmed"}}
	for _, p := range r.plates {
		kind := ""
		if p.word == "towing" {
			kind = "braked"
		}
		ratings = append(ratings, []string{p.word, p.on, number(p.kg), "kg", kind, ""})
	}
	loads := [][]string{{"load", "mass", "unit", "place", "least", "most"}}
	places := [][]string{{"place", "on", "at"}}
	for i := range r.tanks {
		k := &r.tanks[i]
		loads = append(loads, []string{k.name, number(k.mass), "kg", k.name, number(k.least), number(k.most)})
		places = append(places, []string{k.name, map[bool]string{true: "trailer", false: "vehicle"}[k.trailer], number(k.at)})
	}
	forms := map[string][]byte{
		"tickets.csv": table(lines...), "ratings.csv": table(ratings...),
		"outfit.csv": table([]string{"people", "wheelbase", "rear_axle_to_coupling", "coupling_to_trailer_axle", "nose_support_to_trailer_axle", "rear_axles", "trailer_axles", "length_unit", "travels", "trailer_brakes", "region"},
			[]string{"2", number(o.wheelbase), number(o.overhang), number(o.drawbar), number(o.nose), "1", strconv.Itoa(o.trailerAxles), "mm", travels, "driver", "au"}),
		"scales.csv": table([]string{"scale", "class", "interval", "unit", "deck", "expanded_uncertainty"}, scale),
	}
	if len(r.tanks) > 0 {
		forms["loads.csv"], forms["places.csv"] = table(loads...), table(places...)
	}
	return forms
}

// found gives forms to the program.
func found(t *testing.T, forms map[string][]byte) (*derive.Solution, *limits.Findings) {
	t.Helper()
	jobs, faults := flow.Read(folderOf(forms), flow.Options{}, true).All()
	if len(faults) > 0 {
		t.Fatalf("%v\n%s%s", faults[0], forms["tickets.csv"], forms["loads.csv"])
	}
	s, err := derive.Solve(jobs[0], derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s, limits.Find(jobs[0], s, limits.Guarded)
}

// studied is how many outfits a study draws: more where time is taken for it.
func studied(n uint64) uint64 { return uint64(study.Size(10*int(n), int(n), int(n))) }

// corner is a value and a standard uncertainty with the tanks at some ends: what
// was found as weighed, and by the lever law what each change adds.
func (r *road) corner(word, on string, alone, lower bool, value, u float64, bits int) (float64, float64) {
	variance := u * u
	for i := range r.tanks {
		k := &r.tanks[i]
		end := k.least
		if bits>>i&1 == 1 {
			end = k.most
		}
		front, rear, trailer, coupling := k.shares(r.o)
		if alone && k.trailer {
			front, rear = 0, 0
		}
		c := map[string]float64{"gvm ": front + rear, "gcm ": front + rear + trailer, "atm ": trailer + coupling, "towing ": trailer + coupling, "gtm ": trailer,
			"axle front": front, "axle rear": rear, "download_max vehicle": coupling, "download_min ": coupling}[word+" "+on]
		value += c * (end - k.mass)
		variance += math.Pow(c*(end-k.mass)*k.u, 2)
	}
	return value, math.Sqrt(variance)
}

// TestTripEveryCorner: of 500 drawn jobs with up to six loads that vary, every
// corner of every deciding check is tried; the program names the worst one,
// with its u and verdict.
func TestTripEveryCorner(t *testing.T) {
	d := dice{rand.New(rand.NewPCG(15, 500))}
	checks, corners, most := 0, 0, 0
	verdicts := map[limits.Verdict]int{}
	jobs := study.Size(500, 150, 100)
	for range jobs {
		r := drawRoad(d)
		r.plate(d)
		scale := &simulatedScale{d: d, class: "III", deck: "single", unit: "kg", interval: 20, local: map[string]float64{}}
		_, f := found(t, r.forms(r.weighed(scale.show), "plain", []string{"bridge", "III", "20", "kg", "single", ""}))
		most = max(most, len(r.tanks))
		for _, c := range f.Deciding {
			row := c.Worst
			checks++
			worst, u := math.NaN(), 0.0
			for bits := range 1 << len(r.tanks) {
				corners++
				v, uv := r.corner(c.Rating, c.On, c.State == tickets.VehicleAlone, c.Lower, c.Found.Value, c.Found.U, bits)
				if math.IsNaN(worst) || !c.Lower && v > worst || c.Lower && v < worst {
					worst, u = v, uv
				}
			}
			limit := *c.Limit
			want := limits.Unsettled
			switch guard := 2 * u; {
			case c.Floor && worst < 0:
				want = limits.Over
			case c.Floor, worst+guard <= limit:
				want = limits.Within
			case worst-guard > limit:
				want = limits.Over
			}
			if row.Found == nil || math.Abs(row.Found.Value-worst) > 2e-5 || math.Abs(row.Found.U-u) > 2e-5 || row.Verdict != want && math.Abs(worst+2*u-limit) > 1e-4 && math.Abs(worst-2*u-limit) > 1e-4 {
				t.Fatalf("%s %s %s: %+v %s (want %g, u %g, %s)", c.Rating, c.On, c.State, row.Found, row.Verdict, worst, u, want)
			}
			verdicts[row.Verdict]++
		}
	}
	if checks < 10*jobs || corners < 100*jobs || most != 6 || verdicts[limits.Within] < jobs || verdicts[limits.Unsettled] < jobs {
		t.Errorf("%d checks, %d corners, at most %d loads, %v", checks, corners, most, verdicts)
	}
}

// TestTripTruth: of trips called within at least 97.5 % truly hold at every
// corner, each limit drawn close to the true worst corner.
func TestTripTruth(t *testing.T) {
	d := dice{rand.New(rand.NewPCG(15, 975))}
	within, hold, verdicts := 0, 0, map[limits.Verdict]int{}
	for range studied(600) {
		r := drawRoad(d)
		r.plate(d)
		for i := range r.plates { // some true loads are over at a corner
			if r.plates[i].kg -= d.between(0, 12); d.chance(0.6) {
				r.plates[i].kg += d.between(0, 60)
			}
			r.plates[i].kg = to(r.plates[i].kg, 5)
		}
		interval := one(d, 5.0, 10.0, 20.0)
		scale := &simulatedScale{d: d, class: "III", deck: "single", unit: "kg", interval: interval, local: map[string]float64{}}
		scale.setSpan(r.o.loads(simSlack).front + r.o.loads(simSlack).rear)
		_, f := found(t, r.forms(r.weighed(scale.show), "plain", []string{"bridge", "III", number(interval), "kg", "single", ""}))
		verdicts[f.Trip]++
		if f.Trip != limits.Within || f.Conflict {
			continue
		}
		within++
		if r.holds() {
			hold++
		}
	}
	t.Logf("trips: %v; of %d called within %d hold at every corner, %.1f %%", verdicts, within, hold, 100*float64(hold)/float64(within))
	if within < 12 || 1000*hold < 975*within {
		t.Errorf("of %d trips called within %d hold at every corner (want 97.5 %%)", within, hold)
	}
}

// holds says whether every plate is truly kept at every corner.
func (r *road) holds() bool {
	for _, p := range r.plates {
		for bits := range 1 << len(r.tanks) {
			for _, kg := range r.of(p, bits) {
				if kg > p.kg {
					return false
				}
			}
		}
	}
	return true
}

// barsLine is a limit on a load that the bars move.
type barsLine struct {
	word, on string
	groups   []tickets.Group
	limit, u float64
	perRatio float64 // of the ratio w/(L + a), for each kilogram restored
	of       func(axleLoads) float64
}

// excess is by how much the true load and twice its u are past the limit with
// x kilograms restored.
func (b *barsLine) excess(r *road, x, uRatio float64) float64 {
	return b.of(r.tight(x)) + 2*math.Hypot(b.u, b.perRatio*uRatio*x) - b.limit
}

// tight is the outfit weighed with bars that give x kilograms back to the front
// axle, by the simulator's own moments.
func (r *road) tight(x float64) axleLoads {
	o := *r.o
	o.couple = 1e6
	restores := o.loads(simTensioned).front - o.loads(simSlack).front
	o.couple = 1e6 * x / restores
	return o.loads(simTensioned)
}

// TestBars: 500 outfits weighed slack by an exact display, the bars then drawn
// to every tension. At both ends of the range a load lies at its limit within
// 0.02 kg, inside it none is beyond, outside one is; where there is no range
// no tension keeps the two that exclude each other.
func TestBars(t *testing.T) {
	d := dice{rand.New(rand.NewPCG(15, 50))}
	ranges, empty, byLimit := 0, 0, 0
	for ranges+empty < 500 {
		r := drawRoad(d)
		r.tanks = nil
		r.o.rubVehicle, r.o.rubNose, r.o.rubBars = 0, 0, 0
		exact := func(w weighing) string { return strconv.FormatFloat(math.Round(w.kg*1000)/1000, 'f', -1, 64) }
		readings := r.weighed(exact)
		for i := range readings {
			if readings[i].setup == "coupled" {
				readings[i].hitch = "slack"
			}
		}
		scale := []string{"bridge", "none", "0.001", "kg", "single", number(math.Round(d.between(5, 30)))}
		s, f := found(t, r.forms(readings, "tensioned", scale))
		if f.HitchRange == nil { // nothing lifted for certain
			continue
		}
		lines := r.barsLines(d, s)
		_, f = found(t, r.forms(readings, "tensioned", scale))
		ratio := r.o.wheelbase / (r.o.drawbar + r.o.overhang)
		uRatio := 10 / (r.o.drawbar + r.o.overhang) * math.Sqrt(1+2*ratio*ratio)
		lift, _, _ := s.Figures().FrontLift.Number()
		if f.HitchRange.LowKg == nil {
			empty++
			r.noRange(t, f, lines, lift, uRatio)
		} else {
			ranges++
			byLimit += r.rangeHolds(t, f, lines, lift, uRatio)
		}
		if t.Failed() {
			t.Fatalf("outfit %d", ranges+empty)
		}
	}
	t.Logf("%d ranges, %d ends by a limit, %d with none", ranges, byLimit, empty)
	if ranges < 150 || empty < 50 || byLimit < 100 {
		t.Errorf("%d ranges, %d ends by a limit, %d with none: lopsided", ranges, byLimit, empty)
	}
}

// barsLines draws limits that some tension keeps, and plates them.
func (r *road) barsLines(d dice, s *derive.Solution) []barsLine {
	slack, full := r.tight(0), r.tight(r.o.loads(simVehicleAlone).front-r.o.loads(simSlack).front)
	var lines []barsLine
	r.plates = nil
	for _, b := range []barsLine{
		{"gvm", "", []tickets.Group{tickets.Front, tickets.Rear}, 0, 0, 1, func(l axleLoads) float64 { return l.front + l.rear }},
		{"axle", "front", []tickets.Group{tickets.Front}, 0, 0, 0, func(l axleLoads) float64 { return l.front }},
		{"axle", "rear", []tickets.Group{tickets.Rear}, 0, 0, 1, func(l axleLoads) float64 { return l.rear }},
		{"gtm", "", []tickets.Group{tickets.Trailer}, 0, 0, 1, func(l axleLoads) float64 { return l.trailer }},
	} {
		var parts []derive.Part
		for _, g := range b.groups {
			parts = append(parts, derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: g}})
		}
		_, u, _ := s.Sum(parts...).Number()
		at := d.between(-0.1, 1.1)
		if d.chance(0.4) {
			at = 3 // no limit near
		}
		b.u = u
		b.limit = math.Round(b.of(slack) + at*(b.of(full)-b.of(slack)) + 2*u)
		if at == 3 {
			b.limit = math.Round(max(b.of(slack), b.of(full)) + 200)
		}
		lines = append(lines, b)
		r.plates = append(r.plates, simulatedPlate{b.word, b.on, b.limit})
	}
	return lines
}

// worst is the largest excess of any line at a tension.
func (r *road) worst(lines []barsLine, x, uRatio float64) float64 {
	most := math.Inf(-1)
	for i := range lines {
		most = max(most, lines[i].excess(r, x, uRatio))
	}
	return most
}

// rangeHolds checks a range and returns how many of its ends are by a limit.
func (r *road) rangeHolds(t *testing.T, f *limits.Findings, lines []barsLine, lift, uRatio float64) (byLimit int) {
	t.Helper()
	h := f.HitchRange
	low, high := *h.LowKg, *h.HighKg
	for i := range 41 {
		if x := low + (high-low)*float64(i)/40; r.worst(lines, x, uRatio) > 0.02 {
			t.Errorf("%.2f to %.2f: at %.2f a load is %.3f kg beyond", low, high, x, r.worst(lines, x, uRatio))
		}
	}
	for _, end := range []struct {
		x, outside float64
		by         string
		free       string
	}{{low, low - 0.5, h.LowBy.Rating, "slack"}, {high, high + 0.5, h.HighBy.Rating, "front_lift"}} {
		if end.by == end.free {
			if want := map[string]float64{"slack": 0, "front_lift": lift}[end.free]; math.Abs(end.x-want) > 0.02 {
				t.Errorf("%s at %.2f (want %.2f)", end.by, end.x, want)
			}
			continue
		}
		byLimit++
		// one step of 0.01 kg is at most 0.016 of a load, and the display 0.001
		if at := r.worst(lines, end.x, uRatio); math.Abs(at) > 0.02 {
			t.Errorf("at %.2f, by %s, the load is %.3f kg from its limit", end.x, end.by, at)
		}
		if end.outside >= 0 && end.outside <= lift && r.worst(lines, end.outside, uRatio) <= 0 {
			t.Errorf("at %.2f, outside %.2f to %.2f, every limit holds", end.outside, low, high)
		}
	}
	return byLimit
}

// noRange checks that no tension keeps both lines that exclude each other.
func (r *road) noRange(t *testing.T, f *limits.Findings, lines []barsLine, lift, uRatio float64) {
	t.Helper()
	h := f.HitchRange
	var pair []barsLine
	for _, b := range lines {
		for _, by := range []regions.On{h.LowBy, h.HighBy} {
			if by.Rating == b.word && by.On == b.on {
				pair = append(pair, b)
			}
		}
	}
	if len(pair) == 0 {
		t.Errorf("no range, by %v and %v", h.LowBy, h.HighBy)
	}
	for i := range 201 {
		if x := lift * float64(i) / 200; r.worst(pair, x, uRatio) < -0.02 {
			t.Errorf("no range by %v and %v, but at %.2f both hold: %s", h.LowBy, h.HighBy, x, fmt.Sprint(pair))
			return
		}
	}
}
