package screen

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	record "reconcile/internal/oldrecord"
	"reconcile/internal/regions"
)

var renew = flag.Bool("renew", false, "write the golden reports anew; read them before they are kept")

func report(t *testing.T, r *record.Record) string {
	t.Helper()
	var b bytes.Buffer
	if err := Report(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The golden reports were read by eye as an owner would; nothing but this
// program is their source.
func TestGoldenReports(t *testing.T) {
	all := named()
	if len(all) != 14 {
		t.Fatalf("%d reports, want 14", len(all))
	}
	for name, r := range all {
		path := filepath.Join("testdata", name+".txt")
		got := report(t, r)
		if *renew {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from %s:\n%s", name, path, got)
		}
	}
	files, _ := filepath.Glob("testdata/*.txt")
	if len(files) != len(all) {
		t.Errorf("%d golden files, want %d", len(files), len(all))
	}
}

func TestReportsAreEightyColumnsOfPlainText(t *testing.T) {
	for name, r := range named() {
		for i, l := range strings.Split(report(t, r), "\n") {
			if n := cells(l); n > 80 { // a terminal's 80 columns
				t.Errorf("%s:%d: %d columns: %q", name, i+1, n, l)
			}
			if strings.TrimRight(l, " ") != l || strings.ContainsAny(l, "\x1b\t\r\u202e") {
				t.Errorf("%s:%d: not plain: %q", name, i+1, l)
			}
		}
	}
}

func TestFirstTwoLines(t *testing.T) {
	for name, r := range named() {
		lines := strings.Split(report(t, r), "\n")
		if lines[0] != "do now: "+r.Headline.DoNow {
			t.Errorf("%s: first line %q", name, lines[0])
		}
		if lines[1] != "verdict: "+r.Headline.VerdictText {
			t.Errorf("%s: second line %q", name, lines[1])
		}
	}
}

// The order in which the parts of a report stand is part of the interface.
func TestPartsStandInOrder(t *testing.T) {
	r := overRecord()
	r.Cautions = []record.Caution{{Text: "the trailer is heavier than the vehicle"}}
	got := report(t, r)
	at := 0
	for _, part := range []string{"do now:", "verdict:", "rating ", "not weighed:", "not given:", "declared:", "next:", "cautions:", "footnotes:", "No weighbridge certificate"} {
		i := strings.Index(got[at:], "\n"+part)
		if part == "do now:" {
			i = strings.Index(got, part)
		}
		if i < 0 {
			t.Fatalf("%q is missing or out of order:\n%s", part, got)
		}
		at += i + 1
	}
}

func TestPlainNeverSaysSlackAndNothingIsNaN(t *testing.T) {
	n := 0
	for name, r := range named() {
		text := report(t, r)
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "± 0 ") || strings.Contains(text, "-0 ") || strings.Contains(text, "%!") {
			t.Errorf("%s prints no number:\n%s", name, text)
		}
		if r.Outfit.Travels == "plain" {
			n++
			if strings.Contains(text, "slack") || strings.Contains(text, "tensioned") {
				t.Errorf("%s travels plain:\n%s", name, text)
			}
		}
	}
	if n != 12 {
		t.Errorf("%d plain reports, want 12", n)
	}
}

// Each region reads its own labels and none of another's for the same rating.
func TestEachRegionReadsItsLabels(t *testing.T) {
	for _, region := range append([]string{""}, regions.Words()...) {
		text := strings.Join(strings.Fields(report(t, outfit(region))), " ")
		for _, word := range []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max"} {
			label := regions.Label(word, regions.Region(region))
			first := strings.Fields(label)[0] // a long label is broken in its column
			if !strings.Contains(text, first) {
				t.Errorf("%q: no %q", region, label)
			}
		}
		if region == "au" || region == "nz" || region == "" {
			continue
		}
		for _, foreign := range []string{"GVM", "GCM", "ATM", "towball"} {
			if strings.Contains(text, foreign) {
				t.Errorf("%q: %q is another region's", region, foreign)
			}
		}
	}
}

func TestReportGivesTheWritersError(t *testing.T) {
	if err := Report(broken{}, outfit("au")); !errors.Is(err, os.ErrClosed) {
		t.Errorf("got %v, want the writer's error", err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text string
		wide int
		want string
	}{
		{"take it off the rear axle", 10, "take it|off the|rear axle"},
		{"abcdefghij kl", 4, "abcd|efgh|ij|kl"},
		{"", 4, ""},
		{"移動式天文館", 4, "移動|式天|文館"}, // two columns a character
		{"e\u0301e\u0301e\u0301", 3, "e\u0301e\u0301e\u0301"},
	} {
		if got := strings.Join(wrap(c.text, c.wide), "|"); got != c.want {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.text, c.wide, got, c.want)
		}
	}
}

func TestRegister(t *testing.T) {
	over := overRecord()
	over.Job, over.Issuer.Number = "dome-1", "0012"
	incomplete := incompleteRecord()
	incomplete.Job = "=dome+2"
	got := string(Register([]Row{RowOf(over, "dome-1.pdf", strings.Repeat("a", 64)), RowOf(incomplete, "-2.pdf", ""), RefusedRow("@dome-3")}))
	want := `job,file,number,verdict,rating,on,state,margin_kg,download_kg,download_U_kg,agreement,sha256
dome-1,dome-1.pdf,0012,over,axle,rear,coupled_slack,-140.300,240.400,21.800,agree,` + strings.Repeat("a", 64) + `
'=dome+2,'-2.pdf,,incomplete,download_max,vehicle,,,,,agree,
'@dome-3,,,refused,,,,,,,,
`
	if got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestRegisterCellsAreNoFormulas(t *testing.T) {
	cases := map[string]string{"=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "\tx": "'\tx", "\rx": "'\rx", "a=b": "a=b", "": "", "dome, east": "dome, east", `"x"`: `"x"`}
	for in, want := range cases {
		rows, err := csv.NewReader(bytes.NewReader(Register([]Row{RefusedRow(in)}))).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%q: %v, %d rows", in, err, len(rows))
		}
		if rows[1][0] != want {
			t.Errorf("%q became %q, want %q", in, rows[1][0], want)
		}
	}
}
