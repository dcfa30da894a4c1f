package limits

import "reconcile/internal/regions"

// Args are the arguments of a code: numbers, codes and what was typed. Only
// those that the code has are filled.
type Args struct {
	Rating, On, State, Set string
	Other, OtherOn         string // a second name or figure
	Of                     string // a code: what kind, from where
	Column, Name, Typed    string
	Kg, UKg, LimitKg       *float64
	Value, U, Limit        *float64 // a ratio
	Number                 *int
	Lines                  []int
	Names                  []string
	Ratings                []regions.On
}

// of points at a value.
func of[T any](v T) *T { return &v }

// numbers are places for the numbers that findings point at: those of a job lie together,
// as asking for the memory of each would take longer than finding it.
type numbers []float64

// numbersAtOnce is how many places are made at a time.
const numbersAtOnce = 32

// of points at a value.
func (n *numbers) of(v float64) *float64 {
	if len(*n) == cap(*n) {
		*n = make(numbers, 0, numbersAtOnce)
	}
	*n = append(*n, v)
	return &(*n)[len(*n)-1]
}
