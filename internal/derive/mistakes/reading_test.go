package mistakes

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// Readings of one line are one group, and so is a ticket of several lines.
func TestGroupsOfReadings(t *testing.T) {
	var readings []tickets.Reading
	for range 3 {
		r := weigh(tickets.VehicleAlone, 1380, "front")
		r.Ticket = "4711"
		readings = append(readings, r)
	}
	job := jobOf(readings...)
	job.Readings[1].Line = job.Readings[0].Line
	groups := newSearch(mustSolve(t, job)).groups(func(*tickets.Reading) bool { return true })
	if len(groups) != 3 || !slices.Equal(groups[0].readings, []int{0, 1}) || !slices.Equal(groups[1].readings, []int{2}) || !slices.Equal(groups[2].readings, []int{0, 1, 2}) {
		t.Errorf("groups %v (want the line of two, the other, the ticket)", groups)
	}
}

// A ticket of one line is that line, and not tried once more.
func TestTicketOfOneLine(t *testing.T) {
	front, rear := weigh(tickets.VehicleAlone, 1380, "front"), weigh(tickets.VehicleAlone, 1380, "rear")
	front.Ticket, rear.Ticket = "4711", "4711"
	job := jobOf(front, rear)
	job.Readings[1].Line = job.Readings[0].Line
	groups := newSearch(mustSolve(t, job)).groups(func(*tickets.Reading) bool { return true })
	if len(groups) != 1 || !slices.Equal(groups[0].readings, []int{0, 1}) {
		t.Errorf("groups %v (want the line of two)", groups)
	}
}

func TestTypedUnit(t *testing.T) {
	r := tickets.Reading{Typed: "2.76", Kg: decimal.NewFromInt(2760)}
	if digits, unit := typed(&r); digits != "2.76" || !unit.Equal(decimal.NewFromInt(1000)) {
		t.Errorf("typed %s, one is %s kg (want 2.76, 1000)", digits, unit)
	}
	r.Typed = "?"
	if digits, unit := typed(&r); digits != "2760" || !unit.Equal(decimal.NewFromInt(1)) {
		t.Errorf("typed %s, one is %s kg (want 2760, 1)", digits, unit)
	}
}

// Of 2,980 the first two digits changed places in 9,280, the first and the third, which
// is less likely, in 8,920. All others are no multiples of e = 20, or begin with a nought.
func TestDigitsSwapped(t *testing.T) {
	s := newSearch(mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2980, "vehicle"))))
	var got []string
	var priors []float64
	for _, h := range s.digitMistakes() {
		if h.Kind == digitsSwapped {
			got, priors = append(got, h.figure.Kg.String()), append(priors, h.prior)
		}
	}
	if want := []string{"9280", "8920"}; !slices.Equal(got, want) || priors[0] <= priors[1] || priors[1] <= 0 {
		t.Errorf("%q, priors %v (want %q, the first likelier)", got, priors, want)
	}
}

// No figure begins with a nought, or is nothing.
func TestRetypedFigures(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle")))
	for digits, want := range map[string]bool{"2780": true, "0780": false, "00": false, "0": false, "20": true, "060": false, "2765": false, "-20": false} {
		if _, ok := newSearch(s).retyped(0, digits); ok != want {
			t.Errorf("%s: %v", digits, ok)
		}
	}
	s.Job.Readings[0].IntervalKg = decimal.NewFromInt(1)
	if _, ok := newSearch(mustSolve(t, s.Job)).retyped(0, "05"); ok {
		t.Error("05 is a figure")
	}
}

// 2,765 kg is no figure of a scale with e = 20, unless another reading of that
// scale, at that interval, is no multiple either.
func TestFigureOffTheGrid(t *testing.T) {
	for _, c := range []struct {
		name, scale  string
		kg, interval int64
		want         bool
	}{
		{"another off it too", "", 2755, 20, true}, {"on another scale", "other", 2755, 20, false},
		{"at another interval", "", 2755, 50, false}, {"on it", "", 2760, 20, false},
	} {
		second := weigh(tickets.VehicleAlone, float64(c.kg), "vehicle")
		second.Scale, second.IntervalKg = c.scale, decimal.NewFromInt(c.interval)
		job := jobOf(weigh(tickets.VehicleAlone, 2775, "vehicle"), second) // its own figure counts for nothing
		job.Scales = append(job.Scales, tickets.Scale{Name: "other", Class: "III"})
		s := mustSolve(t, job)
		should := job.Readings[0]
		should.Kg = decimal.NewFromInt(2765)
		if got := newSearch(s).onGrid(0, &should); got != c.want {
			t.Errorf("%s: %v (want %v)", c.name, got, c.want)
		}
	}
}

