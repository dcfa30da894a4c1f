package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reconcile/internal/issue"
)

// TestPartIsFinished is killed by hand between the line and the name: the next
// run gives the file its name, and nothing is issued twice.
func TestPartIsFinished(t *testing.T) {
	dir := t.TempDir()
	day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
	dayForms(t, day, 2, 0)
	put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
	runIn(t, dir, "summary", day, "--out", out).wants(t, "first", exitUnsettled, "next number: A-10")
	want := filesIn(t, out)
	last := filepath.Join(out, "j01.pdf")
	for name, before := range map[string]string{"nothing": "", "an earlier file": "%PDF-1.7\nold\n"} {
		if err := os.Rename(last, partOf(last)); err != nil {
			t.Fatal(err)
		}
		if before != "" {
			put(t, last, before)
		}
		runIn(t, dir, "summary", day, "--out", out).wants(t, name, exitUnsettled, "left as they are: 2 of 2")
		sameFiles(t, filesIn(t, out), want)
	}
	// A part that no line names was never issued.
	put(t, partOf(filepath.Join(out, "j07.pdf")), want["j00.pdf"])
	// And one of a name that is issued, with other bytes, is no more.
	put(t, partOf(last), want["j00.pdf"])
	runIn(t, dir, "summary", day, "--out", out).wants(t, "stray parts", exitUnsettled, "")
	sameFiles(t, filesIn(t, out), want)
}

func sameFiles(t *testing.T, got, want map[string]string) {
	t.Helper()
	for name := range want {
		if got[name] != want[name] {
			t.Errorf("%s differs", name)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d files (want %d)", len(got), len(want))
	}
}

// TestNoRoomInTheRegister: what cannot be appended whole is not there in part,
// no file gets its name, and no number is passed over afterwards.
func TestNoRoomInTheRegister(t *testing.T) {
	dir := t.TempDir()
	day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
	dayForms(t, day, 3, 0)
	put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,1\n")
	runIn(t, dir, "summary", day, "--out", out).wants(t, "all", exitUnsettled, "next number: 4")
	r, err := openRegister(out)
	if err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(r.path())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(out, 0o777); err != nil {
		t.Fatal(err)
	}
	bad := &register{Register: r.Register, dir: filepath.Join(dir, "nowhere"), there: true}
	finished := func(number string) *pending {
		part, err := os.Create(filepath.Join(dir, number))
		if err != nil {
			t.Fatal(err)
		}
		return &pending{path: filepath.Join(bad.dir, number+".pdf"), part: part,
			line: issue.Line{Number: number, File: number + ".pdf", RecordSHA256: strings.Repeat("a", 64), FileSHA256: strings.Repeat("b", 64)}}
	}
	errs := bad.settle([]*pending{finished("4"), finished("5")})
	if errs[0] == nil || bad.stopped == nil || bad.Following != nil {
		t.Errorf("settled where nothing can be written: %v", errs)
	}
	for _, err := range append(bad.settle([]*pending{finished("6")}), errs[1]) {
		if err == nil || !strings.Contains(err.Error(), "is not issued") {
			t.Errorf("more is issued after that: %v", err)
		}
	}
	after, err := os.ReadFile(r.path())
	if err != nil || !bytes.Equal(before, after) {
		t.Errorf("the register changed (%v)", err)
	}
}

// toSettle are summaries under their temporary names, and the register of their
// folder, in which nothing was issued yet.
func toSettle(t *testing.T, numbers ...string) (*register, []*pending) {
	t.Helper()
	dir := t.TempDir()
	r, err := openRegister(dir)
	if err != nil {
		t.Fatal(err)
	}
	var all []*pending
	for _, number := range numbers {
		path := filepath.Join(dir, number+".pdf")
		part, err := writePart(path, []byte(number))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, &pending{path: path, part: part,
			line: issue.Line{Number: number, File: number + ".pdf", RecordSHA256: strings.Repeat("a", 64), FileSHA256: sumOf([]byte(number))}})
	}
	return r, all
}

// TestNoRoomInTheMidst: of summaries that are settled together those before the
// first that cannot be put on the disk are issued, and nothing is left of the others.
func TestNoRoomInTheMidst(t *testing.T) {
	r, all := toSettle(t, "1", "2", "3", "4")
	all[2].part.Close() // the disk takes nothing more of it
	errs := r.settle(all)
	if errs[0] != nil || errs[1] != nil || errs[2] == nil || errs[3] == nil || !strings.Contains(errs[3].Error(), "is not issued") {
		t.Errorf("said %v", errs)
	}
	again, err := openRegister(r.dir)
	if err != nil || len(again.Lines) != 2 || again.Give("1", nil) != "3" {
		t.Errorf("the register: %v, %v", again, err)
	}
	files := filesIn(t, r.dir)
	if len(files) != 3 || files["1.pdf"] != "1" || files["2.pdf"] != "2" {
		t.Errorf("files %q", files)
	}
}

