package screen

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/words"
)

var renew = flag.Bool("renew", false, "write the golden reports again; read them before they are kept")

func report(t *testing.T, r *record.Record) string {
	t.Helper()
	var b bytes.Buffer
	if err := Report(&b, words.Of(r, nil)); err != nil {
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
		text := strings.Join(strings.Fields(report(t, r)), " ")
		say := words.Of(r, nil)
		first := "do now: " + say.Headline().DoNow + " verdict: " + say.Headline().Verdict
		if !strings.HasPrefix(text, strings.Join(strings.Fields(first), " ")) {
			t.Errorf("%s begins %q, want %q", name, text[:min(len(text), 200)], first)
		}
	}
}

// The order in which the parts of a report come is part of the interface.
func TestPartsStandInOrder(t *testing.T) {
	r := overRecord()
	r.Cautions = []record.Note{{Code: "trailer_heavier", Args: record.Args{Value: ptr(1.04), U: ptr(0.005), Limit: ptr(1.0)}}}
	got := report(t, r)
	at := 0
	for _, part := range []string{"do now:", "verdict:", "rating ", "not weighed:", "not given:", "declared:", "next:", "cautions:", "footnotes:", "Not a weighbridge certificate"} {
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
	for i := range regions.Table {
		region := regions.Table[i].Region
		text := strings.Join(strings.Fields(report(t, outfit(region))), " ")
		for _, word := range []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max"} {
			label := regions.Table[i].Labels[word]
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
	if err := Report(broken{}, words.Of(outfit("au"), nil)); !errors.Is(err, os.ErrClosed) {
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
		{"ab c", 1, "a|b|c"},
		{"ab c", -3, "a|b|c"}, // no room: still a character a line
	} {
		if got := strings.Join(wrap(c.text, c.wide), "|"); got != c.want {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.text, c.wide, got, c.want)
		}
	}
}

// Footnotes of many lines, two in turn: their numbers alone are longer than a line,
// and go on in the next one, with the text behind them.
func TestManyFootnotes(t *testing.T) {
	r := named()["over"]
	r.Footnotes = nil
	for line := range 99 {
		r.Footnotes = append(r.Footnotes, record.Note{Code: "people_not_stated", Line: line + 2}, record.Note{Code: "no_time", Line: line + 2})
	}
	got := report(t, r)
	for i, l := range strings.Split(got, "\n") {
		if n := cells(l); n > 80 {
			t.Errorf("line %d: %d columns: %q", i+1, n, l)
		}
	}
	flat := strings.Join(strings.Fields(got), " ")
	for _, want := range []string{" 1, 3, 5, ", " 195, 197. lines 2-100 of tickets.csv: people aboard not stated", " 196, 198. lines 2-100 of tickets.csv: "} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is not in\n%s", want, got)
		}
	}
}

func TestBrief(t *testing.T) {
	n := 0
	for name, r := range named() {
		var b bytes.Buffer
		if err := Brief(&b, words.Of(r, nil), r.Job); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
		if len(lines) > 10 { // the contract: at most ten lines a job
			t.Errorf("%s: %d lines", name, len(lines))
		}
		if !strings.Contains(b.String(), "do now: ") || !strings.Contains(b.String(), "verdict: ") {
			t.Errorf("%s: no line 1 or no verdict:\n%s", name, b.String())
		}
		n++
	}
	if n != 14 {
		t.Errorf("%d jobs", n)
	}
}

// overRow is the line of a job that is over.
func overRow(called string) Row {
	return Row{called, "over", "axle rating, rear (coupled, hitch slack)", "2,090 ± 24", "1,950 kg"}
}

// The gravest is first; of equal ones the order stays.
func TestClosing(t *testing.T) {
	var b bytes.Buffer
	if err := Closing(&b, []Row{{Called: "a", Verdict: "within"}, {Called: "d", Verdict: "refused"}, overRow("b"), {Called: "c", Verdict: "refused"}}); err != nil {
		t.Fatal(err)
	}
	var first []string
	for _, line := range strings.Split(strings.TrimSpace(b.String()), "\n") {
		first = append(first, strings.Fields(line)[0])
	}
	if got := strings.Join(first, " "); got != "job d c b a" {
		t.Errorf("the order is %q:\n%s", got, b.String())
	}
	if !strings.Contains(b.String(), "2,090 ± 24 / 1,950 kg") {
		t.Errorf("the load that governs is missing:\n%s", b.String())
	}
}

// One line a job, however long its name: what does not fit is cut, and no figure is.
func TestClosingIsOneLineAJob(t *testing.T) {
	var b bytes.Buffer
	if err := Closing(&b, []Row{overRow("a name of a job that is much longer than anybody types into a form of theirs"), {Called: "d", Verdict: "refused"}}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.Trim(b.String(), "\n"), "\n")
	if len(lines) != 3 || !strings.HasPrefix(lines[2], "a name of a job") || !strings.Contains(lines[2], "… ") || !strings.HasSuffix(lines[2], " 2,090 ± 24 / 1,950 kg") {
		t.Errorf("not one line a job:\n%s", b.String())
	}
	for _, line := range lines {
		if cells(line) > columns {
			t.Errorf("%d columns: %q", cells(line), line)
		}
	}
}

// A row that is over and does not decide is in the main table, marked.
func TestOverRowsAreNotHidden(t *testing.T) {
	r := overRecord()
	c := line{rating: "axle", on: "rear", state: "coupled_slack", limit: 1990, value: 2090.3, u: 11.9, other: true}.check()
	c.Line = ptr(30)
	r.Checks = append(r.Checks, c)
	text := report(t, r)
	at, others := strings.Index(strings.Join(strings.Fields(text), " "), "1,990"), strings.Index(strings.Join(strings.Fields(text), " "), words.Of(r, nil).Head("others"))
	if at < 0 || others < 0 || at > others || !strings.Contains(strings.Join(strings.Fields(text), " "), "lowest") {
		t.Errorf("the row is at %d, the second table at %d:\n%s", at, others, text)
	}
}

// In a conflict no row has a verdict, and the column says why.
func TestConflictHasNoVerdicts(t *testing.T) {
	text := report(t, conflictRecord())
	table := text[strings.Index(text, "Provisional"):strings.Index(text, "found: ")]
	for _, word := range []string{"within", " over", "unsettled", "*"} {
		if strings.Contains(table, word) {
			t.Errorf("a row says %q:\n%s", word, table)
		}
	}
	if !strings.Contains(strings.Join(strings.Fields(table), " "), "not to be") {
		t.Errorf("the column does not say that it is not to be relied on:\n%s", table)
	}
}
