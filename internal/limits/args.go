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
