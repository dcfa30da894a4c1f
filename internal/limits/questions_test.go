package limits

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// asks lists what is asked of a job with one code: file, line, answered and
// arguments.
func asks(f *Findings, code string) string {
	var all []string
	for _, q := range f.Questions {
		if q.Code == code {
			answered := ""
			if q.Answered {
				answered = " answered"
			}
			all = append(all, strings.TrimSpace(q.File+" "+spell(q.Line, q.Args))+answered)
		}
	}
	return strings.Join(all, "; ")
}

// coupledAt is the fixture with other figures, kilograms by setup and deck.
func coupledAt(figures map[string]float64) *tickets.Job {
	job := au(allUsual()...)
	for i := range job.Readings {
		r := &job.Readings[i]
		setup, _ := r.State.Cells()
		if kg, ok := figures[setup+" "+r.OnDeck]; ok {
			r.Kg = decimal.NewFromFloat(kg)
		}
	}
	return job
}

// confirm writes a code on a line of tickets.csv.
func confirm(job *tickets.Job, line int, code string) {
	for i := range job.Readings {
		if job.Readings[i].Line == line {
			job.Readings[i].Confirmed = append(job.Readings[i].Confirmed, code)
		}
	}
}

// Each question of the readings: a job that is asked, its neighbour that is
// not, and the first with the line's confirmation. Loads by hand from the
// fixture: V 1,260 + 1,500, T 2,680, coupled 1,150, 1,860, 2,430, D 250.
func TestQuestionsOfReadings(t *testing.T) {
	light := func(front float64) func() *tickets.Job { // of 2,760 kg a fifth is 552
		return func() *tickets.Job {
			return coupledAt(map[string]float64{"vehicle_alone front": front, "vehicle_alone rear": 2760 - front, "coupled front": front - 110, "coupled rear": 2760 - front + 360})
		}
	}
	download := func(d float64) func() *tickets.Job {
		return func() *tickets.Job {
			return coupledAt(map[string]float64{"coupled front": 1260 - 0.44*d, "coupled rear": 1500 + 1.44*d, "coupled trailer": 2680 - d})
		}
	}
	gauged := func() *tickets.Job {
		job := download(0)()
		job.Readings = append(job.Readings, tickets.Reading{Line: 9, State: tickets.TrailerAlone, Kg: decimal.NewFromInt(10), IntervalKg: decimal.NewFromInt(2),
			Terms: []tickets.Term{{Group: tickets.Coupling}}, OnDeck: "coupling", Used: true})
		return job
	}
	drawbar := func() *tickets.Job {
		job := download(0)()
		job.Outfit.Drawbar = true
		return job
	}
	semi := func() *tickets.Job {
		job := download(900)()
		job.Outfit.Semi = true
		return job
	}
	odd := func(kg float64) func() *tickets.Job {
		return func() *tickets.Job {
			job := coupledAt(map[string]float64{"coupled trailer": kg})
			for i := range job.Readings {
				job.Readings[i].Confirmed, job.Readings[i].IntervalKg = nil, decimal.NewFromInt(10)
			}
			job.Readings[6].Typed = fmt.Sprint(kg)
			job.Readings[6].NotMultiple = math.Mod(kg, 10) != 0 // as reading finds it
			return job
		}
	}
	leftOut := func(kg float64) func() *tickets.Job {
		return func() *tickets.Job {
			job := au(allUsual()...)
			r := weigh(tickets.CoupledSlack, kg, "rear")
			r.Line, r.Used, r.Typed, r.Note = 9, false, fmt.Sprint(kg), "engine running"
			job.Readings = append(job.Readings, r)
			return job
		}
	}
	with := func(all bool) func() *tickets.Job {
		return func() *tickets.Job {
			job := au(allUsual()...)
			job.Loads = []tickets.Load{{Name: "helper", Kg: decimal.NewFromInt(80), UKg: 4, On: tickets.OnVehicle}}
			for i := range job.Readings {
				r := &job.Readings[i]
				if standsOn(r, tickets.OnVehicle) && (all || r.State.Coupled()) {
					r.With = []string{"helper"}
				}
			}
			return job
		}
	}
	// The vehicle was on the deck in two readings, or in one, each with the helper.
	weighedWith := func(times int) func() *tickets.Job {
		return func() *tickets.Job {
			job, seen := with(true)(), 0
			for i := range job.Readings {
				r := &job.Readings[i]
				if !standsOn(r, tickets.OnVehicle) {
					continue
				}
				if seen++; seen > times {
					r.Used = false
				}
			}
			return job
		}
	}
	bars := func(unknown bool) func() *tickets.Job {
		return func() *tickets.Job {
			job := au(allUsual()...)
			travel(job, "tensioned")
			for i := range job.Readings {
				if job.Readings[i].State.Coupled() {
					job.Readings[i].State, job.Readings[i].HitchUnknown = tickets.CoupledTensioned, unknown
				}
			}
			return job
		}
	}
	unstated := func(change func(*tickets.Job)) func() *tickets.Job {
		return func() *tickets.Job {
			job := au(allUsual()...)
			job.Outfit.TravelsStated, job.Outfit.Line = false, 2
			change(job)
			return job
		}
	}
	nothing := func(*tickets.Job) {}
	for _, c := range []struct {
		name, code string
		job        func() *tickets.Job
		line       int // asked; 0: nothing is asked
	}{
		// 480 ± U is below 552 (the line of the front axle alone), 700 is not
		{"front 480 of 2,760", "axle_light", light(480), 2},
		{"front 700 of 2,760", "axle_light", light(700), 0},
		// D 0: 0 − U ≤ 0; 250 of 2,680 is 9 %. The trailer is read once, the
		// vehicle in parts and all at once: line 5 affects D most
		{"D 0", "not_uncoupled", download(0), 5},
		{"D 250", "not_uncoupled", download(250), 0},
		// U is 19 kg: 45 + 19 is 2.4 % of 2,680, 70 + 19 is 3.3 %
		{"D 45", "not_uncoupled", download(45), 5},
		{"D 70", "not_uncoupled", download(70), 0},
		{"D 0 by a gauge too", "not_uncoupled", gauged, 0},
		{"D 0, drawbar", "not_uncoupled", drawbar, 0},
		// 900 of 2,680 is 34 %, of a semi-trailer usual; 600 is 22 %
		{"D 900", "share_high", download(900), 5},
		{"D 600", "share_high", download(600), 0},
		{"D 900, semi", "share_high", semi, 0},
		{"2,435 with e = 10", "not_a_multiple", odd(2435), 8},
		{"2,430 with e = 10", "not_a_multiple", odd(2430), 0},
		{"left out: 2,060 for 1,860", "left_out_disagrees", leftOut(2060), 9},
		{"left out: 1,880 for 1,860", "left_out_disagrees", leftOut(1880), 0},
		{"helper everywhere", "with_everywhere", with(true), 2},
		{"helper coupled only", "with_everywhere", with(false), 0},
		{"helper in both readings", "with_everywhere", weighedWith(2), 2},
		{"helper in the one reading", "with_everywhere", weighedWith(1), 0},
		{"bars unknown", "bars_unknown", bars(true), 6},
		{"bars tensioned", "bars_unknown", bars(false), 0},
	} {
		job := c.job()
		got := asks(found(t, job), c.code)
		if (got != "") != (c.line > 0) || c.line > 0 && !strings.HasPrefix(got, fmt.Sprintf("tickets.csv line=%d", c.line)) {
			t.Errorf("%s: asked %q (want line %d)", c.name, got, c.line)
		}
		if c.line == 0 {
			continue
		}
		job = c.job()
		confirm(job, c.line, c.code)
		if got := asks(found(t, job), c.code); !strings.HasSuffix(got, " answered") {
			t.Errorf("%s, confirmed: %q", c.name, got)
		}
	}
	// T 2,680 is more than 2/3 of V 2,760; of outfit.csv's line, gone once
	// `travels` is filled
	for _, c := range []struct {
		name string
		job  func() *tickets.Job
		want string
	}{
		{"au", unstated(nothing), "outfit.csv line=2"},
		{"no outfit.csv", unstated(func(j *tickets.Job) { j.Outfit.Line = 0 }), "tickets.csv line=1"},
		{"travels stated", unstated(func(j *tickets.Job) { j.Outfit.TravelsStated = true }), ""},
		{"a line says slack", unstated(func(j *tickets.Job) { j.Readings[4].HitchStated = true }), ""},
		{"uk", unstated(func(j *tickets.Job) { j.Region = "uk" }), ""},
		{"semi", unstated(func(j *tickets.Job) { j.Outfit.Semi = true }), ""},
		{"light trailer", func() *tickets.Job {
			job := coupledAt(map[string]float64{"trailer_alone whole trailer": 1680, "coupled trailer": 1430})
			job.Outfit.TravelsStated, job.Outfit.Line = false, 2
			return job
		}, ""},
	} {
		if got := asks(found(t, c.job()), "bars_not_stated"); got != c.want {
			t.Errorf("%s: asked %q (want %q)", c.name, got, c.want)
		}
	}
}

