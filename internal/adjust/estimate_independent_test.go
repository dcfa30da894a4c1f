package adjust

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// statedJobs is how many random jobs are compared with the second opinion.
const statedJobs = 1000

// dice draws a job that states masses: with regions, kinds of trailer, empty
// masses of all three words, missing lengths and places, and a set.
type dice struct{ *rand.Rand }

func (d dice) one(n float64) bool              { return d.Float64() < n }
func (d dice) whole(from, to int) int          { return from + d.IntN(to-from+1) }
func (d dice) pick(words ...string) string     { return words[d.IntN(len(words))] }
func (d dice) kg(from, to int) decimal.Decimal { return decimal.NewFromInt(int64(d.whole(from, to))) }

func (d dice) length(known float64, from, to int) tickets.Length {
	return tickets.Length{Known: d.one(known), Mm: float64(d.whole(from, to))}
}

func (d dice) job() *tickets.Job {
	j := &tickets.Job{Region: d.pick("au", "nz", "uk", "eu", "us", "au", "us"), Outfit: tickets.Outfit{
		Wheelbase: d.length(0.9, 2500, 4000), RearAxleToCoupling: d.length(0.9, 900, 1800),
		RearAxles: 1, Travels: tickets.CoupledSlack, TravelsPlain: true,
	}}
	kind := d.pick("centre_axle", "centre_axle", "centre_axle", "semi", "drawbar")
	j.Outfit.Drawbar, j.Outfit.Semi, j.Outfit.TrailerAxles = kind == "drawbar", kind == "semi", d.whole(1, 2)
	if j.Outfit.Semi {
		j.Outfit.RearAxleToCoupling.Mm -= 1500 // ahead of the rear axle, some of them
	}
	if d.one(0.4) {
		j.Outfit.DownloadShare = decimal.NewNullDecimal(decimal.New(int64(d.whole(0, 250)), -1))
	}
	j.Places = []tickets.Place{{Name: "cabin", On: tickets.OnVehicle, HasAt: true, AtMm: float64(d.whole(800, 1800))},
		{Name: "boot", On: tickets.OnVehicle, HasAt: true, AtMm: float64(d.whole(2500, 4200))},
		{Name: "bumper", On: tickets.OnVehicle, HasAt: true}, {Name: "somewhere", On: tickets.OnVehicle}}
	d.ratings(j)
	d.loads(j)
	return j
}

func (d dice) add(j *tickets.Job, likely float64, word, on, set string, limit decimal.Decimal) {
	if !d.one(likely) {
		return
	}
	r := tickets.Rating{Line: len(j.Ratings) + 2, Word: word, On: on, Set: set, LimitKg: decimal.NewNullDecimal(limit)}
	if word == "axle" {
		r.Terms = []tickets.Term{{Group: tickets.Group(on)}}
	}
	if word == "d_value" {
		r.LimitKN, r.LimitKg = r.LimitKg, decimal.NullDecimal{}
	}
	j.Ratings = append(j.Ratings, r)
}

func (d dice) ratings(j *tickets.Job) {
	front, rear := d.whole(1000, 1500), d.whole(1000, 1600)
	word, trailer := d.pick("kerb", "tare", "running_order"), d.pick("kerb", "tare", "running_order")
	d.add(j, 0.95, word, "vehicle", "", decimal.NewFromInt(int64(front+rear)))
	d.add(j, 0.9, word, "front", "", decimal.NewFromInt(int64(front)))
	d.add(j, 0.9, word, "rear", "", decimal.NewFromInt(int64(rear)))
	if !hasWord(j, "vehicle") { // the sum of the axles is a case of its own, checked by hand
		j.Ratings = nil
	}
	d.add(j, 0.7, trailer, "trailer", "", d.kg(700, 2600))
	for _, set := range []string{"", "", "lift"} {
		likely := 0.75
		if set != "" {
			likely = 0.25
		}
		d.add(j, likely, "gvm", "", set, d.kg(2600, 4200))
		d.add(j, likely, "gcm", "", set, d.kg(4000, 7500))
		d.add(j, likely, "atm", "", set, d.kg(1000, 3500))
		d.add(j, likely, "gtm", "", set, d.kg(1000, 3200))
		d.add(j, likely, "towing", "", set, d.kg(1000, 3500))
		d.add(j, likely, "axle", "front", set, d.kg(1100, 1700))
		d.add(j, likely, "axle", "rear", set, d.kg(1300, 2300))
		d.add(j, likely, "axle", "trailer", set, d.kg(1000, 3200))
		if j.Outfit.Drawbar {
			continue
		}
		d.add(j, likely, "download_max", "towbar", set, d.kg(75, 400))
		d.add(j, likely, "download_min", "towbar", set, d.kg(10, 60))
		if !j.Outfit.Semi {
			d.add(j, likely, "d_value", "towbar", set, decimal.New(int64(d.whole(80, 180)), -1))
		}
	}
}

