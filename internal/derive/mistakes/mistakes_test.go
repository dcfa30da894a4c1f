package mistakes

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// slips is a job of ten readings, each distinguished from the others, that agrees; each
// test below spoils it once.
func slips() *tickets.Job {
	job := jobOf(
		weigh(tickets.VehicleAlone, 1260, "front"),
		weigh(tickets.VehicleAlone, 1500, "rear"),
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 1160, "front"),
		weigh(tickets.CoupledSlack, 1860, "rear"),
		weigh(tickets.CoupledSlack, 3000, "vehicle"),
		weigh(tickets.CoupledSlack, 4280, "rear", "trailer"),
		weigh(tickets.CoupledSlack, 5440, "outfit"),
		weigh(tickets.CoupledSlack, 2420, "trailer"),
	)
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Typed, r.Unit, r.Ticket = r.Kg.String(), "kg", string(r.State)
	}
	job.Outfit.Travels, job.Outfit.TravelsStated = tickets.CoupledTensioned, true
	return job
}

func (m *Mistake) figures() []string {
	var all []string
	for _, i := range m.Readings {
		all = append(all, m.Job.Readings[i].Typed)
	}
	return all
}

// Each slip of the list, made once, is named first (origin of the expected
// names: the slip that the test itself makes).
func TestEachSlipIsNamedFirst(t *testing.T) {
	type row struct {
		name  string
		spoil func(*tickets.Job)
		kind  kind
		at    []int
		is    func(*Mistake) bool
	}
	figure := func(i int, typed string) func(*tickets.Job) {
		return func(j *tickets.Job) { j.Readings[i].Typed, j.Readings[i].Kg = typed, decimal.RequireFromString(typed) }
	}
	reads := func(want ...string) func(*Mistake) bool {
		return func(m *Mistake) bool { return slices.Equal(m.figures(), want) }
	}
	rows := []row{
		{"two digits swapped", figure(8, "4540"), digitsSwapped, []int{8}, reads("5440")},
		{"one digit wrong", figure(8, "5840"), digitWrong, []int{8}, reads("5440")},
		{"tonnes", func(j *tickets.Job) { j.Readings[6].Unit, j.Readings[6].Kg = "t", decimal.NewFromInt(3000000) }, unitWrong, []int{6}, func(m *Mistake) bool { return m.Job.Readings[6].Unit == "kg" }},
		{"exchanged", func(j *tickets.Job) { exchange(&j.Readings[4], &j.Readings[9]) }, exchanged, []int{4, 9}, reads("1160", "2420")},
		{"rear for rear and trailer", func(j *tickets.Job) { j.Readings[7].Terms = deck("outfit") }, setupWrong, []int{7}, func(m *Mistake) bool { return tickets.Spell(m.Job.Readings[7].Terms...) == "rear+trailer" }},
	}
	for _, r := range rows {
		job := slips()
		r.spoil(job)
		s := mustSolve(t, job)
		if !s.Agreement.Conflict {
			t.Errorf("%s: %s (want conflict)", r.name, s.Agreement.Degree)
			continue
		}
		list := listed(s)
		if len(list) == 0 || list[0].Kind != r.kind || !slices.Equal(list[0].Readings, r.at) || !r.is(&list[0]) {
			t.Errorf("%s: named %v", r.name, names3(list))
		}
	}
	if s := mustSolve(t, slips()); s.Agreement.Degree != "agree" || listed(s) != nil {
		t.Errorf("unspoilt: %s, %d mistakes (want agree, none)", s.Agreement.Degree, len(listed(s)))
	}
}

func names3(list []Mistake) []string {
	var all []string
	for _, m := range list {
		all = append(all, fmt.Sprintf("%d %s %v %v p=%.3f %.2f", m.Rank, m.Kind, m.Readings, m.figures(), m.P, m.Score))
	}
	return all
}

// found looks a mistake up in a list; −1 where it is not there.
func found(list []Mistake, is func(*Mistake) bool) int {
	for i := range list {
		if is(&list[i]) {
			return i
		}
	}
	return -1
}

func retype(job *tickets.Job, i int, typed string) {
	job.Readings[i].Typed, job.Readings[i].Kg = typed, decimal.RequireFromString(typed)
}

func TestChangedLeavesTheJob(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"))
	job.Loads = []tickets.Load{{Name: "box", Kg: decimal.NewFromInt(90)}}
	c := changed(job, func(c *tickets.Job) { c.Loads[0].Name, c.Readings[0].Line = "other", 99 })
	if job.Loads[0].Name != "box" || job.Readings[0].Line == 99 || c.Loads[0].Name != "other" || c.Readings[0].Line != 99 {
		t.Errorf("job %v, changed %v", job.Loads, c.Loads)
	}
}
