package pdfout

import (
	"strconv"
	"strings"
	"time"

	"reconcile/internal/record"
)

// none is printed where there is no number.
const none = "–"

func orNone(text string) string {
	if text == "" {
		return none
	}
	return text
}

// layouts are the forms in which a record has a date, with and without a time.
var layouts = []string{"2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02"}

// moment reads a date of the record. A time alone is none.
func moment(s string) (time.Time, bool) {
	for _, layout := range layouts {
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
	if t, ok := moment(r.Options.Issued); ok {
		return t
	}
	last := unknownDate
	for _, reading := range r.Readings {
		if t, ok := moment(reading.WeighedAt); ok && t.After(last) {
			last = t
		}
	}
	return last
}

func count(n int) string { return strconv.Itoa(n) }
