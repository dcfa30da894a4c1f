package page

import (
	"testing"
	"time"

	"reconcile/internal/record"
)

// Lines of tickets.csv are named by slip and line on the page. By hand: the
// form below has a header, two lines of the first slip and one of the second,
// and no line 9.
func TestLinesAreNamedBySlip(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: []record.File{{Name: ticketsForm, Bytes: []byte("ticket,setup,on_deck,reading,unit\n1,coupled,front,1240,kg\n1,coupled,rear,1760,kg\n2,coupled,all,5240,kg\n")}}}})
	r := &record.Record{Verdict: "conflict", Readings: []record.Reading{{Line: 3, Ticket: "1", OnDeck: "rear.left"}}}
	for line, want := range map[int]string{4: "compare slip 2, line 1 with the ticket, or weigh again", 3: "compare slip 1, line 2 with the ticket, or weigh again", 9: "compare line 9 of tickets.csv with the ticket, or weigh again", 0: "compare every line with its slip, or weigh again"} {
		r.Do = []record.Do{{Code: "compare", Args: &record.Args{AtLine: line}}}
		if got := pg.wordsOf(r).Headline().DoNow; got != want {
			t.Errorf("line %d: %q (want %q)", line, got, want)
		}
	}
	r.Do = []record.Do{{Code: "compare_ticket", Args: &record.Args{Lines: []int{2, 3, 4}, Ticket: "1"}}}
	if got, want := pg.wordsOf(r).Headline().DoNow, "compare slip 1 (lines 1-2) and slip 2 (line 1) with ticket 1: the figures cannot all be right"; got != want {
		t.Errorf("%q (want %q)", got, want)
	}
	r.Doubtful = [][]record.Place{{{Line: 3}}}
	if got, want := pg.wordsOf(r).Report().Doubtful[0], "ticket 1, rear axle, left (slip 1, line 2)"; got != want {
		t.Errorf("%q (want %q)", got, want)
	}
}