// Each question of the ratings, its neighbour, and confirmed. The figures are
// compared by hand; the fixture's vehicle weighs 3,010 kg at most, its trailer 2,680.
func TestQuestionsOfRatings(t *testing.T) {
	lines := func(changes ...tickets.Rating) []tickets.Rating {
		all := allUsual()
		for _, c := range changes {
			i := slices.IndexFunc(all, func(r tickets.Rating) bool { return r.Word == c.Word && r.On == c.On })
			if i < 0 {
				all = append(all, c)
			} else {
				all[i] = c
			}
		}
		return all
	}
	braked := func(kg float64) tickets.Rating {
		return with(rate("towing", "", kg), func(r *tickets.Rating) { r.Kind = "braked" })
	}
	certified := func(kg float64) tickets.Rating {
		return with(rate("gvm", "", kg), func(r *tickets.Rating) { r.Certificate = "ENG 4" })
	}
	unbraked := func(kg float64, on string) tickets.Rating {
		return with(rate("towing", "", kg), func(r *tickets.Rating) {
			r.Kind = "unbraked"
			r.CertifiedOn, _ = tickets.ParseMoment(on, "")
		})
	}
	brakes := func(j *tickets.Job) {
		j.Outfit.TrailerBrakes = "driver"
		for i := range j.Readings {
			j.Readings[i].WeighedAt, _ = tickets.ParseMoment("2026-03-14", "")
		}
	}
	for _, c := range []struct {
		name, code string
		lines      []tickets.Rating
		job        func(*tickets.Job)
		want       string // "" : not asked
	}{
		{"gtm 190", "rating_small", lines(rate("gtm", "", 190)), nil, "line=7 rating=gtm kg=190.00"},
		{"gtm 200", "rating_small", lines(rate("gtm", "", 200)), nil, ""},
		{"axle 99", "rating_small", lines(rate("axle", "front", 99)), nil, "line=5 rating=axle on=front kg=99.00"},
		{"axle 100", "rating_small", lines(rate("axle", "front", 100)), nil, ""},
		{"download 80", "rating_small", lines(rate("download_max", "", 80)), nil, ""},
		// 1,500 + 1,990 < 3,500 ≤ 1,500 + 2,000
		{"axles 3,490", "axles_below_gvm", lines(rate("axle", "rear", 1990)), nil, "line=5 kg=3490.00 limit_kg=3500.00"},
		{"axles 3,500", "axles_below_gvm", lines(rate("axle", "rear", 2000)), nil, ""},
		{"axles 3,490, a certificate", "axles_below_gvm", lines(rate("axle", "rear", 1990), certified(3500)), nil, ""},
		{"two axles of the rear", "axles_below_gvm", append(change(lines(), "axle", "rear", rate("axle", "rear.1", 900)), rate("axle", "rear.2", 950)),
			func(j *tickets.Job) { j.Outfit.RearAxles = 2 }, "line=5 kg=3350.00 limit_kg=3500.00"},
		// 1,500 + 5,510 > 2·3,500
		{"axles 7,010", "axles_far_above_gvm", lines(rate("axle", "rear", 5510)), nil, "line=5 kg=7010.00 limit_kg=7000.00"},
		{"axles 7,000", "axles_far_above_gvm", lines(rate("axle", "rear", 5500)), nil, ""},
		{"rear 3,510", "axle_above_gvm", lines(rate("axle", "rear", 3510)), nil, "line=6 on=rear kg=3510.00 limit_kg=3500.00"},
		{"rear 3,500", "axle_above_gvm", lines(rate("axle", "rear", 3500)), nil, ""},
		{"rear 3,510 of one axle", "axle_above_gvm", lines(rate("axle", "rear", 3510)), func(j *tickets.Job) { j.Outfit.RearAxles = 1 }, "line=6 on=rear kg=3510.00 limit_kg=3500.00"},
		{"rear 3,510 of two axles", "axle_above_gvm", lines(rate("axle", "rear", 3510)), func(j *tickets.Job) { j.Outfit.RearAxles = 2 }, ""},
		{"rear 5,510, asked before", "axle_above_gvm", lines(rate("axle", "rear", 5510)), nil, ""},
		{"rear 3,510, a certificate", "axle_above_gvm", lines(rate("axle", "rear", 3510), certified(3500)), nil, ""},
		// 3,010 + U (about 23) < 3,050·2 and not < 3,025·2; kerb 2,900: 3,010 ≥ 0.9 of it
		{"gvm 6,100", "gvm_far_above", lines(rate("gvm", "", 6100)), nil, "line=2 kg=3010.00 limit_kg=6100.00"},
		{"gvm 6,050", "gvm_far_above", lines(rate("gvm", "", 6050)), nil, ""},
		{"gvm 6,100, kerb 2,900", "gvm_far_above", lines(rate("gvm", "", 6100), rate("kerb", "vehicle", 2900)), nil, ""},
		{"gvm 6,100, kerb 3,400", "gvm_far_above", lines(rate("gvm", "", 6100), rate("kerb", "vehicle", 3400)), nil, "line=2 kg=3010.00 limit_kg=6100.00"},
		{"gvm 6,100, semi", "gvm_far_above", lines(rate("gvm", "", 6100)), func(j *tickets.Job) { j.Outfit.Semi = true }, ""},
		{"gcm 3,490", "gcm_below_gvm", lines(rate("gcm", "", 3490)), nil, "line=3 kg=3490.00 limit_kg=3500.00"},
		{"gcm 3,500", "gcm_below_gvm", lines(rate("gcm", "", 3500)), nil, ""},
		// 1.1·(3,500 + 3,500) = 7,700
		{"gcm 7,710", "gcm_above_sum", lines(rate("gcm", "", 7710)), nil, "line=3 kg=7710.00 limit_kg=7700.00"},
		{"gcm 7,700", "gcm_above_sum", lines(rate("gcm", "", 7700)), nil, ""},
		{"gcm 7,710, towing unbraked", "gcm_above_sum", lines(rate("gcm", "", 7710), with(rate("towing", "", 3500), func(r *tickets.Rating) { r.Kind = "unbraked" })), nil, ""},
		{"gcm 7,710, none", "gcm_above_sum", lines(rate("gcm", "", 7710), none("towing", "")), nil, ""},
		{"gcm 7,710, towing 3,600 coupled", "gcm_above_sum", append(lines(rate("gcm", "", 7710)), with(braked(3600), func(r *tickets.Rating) { r.When = "coupled" })), nil, ""},
		// Of two lines of atm the lowest governs, and one with when is no plate: 1.1·(3,500 + 3,500) still.
		{"gcm 7,710, a second atm", "gcm_above_sum", append(lines(rate("gcm", "", 7710)), rate("atm", "", 3700)), nil, "line=3 kg=7710.00 limit_kg=7700.00"},
		{"gcm 7,710, atm 3,700 coupled", "gcm_above_sum", append(lines(rate("gcm", "", 7710)), with(rate("atm", "", 3700), func(r *tickets.Rating) { r.When = "coupled" })), nil, "line=3 kg=7710.00 limit_kg=7700.00"},
		// A towing value of the other brakes counts only where it is in force too.
		{"gcm 7,710, towing 3,700 unbraked", "gcm_above_sum", append(lines(rate("gcm", "", 7710)), unbraked(3700, "")), brakes, ""},
		{"gcm 7,710, towing 3,700 unbraked, not yet in force", "gcm_above_sum", append(lines(rate("gcm", "", 7710)), unbraked(3700, "2027-01-01")), brakes, "line=3 kg=7710.00 limit_kg=7700.00"},
		{"gtm 3,010, atm 3,000 coupled", "gtm_above_atm", append(change(lines(rate("gtm", "", 3010)), "atm", "", rate("atm", "", 3200)), with(rate("atm", "", 3000), func(r *tickets.Rating) { r.When = "coupled" })), nil, ""},
		{"gtm 3,010", "gtm_above_atm", lines(rate("gtm", "", 3010)), nil, "line=7 kg=3010.00 limit_kg=3000.00"},
		{"gtm 3,000", "gtm_above_atm", lines(rate("gtm", "", 3000)), nil, ""},
		{"gtm 3,010, us", "gtm_above_atm", lines(rate("gtm", "", 3010)), func(j *tickets.Job) { j.Region = "us" }, ""},
		// 2,680 + U (about 17) < 10,850/4 and not < 10,750/4
		{"atm 10,850", "atm_far_above", lines(rate("atm", "", 10850)), nil, "line=4 kg=2680.00 limit_kg=10850.00"},
		{"atm 10,750", "atm_far_above", lines(rate("atm", "", 10750)), nil, ""},
		{"atm 10,850, tare 2,700", "atm_far_above", lines(rate("atm", "", 10850), rate("tare", "trailer", 2700)), nil, ""},
		{"atm 10,850, semi", "atm_far_above", lines(rate("atm", "", 10850)), func(j *tickets.Job) { j.Outfit.Semi = true }, ""},
		// a quarter of 3,500 is 875
		{"download 880", "download_far_above", lines(rate("download_max", "", 880)), nil, "line=9 kg=880.00 limit_kg=875.00"},
		{"download 875", "download_far_above", lines(rate("download_max", "", 875)), nil, ""},
		{"download 880, no towing", "download_far_above", lines(rate("download_max", "", 880), none("towing", "")), nil, ""},
		// 0.7·2,800 = 1,960; without gtm 0.7·(3,000 − 350) = 1,855
		{"trailer axle 1,950", "axle_each", lines(rate("axle", "trailer", 1950)), func(j *tickets.Job) { j.Outfit.TrailerAxles = 2 }, "line=10 kg=1950.00 limit_kg=1960.00"},
		{"trailer axle 1,960", "axle_each", lines(rate("axle", "trailer", 1960)), func(j *tickets.Job) { j.Outfit.TrailerAxles = 2 }, ""},
		{"trailer axle 1,950 of one axle", "axle_each", lines(rate("axle", "trailer", 1950)), func(j *tickets.Job) { j.Outfit.TrailerAxles = 1 }, ""},
		{"trailer axle 1,850 by the atm", "axle_each", change(lines(), "gtm", "", rate("axle", "trailer", 1850)), func(j *tickets.Job) { j.Outfit.TrailerAxles = 2 }, "line=7 kg=1850.00 limit_kg=1855.00"},
	} {
		job := func() *tickets.Job {
			j := au(slices.Clone(c.lines)...)
			if c.job != nil {
				c.job(j)
			}
			return j
		}
		want := c.want
		if want != "" {
			want = "ratings.csv " + want
		}
		if got := asks(found(t, job()), c.code); got != want {
			t.Errorf("%s: asked %q (want %q)", c.name, got, want)
		}
		if want == "" {
			continue
		}
		answered := job()
		for i := range answered.Ratings {
			answered.Ratings[i].Confirmed = []string{c.code}
		}
		if got := asks(found(t, answered), c.code); got != want+" answered" {
			t.Errorf("%s, confirmed: %q", c.name, got)
		}
	}
}

