package tickets

import (
	"regexp"
	"strings"
	"sync"
	"time"

	"reconcile/internal/regions"
)

// slashed is a date as spreadsheets write it: day and month in the order of
// the region.
var slashed = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^([0-9]{1,2})([/.])([0-9]{1,2})([/.])([0-9]{4})(.*)$`)
})

// The layouts of a time of day, of a date that needs no region, and of what
// may follow it.
var (
	clockLayouts = []string{"15:04", "15:04:05", "3:04 PM", "3:04:05 PM", "3:04PM", "3:04:05PM"}
	zoneLayouts  = []string{time.RFC3339, "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00"}
)

const wantDate = "2026-03-14 09:20, or 14/03/2026 09:20 in the order of the region"

// ParseMoment reads a date with or without a time of day, or a time alone, in
// the order of the region; a blank text is not known. It is false where the
// forms would refuse the text.
func ParseMoment(text string, region string) (moment, bool) {
	m, bad := parseMoment(trim(text), region)
	return m, bad == nil
}

// print gives a moment in the one form in which it is shown.
func (m moment) print() string {
	layout := "15:04"
	if m.Time.Second() != 0 || m.HasZone {
		layout = "15:04:05"
	}
	if m.HasZone {
		layout += "Z07:00"
	}
	switch {
	case m.Known && m.HasTime:
		return m.Time.Format(time.DateOnly + " " + layout)
	case m.Known:
		return m.Time.Format(time.DateOnly)
	case m.HasTime:
		return m.Time.Format(layout)
	}
	return ""
}

// moment reads a cell with a date, a time or both.
func (c cell) moment(region string) moment {
	m, bad := parseMoment(c.text(), region)
	if bad != nil {
		c.refuse(c.shown()+bad.what, bad.wanted, bad.hint)
	}
	return m
}

// date reads a cell with a date; a time alone says nothing there.
func (c cell) date(region string) moment {
	m := c.moment(region)
	if m.HasTime && !m.Known {
		c.refuse(c.shown()+" is a time without a date", wantDate, "")
	}
	return m
}

// parseMoment reads a trimmed text. What is wrong with it follows the text.
func parseMoment(text string, region string) (moment, *complaint) {
	if m, ok := usualMoment(text); ok {
		return m, nil
	}
	m, bad := readMoment(text, region)
	m.Printed = m.print()
	return m, bad
}

// usualMoment reads a date as most are typed, like 2026-03-14 09:20 or 2026-03-14,
// which is the form in which it is shown. It refuses nothing: where it is false the
// text is read as any other.
func usualMoment(text string) (m moment, ok bool) {
	const as = "0000-00-00 00:00"
	if len(text) != len(time.DateOnly) && len(text) != len(as) {
		return m, false
	}
	for i := range len(text) {
		digit := '0' <= text[i] && text[i] <= '9'
		if digit != (as[i] == '0') || !digit && text[i] != as[i] {
			return m, false
		}
	}
	two := func(at int) int { return 10*int(text[at]-'0') + int(text[at+1]-'0') }
	year, month, day, hour, minute := 100*two(0)+two(2), time.Month(two(5)), two(8), 0, 0
	if m.HasTime = len(text) == len(as); m.HasTime {
		hour, minute = two(11), two(14)
	}
	m.Typed, m.Printed, m.Known, m.Time = text, text, true, time.Date(year, month, day, hour, minute, 0, 0, time.UTC)
	_, bad := m.sane()
	return m, bad == nil && m.Time.Month() == month && m.Time.Day() == day && hour < 24 && minute < 60
}

// readMoment reads it in the order of a region, of which one that was refused
// itself refuses nothing more.
func readMoment(text string, region string) (moment, *complaint) {
	m := moment{Typed: text}
	if text == "" {
		return m, nil
	}
	upper := strings.ToUpper(text)
	if endsInZone(upper) && m.readZoned(upper) || m.read(isoLayouts, strings.Replace(upper, "T", " ", 1)) {
		return m.sane()
	}
	for _, l := range clockLayouts {
		if t, err := time.Parse(l, upper); err == nil {
			m.Time, m.HasTime = t, true
			return m, nil
		}
	}
	parts := slashed().FindStringSubmatch(upper)
	switch {
	case parts == nil || parts[2] != parts[4]:
		return m, &complaint{" is not a date", wantDate, "write year-month-day"}
	case region == refusedRegion:
		return m, nil
	}
	order := regions.Of(region).Dates
	if !order.Stated {
		return m, &complaint{" may be day or month first", "2026-03-14 09:20, or a region", "fill in region in outfit.csv or write year-month-day"}
	}
	if !m.read(withClocks(order.Layout), strings.TrimSpace(parts[1]+"/"+parts[3]+"/"+parts[5]+" "+trim(parts[6]))) {
		return m, &complaint{" is not a date", order.Words + " in region " + region, "write year-month-day"}
	}
	return m.sane()
}

// endsInZone says whether a text ends like a distance from universal time: Z or
// +10:00.
func endsInZone(text string) bool {
	n := len(text)
	return text[n-1] == 'Z' || n >= 6 && (text[n-6] == '+' || text[n-6] == '-')
}

// readZoned reads a date and time with its distance from universal time.
func (m *moment) readZoned(text string) bool {
	for _, l := range zoneLayouts {
		if t, err := time.Parse(l, text); err == nil {
			m.Known, m.Time, m.HasTime, m.HasZone = true, t, true, true
			return true
		}
	}
	return false
}

// isoLayouts are those of a date that needs no region.
var isoLayouts = withClocks(time.DateOnly)

// withClocks gives the layout of a date, then those with a time of day after it.
func withClocks(date string) []string {
	layouts := []string{date}
	for _, l := range clockLayouts {
		layouts = append(layouts, date+" "+l)
	}
	return layouts
}

// read reads a date, alone in the first layout or with a time of day after it.
func (m *moment) read(layouts []string, text string) bool {
	if !strings.Contains(text, " ") {
		t, err := time.Parse(layouts[0], text)
		m.Known, m.Time = err == nil, t
		return m.Known
	}
	for _, l := range layouts[1:] {
		if t, err := time.Parse(l, text); err == nil {
			m.Known, m.Time, m.HasTime = true, t, true
			return true
		}
	}
	return false
}

// sane refuses a year in which nothing was weighed that is weighed now.
func (m moment) sane() (moment, *complaint) {
	if y := m.Time.Year(); y < 1950 || y > 2199 {
		return moment{Typed: m.Typed}, &complaint{" is not a date of our time", "a year from 1950 to 2199", ""}
	}
	return m, nil
}

// day is the calendar day of a date, as written where it was weighed, like
// 2026-03-14: of two days the later one is the greater text.
func (m *moment) day() string { return m.Printed[:len(time.DateOnly)] }
