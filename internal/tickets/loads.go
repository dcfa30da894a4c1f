package tickets

import (
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"
)

// placeEntry is a place with the line that names it.
type placeEntry struct {
	Place
	row *placeRow
}

func (e placeEntry) key() cell { return e.row.Place }

// loadEntry is a load with the line that names it.
type loadEntry struct {
	Load
	row *loadRow
}

// The most loads and places of one job: a plan is sought over each load at each
// place.
const (
	mostLoads  = 200
	mostPlaces = 50
)

func (e loadEntry) key() cell { return e.row.Load }

// placeLines reads what lines of places.csv say by themselves.
func (r rowReader) placeLines(records []record) []placeEntry {
	rows := decode(r.desk, &r.desk.places, records)
	all := make([]placeEntry, 0, len(rows))
	for i := range rows {
		all = append(all, placeEntry{r.place(&rows[i]), &rows[i]})
	}
	return all
}

func (j *jobReader) readPlaces(shared *sharedLines) {
	j.places = shared.places.with(j.placeLines(j.ownLines(placesForm)))
	for _, e := range j.places.all() {
		if len(j.job.Places) == mostPlaces {
			j.refuse(e.row.Place, fmt.Sprintf("the job has more than %d places", mostPlaces), fmt.Sprintf("at most %d places a job", mostPlaces), "")
			break
		}
		j.job.Places = append(j.job.Places, e.Place)
	}
}

func (r rowReader) place(row *placeRow) Place {
	row.Place.require("the name used in loads.csv", "")
	row.On.require("vehicle or trailer", "")
	on, _ := row.On.choice("vehicle", "trailer")
	p := Place{Line: row.Job.line(), Name: row.Place.joinable(), On: Unit(on)}
	if !row.At.blank() {
		if n, ok := row.At.number("a distance in length_unit, like 1250"); ok {
			mm, ok := r.toMm(row.At, n)
			p.HasAt, p.AtMm = ok, mm.InexactFloat64()
		}
	}
	p.CapacityKg = row.Capacity.mass(row.Capacity.notNegative, "a mass in kg", "kg", true)
	return p
}

// loadLines reads what lines of loads.csv say by themselves.
func (r rowReader) loadLines(records []record) []loadEntry {
	rows := decode(r.desk, &r.desk.loads, records)
	all := make([]loadEntry, 0, len(rows))
	for i := range rows {
		all = append(all, loadEntry{r.load(&rows[i]), &rows[i]})
	}
	return all
}

func (j *jobReader) readLoads(shared *sharedLines) {
	j.loads = shared.loads.with(j.loadLines(j.ownLines(loadsForm)))
	j.loads.shared = slices.Clone(j.loads.shared) // other jobs may have other places
	for _, lines := range [][]loadEntry{j.loads.own, j.loads.shared} {
		for i := range lines {
			j.settle(&lines[i])
		}
	}
	for _, e := range j.loads.all() {
		if len(j.job.Loads) == mostLoads {
			j.refuse(e.row.Load, fmt.Sprintf("the job has more than %d loads", mostLoads), fmt.Sprintf("at most %d loads a job", mostLoads), "")
			break
		}
		j.job.Loads = append(j.job.Loads, e.Load)
	}
}

// load reads what a line says by itself.
func (r rowReader) load(row *loadRow) Load {
	row.Load.require("the name used in tickets.csv", "")
	on, _ := row.On.choice("vehicle", "trailer")
	l := Load{Line: row.Job.line(), Name: row.Load.joinable(), Typed: row.Mass.text(), On: Unit(on),
		Place: row.Place.nameText(), MayGo: row.MayGo.names(), MayLeave: row.MayLeave.yes(), Divisible: row.Divisible.yes(),
		Set: row.Set.nameText(), Note: row.Note.text()}
	unit, unitOK := row.Unit.massUnit(r.region)
	row.Mass.require("a mass, like 82", "")
	read := row.Mass.positive
	if !row.Most.blank() {
		read = row.Mass.notNegative // a tank that travels empty
	}
	mass := row.Mass.mass(read, "a mass, like 82", unit, unitOK)
	if l.Kg = mass.Decimal; mass.Valid {
		l.Typed = pointAndMinus(l.Typed)
	}
	l.UKg = math.Max(1, 0.05*l.Kg.InexactFloat64())
	if u := row.Uncertainty.mass(row.Uncertainty.positive, "a standard uncertainty above 0", unit, unitOK); u.Valid {
		l.UKg = u.Decimal.InexactFloat64()
	}
	l.Least = row.Least.mass(row.Least.notNegative, "a mass, like 82", unit, unitOK)
	l.Most = row.Most.mass(row.Most.notNegative, "a mass, like 82", unit, unitOK)
	l.checkEnds(row, mass.Valid)
	return l
}

