// Package shelf keeps memory for the lists of one job, to be used again for those of
// the next: a day has thousands of jobs of much the same shape, and asking for the
// memory of each of their lists takes longer than filling it. A value has the memory
// lent, and gives it back once.
package shelf

import "reflect"

// Shelf has room for the values of one type that a job needs. The empty shelf is
// ready. It is for one goroutine at a time.
type Shelf[T any] struct {
	room  []T
	taken int // of room
}

// atOnce is the least room that is made, in bytes.
const atOnce = 256

// List returns n zero values, which nothing that is added to the list can run over. It
// is nil for none.
func (s *Shelf[T]) List(n int) []T {
	if n == 0 {
		return nil
	}
	if s.taken+n > len(s.room) {
		// What was lent stays where it is: the room it lies in is given up.
		s.room, s.taken = make([]T, max(atOnce/int(reflect.TypeFor[T]().Size()), n, 2*len(s.room))), 0
	}
	list := s.room[s.taken : s.taken+n : s.taken+n]
	s.taken += n
	return list
}

// Of returns the place where a copy of a value is.
func (s *Shelf[T]) Of(v T) *T {
	place := &s.List(1)[0]
	*place = v
	return place
}

// Clear takes back all that was lent: nobody may use it afterwards. It becomes zero
// values, so that nothing of one job is left for another, nor kept alive.
func (s *Shelf[T]) Clear() {
	clear(s.room[:s.taken])
	s.taken = 0
}
