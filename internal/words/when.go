package words

import (
	"strings"
	"time"

	"reconcile/internal/record"
)

// momentLayouts are the forms in which a record has a day, the finest first.
var momentLayouts = []string{"2006-01-02 15:04:05Z07:00", "2006-01-02 15:04:05", "2006-01-02 15:04", time.DateOnly}

// when is the last moment at which a record's readings were taken: a day, with
// the time of day where it was typed.
type when struct {
	at       time.Time
	day      string
	hasClock bool
	hasZone  bool
}

// lastWeighed finds the last dated reading of the calculation; false where none
// is dated.
func lastWeighed(r *record.Record) (last when, dated bool) {
	for i := range r.Readings {
		g := &r.Readings[i]
		if g.Use != "yes" {
			continue
		}
		w, ok := whenOf(g.WeighedAt)
		if ok && (!dated || w.order(last) > 0 || w.order(last) == 0 && w.hasClock && !last.hasClock) {
			last, dated = w, true
		}
	}
	return last, dated
}

func whenOf(text string) (when, bool) {
	for i, layout := range momentLayouts {
		if t, err := time.Parse(layout, text); err == nil {
			return when{t, t.Format(time.DateOnly), layout != time.DateOnly, i == 0}, true
		}
	}
	return when{}, false
}

// order is positive where w is after v, negative where it is before: by the
// clock where both have a time, both with or both without a zone; else by the
// day as it was written.
func (w when) order(v when) int {
	if w.hasClock && v.hasClock && w.hasZone == v.hasZone {
		return w.at.Compare(v.at)
	}
	return strings.Compare(w.day, v.day)
}

// weighedAfter compares the last moments of two records: positive where the one
// was weighed after the earlier, negative where before it, 0 where they are of one
// time. It is false where a day is not known.
func weighedAfter(r, earlier *record.Record) (order int, known bool) {
	now, ok := lastWeighed(r)
	before, also := lastWeighed(earlier)
	if !ok || !also {
		return 0, false
	}
	return now.order(before), true
}