// checkEnds refuses what a load weighs at least and at most during a trip where it
// does not fit its mass, which may not be known.
func (l *Load) checkEnds(row *loadRow, known bool) {
	if known && l.Least.Valid && l.Least.Decimal.GreaterThan(l.Kg) {
		row.Least.refuse(fmt.Sprintf("%s is more than mass %s", row.Least.shown(), quote(row.Mass.text())), "least, mass and most in this order", "mass is what it weighed when the outfit was weighed")
	}
	if known && l.Most.Valid && l.Most.Decimal.LessThan(l.Kg) {
		row.Most.refuse(fmt.Sprintf("%s is less than mass %s", row.Most.shown(), quote(row.Mass.text())), "least, mass and most in this order", "mass is what it weighed when the outfit was weighed")
	}
	for _, c := range []cell{row.Least, row.Most} {
		if l.Set != "" && !c.blank() {
			c.refuse(fmt.Sprintf("%s is on a load of set %s", c.shown(), quote(l.Set)), "a load that travels as it was weighed", "leave set or this cell blank")
		}
	}
}

// settle finds a load's places.
func (j *jobReader) settle(e *loadEntry) {
	if e.Place != "" {
		if p := j.placeFor(e.row.Place, e.Place); p != nil {
			if e.On != "" && p.On != "" && e.On != p.On {
				j.refuse(e.row.On, fmt.Sprintf("%s differs from place %s, which is on the %s", e.row.On.shown(), quote(e.Place), p.On), "the unit of the place", "leave on blank")
			}
			e.On = p.On
		}
	}
	if len(e.MayGo) > 0 && e.Place == "" {
		j.refuse(e.row.MayGo, e.row.MayGo.shown()+" has no place to go from", "place, where the load is now", "fill in place")
	}
	for _, name := range e.MayGo {
		j.placeFor(e.row.MayGo, name)
	}
}

// checkCapacities refuses a place that holds more than its capacity as it
// travels. A load of a set, and one that a used line names in with, does not
// travel yet.
func (j *jobReader) checkCapacities() {
	away := map[string]bool{}
	for i := range j.job.Readings {
		for _, name := range j.job.Readings[i].With {
			away[name] = away[name] || j.job.Readings[i].Used
		}
	}
	held := map[string]decimal.Decimal{}
	for i := range j.job.Loads {
		if l := &j.job.Loads[i]; l.Place != "" && l.Set == "" && !away[l.Name] {
			held[l.Place] = held[l.Place].Add(l.Kg)
		}
	}
	for _, e := range j.places.all() {
		if e.CapacityKg.Valid && held[e.Name].GreaterThan(e.CapacityKg.Decimal) {
			c := e.row.Capacity
			j.refuse(c, fmt.Sprintf("%s is less than the %s kg of loads.csv that are in %s", c.shown(), held[e.Name], quote(e.Name)), "a capacity that holds what is there", "")
		}
	}
}

// placeFor finds a listed place or refuses its name.
func (j *jobReader) placeFor(c cell, name string) *Place {
	if e := j.places.find(name); e != nil {
		return &e.Place
	}
	if !j.unreadable(placesForm) {
		j.refuse(c, fmt.Sprintf("%s is not listed in places.csv", c.with(name)), "use a name from that form", nearestHint("place", name, j.places.names(), &j.guesses))
	}
	return nil
}

// with shows one of the names of a cell.
func (c cell) with(name string) string {
	if name == c.text() {
		return c.shown()
	}
	return fmt.Sprintf("%s in %s", quote(name), c.shown())
}
