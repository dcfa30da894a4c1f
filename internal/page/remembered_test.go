package page

import (
	"strings"
	"testing"
	"time"
)

// What is remembered of a line or a slip goes with it when one before it is
// taken away or put in: else a date that counts would be shown as not printed,
// and a figure that counts would be hidden behind empty boxes for wheels.
func TestRememberedMovesWithItsLine(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "1"}, [3]string{"not-on-it", "0|date", "true"}, [3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"wheels", "tickets.csv|0", "true"},
		[3]string{"add-slip"}, [3]string{"slip", "1|ticket", "2"}, [3]string{"when", "1|date", "2026-11-21"}, [3]string{"setup", "tickets.csv|1|setup", "coupled"}, [3]string{"cell", "tickets.csv|1|reading", "1340"})
	act(pg, [3]string{"add-line", "0"}) // before the line of slip 2
	if !pg.byWheel(0) || pg.byWheel(1) || pg.byWheel(2) {
		t.Errorf("a line put in: a figure for each wheel: %v %v %v (want the first alone)", pg.byWheel(0), pg.byWheel(1), pg.byWheel(2))
	}
	act(pg, [3]string{"remove", "tickets.csv|0"})
	if pg.byWheel(0) || pg.byWheel(1) || !pg.view.Open["no-date-0"] {
		t.Errorf("its first line taken away: %v %v %v (want only that slip 1 has no date)", pg.byWheel(0), pg.byWheel(1), pg.view.Open["no-date-0"])
	}
	act(pg, [3]string{"remove", "tickets.csv|0"}, [3]string{"goto", "", "slip"})
	if html := pg.drawSlipHead(0, pg.slips()[0]); !strings.Contains(html, "2026-11-21") {
		t.Error("slip 1 taken away, the date of the next one is not shown")
	}
	if html := pg.drawLineOf(0, 0, 0); !strings.Contains(html, `value="1340"`) {
		t.Error("slip 1 taken away, the figure of the next one is not shown")
	}
}

// One axle is taken off the deck where all of its group were on it.
func TestOneAxleOffTheDeck(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"one", "outfit.csv|trailer_axles", "2"}, [3]string{"add-slip"}, [3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"deck", "tickets.csv|0|trailer"},
		[3]string{"open", "apart-0", "true"}, [3]string{"deck", "tickets.csv|0|trailer.1"})
	if got := pg.forms.cell(ticketsForm, 0, "on_deck"); got != "trailer.2" {
		t.Errorf("on_deck is %q (want the second axle alone)", got)
	}
}
