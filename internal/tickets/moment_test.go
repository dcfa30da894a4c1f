package tickets

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// A date as most are typed is read as any other is, to the same moment.
func TestUsualMoment(t *testing.T) {
	usual := 0
	same := func(t interface{ Errorf(string, ...any) }, text string) {
		want, bad := readMoment(text, "au")
		want.Printed = want.print()
		if got, ok := usualMoment(text); ok {
			if usual++; bad != nil || got != want {
				t.Errorf("%q is %+v (want %+v, %+v)", text, got, want, bad)
			}
		}
		if got, no := parseMoment(text, "au"); got != want || (no == nil) != (bad == nil) {
			t.Errorf("%q is %+v, %+v (want %+v, %+v)", text, got, no, want, bad)
		}
	}
	for _, year := range []int{0, 1900, 1949, 1950, 2023, 2024, 2100, 2199, 2200, 9999} {
		for month := range 14 {
			for day := range 33 {
				date := fmt.Sprintf("%04d-%02d-%02d", year, month, day)
				same(t, date)
				same(t, fmt.Sprintf("%s %02d:%02d", date, day-5, month*5))
			}
		}
	}
	// Of the ten years five are of our time, one of them a leap year: 4·365 + 366 dates.
	// The hours that follow are −5 to 27, by the day of the month, and the minutes 0 to
	// 65, by the month: in January to November the 5th to the 28th have a time of day.
	if usual != 1826+1320 {
		t.Errorf("%d usual moments (want %d)", usual, 1826+1320)
	}
	rapid.Check(t, func(t *rapid.T) {
		if text := rapid.StringOfN(rapid.SampledFrom([]rune("0123-: T")), 10, 16, -1).Draw(t, "text"); text == trim(text) {
			same(t, text)
		}
	})
}
