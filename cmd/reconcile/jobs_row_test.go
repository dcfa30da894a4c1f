package main

import (
	"os"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/screen"
	"reconcile/internal/words"
)

// demoRecord is the record of a demo job, as it is kept.
func demoRecord(t *testing.T, job string) *record.Record {
	t.Helper()
	line, err := os.ReadFile("../../testdata/tickets/" + job + "/expected.json")
	if err != nil {
		t.Fatal(err)
	}
	r, err := record.Parse(line, 0)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestJobsRow: the figures are those of the records, 2·10.943507 among them; whatever
// a spreadsheet could take for a formula is quoted.
func TestJobsRow(t *testing.T) {
	over, one := demoRecord(t, "planetarium-overloaded"), demoRecord(t, "one-reading")
	over.Job, over.Issuer.Number, over.Outfit.Owner = "dome-1", "0012", "Stars; =1+1"
	one.Job, one.Outfit.Owner, one.Outfit.VehicleID, one.Outfit.TrailerID = "=dome+2", "", "STAR 01", ""
	got := jobsHeader
	var closing []screen.Row
	for _, row := range []jobsRow{rowOf(words.Of(over, nil), "AB", "dome-1.pdf", strings.Repeat("a", 64)), rowOf(words.Of(one, nil), "CD", "-2.pdf", ""), (&outcome{called: "@dome-3"}).row()} {
		got, closing = got+row.line(), append(closing, row.closing)
	}
	want := `job,file,number,owner,vehicle_id,trailer_id,weighed,verdict,rating,on,state,margin_kg,download_kg,download_U_kg,agreement,record_sha256,file_sha256
dome-1,dome-1.pdf,0012,"Stars; '=1+1",DOME 1,DOME 2,2026-04-11 08:05 to 08:44,over,axle,rear,coupled_slack,-59.175,340.298,21.887,agree,AB,` + strings.Repeat("a", 64) + `
"'=dome+2","'-2.pdf",,,STAR 01,,2026-03-14 09:25,incomplete,gvm,,coupled_slack,,,,untested,CD,
"'@dome-3",,,,,,,refused,,,,,,,,,
`
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
	if c := closing[0]; c != (screen.Row{Verdict: "over", Rating: "axle rating, rear (coupled)", Value: "1,979 ± 32", Limit: "1,920 kg"}) { // U = 2·15.9
		t.Errorf("%+v", c)
	}
}
