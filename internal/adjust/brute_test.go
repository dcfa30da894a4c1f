package adjust

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// brute tries every way to move the loads of a job. Its effects are written
// from the law of the lever for each rating, separate from those of the package.
type brute struct {
	job      *tickets.Job
	k        float64
	limits   []float64                        // of every row
	effect   []func(p *tickets.Place) float64 // of a kilogram at a place, on the row
	guarded  []bool                           // rows
	rooms    map[string]float64               // by place with a capacity
	found    bool
	best     [3]float64 // left, moved, touched
	excess   float64    // least total
	state    way
	searched int
	perKg    map[[2]string][]float64 // on every row, by load and place
}

// way is what the loads chosen so far add up to.
type way struct {
	rows                 []float64
	left, moved, touched float64
}

// lever is what a kilogram at a place does to a rating, by the lever law.
func lever(job *tickets.Job, word, on string, s tickets.State) func(p *tickets.Place) float64 {
	o := &job.Outfit
	return func(p *tickets.Place) float64 {
		vehicle, x := 0.0, p.AtMm/o.Wheelbase.Mm
		z, k := 0.0, o.RearAxleToCoupling.Mm/o.Wheelbase.Mm
		trailer := 0.0
		if p.On == tickets.OnVehicle {
			vehicle = 1
		} else {
			trailer, z = 1, p.AtMm/o.CouplingToTrailerAxle.Mm
		}
		coupled := 1.0
		if s == tickets.VehicleAlone {
			coupled = 0
		}
		switch word + on {
		case "gvm":
			return vehicle + coupled*z
		case "gcm":
			return 1
		case "atm":
			return trailer
		case "gtm":
			return trailer - z
		case "axlefront":
			return vehicle*(1-x) - coupled*k*z
		case "axlerear":
			return vehicle*x + coupled*(1+k)*z
		case "download_max", "download_min":
			return z
		}
		panic(word + on)
	}
}

// newBrute writes the rows: every deciding check with U as it is, the share of
// the download, and what the hitch may put back.
func newBrute(job *tickets.Job, s *derive.Solution, f *limits.Findings) *brute {
	b := &brute{job: job, k: 2, rooms: map[string]float64{}, excess: math.Inf(1)}
	if f.Rule == "simple" {
		b.k = 0
	}
	for _, c := range f.Deciding {
		e, sign := lever(job, c.Rating, c.On, c.State), 1.0
		if c.Rating == "download_min" {
			sign = -1
		}
		b.add(sign*(c.LimitKg.Decimal.InexactFloat64()-c.Found.Value)-b.k*c.Found.U, true, func(p *tickets.Place) float64 { return sign * e(p) })
	}
	d, _, _ := s.Figures().Download.Number()
	t, _, _ := s.Figures().TrailerMass.Number()
	dl, tm := lever(job, "download_max", "", ""), lever(job, "atm", "", "")
	if low, ok := map[string]float64{"au": 0.08, "nz": 0.08, "uk": 0.05, "us": 0.10}[job.Region]; ok { // common practice, no source
		low = math.Min(low, d/t)
		b.add(d-low*t, false, func(p *tickets.Place) float64 { return low*tm(p) - dl(p) })
	}
	if job.Outfit.Travels == tickets.CoupledTensioned {
		lift, _, _ := s.Figures().FrontLift.Number()
		restored, _, _ := s.Figures().FrontRestored.Number()
		k := job.Outfit.RearAxleToCoupling.Mm / job.Outfit.Wheelbase.Mm
		b.add(math.Max(lift-restored, 0), false, func(p *tickets.Place) float64 { return -k * dl(p) })
	}
	for _, p := range job.Places {
		if p.CapacityKg.Valid {
			room := p.CapacityKg.Decimal.InexactFloat64()
			for _, l := range job.Loads {
				if l.Place == p.Name {
					room -= l.Kg.InexactFloat64()
				}
			}
			b.rooms[p.Name] = room
		}
	}
	b.state.rows = make([]float64, len(b.limits))
	b.prepare()
	return b
}

func (b *brute) add(limit float64, guarded bool, effect func(*tickets.Place) float64) {
	b.limits, b.guarded, b.effect = append(b.limits, limit), append(b.guarded, guarded), append(b.effect, effect)
}

// from goes through all ways of the loads from i on.
func (b *brute) from(i int) {
	if i == len(b.job.Loads) {
		b.leaf()
		return
	}
	l := &b.job.Loads[i]
	var to []string
	to = append(to, l.MayGo...)
	if l.MayLeave {
		to = append(to, "")
	}
	b.state.touched++
	b.split(i, l, to, l.Kg.InexactFloat64(), 0)
	b.state.touched--
	b.from(i + 1)
}

