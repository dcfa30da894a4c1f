package page

import (
	"testing"
	"time"

	"reconcile/internal/record"
)

// Lines of tickets.csv are named by slip and line on the page; other lines, and
// lines that are not there, stay as they are. By hand: the forms below have a
// header, two lines of the first slip and one of the second.
func TestLinesAreNamedBySlip(t *testing.T) {
	pg := New(time.Now)
	pg.Do([]Event{{Do: "restore", Files: []record.File{{Name: ticketsForm, Bytes: []byte("ticket,setup,on_deck,reading,unit\n1,coupled,front,1240,kg\n1,coupled,rear,1760,kg\n2,coupled,all,5240,kg\n")}}}})
	for text, want := range map[string]string{
		"compare line 4 of tickets.csv with the ticket":     "compare slip 2, line 1 with the ticket",
		"ticket 1, rear (line 3) or ticket 2, all (line 4)": "ticket 1, rear (slip 1, line 2) or ticket 2, all (slip 2, line 1)",
		"line 2 of ratings.csv":                             "line 2 of ratings.csv",
		"line 9 of tickets.csv":                             "line 9 of tickets.csv",
		"no line at all (line )":                            "no line at all (line )",
	} {
		if got := pg.onPaper(text); got != want {
			t.Errorf("%q becomes %q (want %q)", text, got, want)
		}
	}
}
