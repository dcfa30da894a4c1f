package page

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
)

// jobFiles are the forms of a demo job.
func jobFiles(t testing.TB, name string) []record.File {
	t.Helper()
	paths, err := filepath.Glob("../../testdata/tickets/" + name + "/*.csv")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no forms of %s", name)
	}
	var files []record.File
	for _, path := range paths {
		content, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, record.File{Name: filepath.Base(path), Bytes: content})
	}
	return files
}

// typed are things done to a job, each of which changes what some pieces show.
var typed = [][3]string{
	{"rating", "gtm|||value|first", "2500"}, {"rating", "atm|||value|first", "2000"}, {"rating", "atm|||value|first", "2900"},
	{"rating", "axle|rear||value|first", "1950"}, {"rating", "gvm|||value|first", "5000"}, {"rating", "gvm|||value|first", "3000"},
	{"cell", "tickets.csv|0|reading", "12x"}, {"cell", "tickets.csv|0|reading", "1243"}, {"cell", "tickets.csv|1|note", "DRIVE"}, {"cell", "tickets.csv|1|people", ""},
	{"confirm", "tickets.csv|0|not_a_multiple", ""}, {"unconfirm", "tickets.csv|0|not_a_multiple", ""}, {"one", "outfit.csv|trailer_axles", "3"}, {"unit", "unit", "lb"},
	{"open", "apart-0", "true"}, {"add-load", "slip", ""}, {"cell", "loads.csv|0|load", "dog"}, {"region", "region", "us"}, {"add-line", "0", ""}, {"remove", "tickets.csv|1", ""},
	{"rating", "gvm|||value|first", "150"}, {"rating", "gvm|||value|first", "9x"}, {"certificate", "gvm||", ""}, {"rating", "axle|front||value|first", ""}, {"none", "gcm||", "true"},
	{"slip", "0|interval", "50"}, {"one", "outfit.csv|travels", ""}, {"one", "outfit.csv|trailer_kind", "drawbar"}, {"add-slip", "", ""}, {"slip", "1|ticket", "9"},
}

// A piece that is not drawn again shows what it would show drawn again.
func TestPiecesShowWhatIsSo(t *testing.T) {
	compared := 0
	for _, job := range []string{"planetarium", "five-tickets-all", "planetarium-conflict", "stated-only"} {
		for _, part := range []string{"slip", "plates"} {
			pg := newPage(time.Now)
			pg.do([]event{{Do: "restore", Files: jobFiles(t, job)}, {Do: "goto", Value: part}})
			for _, a := range typed {
				act(pg, a)
				fresh := newPage(time.Now)
				fresh.forms = pg.forms
				seen, _ := json.Marshal(pg.view)
				if err := json.Unmarshal(seen, &fresh.view); err != nil {
					t.Fatal(err)
				}
				fresh.read()
				fresh.reply(Reply{})
				if got, want := onPage(pg, part), onPage(fresh, part); got != want {
					at := 0
					for at < min(len(got), len(want)) && got[at] == want[at] {
						at++
					}
					t.Fatalf("%s, %s after %q:\n%s\nwant\n%s", job, part, a, got[max(0, at-200):min(len(got), at+200)], want[max(0, at-200):min(len(want), at+200)])
				}
				if len(pg.pieces) > 4 {
					compared++
				}
			}
		}
	}
	if compared < 100 {
		t.Errorf("%d compared (want at least 100 with pieces)", compared)
	}
}

// One digit typed in one line of a slip fills that line again and no other.
func TestOneLineIsFilledAgain(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "five-tickets-all")}, {Do: "goto", Value: "slip"}})
	r := pg.do([]event{{Do: "cell", At: "tickets.csv|1|note", Value: "another word"}})
	var filled []string
	for _, h := range r.HTML {
		if strings.HasPrefix(h[0], "slip") {
			filled = append(filled, h[0])
		}
	}
	if len(filled) != 1 || filled[0] != "slip-line-1" {
		t.Errorf("filled again: %q (want slip-line-1 alone)", filled)
	}
}