// Corrected figures are multiples of the interval: of 5,440 with e = 20 only
// 8 leading, 9 second and 4 third digits are left.
func TestCorrectedFiguresAreOnTheGrid(t *testing.T) {
	s := mustSolve(t, slips())
	others := newSearch(s).otherDigits(8)
	if len(others) != 8+9+4 {
		t.Errorf("%d other figures (want 21)", len(others))
	}
	for _, r := range others {
		if !multiple(r.Kg, r.IntervalKg) {
			t.Errorf("%s is no multiple of %s", r.Kg, r.IntervalKg)
		}
	}
	job := slips()
	job.Readings[0].Typed, job.Readings[0].Kg = "1265", decimal.NewFromInt(1265)
	if n := len(newSearch(mustSolve(t, job)).otherDigits(8)); n != 8+9+9+9 {
		t.Errorf("%d other figures of a scale that shows 1,265 (want 35: its interval is not 20)", n)
	}
	// Of 5440 swapped: 4540; 5404, 4450 and 5044 are no multiples of 20, 0445 starts with a nought.
	if neighbours, others := newSearch(s).swaps(8); len(neighbours) != 1 || neighbours[0].Typed != "4540" || len(others) != 0 {
		t.Errorf("swapped neighbours %v, others %v (want 4540 alone)", neighbours, others)
	}
}

// A figure in another unit: an interval typed on the line had that unit too.
func TestInUnit(t *testing.T) {
	job := slips()
	s := mustSolve(t, job)
	r := newSearch(s).inUnit(0, pound, "lb")
	if !r.Kg.Equal(decimal.RequireFromString("571.5263862")) || !r.IntervalKg.Equal(decimal.RequireFromString("9.0718474")) || r.Unit != "lb" {
		t.Errorf("1,260 lb: %s kg, interval %s kg", r.Kg, r.IntervalKg)
	}
	job.Readings[0].IntervalAssumed = true
	if r := newSearch(s).inUnit(0, thousand, "t"); !r.IntervalKg.Equal(decimal.NewFromInt(20)) {
		t.Errorf("an assumed interval became %s kg", r.IntervalKg)
	}
	if r := newSearch(s).inUnit(0, pound, "lb"); !r.IntervalKg.Equal(decimal.RequireFromString("9.0718474")) {
		t.Errorf("an assumed interval in pounds became %s kg", r.IntervalKg)
	}
	job.Readings[0].IntervalAssumed = false
	job.Scales[0].IntervalKg = decimal.NewNullDecimal(decimal.NewFromInt(20))
	if r := newSearch(s).inUnit(0, pound, "lb"); !r.IntervalKg.Equal(decimal.NewFromInt(20)) {
		t.Errorf("the scale's own interval became %s kg", r.IntervalKg)
	}
}

// A digit lost (544 for 5440) and one typed twice (24420 for 2420), each the
// slip that the test itself makes.
func TestDigitsLostAndTypedTwice(t *testing.T) {
	for _, c := range []struct {
		at         int
		was, typed string
	}{{8, "5440", "544"}, {9, "2420", "24420"}, {0, "1260", "160"}} {
		job := slips()
		retype(job, c.at, c.typed)
		list := listed(mustSolve(t, job))
		if at := found(list, func(m *Mistake) bool {
			return m.Kind == digitCount && m.Readings[0] == c.at && m.Job.Readings[c.at].Typed == c.was
		}); at != 0 {
			t.Errorf("%s for %s is entry %d of %v (want the first)", c.typed, c.was, at, names3(list))
		}
	}
	// By hand, on a grid of 20 kg: 16 with a digit more is 160 (0 lost at the end)
	// alone, as x16 and 1x6 are no multiples but 116+… 0: 016 begins with 0.
	s := mustSolve(t, slips())
	retype(s.Job, 0, "16")
	var got []string
	for _, r := range newSearch(s).lostDigits(0) {
		got = append(got, r.Typed)
	}
	if strings.Join(got, " ") != "160" {
		t.Errorf("16 may have been %v (want 160)", got)
	}
	retype(s.Job, 0, "1180")
	if all := newSearch(s).doubledDigits(0); len(all) != 1 || all[0].Typed != "180" {
		t.Errorf("1180 with a digit typed twice may have been %v (want 180)", all)
	}
}

