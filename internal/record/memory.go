package record

import (
	"sync"

	"reconcile/internal/shelf"
)

// memory is where one record is, with its lists and what its pointers lead to. A record
// holds nothing of what it was built from but texts and what the run was given, so
// that the memory of each may go to the next job when its own time has come.
type memory struct {
	record     Record
	hitchRange hitchRange
	governs    checkKey

	quantities shelf.Shelf[entry[*quantity]]
	determined shelf.Shelf[quantity] // those of quantities that are
	budgets    shelf.Shelf[entry[[]cause]]
	causes     shelf.Shelf[cause] // of all budgets
	routes     shelf.Shelf[route]
	readings   shelf.Shelf[Reading]
	ties       shelf.Shelf[tie]
	checks     shelf.Shelf[Check]
	ratings    shelf.Shelf[rating]
	guides     shelf.Shelf[guide]
	headroom   shelf.Shelf[headroom]
	levers     shelf.Shelf[lever]
	tensions   shelf.Shelf[rangeEntry] // of the hitch range
	scales     shelf.Shelf[scale]
	inputs     shelf.Shelf[input]
	runs       shelf.Shelf[[2]int] // of lines
	notes      shelf.Shelf[Note]
	args       shelf.Shelf[Args]
	does       shelf.Shelf[Do]
	keys       shelf.Shelf[RatingKey]

	floats shelf.Shelf[float64]
	ints   shelf.Shelf[int]
	texts  shelf.Shelf[string]
}

var memories = sync.Pool{New: func() any { return new(memory) }}

// takeBack clears the memory of a record for later ones.
func takeBack(r *Record) {
	m := r.memory
	for _, s := range [...]interface{ Clear() }{
		&m.quantities, &m.determined, &m.budgets, &m.causes, &m.routes, &m.readings, &m.ties, &m.checks, &m.ratings, &m.guides,
		&m.headroom, &m.levers, &m.tensions, &m.scales, &m.inputs, &m.runs, &m.notes, &m.args, &m.does, &m.keys,
		&m.floats, &m.ints, &m.texts,
	} {
		s.Clear()
	}
	m.record, m.hitchRange, m.governs = Record{}, hitchRange{}, checkKey{}
	memories.Put(m)
}

// every is the list, never nil.
func every[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// copied is a record's own copy of a list; nil for none.
func copied[T any](s *shelf.Shelf[T], list []T) []T {
	own := s.List(len(list))
	copy(own, list)
	return own
}

// known is a record's own copy of what a pointer leads to; nil where it leads nowhere.
func known[T any](s *shelf.Shelf[T], v *T) *T {
	if v == nil {
		return nil
	}
	return s.Of(*v)
}

// number is a record's own copy of a number; nil where there is none.
func (m *memory) number(v *float64) *float64 { return known(&m.floats, v) }