// A question holds back the answer and nothing else: unconfirmed until the line
// confirms it, below what is over, unsettled or not given.
func TestUnconfirmed(t *testing.T) {
	job := au(change(allUsual(), "gcm", "", rate("gcm", "", 7710))...)
	if f := found(t, job); f.Verdict != unconfirmed || f.Governing == nil {
		t.Errorf("asked: %s, governing %v", f.Verdict, f.Governing)
	}
	job.Ratings[1].Confirmed = []string{"gcm_above_sum"}
	if f := found(t, job); f.Verdict != Within {
		t.Errorf("confirmed: %s (want within)", f.Verdict)
	}
	job.Ratings[1].Confirmed = []string{"axle_each"}
	if f := found(t, job); f.Verdict != unconfirmed {
		t.Errorf("another code confirmed: %s (want unconfirmed)", f.Verdict)
	}
	over := au(change(change(allUsual(), "gcm", "", rate("gcm", "", 7710)), "gvm", "", rate("gvm", "", 2900))...)
	if f := found(t, over); f.Verdict != Over || f.Governing.Rating != "gvm" {
		t.Errorf("over and asked: %s, governing %+v (want over, gvm)", f.Verdict, f.Governing)
	}
	missing := au(change(allUsual(), "gcm", "", rate("gcm", "", 7710))[:7]...)
	if f := found(t, missing); f.Verdict != incomplete {
		t.Errorf("not given and asked: %s (want incomplete)", f.Verdict)
	}
}

