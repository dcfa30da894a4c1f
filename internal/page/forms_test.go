package page

import (
	"bytes"
	"html"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// act does things on a page: action, where, value.
func act(pg *page, all ...[3]string) {
	for _, a := range all {
		pg.do([]event{{Do: a[0], At: a[1], Value: a[2]}})
	}
}

// Forms that are opened keep their bytes until something is typed in them, and
// then all that was in them, notes and separator too.
func TestOpenedFormsKeepTheirBytes(t *testing.T) {
	files, err := filepath.Glob("../../testdata/tickets/*/*.csv")
	if err != nil || len(files) < 100 {
		t.Fatalf("%d forms (%v)", len(files), err)
	}
	for _, path := range files {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		f := newForms()
		f.put(name, b)
		if kept, _ := f.bytesOf(name); !bytes.Equal(kept, b) {
			t.Errorf("%s: opened, the bytes are others", path)
		}
		before, _ := tickets.TableOf(tickets.Form{Name: name, Bytes: b})
		if len(before.Rows) == 0 {
			t.Errorf("%s: no lines (%v)", path, f.by[name].broken)
			continue
		}
		f.write(name)
		after := f.by[name].table
		if len(after.Rows) != len(before.Rows) || after.Sep != before.Sep || len(after.Notes) != len(before.Notes) {
			t.Errorf("%s: %d lines, %d notes (want %d, %d)", path, len(after.Rows), len(after.Notes), len(before.Rows), len(before.Notes))
		}
		for row := range before.Rows {
			for i, column := range before.Header {
				if got := f.cell(name, row, column); got != before.Rows[row][i] {
					t.Errorf("%s: line %d, %s is %q (want %q)", path, row, column, got, before.Rows[row][i])
				}
			}
		}
	}
}

// Cells that need quotes are written so that the core reads them as typed.
func TestCellsAreReadAsTyped(t *testing.T) {
	f := newForms()
	for _, text := range []string{`GROSS, all`, `a "b" c`, `5;6`, `"`, "zwölf"} {
		f.add(loadsForm, -1, map[string]string{"load": text, "mass": "1", "unit": "kg"})
		if got := f.cell(loadsForm, f.rows(loadsForm)-1, "load"); got != text {
			t.Errorf("%q is read as %q", text, got)
		}
	}
}

// A number typed with # before it does not make its line a note.
func TestNumberSignIsNoNote(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "#"}, [3]string{"slip", "0|ticket", "# 12"})
	if got := pg.forms.cell(ticketsForm, 0, "ticket"); pg.forms.rows(ticketsForm) != 1 || got != "12" {
		t.Errorf("%d lines, number %q", pg.forms.rows(ticketsForm), got)
	}
}

// In the region eu a figure may be typed with a decimal comma.
func TestDecimalComma(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"region", "region", "eu"}, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "4"}, [3]string{"slip", "0|unit", "t"},
		[3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"whole-deck", "tickets.csv|0"}, [3]string{"cell", "tickets.csv|0|reading", "5,84"})
	if len(pg.faults) > 0 || pg.answer == nil {
		t.Fatalf("refused: %v", pg.faults)
	}
	if got := pg.answer.Readings[0].ReadingKg; got != "5840" { // 5.84 t by hand
		t.Errorf("5,84 t is read as %s kg", got)
	}
}

// Two slips stay two while the number of one is typed over that of the other.
func TestSlipsStayApart(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", "5"}, [3]string{"add-line", "0"}, [3]string{"add-slip"}, [3]string{"slip", "1|ticket", "5"}, [3]string{"slip", "1|ticket", "50"})
	if s := pg.slips(); len(s) != 2 || len(s[0].rows) != 2 || len(s[1].rows) != 1 || pg.forms.cell(ticketsForm, 0, "ticket") != "5" || pg.forms.cell(ticketsForm, 2, "ticket") != "50" {
		t.Errorf("slips %v: %s", s, pg.forms.by[ticketsForm].bytes)
	}
}

// changes says whether a reply fills an element.
func changes(r Reply, id string) bool {
	return slices.ContainsFunc(r.HTML, func(filled [2]string) bool { return filled[0] == id && filled[1] != "" })
}

// What is typed goes to the page as text, never as HTML.
func TestTypedTextIsEscaped(t *testing.T) {
	pg := newPage(time.Now)
	evil := `<img src=x onerror="alert(1)">`
	act(pg, [3]string{"one", "outfit.csv|vehicle", evil}, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", evil}, [3]string{"cell", "tickets.csv|0|note", evil},
		[3]string{"add-load", "slip"}, [3]string{"cell", "loads.csv|0|load", evil}, [3]string{"setup", "tickets.csv|0|setup", "coupled"})
	found := false
	for id, text := range pg.drawAll() {
		if strings.Contains(text, "<img src=x") {
			t.Errorf("%s holds what was typed as HTML", id)
		}
		found = found || strings.Contains(text, "&lt;img")
	}
	if !found {
		t.Error("what was typed is nowhere")
	}
}

// The rest is stopped by what is typed, and then changes nothing.
func TestRestStops(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: formsOf(map[string]string{ticketsForm: head + coupled, ratingsForm: rated + "gvm,,3200,kg,\naxle,rear,1950,kg,\natm,,2800,kg,\n", "outfit.csv": plain})}})
	asked := 0
	if r := pg.goOn(func() bool { asked++; return asked > 3 }); r.Part != "" || pg.result != nil {
		t.Error("stopped, it changes the page")
	}
	if asked < 4 || asked > 8 {
		t.Errorf("asked %d times whether to stop (want it to stop at once)", asked)
	}
	if r := pg.goOn(nil); !changes(r, "answer") || pg.result == nil {
		t.Error("not stopped, it has no result")
	}
}

