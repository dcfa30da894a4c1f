package page

import (
	"strings"
	"testing"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
)

// A later line that repeats the one before says so in one line; changed, its
// questions are open again.
func TestLaterLineIsShort(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "7"}, [3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"cell", "tickets.csv|0|people", "2"}, [3]string{"add-line", "0"})
	const closed, opened = `<details class="more" data-open="how-1">`, `<details class="more" data-open="how-1" open="">`
	if html := pg.drawLineOf(0, 0, 0); strings.Contains(html, "how-0") {
		t.Error("the first line is folded")
	}
	if html := pg.drawLineOf(1, 1, 0); !strings.Contains(html, closed) || !strings.Contains(html, "As in the line before: hitched together, people on board: 2") {
		t.Errorf("the second line is not folded: %s", html)
	}
	act(pg, [3]string{"bars", "tickets.csv|1", "tensioned"})
	if html := pg.drawLineOf(1, 1, 0); !strings.Contains(html, opened) {
		t.Errorf("with other bars it is folded: %s", html)
	}
}

// What is filled in of a slip is folded once its next line is begun, and read back;
// it is open while it is typed, and where something is to be mended or is asked.
func TestLinesFold(t *testing.T) {
	pg := newPage(time.Now)
	summary := func(line int) string {
		html := pg.drawSlipHead(0, pg.slips()[0])
		if line >= 0 {
			html = pg.drawLineOf(line, line, 0)
		}
		open, text, _ := strings.Cut(html[strings.Index(html, "<details"):strings.Index(html, "</summary>")], "<summary>")
		if strings.Contains(open, ` open=""`) {
			return "open: " + text
		}
		return text
	}
	act(pg, [3]string{"region", "region", "au"}, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "7"}, [3]string{"when", "0|date", "2026-03-14"}, [3]string{"slip", "0|scale", "North"}, [3]string{"slip", "0|interval", "20"},
		[3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"cell", "tickets.csv|0|people", "2"}, [3]string{"cell", "tickets.csv|0|note", "STEER"},
		[3]string{"cell", "tickets.csv|0|reading", "1380"}, [3]string{"deck", "tickets.csv|0|front"})
	for line, want := range map[int]string{-1: "open: Number, date and place", 0: "open: Line 1"} {
		if got := summary(line); got != want {
			t.Errorf("all of it is typed: %d is %q (want %q)", line, got, want)
		}
	}
	act(pg, [3]string{"add-line", "0"}, [3]string{"cell", "tickets.csv|1|reading", "1840"}, [3]string{"leave-out", "tickets.csv|1", "true"})
	folded := map[int]string{-1: "2026-03-14, weighbridge North, in kg, in steps of 20", 0: "Line 1: STEER 1380 kg, front axle, hitched together, people on board: 2"}
	for line, want := range folded {
		if got := summary(line); got != want {
			t.Errorf("the next line is begun: %d is %q (want %q)", line, got, want)
		}
	}
	if got := summary(1); got != "open: Line 2" {
		t.Errorf("the line being typed is %q", got)
	}
	if got := pg.lineWords(1, false); got != "1840 kg, hitched together, people on board: 2, left out" {
		t.Errorf("the second line reads %q", got)
	}
	// What is wrong, or asked, opens it; typed in it stays open.
	pg.forms.set(ticketsForm, 0, "reading", "13x")
	pg.read()
	if got := summary(0); got != "open: Line 1" {
		t.Errorf("with a fault it is %q", got)
	}
	pg.forms.set(ticketsForm, 0, "reading", "1380")
	pg.read()
	if got := summary(0); got != folded[0] {
		t.Errorf("mended elsewhere it is %q", got)
	}
	act(pg, [3]string{"cell", "tickets.csv|0|reading", "1383"}, [3]string{"cell", "tickets.csv|0|reading", "1380"}, [3]string{"slip", "0|interval", "10"})
	for _, line := range []int{-1, 0} {
		if got := summary(line); !strings.HasPrefix(got, "open: ") {
			t.Errorf("typed in, %d is %q", line, got)
		}
	}
	act(pg, [3]string{"add-line", "0"}, [3]string{"remove", "tickets.csv|1"})
	if got := summary(1); got != "open: Line 2" {
		t.Errorf("the line above went: it is %q", got)
	}
}

// A line that is asked of is open until it is answered.
func TestAskedLineIsOpen(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: archived(t, "testdata/questions/not_a_multiple.txtar")}})
	row := -1
	for _, q := range pg.record().Questions {
		if q.Code == "not_a_multiple" {
			row = pg.forms.rowAt(ticketsForm, q.Line)
		}
	}
	open := func() bool {
		return strings.Contains(pg.drawLineOf(row, row, 0), `data-open="line-`+itoa(row)+`" id="fold-`+fieldID("", "line-"+itoa(row))+`" open=""`)
	}
	if !open() {
		t.Error("the line that is asked of is folded")
	}
	pg.forms.set(ticketsForm, row, "confirmed", "not_a_multiple")
	pg.read()
	if open() {
		t.Error("answered, it is open")
	}
}