func hasWord(j *tickets.Job, on string) bool {
	for _, r := range j.Ratings {
		if r.On == on {
			return true
		}
	}
	return false
}

func (d dice) loads(j *tickets.Job) {
	for i := range d.whole(0, 7) {
		l := tickets.Load{Line: i + 2, Name: fmt.Sprintf("load %d", i), Kg: d.kg(5, 300), On: tickets.OnTrailer, UKg: float64(d.whole(1, 15))}
		if d.one(0.6) {
			l.On, l.Place = tickets.OnVehicle, d.pick("cabin", "boot", "boot", "bumper")
			if d.one(0.05) {
				l.Place = d.pick("somewhere", "")
			}
		}
		if d.one(0.1) {
			l.Set = "lift"
		}
		if i == 0 && d.one(0.6) {
			l.Name, l.On, l.Place, l.Set = "driver", tickets.OnVehicle, "cabin", ""
		}
		j.Loads = append(j.Loads, l)
	}
}

// kindOf is the word of the column trailer_kind.
func kindOf(o *tickets.Outfit) string {
	switch {
	case o.Drawbar:
		return "drawbar"
	case o.Semi:
		return "semi"
	}
	return "centre_axle"
}

// dumpedStated is a job as testdata/estimate.py reads it.
func dumpedStated(j *tickets.Job, sets []string) map[string]any {
	length := func(l tickets.Length) any {
		if !l.Known {
			return nil
		}
		return l.Mm
	}
	out := map[string]any{"region": j.Region, "kind": kindOf(&j.Outfit), "w": length(j.Outfit.Wheelbase), "a": length(j.Outfit.RearAxleToCoupling), "share": nil, "sets": sets}
	if s := j.Outfit.DownloadShare; s.Valid {
		out["share"] = s.Decimal.InexactFloat64()
	}
	var ratings, loads []any
	for _, r := range j.Ratings {
		ratings = append(ratings, map[string]any{"line": r.Line, "word": r.Word, "on": r.On, "set": r.Set, "kg": r.LimitKg.Decimal.InexactFloat64()})
	}
	for _, l := range j.Loads {
		var at any
		if p := j.Place(l.Place); p != nil && p.HasAt {
			at = p.AtMm
		}
		loads = append(loads, map[string]any{"name": l.Name, "on": l.On, "kg": l.Kg.InexactFloat64(), "u": l.UKg, "set": l.Set, "at": at})
	}
	out["ratings"], out["loads"] = append([]any{}, ratings...), append([]any{}, loads...)
	return out
}

// secondCase is what the other computation says of one set.
type secondCase struct {
	Set                                           string
	Vehicle, Trailer, Download, Combination, Left []float64
	Payload, Fits                                 *float64
	Rows                                          []struct {
		Line  int
		State string
		Value []float64
	}
}