// Every fault that can be met while typing has a field, or stands in a list.
func TestNoFaultIsLost(t *testing.T) {
	files, err := filepath.Glob("../tickets/testdata/faults/*.txtar")
	if err != nil || len(files) < 300 {
		t.Fatalf("%d faulty forms (%v)", len(files), err)
	}
	tried := 0
	for _, path := range files {
		pg := newPage(time.Now)
		pg.do([]event{{Do: "restore", Files: archived(t, path)}})
		if len(pg.faults) == 0 {
			continue
		}
		tried++
		drawn := pg.drawAll()
		shown := drawn["plates"] + drawn["slip"] + drawn["whatif"]
		for i := range pg.faults {
			if !strings.Contains(shown, `data-fault="`+esc(pg.faults[i].Error())+`"`) && !strings.Contains(pg.drawFaults(), `data-at="`+esc(pg.faults[i].Error())+`"`) {
				t.Errorf("%s: %s is not shown", filepath.Base(path), pg.faults[i].Error())
			}
		}
	}
	if tried < 250 {
		t.Errorf("%d faulty forms tried", tried)
	}
}

// archived reads the forms of a file of faults.
func archived(t *testing.T, path string) []record.File {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var files []record.File
	for _, part := range strings.Split("\n"+string(b), "\n-- ")[1:] {
		name, content, ok := strings.Cut(part, " --\n")
		for _, form := range tickets.FormNames() {
			if ok && name == form {
				files = append(files, record.File{Name: name, Bytes: []byte(content + "\n")})
			}
		}
	}
	return files
}

// Forgotten, nothing of what was typed stays in the page, out of view neither.
func TestForgottenEverywhere(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "planetarium")}})
	shown := map[string]string{}
	fill := func(r Reply) {
		for _, h := range r.HTML {
			shown[h[0]] = h[1]
		}
	}
	for _, part := range []string{"plates", "slip", "whatif", "keep"} {
		fill(pg.do([]event{{Do: "goto", Value: part}}))
	}
	typed := func() (found []string) {
		for _, id := range sortedKeys(shown) {
			if strings.Contains(shown[id], "50112") || strings.Contains(shown[id], "DOME 1") {
				found = append(found, id)
			}
		}
		return found
	}
	if len(typed()) < 3 {
		t.Fatalf("shown before in %v alone", typed())
	}
	r := pg.do([]event{{Do: "forget"}})
	for _, part := range []string{"plates", "slip", "whatif", "keep"} {
		if !slices.ContainsFunc(r.HTML, func(h [2]string) bool { return h[0] == part }) {
			t.Errorf("%s is not emptied", part)
		}
	}
	for id := range shown {
		if strings.HasPrefix(id, "slip-") || strings.HasPrefix(id, "box-") {
			delete(shown, id) // they go with the part that held them
		}
	}
	fill(r)
	if found := typed(); len(found) > 0 {
		t.Errorf("still in the page: %v", found)
	}
}

// A file that was opened and cannot be laid out as forms is spoken of as a file, with
// the place in words; its name stays as it is.
func TestFaultsOfAnOpenedFile(t *testing.T) {
	for text, want := range map[string]string{
		"tickt,setup\n1,coupled\n":                                 `In the file tickets.csv, line 1, character 1: column "tickt" is not known (a column of tickets.csv). The nearest known column is "ticket".`,
		"ticket,setup,on_deck,reading\n1,\"coup\"led,front,1200\n": `In the file tickets.csv, line 2, character 8: a quote is inside a cell (quotes around the entire cell). Write "" for a quote inside a quoted cell.`,
		"ticket,setup,on_deck,reading\n1,coupled,front,\xff1200\n": `In the file tickets.csv, line 2, character 17: byte 0xFF is not UTF-8 text (plain text with one line per record, saved as CSV UTF-8). In the spreadsheet choose the file type CSV UTF-8.`,
		"": `In the file tickets.csv, line 1, character 1: the form is empty (a header line with column names).`,
	} {
		pg := newPage(func() time.Time { return time.Time{} })
		r := pg.do([]event{{Do: "files", At: "drop", Files: []record.File{{Name: "tickets.csv", Bytes: []byte(text)}}}})
		said := ""
		for _, h := range r.HTML {
			if h[0] == "answer" {
				said = html.UnescapeString(h[1])
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("%q: %s (want %s)", text, said, want)
		}
	}
}

// TestDone: what is done comes as the script has it, each with its own files; what
// cannot be read is not done.
func TestDone(t *testing.T) {
	pg := newPage(time.Now)
	r, err := pg.doAll([]byte(`[{"do":"unit","value":"lb"},{"do":"restore"},{"do":"goto","at":"","value":"plates"}]`), [][]record.File{nil, jobFiles(t, "planetarium")})
	if err != nil || r.Part != "plates" || pg.view.Unit != "lb" || pg.forms.rows(ticketsForm) == 0 {
		t.Errorf("part %q, unit %q, %d lines of tickets, %v", r.Part, pg.view.Unit, pg.forms.rows(ticketsForm), err)
	}
	if _, err := pg.doAll([]byte(`[{"do":"forget"}`), nil); err == nil || pg.forms.rows(ticketsForm) == 0 {
		t.Errorf("half a list was done: %v", err)
	}
}