// A file that is no picture is said to be none, and kept.
func TestFileThatIsNoPicture(t *testing.T) {
	for begin, picture := range map[string]bool{"\xff\xd8\xff\xe0": true, "\x89PNG\r\n": true, "RIFF\x00\x00\x00\x00WEBPVP8 ": true, "%PDF-1.7": false, "a text": false} {
		pg := newPage(time.Now)
		act(pg, [3]string{"add-slip"})
		pg.do([]event{{Do: "photo", At: "tickets.csv|0|copy", Files: []record.File{{Name: "scan.pdf", Bytes: []byte(begin)}}}})
		html := pg.drawSlipHead(0, pg.slips()[0])
		if got := strings.Contains(html, "<img"); got != picture || strings.Contains(html, "is not a picture") == picture {
			t.Errorf("%q: a picture %v (want %v): %s", begin, got, picture, html)
		}
		if name := pg.forms.cell(ticketsForm, 0, "copy"); len(pg.forms.copies[name]) == 0 {
			t.Errorf("%q is not kept", begin)
		}
	}
}

// Where line 1 says to look again no load has a tick in the drawing: the figure
// that is asked about may be wrong.
func TestNoTickWhereSomethingIsAsked(t *testing.T) {
	for path, ticks := range map[string]bool{"testdata/questions/not_a_multiple.txtar": false, "": true} {
		pg := newPage(time.Now)
		files := jobFiles(t, "planetarium")
		if path != "" {
			files = archived(t, path)
		}
		pg.do([]event{{Do: "restore", Files: files}})
		act(pg, [3]string{"rating", "gvm|||value|first", "3400"})
		if !ticks {
			pg.answer.Verdict = "unconfirmed"
		}
		w := pg.wordsOf(pg.answer)
		html := pg.drawLoads(pg.answer, w)
		if got := strings.Contains(html, "✓"); got != ticks {
			t.Errorf("%s (%s): a tick %v (want %v)", path, pg.answer.Verdict, got, ticks)
		}
	}
}

// Of a summary whose pages another version drew nothing is said of its pages,
// and the time of signing only where somebody signed.
func TestWhatASummaryProves(t *testing.T) {
	pages, time := say("it_proves_that_the_pages"), say("the_time_of_signing_is")
	for _, c := range []struct {
		v             flow.Verification
		pages, signed bool
	}{
		{flow.Verification{Usable: true}, true, false},
		{flow.Verification{Usable: true, Signers: []signoff.Signer{{}}}, true, true},
		{flow.Verification{}, false, false},
	} {
		said := strings.Join(proves(&c.v), " ")
		if strings.Contains(said, pages) != c.pages || strings.Contains(said, time) != c.signed {
			t.Errorf("usable %v, %d signers: %s", c.v.Usable, len(c.v.Signers), said)
		}
	}
}

// Every fault in the list says where it is, down to the box, and leads to the
// part that shows it.
func TestFaultsSayWhereTheyAre(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: formsOf(map[string]string{
		ticketsForm: "ticket,setup,on_deck,reading,unit,front.left,rear.1.left\n1,coupled,front,x,kg,,\n1,coupled,,,kg,700,y\n2,coupled,all,5240,st,,\n",
		ratingsForm: "rating,on,value,unit,set\ngvm,,z,kg,\naxle,rear,z,kg,\ntyre,rear.1,z,kg,\ngvm,,z,kg,lift\n",
		outfitForm:  "region,people\nxx,two\n", loadsForm: "load,mass,unit,on,least\ndog,z,kg,vehicle,\ncat,5,kg,vehicle,9\n", placesForm: "place,on,at\ntray,vehicle,z\n",
	})}})
	want := []string{
		`slip|Slip 1, line 1: Figure "x"`, `slip|Slip 1, line 2: Rear axle 1, left "y"`, `slip|Slip 1, line 2: Rear axle 1, left names an axle`, `slip|Slip 2, line 1: Unit "st"`, `have|The plates: Where it is registered "xx"`, `plates|The plates: People on board "two"`,
		`slip|Dog: Mass "z"`, `whatif|Cat: Least during a trip "9"`, `whatif|Tray: How far "z"`,
		`plates|Plates, A, gvm: Figure "z"`, `plates|Plates, C, axle, rear: Figure "z"`, `plates|Plates, tyre, rear axle 1: Figure "z"`, `whatif|Plates, gvm: Figure "z"`,
	}
	var got []string
	for i := range pg.faults {
		f := &pg.faults[i]
		got = append(got, pg.partOf(f)+"|"+pg.placeWord(f)+sentence(pg.faultText(f)))
	}
	all := strings.Join(got, "\n")
	for _, w := range want {
		if !strings.Contains(all, w) {
			t.Errorf("%q is not among\n%s", w, all)
		}
	}
	if len(got) < len(want) {
		t.Errorf("%d faults", len(got))
	}
}

// What is within as weighed, and over during the trip, has no tick and no green: line 1
// says that it is over, and its sign as well.
func TestSignOfTheTrip(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "water-tank")}, {Do: "goto", Value: "slip"}})
	for id, class := range map[string]string{"line": `class="line1 over"`, "answer": `class="headline over"`} {
		if html := onPage(pg, id); pg.answer.Verdict != "within" || !strings.Contains(html, class) || strings.Contains(html[:strings.Index(html, "as weighed")], "✓") {
			t.Errorf("%s: %s", id, html)
		}
	}
}

// TestForeignPDF: what is wrong with a PDF that is opened is a sentence, not a code.
func TestForeignPDF(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "files", Files: []record.File{{Name: "x.pdf", Bytes: []byte("%PDF-1.4\n%%EOF\n")}}}})
	if said := pg.notice; !pg.refused || !strings.Contains(said, "the file does not begin the way this program begins a summary") {
		t.Errorf("said %q", said)
	}
}