// split goes through all ways to send up to kg of a load to some places, some
// having gone already.
func (b *brute) split(i int, l *tickets.Load, to []string, kg, gone float64) {
	if len(to) == 0 {
		if gone > 0 {
			b.from(i + 1)
		}
		return
	}
	step := l.Kg.InexactFloat64()
	if l.Divisible {
		step = 1
	}
	for part := 0.0; part <= kg; part += step {
		b.shift(l, to[0], part)
		b.split(i, l, to[1:], kg-part, gone+part)
		b.shift(l, to[0], -part)
	}
}

// prepare works out what a kilogram of each load does on its way to each place.
func (b *brute) prepare() {
	b.perKg = map[[2]string][]float64{}
	for i := range b.job.Loads {
		l := &b.job.Loads[i]
		for _, to := range append([]string{""}, l.MayGo...) {
			from, dest := b.job.Place(l.Place), b.job.Place(to)
			e := make([]float64, len(b.effect))
			for r, effect := range b.effect {
				e[r] = -effect(from)
				if dest != nil {
					e[r] += effect(dest)
				}
				if b.guarded[r] {
					e[r] += b.k * math.Abs(e[r]) * l.UKg / l.Kg.InexactFloat64()
				}
			}
			b.perKg[[2]string{l.Name, to}] = e
		}
	}
}

func (b *brute) shift(l *tickets.Load, to string, kg float64) {
	if kg == 0 {
		return
	}
	for r, e := range b.perKg[[2]string{l.Name, to}] {
		b.state.rows[r] += e * kg
	}
	if to == "" {
		b.state.left += kg
	} else {
		b.state.moved += kg
	}
	if _, ok := b.rooms[to]; ok {
		b.rooms[to] -= kg
	}
	if _, ok := b.rooms[l.Place]; ok {
		b.rooms[l.Place] += kg
	}
}

// leaf judges one way.
func (b *brute) leaf() {
	b.searched++
	const noise = 1e-7
	for _, room := range b.rooms {
		if room < -noise {
			return
		}
	}
	sum := 0.0
	for r, used := range b.state.rows {
		sum += math.Max(0, used-b.limits[r]-noise)
	}
	b.excess = math.Min(b.excess, sum)
	if sum > 0 {
		return
	}
	now := [3]float64{math.Round(b.state.left), math.Round(b.state.moved), b.state.touched}
	if !b.found || slices.Compare(now[:], b.best[:]) < 0 {
		b.found, b.best = true, now
	}
}

// The optimum of every random job is that of brute force, in all three
// objectives; where there is none, the least total excess is.
func TestPlansAreThoseOfBruteForce(t *testing.T) {
	kind := simulatedKind{least: 1, loads: 8, choices: 2, divisible: 5, tight: true}
	count := map[string]int{}
	var searched int
	jobs := study.Size(1100, 150, 110)
	for seed := range uint64(jobs) {
		w := simulate(kind, seed)
		rule := limits.Guarded
		if seed%5 == 4 {
			rule = "simple"
		}
		s, f := solved(t, w.job, rule)
		p, err := Find(s, f, "", nil)
		if err != nil {
			t.Fatal(err)
		}
		if p.Why == inConflict || p.Why == notWeighed {
			count[string(p.Why)]++
			continue
		}
		b := newBrute(w.job, s, f)
		b.from(0)
		searched += b.searched
		name := fmt.Sprintf("seed %d (%d loads)", seed, len(w.job.Loads))
		count[compare(t, name, p, b)]++
	}
	t.Logf("%d ways tried: %v", searched, count)
	if n := count["plan"] + count["none"] + count["as it is"]; n < jobs*10/11 {
		t.Errorf("only %d of %d jobs were compared (want 1,000 of 1,100)", n, jobs)
	}
	if count["plan"] < jobs/5 || count["none"] < jobs/10 {
		t.Errorf("%d plans and %d jobs without one are too few to say much", count["plan"], count["none"])
	}
}

// compare holds a plan against brute force and names what it was.
func compare(t *testing.T, name string, p *Plan, b *brute) string {
	t.Helper()
	if p.Why == tightened || p.Why == failedRecheck {
		if !b.found {
			t.Errorf("%s: %s, but no way keeps the linear limits", name, p.Why)
		}
		return string(p.Why)
	}
	if !p.Proved {
		t.Errorf("%s: not proved: %s", name, p.Why)
	}
	if p.Found != b.found {
		t.Errorf("%s: found %v, brute force %v", name, p.Found, b.found)
		return "wrong"
	}
	if !p.Found {
		sum := 0.0
		for _, x := range p.Blocking {
			sum += x.ExcessKg
		}
		if math.Abs(sum-b.excess) > 2e-3 {
			t.Errorf("%s: least excess %g, brute force %g", name, sum, b.excess)
		}
		return "none"
	}
	got := [3]float64{p.Left.InexactFloat64(), p.Moved.InexactFloat64(), float64(p.Touched)}
	if got != b.best {
		t.Errorf("%s: left, moved, touched %v, brute force %v", name, got, b.best)
	}
	if len(p.Moves) == 0 {
		return "as it is"
	}
	return "plan"
}
