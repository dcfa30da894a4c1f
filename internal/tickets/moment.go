package tickets

import (
	"regexp"
	"strings"
	"time"
)

// slashed is a date as spreadsheets write it: day and month in the order of
// the region.
var slashed = regexp.MustCompile(`^([0-9]{1,2})[/.]([0-9]{1,2})[/.]([0-9]{4})(.*)$`)

// isoLayouts are the forms of a date that need no region.
var isoLayouts = []struct {
	layout  string
	hasTime bool
}{
	{"2006-01-02 15:04", true},
	{"2006-01-02 15:04:05", true},
	{time.RFC3339, true},
	{"2006-01-02 15:04:05Z07:00", true},
	{"2006-01-02T15:04", true},
	{"2006-01-02T15:04:05", true},
	{"2006-01-02", false},
}

const wantDate = "2026-03-14 09:20, or 14/03/2026 09:20 in the order of the region"

// moment reads a date with or without a time of day; a blank cell is not known.
// Day and month of 14/03/2026 are read in the order of the region, day first
// but in us; without a region they are refused.
func (c cell) moment(region Region) Moment {
	m := Moment{Typed: c.text}
	if c.blank() {
		return m
	}
	for _, l := range isoLayouts {
		if t, err := time.Parse(l.layout, strings.ToUpper(c.text)); err == nil {
			return c.sane(Moment{Typed: c.text, Known: true, Time: t, HasTime: l.hasTime})
		}
	}
	parts := slashed.FindStringSubmatch(c.text)
	switch {
	case parts == nil || strings.Contains(parts[0], "/") && strings.Contains(parts[0], "."):
		c.refuse(c.shown()+" is not a date", wantDate, "write year-month-day")
	case region == refusedRegion:
	case region == NoRegion:
		c.refuse(c.shown()+" may be day or month first", "2026-03-14 09:20, or a region", "fill in region in outfit.csv or write year-month-day")
	case region == UnitedStates && strings.Contains(c.text[:5], "."):
		c.refuse(c.shown()+" is not a date of region us", "03/14/2026 09:20 or 2026-03-14 09:20", "write year-month-day")
	default:
		return c.slashed(parts, region)
	}
	return m
}

func (c cell) slashed(parts []string, region Region) Moment {
	layout, wanted := "2/1/2006", "day/month/year in region "+string(region)
	if region == UnitedStates {
		layout, wanted = "1/2/2006", "month/day/year in region us"
	}
	date := parts[1] + "/" + parts[2] + "/" + parts[3]
	clock := strings.ToUpper(trim(parts[4]))
	for _, tail := range []string{"", " 15:04", " 15:04:05", " 3:04 PM", " 3:04:05 PM"} {
		if t, err := time.Parse(layout+tail, strings.TrimSpace(date+" "+clock)); err == nil {
			return c.sane(Moment{Typed: c.text, Known: true, Time: t, HasTime: tail != ""})
		}
	}
	c.refuse(c.shown()+" is not a date", wanted, "write year-month-day")
	return Moment{Typed: c.text}
}

// sane refuses a year in which nothing was weighed that is weighed now.
func (c cell) sane(m Moment) Moment {
	if y := m.Time.Year(); y < 1950 || y > 2199 {
		c.refuse(c.shown()+" is not a date of our time", "a year from 1950 to 2199", "")
		m.Known = false
	}
	return m
}

// day is the calendar day, as written where it was weighed.
func (m Moment) day() time.Time {
	y, mo, d := m.Time.Date()
	return time.Date(y, mo, d, 0, 0, 0, 0, time.UTC)
}
