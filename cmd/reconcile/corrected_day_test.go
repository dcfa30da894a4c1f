package main

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/study"
)

// TestCorrectedDay issues two summaries, corrects the figure of one, and wants
// the correction to read true in the register, on paper, and to verify.
func TestCorrectedDay(t *testing.T) {
	pdftotext := study.Tool(t, "pdftotext")
	dir := t.TempDir()
	day, out, key := filepath.Join(dir, "day"), filepath.Join(dir, "out"), filepath.Join(dir, "yard.p12")
	t.Setenv(passwordVariable, quickPassword)
	mustQuickKey(t, key, "Yard")
	dayForms(t, day, 2, 0)
	put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
	runIn(t, dir, "summary", day, "--out", out, "--sign", key).wants(t, "first", exitUnsettled, "issued: "+filepath.Join(out, "j01.pdf")+", number A-09\n")
	first := filesIn(t, out)
	forms := filesIn(t, day)["tickets.csv"]
	put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "j01,4,vehicle_alone,vehicle,2620", "j01,4,vehicle_alone,vehicle,2600", 1))
	runIn(t, dir, "summary", day, "--out", out, "--sign", key, "--because", "ticket 4 was misread").
		wants(t, "corrected", exitUnsettled, "issued: "+filepath.Join(out, "j01-2.pdf")+", number A-10, replaces A-09\n")

	// The register: three lines, the first two as they were.
	rows, err := registered(out, false)
	if err != nil || len(rows) != 3 || !strings.HasPrefix(filesIn(t, out)["register.csv"], first["register.csv"]) {
		t.Fatalf("%d lines, %v", len(rows), err)
	}
	if got := strings.Join([]string{rows[2][0], rows[2][2], rows[2][12], rows[2][13], rows[2][14]}, "|"); got != "A-10|j01|j01-2.pdf|A-09|ticket 4 was misread" {
		t.Errorf("the register says %q", got)
	}

	// The paper: 2,840 less 2,620 is 220, less 2,600 is 240; by hand, as dayForms has them.
	for name, want := range map[string]string{
		"j01.pdf":   `(?s)number A-09.*220 ± \d+ kg`,
		"j01-2.pdf": `(?s)number A-10.*replaces number A-09.*because ticket 4 was misread.*240 ± \d+ kg`,
	} {
		text, err := exec.Command(pdftotext, "-l", "1", "-raw", filepath.Join(out, name), "-").CombinedOutput()
		if said := strings.Join(strings.Fields(string(text)), " "); err != nil || !regexp.MustCompile(want).MatchString(said) {
			t.Errorf("page 1 of %s (%v) does not say %s:\n%s", name, err, want, said)
		}
	}
	if old := filesIn(t, out)["j01.pdf"]; old != first["j01.pdf"] {
		t.Error("the first summary changed")
	}

	// verify: each of the two names the other one.
	e := runIn(t, out, "verify", "j01.pdf", "j01-2.pdf", "--trust", filepath.Join(dir, "yard.pem"))
	e.wants(t, "verify", exitWithin, "")
	for _, want := range []string{`j01.pdf: ok: it was amended: number A-10, "j01-2.pdf" replaces it`,
		`j01-2.pdf: ok: it is an amendment: it replaces number A-09, the summary with the record ` + strings.ToUpper(rows[1][10]) + `, because ticket 4 was misread`} {
		if !bytes.Contains([]byte(e.out), []byte(want)) {
			t.Errorf("verify does not say %q:\n%s", want, e.out)
		}
	}
}

// TestAmendmentOfAStranger: a summary signed by one is not amended by what
// another one signs, or nobody does, whether the signer is trusted or not.
func TestAmendmentOfAStranger(t *testing.T) {
	dir := t.TempDir()
	day, out, key, other := filepath.Join(dir, "day"), filepath.Join(dir, "out"), filepath.Join(dir, "yard.p12"), filepath.Join(dir, "other.p12")
	t.Setenv(passwordVariable, quickPassword)
	mustQuickKey(t, key, "Yard")
	mustQuickKey(t, other, "Lantern Hill")
	dayForms(t, day, 1, 0)
	put(t, filepath.Join(day, "issuer.csv"), "name,next_number\nYard,A-08\n")
	runIn(t, dir, "summary", day, "--out", out, "--sign", key).wants(t, "first", exitUnsettled, "number A-08")
	forms := filesIn(t, day)["tickets.csv"]
	put(t, filepath.Join(day, "tickets.csv"), strings.Replace(forms, "vehicle_alone,vehicle,2600", "vehicle_alone,vehicle,2620", 1))
	first := filesIn(t, out)["j00.pdf"]
	for name, c := range map[string]struct {
		sign    []string
		amended bool
	}{
		"the signer":     {[]string{"--sign", key}, true},
		"another one":    {[]string{"--sign", other}, false},
		"signed by none": {nil, false},
	} {
		in := filepath.Join(t.TempDir(), "out")
		put(t, filepath.Join(in, "j00.pdf"), first)
		runIn(t, dir, append([]string{"summary", day, "--out", in, "--because", "misread"}, c.sign...)...).wants(t, name, exitUnsettled, "replaces A-08")
		for _, trust := range [][]string{nil, {"--trust", filepath.Join(dir, "yard.pem")}} {
			e := runIn(t, in, append([]string{"verify", "j00.pdf", "j00-2.pdf"}, trust...)...)
			if got := strings.Contains(e.out, "j00.pdf: ok: it was amended"); got != c.amended {
				t.Errorf("%s, trusting %v: amended %v (want %v):\n%s", name, trust, got, c.amended, e.out)
			}
		}
	}
}