// TestLinesLeft: where a register could be written in part only and not be cut off
// again, the parts stay whose lines may be in it, so that the next run names them.
func TestLinesLeft(t *testing.T) {
	r, all := toSettle(t, "1", "2", "3")
	if err := os.Symlink("/dev/full", r.path()); err != nil { // takes no byte, and has no length
		t.Fatal(err)
	}
	r.there = true
	if errs := r.settle(all[:2]); errs[0] == nil || errs[1] == nil || r.Following != nil {
		t.Errorf("said %v", errs)
	}
	r.settle(all[2:]) // which no line can name
	entries, err := os.ReadDir(r.dir)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if got := strings.Join(names, " "); err != nil || got != ".1.pdf.part .2.pdf.part register.csv" {
		t.Errorf("left is %q, %v", got, err)
	}
}

// TestAppendAllOrNone appends beyond a quota: the file keeps its length.
func TestAppendAllOrNone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "register.csv")
	put(t, path, "header\n")
	if err := appendTo(path, []byte("line\n")); err != nil {
		t.Fatal(err)
	}
	if err := appendTo("/dev/full", []byte("line\n")); err == nil {
		t.Error("a full device takes a line")
	}
	if err := appendTo(path+"-not-there", []byte("line\n")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("appended to what is not there: %v", err)
	}
	if b, _ := os.ReadFile(path); string(b) != "header\nline\n" {
		t.Errorf("%q", b)
	}
}

// TestLostLine: a number is given once even where the last line of the register,
// which no chain protects, was changed or taken out, or the register is lost:
// the summaries in the folder have their numbers.
func TestLostLine(t *testing.T) {
	for name, c := range map[string]struct {
		change func(register string) string // "": the register is lost
		status int
		said   string
	}{
		"the last line taken out": {func(s string) string { return s[:strings.LastIndexByte(strings.TrimSuffix(s, "\n"), '\n')+1] }, exitUnsettled,
			"register.csv\" does not list \"j01.pdf\" (number A-09); its number is not given again\nissued: %sj02.pdf, number A-10\n"},
		"its number changed": {func(s string) string { return strings.Replace(s, "\nA-09,", "\nA-04,", 1) }, exitCouldNot,
			"register.csv:3: \"A-04\" is not what \"j01.pdf\" says (want \"A-09\")"},
		"its job changed": {func(s string) string { return strings.Replace(s, ",j01,", ",j77,", 1) }, exitCouldNot,
			"register.csv:3: \"j77\" is not what \"j01.pdf\" says (want \"j01\")"},
		"the register lost": {func(string) string { return "" }, exitUnsettled, "does not list \"j00.pdf\" (number A-08) and 1 more; their numbers are not given again\nissued: %sj02.pdf, number A-10\n"},
	} {
		dir := t.TempDir()
		day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
		dayForms(t, day, 2, 0)
		put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
		runIn(t, dir, "summary", day, "--out", out).wants(t, "first", exitUnsettled, "next number: A-10")
		register := filepath.Join(out, "register.csv")
		before := filesIn(t, out)["register.csv"]
		after := c.change(before)
		if after == before {
			t.Fatalf("%s: nothing is", name)
		}
		if put(t, register, after); after == "" {
			if err := os.Remove(register); err != nil {
				t.Fatal(err)
			}
		}
		dayForms(t, day, 3, 0)
		runIn(t, dir, "summary", day, "--out", out).wants(t, name, c.status, strings.ReplaceAll(c.said, "%s", out+string(filepath.Separator)))
		if c.status == exitCouldNot {
			if _, err := os.Stat(filepath.Join(out, "j02.pdf")); err == nil {
				t.Errorf("%s: a summary is issued all the same", name)
			}
		}
	}
}

