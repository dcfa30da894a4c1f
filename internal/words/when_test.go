package words

import (
	"testing"

	"reconcile/internal/record"
)

// Which of two visits is the later, by hand: by the clock where both have one,
// by the day where one has none, by the instant where both have a zone (09:30
// at +10:00 is 23:30 of the day before, after 22:00 there).
func TestWeighedAfter(t *testing.T) {
	visit := func(times ...string) *record.Record {
		r := &record.Record{}
		for _, at := range times {
			r.Readings = append(r.Readings, record.Reading{WeighedAt: at, Use: "yes"})
		}
		return r
	}
	left := visit("2026-03-14 09:20")
	left.Readings = append(left.Readings, record.Reading{WeighedAt: "2026-05-01", Use: "no"}, record.Reading{WeighedAt: "2026-05-02", Use: "calculated"})
	for _, c := range []struct {
		name         string
		now, earlier *record.Record
		want         int
		known        bool
	}{
		{"a month later", visit("2026-04-14 09:20"), visit("2026-03-14 09:58"), 1, true},
		{"the wrong way round", visit("2026-03-14 09:58", "2026-03-14 09:20"), visit("2026-04-14"), -1, true},
		{"the same day, later", visit("2026-03-14 15:00"), visit("2026-03-14 09:58"), 1, true},
		{"the same day, seconds", visit("2026-03-14 09:58"), visit("2026-03-14 09:58:30"), -1, true},
		{"the same day, one without a time", visit("2026-03-14"), visit("2026-03-14 09:58"), 0, true},
		{"by the last reading", visit("2026-03-14 09:00", "2026-03-16", "15:31"), visit("2026-03-15"), 1, true},
		{"zones", visit("2026-03-14 09:30:00+10:00"), visit("2026-03-13 22:00:00Z"), 1, true},
		{"zones, the other way", visit("2026-03-13 22:00:00Z"), visit("2026-03-14 09:30:00+10:00"), -1, true},
		{"one with a zone: by the day", visit("2026-03-14 09:30:00+10:00"), visit("2026-03-14 22:00"), 0, true},
		{"what is left out does not count", left, visit("2026-04-01"), -1, true},
		{"no date", visit("15:31", ""), visit("2026-03-14"), 0, false},
		{"no date before", visit("2026-03-14"), visit(""), 0, false},
	} {
		if got, known := weighedAfter(c.now, c.earlier); got != c.want || known != c.known {
			t.Errorf("%s: %d, %v (want %d, %v)", c.name, got, known, c.want, c.known)
		}
	}
}