// A set's lines are asked among themselves, with the set's name, and never hold
// the verdict; what is asked as plated is not asked again.
func TestQuestionsOfSets(t *testing.T) {
	job := au(append(allUsual(), planned(rate("gcm", "", 7710)))...)
	f := found(t, job)
	if got, want := asks(f, "gcm_above_sum"), "ratings.csv line=10 set=springs kg=7710.00 limit_kg=7700.00"; got != want {
		t.Errorf("asked %q (want %q)", got, want)
	}
	if f.Verdict != Within {
		t.Errorf("%s (want within: a plan)", f.Verdict)
	}
	both := au(append(change(allUsual(), "gcm", "", rate("gcm", "", 7710)), planned(rate("axle", "front", 1550)))...)
	if got := asks(found(t, both), "gcm_above_sum"); strings.Contains(got, ";") || strings.Contains(got, "set=") {
		t.Errorf("asked again of a set that changes nothing of it: %q", got)
	}
}

// A reading left out with which a deciding check would be over makes the job
// unsettled, unless its line confirms it: 2,400 kg on the rear axle, rated
// 1,900, against 1,860 of the others; half of it would be enough.
func TestLeftOutThatWouldBeOver(t *testing.T) {
	job := func() *tickets.Job {
		j := au(change(change(allUsual(), "axle", "rear", rate("axle", "rear", 1900)), "gvm", "", rate("gvm", "", 3300))...)
		r := weigh(tickets.CoupledSlack, 2400, "rear")
		r.Line, r.Used, r.Typed = 9, false, "2400"
		j.Readings = append(j.Readings, r)
		return j
	}
	f := found(t, job())
	if got := asks(f, "left_out_disagrees"); got == "" || f.Verdict != Unsettled {
		t.Errorf("asked %q, %s (want asked, unsettled)", got, f.Verdict)
	}
	// Nor does it escape by naming a load that no used line names.
	stranger := job()
	stranger.Loads = []tickets.Load{{Name: "helper", Kg: decimal.NewFromInt(80), UKg: 4, On: tickets.OnVehicle}}
	stranger.Readings[len(stranger.Readings)-1].Without = []string{"helper"}
	if f := found(t, stranger); asks(f, "left_out_disagrees") == "" || f.Verdict != Unsettled {
		t.Errorf("without a helper: asked %q, %s (want asked, unsettled)", asks(f, "left_out_disagrees"), f.Verdict)
	}
	confirmed := job()
	confirm(confirmed, 9, "left_out_disagrees")
	if f := found(t, confirmed); f.Verdict != Within {
		t.Errorf("confirmed: %s (want within)", f.Verdict)
	}
}