// A ticket that does not add up: GROSS 5,400, TARE 3,000, NET 2,040 for 2,400.
// Its figures that would mend it are a digit away, and the readings agree.
func TestMistakesOfATicketThatDoesNotAddUp(t *testing.T) {
	job := slips()
	for i, typed := range []string{"5440", "3000"} {
		r := job.Readings[[]int{8, 6}[i]]
		r.Line, r.Ticket = 30+i, "N"
		r.Typed, r.Kg = typed, decimal.RequireFromString(typed)
		job.Readings = append(job.Readings, r)
	}
	net := tickets.Reading{Line: 32, Ticket: "N", State: tickets.CoupledSlack, Terms: deck("trailer"), OnDeck: "trailer", Unit: "kg", Typed: "2640", Kg: decimal.NewFromInt(2640), IntervalKg: decimal.NewFromInt(20), Calculated: true}
	job.Readings = append(job.Readings, net)
	s := mustSolve(t, job)
	if all := s.Doubts().CannotBe; len(all) != 1 || impossible(s) {
		t.Fatalf("cannot be: %v (want the net)", all)
	}
	list := listed(s)
	// 5,440 − 3,000 = 2,440, a digit from 2,640.
	if at := found(list, func(m *Mistake) bool {
		return m.Kind == digitWrong && m.Readings[0] == 12 && m.Job.Readings[12].Typed == "2440"
	}); at < 0 {
		t.Errorf("%v (want the net 2440)", names3(list))
	}
	for i := range list {
		if len(list[i].Solution.Doubts().CannotBe) > 0 {
			t.Errorf("%s leaves a ticket that does not add up", list[i].Kind)
		}
	}
}

// A ticket of one figure has no unit of its own to get wrong besides that of
// the figure; one of three has one, which was t, kg or lb.
func TestUnitOfATicket(t *testing.T) {
	for _, c := range []struct {
		tickets []string
		want    int
	}{{[]string{"a", "b", "c"}, 0}, {[]string{"a", "a", "a"}, 3}} {
		job := jobOf(weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1500, "rear"), weigh(tickets.VehicleAlone, 2760, "vehicle"))
		for i, number := range c.tickets {
			job.Readings[i].Ticket = number
		}
		n := 0
		for _, h := range newSearch(mustSolve(t, job)).unitMistakes() {
			n += b2i(h.Scope != oneFigure)
		}
		if n != c.want {
			t.Errorf("tickets %v: %d units tried of more than one figure (want %d)", c.tickets, n, c.want)
		}
	}
}

func TestExchangeOfTwoReadings(t *testing.T) {
	a := tickets.Reading{Typed: "1.26", Unit: "t", Kg: decimal.NewFromInt(1260), Line: 2, Terms: deck("front")}
	b := tickets.Reading{Typed: "1500", Unit: "kg", Kg: decimal.NewFromInt(1500), Line: 3, Terms: deck("rear")}
	exchange(&a, &b)
	for r, want := range map[*tickets.Reading]string{&a: "1500 kg 1500 front 2", &b: "1.26 t 1260 rear 3"} {
		if got := fmt.Sprint(r.Typed, " ", r.Unit, " ", r.Kg, " ", tickets.Spell(r.Terms...), " ", r.Line); got != want {
			t.Errorf("%s (want %s)", got, want)
		}
	}
}

// Two neighbours of a ticket are exchanged more often than the first and the
// third: 10 and 4 in 10,000, by the table.
func TestNeighboursAreExchangedFirst(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1500, "rear"), weigh(tickets.VehicleAlone, 2760, "vehicle")))
	var got []float64
	for _, h := range newSearch(s).exchanges() {
		got = append(got, math.Round(h.prior*1e4))
	}
	if want := []float64{10, 4, 10}; !slices.Equal(got, want) {
		t.Errorf("priors of 1–2, 1–3, 2–3: %v (want %v)", got, want)
	}
}
