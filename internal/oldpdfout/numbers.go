package oldpdfout

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	record "reconcile/internal/oldrecord"
)

// none is printed where there is no number.
const none = "–"

// rounded prints a number that is not a mass to the given number of decimals,
// half away from zero. Masses are printed by package record.
func rounded(v float64, places int32) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return none
	}
	d := decimal.NewFromFloat(v).Round(places)
	if d.IsZero() {
		d = decimal.Zero // never -0.0
	}
	return d.StringFixed(places)
}

// kgOr prints v, or the dash for one that is not determined.
func kgOr(v *float64) string {
	if v == nil {
		return none
	}
	return record.Kg(*v)
}

// signed prints kilograms with their sign, as a correction is read.
func signed(v *float64) string {
	if v == nil {
		return none
	}
	if s := record.Kg(*v); *v > 0 && s != "0" {
		return "+" + s
	}
	return record.Kg(*v)
}

// ratio prints a plain number with two decimals.
func ratio(v *float64) string {
	if v == nil {
		return none
	}
	return rounded(*v, 2)
}

// layouts are the forms in which a date can stand in a record.
var layouts = []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02"}

// moment reads a date of the record. A day written with slashes is read as
// the region writes it.
func moment(s, region string) (time.Time, bool) {
	slashes := []string{"02/01/2006 15:04", "02/01/2006"}
	if region == "us" {
		slashes = []string{"01/02/2006 15:04", "01/02/2006"}
	}
	for _, layout := range append(slashes, layouts...) {
		if t, err := time.Parse(layout, strings.TrimSpace(s)); err == nil {
			return t.UTC(), true
		}
	}
	return time.Time{}, false
}

// unknownDate dates a document whose record holds no date at all. It is old
// enough that nobody takes it for the day of the weighing.
var unknownDate = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// dated is the document's date: that of issue, else that of the last reading.
// The clock is never asked: the same record gives the same bytes.
func dated(r *record.Record) time.Time {
	if t, ok := moment(r.Options.Issued, r.Options.Region); ok {
		return t
	}
	last := unknownDate
	for _, reading := range r.Readings {
		if t, ok := moment(reading.WeighedAt, r.Options.Region); ok && t.After(last) {
			last = t
		}
	}
	return last
}

// days says how long before the weighing a certificate was issued.
func days(from, to, region string) string {
	a, ok := moment(from, region)
	b, also := moment(to, region)
	if !ok || !also || b.Before(a) {
		return ""
	}
	return fmt.Sprintf("%d days before", int(b.Sub(a).Hours()/24))
}

func count(n int) string { return strconv.Itoa(n) }