// A person who typed the truth is asked nothing.
func TestNothingAsked(t *testing.T) {
	for _, region := range []string{"au", "nz", "uk", "eu", "us"} {
		job := au(allUsual()...)
		job.Region = region
		for i := range job.Readings { // each is a multiple of 10 kg
			job.Readings[i].IntervalKg, job.Readings[i].Confirmed = decimal.NewFromInt(10), nil
		}
		if f := found(t, job); len(f.Questions) != 0 {
			t.Errorf("%s: asked %+v", region, f.Questions)
		}
	}
}

// A reading left out is held against what it would have shown; where the others do not
// say what that is, nothing is asked.
func TestLeftOutOfWhatIsNotKnown(t *testing.T) {
	job := jobOf(alone())
	r := weigh(tickets.CoupledSlack, 1150, "front")
	r.Line, r.Used, r.Typed, r.Note = 9, false, "1150", "engine running"
	job.Readings = append(job.Readings, r)
	if got := asks(found(t, job), "left_out_disagrees"); got != "" {
		t.Errorf("asked %q (want nothing: the front axle coupled is not known)", got)
	}
	// One that is used and disagrees is the conflict's, not asked about as left out.
	job = au(allUsual()...)
	r = weigh(tickets.CoupledSlack, 2060, "rear")
	r.Line = 9
	job.Readings = append(job.Readings, r)
	if f := found(t, job); asks(f, "left_out_disagrees") != "" || f.Verdict != conflict {
		t.Errorf("asked %q, %s (want nothing, a conflict)", asks(f, "left_out_disagrees"), f.Verdict)
	}
}

