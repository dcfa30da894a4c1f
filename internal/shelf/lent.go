package shelf

// Lent is part of a value whose memory is lent to it, until whoever has the value
// releases it.
type Lent[T any] struct {
	self *Lent[T] // which is elsewhere in a copy; nil: nothing is lent
	to   *T
	back func(*T)
}

// Lend lends memory to the value that l is part of. What takes it back leaves the value
// empty.
func Lend[T any](l *Lent[T], to *T, back func(*T)) { *l = Lent[T]{l, to, back} }

// Release gives the memory of a value to later ones: nobody may use the value afterwards,
// nor what it leads to, but texts. Whoever never calls it loses nothing but that memory. A
// copy has nothing to give, nor has a value that was released, or that nothing was lent to.
// But where the value itself lies in that memory its place may be that of a later one,
// and releasing it once more would give that one away.
func (l *Lent[T]) Release() {
	if l.self == l {
		l.self = nil
		l.back(l.to)
	}
}