// TestAmendmentWithoutRegister: an amendment of a summary whose register is lost
// has a number of its own, and verify calls it sound.
func TestAmendmentWithoutRegister(t *testing.T) {
	dir := t.TempDir()
	day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
	dayForms(t, day, 1, 0)
	put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
	runIn(t, dir, "summary", day, "--out", out).wants(t, "first", exitUnsettled, "next number: A-09")
	if err := os.Remove(filepath.Join(out, "register.csv")); err != nil {
		t.Fatal(err)
	}
	forms := filesIn(t, day)["tickets.csv"]
	put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "vehicle_alone,vehicle,2600", "vehicle_alone,vehicle,2620", 1))
	runIn(t, dir, "summary", day, "--out", out, "--because", "misread").wants(t, "corrected", exitUnsettled, "number A-09, replaces A-08\n")
	e := runIn(t, out, "verify", "j00.pdf", "j00-2.pdf")
	e.wants(t, "verify", exitUnsettled, "")
	if !strings.Contains(e.out, `j00.pdf: ok: it was amended: number A-09, "j00-2.pdf" replaces it`) {
		t.Errorf("verify says\n%s", e.out)
	}
}

// TestDamagedLostAmendment: an amendment that the register has lost, and that is not as it
// was finished, stops its job, whether its record can be read or not.
func TestDamagedLostAmendment(t *testing.T) {
	for name, damage := range map[string]func(pdf []byte) []byte{
		"a byte of a page":  func(b []byte) []byte { b[bytes.Index(b, []byte("\nstream\n"))+20] ^= 1; return b },
		"the identifier":    func(b []byte) []byte { b[bytes.LastIndex(b, []byte("/ID [<"))+8] ^= 1; return b },
		"signed, no record": func([]byte) []byte { return []byte("%PDF-1.7\n/ByteRange [0 1 2 3]\n") },
	} {
		dir := t.TempDir()
		day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
		dayForms(t, day, 1, 0)
		put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
		runIn(t, dir, "summary", day, "--out", out).wants(t, "first", exitUnsettled, "next number: A-09")
		first := filesIn(t, out)["register.csv"]
		forms := filesIn(t, day)["tickets.csv"]
		put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "vehicle_alone,vehicle,2600", "vehicle_alone,vehicle,2620", 1))
		runIn(t, dir, "summary", day, "--out", out, "--because", "misread").wants(t, "corrected", exitUnsettled, "number A-09, replaces A-08\n")
		put(t, filepath.Join(out, "register.csv"), first)
		path := filepath.Join(out, "j00-2.pdf")
		put(t, path, string(damage([]byte(filesIn(t, out)["j00-2.pdf"]))))
		for range 2 {
			runIn(t, dir, "summary", day, "--out", out, "--because", "misread again").wants(t, name, exitCouldNot, "is signed or numbered and not as it was finished")
		}
		if filesIn(t, out)["register.csv"] != first {
			t.Errorf("%s: something was issued", name)
		}
	}
}

// TestLostAmendment: an amendment is not issued again where the register has lost its
// line, which is the last, or is lost itself: the summary says what it amends.
func TestLostAmendment(t *testing.T) {
	for name, lose := range map[string]func(register string) string{
		"the last line":      func(s string) string { return s[:strings.LastIndexByte(strings.TrimSuffix(s, "\n"), '\n')+1] },
		"the last two lines": func(s string) string { return strings.Join(strings.SplitAfter(s, "\n")[:2], "") },
		"all":                func(string) string { return "" },
	} {
		dir := t.TempDir()
		day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
		dayForms(t, day, 1, 0)
		put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
		runIn(t, dir, "summary", day, "--out", out).wants(t, "first", exitUnsettled, "next number: A-09")
		forms := filesIn(t, day)["tickets.csv"]
		for i, corrected := range []string{"2620", "2640"} {
			put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "vehicle_alone,vehicle,2600", "vehicle_alone,vehicle,"+corrected, 1))
			runIn(t, dir, "summary", day, "--out", out, "--because", "misread "+corrected).wants(t, "corrected", exitUnsettled, fmt.Sprintf("number A-%02d, replaces A-%02d\n", 9+i, 8+i))
		}
		register := filepath.Join(out, "register.csv")
		if kept := lose(filesIn(t, out)["register.csv"]); kept != "" {
			put(t, register, kept)
		} else if err := os.Remove(register); err != nil {
			t.Fatal(err)
		}
		runIn(t, dir, "summary", day, "--out", out, "--because", "misread again").wants(t, name, exitUnsettled, "left as they are: 1 of 1\n--because: nothing was amended\n")
		put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "vehicle_alone,vehicle,2600", "vehicle_alone,vehicle,2660", 1))
		runIn(t, dir, "summary", day, "--out", out, "--because", "misread again").wants(t, name, exitUnsettled, "j00-4.pdf, number A-11, replaces A-10\n")
		runIn(t, dir, "summary", day, "--out", out, "--because", "misread again").wants(t, name, exitUnsettled, "left as they are: 1 of 1\n--because: nothing was amended\n")
	}
}
