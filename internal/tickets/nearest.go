package tickets

import "strings"

// nearest gives the name that takes the fewest single-letter edits to reach
// from word, without regard to case; the first of equals. It is "" where names
// is empty.
func nearest(word string, names []string) string {
	best, least := "", -1
	for _, name := range names {
		if d := distance(strings.ToLower(word), strings.ToLower(name), least); least < 0 || d < least {
			best, least = name, d
		}
	}
	return best
}

// distance counts insertions, deletions, changes and swaps of neighbours
// (optimal string alignment). Beyond most, where that is not negative, it may
// return any larger number.
func distance(a, b string, most int) int {
	x, y := []rune(a), []rune(b)
	if gap := max(len(x)-len(y), len(y)-len(x)); most >= 0 && gap > most {
		return gap
	}
	var before []int
	last := make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := range x {
		row := make([]int, len(y)+1)
		row[0] = i + 1
		for j := range y {
			change := last[j]
			if x[i] != y[j] {
				change++
			}
			row[j+1] = min(change, row[j]+1, last[j+1]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(y)]
}