// statedOpinions runs the other computation, or skips where its interpreter or
// numpy is not installed.
func statedOpinions(t *testing.T, jobs []*tickets.Job, sets [][]string) [][]secondCase {
	t.Helper()
	python := study.Tool(t, "python3", "numpy")
	var in, out bytes.Buffer
	enc := json.NewEncoder(&in)
	for i, j := range jobs {
		if err := enc.Encode(dumpedStated(j, sets[i])); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(python, "testdata/estimate.py")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = &in, &out, os.Stderr
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	var all [][]secondCase
	for dec := json.NewDecoder(&out); dec.More(); {
		var cases []secondCase
		if err := dec.Decode(&cases); err != nil {
			t.Fatal(err)
		}
		all = append(all, cases)
	}
	return all
}

// TestEstimateIndependent compares every mass, every row and the heaviest
// trailer of random jobs (a thousand in the study) with an independent computation by numpy.
func TestEstimateIndependent(t *testing.T) {
	var jobs []*tickets.Job
	var ours []*Estimated
	var sets [][]string
	count := study.Size(statedJobs, statedJobs/10, statedJobs/10)
	for seed := range uint64(count) {
		j := dice{rand.New(rand.NewPCG(seed, 15))}.job()
		e := Estimate(j)
		var names []string
		for _, c := range e.Cases {
			names = append(names, c.Set)
		}
		jobs, ours, sets = append(jobs, j), append(ours, e), append(sets, names)
	}
	answers := statedOpinions(t, jobs, sets)
	if len(answers) != count {
		t.Fatalf("%d answers (want %d)", len(answers), count)
	}
	n := &tally{verdicts: map[likely]int{}}
	for i, e := range ours {
		for k := range e.Cases {
			n.compareCase(t, int(i), &e.Cases[k], answers[i][k])
			n.compareRows(t, int(i), e, answers[i][k])
		}
	}
	t.Logf("%d numbers, %d trailers that fit, %d not; rows %v", n.numbers, n.fit, n.none, n.verdicts)
	if n.numbers < 20*count || n.fit < count/5 || n.none < count/10 || len(n.verdicts) != 4 {
		t.Error("too few to say anything")
	}
}

// tally counts what was compared.
type tally struct {
	numbers, fit, none int
	verdicts           map[likely]int
}

// same compares a value and its u, or that neither side knows it. A u by
// differences is good to some 1e-5 of a D-value, and better of a sum.
func (n *tally) same(t *testing.T, what string, known bool, value, u float64, other []float64) {
	t.Helper()
	switch {
	case known != (other != nil):
		t.Errorf("%s: known %v, by numpy %v", what, known, other)
	case known:
		n.numbers += 2
		if math.Abs(value-other[0]) > 2e-6 || math.Abs(u-other[1]) > 2e-6+1e-6*math.Abs(u) {
			t.Errorf("%s: %v, u %v, by numpy %v", what, value, u, other)
		}
	}
}

func (n *tally) compareCase(t *testing.T, job int, c *underSet, o secondCase) {
	t.Helper()
	for _, m := range []struct {
		name  string
		ours  *statedMass
		other []float64
	}{{"vehicle", c.Vehicle, o.Vehicle}, {"trailer", c.Trailer, o.Trailer}, {"download", c.Download, o.Download},
		{"combination", c.Combination, o.Combination}, {"payload left", c.PayloadLeft, o.Left}} {
		if m.ours == nil {
			m.ours = &statedMass{}
			n.same(t, fmt.Sprintf("job %d %s %s", job, c.Set, m.name), false, 0, 0, m.other)
			continue
		}
		n.same(t, fmt.Sprintf("job %d %s %s", job, c.Set, m.name), true, m.ours.ValueKg, m.ours.UKg, m.other)
	}
	if c.Payload.Valid != (o.Payload != nil) || c.Payload.Valid && math.Abs(c.Payload.Decimal.InexactFloat64()-*o.Payload) > 1e-9 {
		t.Errorf("job %d %s: payload %v, by numpy %v", job, c.Set, c.Payload, o.Payload)
	}
	switch {
	case c.Fits.Ok != (o.Fits != nil):
		t.Errorf("job %d %s: fits %+v, by numpy %v", job, c.Set, c.Fits, o.Fits)
	case !c.Fits.Ok:
		n.none++
	default:
		n.fit++
		if math.Abs(c.Fits.TrailerKg-*o.Fits) > 1e-5 {
			t.Errorf("job %d %s: fits %v, by numpy %v", job, c.Set, c.Fits.TrailerKg, *o.Fits)
		}
	}
}

func (n *tally) compareRows(t *testing.T, job int, e *Estimated, o secondCase) {
	t.Helper()
	at := 0
	for i := range e.Checks {
		c := &e.Checks[i]
		if c.Set != o.Set {
			continue
		}
		state := string(c.State)
		if c.State == tickets.CoupledSlack {
			state = "coupled"
		}
		if at >= len(o.Rows) || o.Rows[at].Line != c.Line.Line || o.Rows[at].State != state {
			t.Errorf("job %d %s: row %d is line %d %s, by numpy %+v", job, o.Set, at, c.Line.Line, state, o.Rows)
			return
		}
		row := o.Rows[at].Value
		at++
		n.verdicts[c.Verdict]++
		if c.Value == nil {
			n.same(t, fmt.Sprintf("job %d line %d %s", job, c.Line.Line, state), false, 0, 0, row)
			continue
		}
		n.same(t, fmt.Sprintf("job %d line %d %s", job, c.Line.Line, state), true, c.Value.Value, c.Value.U, row)
		if want := judged(c, row); want != c.Verdict {
			t.Errorf("job %d line %d %s: %s (want %s)", job, c.Line.Line, state, c.Verdict, want)
		}
	}
	if at != len(o.Rows) {
		t.Errorf("job %d %s: %d rows, by numpy %d", job, o.Set, at, len(o.Rows))
	}
}

// judged is the verdict by the second computation's value and u; on the
// boundary, where the last digit decides, it is ours.
func judged(c *statedCheck, row []float64) likely {
	if row == nil {
		return notKnown
	}
	limit := c.LimitKg.Decimal.InexactFloat64() + c.LimitKN.Decimal.InexactFloat64()
	value, guard := row[0], 2*row[1]
	if c.Lower {
		value, limit = -value, -limit
	}
	switch {
	case math.Abs(value+guard-limit) < 1e-4 || math.Abs(value-guard-limit) < 1e-4:
		return c.Verdict
	case value+guard <= limit:
		return likelyWithin
	case value-guard > limit:
		return likelyOver
	}
	return likelyOpen
}
