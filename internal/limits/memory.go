package limits

import (
	"sync"

	"reconcile/internal/derive"
	"reconcile/internal/shelf"
	"reconcile/internal/tickets"
)

// memory is where findings and what leads to them are: a run compares as many jobs as it
// has, and the next one is written where one before was. See [shelf.Lent].
type memory struct {
	checker   checker
	checks    shelf.Shelf[Check]
	chosen    shelf.Shelf[*Check]
	statuses  shelf.Shelf[status]
	compares  shelf.Shelf[*comparison]
	weighed   shelf.Shelf[measured]
	loads     shelf.Shelf[*measured]
	parts     shelf.Shelf[derive.Part]
	readings  shelf.Shelf[*tickets.Reading]
	assumed   shelf.Shelf[ofScale]
	limits    shelf.Shelf[float64]
	numbers   shelf.Shelf[float64]
	found     shelf.Shelf[valueFound]
	plates    shelf.Shelf[plate]
	under     shelf.Shelf[plates]
	payloads  shelf.Shelf[payload]
	amounts   shelf.Shelf[amount]
	guides    shelf.Shelf[guide]
	bounds    shelf.Shelf[bound]
	points    shelf.Shelf[addPoint]
	headroom  shelf.Shelf[headroom]
	places    shelf.Shelf[tickets.Place]
	levers    shelf.Shelf[lever]
	lines     shelf.Shelf[tensionLine]
	hitchRows shelf.Shelf[hitchRow]
}

// memories are those of findings that were released.
var memories = sync.Pool{New: func() any { return new(memory) }}

// takeBack clears the memory of findings for those of another job.
func takeBack(f *Findings) {
	m := f.memory
	*f = Findings{}
	m.clear()
	memories.Put(m)
}

// clear takes back all that was lent.
func (m *memory) clear() {
	m.checker = checker{}
	m.checks.Clear()
	m.chosen.Clear()
	m.statuses.Clear()
	m.compares.Clear()
	m.weighed.Clear()
	m.loads.Clear()
	m.parts.Clear()
	m.readings.Clear()
	m.assumed.Clear()
	m.limits.Clear()
	m.numbers.Clear()
	m.found.Clear()
	m.plates.Clear()
	m.under.Clear()
	m.payloads.Clear()
	m.amounts.Clear()
	m.guides.Clear()
	m.bounds.Clear()
	m.points.Clear()
	m.headroom.Clear()
	m.places.Clear()
	m.levers.Clear()
	m.lines.Clear()
	m.hitchRows.Clear()
}