// Whether bars are on the outfit is asked of a trailer heavier than two thirds of the
// vehicle; where one of the two is not known nothing is.
func TestBarsOfWhatIsNotKnown(t *testing.T) {
	both := rated(jobOf(alone(), slack()), allUsual()...)
	noVehicle := rated(jobOf(alone()[3:], slack()[2:]), allUsual()...)
	for name, c := range map[string]struct {
		job  *tickets.Job
		want bool
	}{"both": {both, true}, "no vehicle": {noVehicle, false}} {
		c.job.Region, c.job.Outfit.TravelsStated = "us", false
		if got := asks(found(t, c.job), "bars_not_stated"); (got != "") != c.want {
			t.Errorf("%s: asked %q (want %v)", name, got, c.want)
		}
	}
}

// An interval is asked about in the unit of the reading: 20 lb are 9.0718474 kg
// (exact: the international pound is 0.45359237 kg).
func TestIntervalInTheUnitOfTheReading(t *testing.T) {
	lb := decimal.RequireFromString("0.45359237")
	r := tickets.Reading{Typed: "6085", Kg: decimal.NewFromInt(6085).Mul(lb), IntervalKg: decimal.NewFromInt(20).Mul(lb)}
	if got := inUnit(&r); got != "20" {
		t.Errorf("%s (want 20)", got)
	}
	r.Typed, r.Kg = "0", decimal.Decimal{}
	if got := inUnit(&r); got != "9.0718474" {
		t.Errorf("of nothing: %s (want 9.0718474 kg)", got)
	}
}
