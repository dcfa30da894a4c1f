package main

import (
	"bytes"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// aNumber is a number as the document prints it: 2,760 or 13.23, without the
// digits of names such as e or the 2 of a square.
var aNumber = regexp.MustCompile(`[0-9][0-9,]*(?:\.[0-9]+)?`)

// TestWorkedExample compares every number of the worked example with
// the record of its job. What is no figure of the record (the interval, the
// permissible error of class III, the split) is the method by itself; the
// results are the program's, and the arithmetic between them is done again.
func TestWorkedExample(t *testing.T) {
	r := recordOf(t, "../../testdata/tickets/three-tickets")
	alone, coupled, outfit := typedKg(t, r, 2), typedKg(t, r, 3), typedKg(t, r, 4)
	d, whole := r.Quantities.Get("download"), r.Quantities.Get("trailer_mass")
	limit := map[string]float64{}
	margin := map[string]float64{}
	for _, c := range r.Checks {
		kg, err := strconv.ParseFloat(*c.LimitKg, 64)
		if err != nil {
			t.Fatal(err)
		}
		if c.State == "" {
			limit[c.Rating], margin[c.Rating] = kg, *c.MarginKg
		}
	}
	const e, mpe, split = 20, 10, 10             // inspector.md: class III, e = 20 kg, 0.5 e; part of an outfit
	const zero = e / 4.0                         // kg
	span := 100 * 2 * mpe / (math.Sqrt(3) * 1e4) // %, at 500 e
	uWhole := math.Sqrt(e*e/12.0 + zero*zero/3 + mpe*mpe/3.0)
	uPart := math.Sqrt(e*e/12.0 + zero*zero/3 + mpe*mpe/3.0 + split*split)
	near(t, "u of reading 2", *r.Readings[0].UKg, uWhole)
	near(t, "u of reading 3", *r.Readings[1].UKg, uPart)
	near(t, "u(D)", d.U, math.Sqrt(uWhole*uWhole+uPart*uPart+math.Pow(span/100*d.Value, 2)))
	near(t, "u(T)", whole.U, math.Sqrt(2*uWhole*uWhole+math.Pow(span/100*whole.Value, 2)))
	want := [][]float64{
		{coupled, alone, d.Value},
		{outfit, alone, whole.Value},
		{e, 12, zero, 3, mpe, 3, uWhole},
		{e, 12, zero, 3, mpe, 3, split, uPart, split},
		{2, mpe, 3, 1e4, span},
		{uWhole, uPart, span, d.Value, d.U, 2, 2 * d.U},
		{uWhole, uWhole, span, whole.Value, whole.U, 2, 2 * whole.U},
		{limit["download_max"], d.Value, 2 * d.U, d.Value + 2*d.U, limit["download_max"], limit["download_max"], d.Value, margin["download_max"]},
		{limit["atm"], whole.Value, 2 * whole.U, whole.Value + 2*whole.U, limit["atm"], margin["atm"]},
	}
	lines := byHand(t)
	if len(lines) != len(want) {
		t.Fatalf("the worked example has %d lines, want %d", len(lines), len(want))
	}
	for i, line := range lines {
		compareNumbers(t, line, want[i])
	}
}

// compareNumbers compares the numbers of a line, each to the digits printed.
func compareNumbers(t *testing.T, line string, want []float64) {
	t.Helper()
	got := aNumber.FindAllString(strings.ReplaceAll(line, "class III", ""), -1)
	if len(got) != len(want) {
		t.Errorf("%q has the numbers %v, want %v", line, got, want)
		return
	}
	for i, text := range got {
		v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
		if err != nil {
			t.Fatal(err)
		}
		_, decimals, _ := strings.Cut(text, ".")
		half := 0.5 * math.Pow10(-len(decimals))
		if math.Abs(v-want[i]) > half+1e-6 {
			t.Errorf("%q says %s, the program %.4f", line, text, want[i])
		}
	}
}

// byHand gives the lines of the worked example.
func byHand(t *testing.T) []string {
	t.Helper()
	readme, err := os.ReadFile("../../docs/inspector.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(readme), "\n## By hand\n")
	if !found {
		t.Fatal("docs/inspector.md has no worked example")
	}
	var lines []string
	for _, l := range strings.Split(rest, "\n") {
		switch {
		case strings.HasPrefix(l, "    "):
			lines = append(lines, l)
		case len(lines) > 0:
			return lines
		}
	}
	return lines
}

// recordOf gives the record of a job as --json prints it.
func recordOf(t *testing.T, folder string) *record.Record {
	t.Helper()
	var out, errs bytes.Buffer
	if status := run([]string{"summary", folder, "--json"}, strings.NewReader(""), &out, &errs); status == exitCouldNot {
		t.Fatal(errs.String())
	}
	r, err := record.Parse(out.Bytes(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// typedKg is the figure of a line of tickets.csv.
func typedKg(t *testing.T, r *record.Record, line int) float64 {
	t.Helper()
	for _, g := range r.Readings {
		if g.Line == line {
			kg, err := strconv.ParseFloat(g.ReadingKg, 64)
			if err != nil {
				t.Fatal(err)
			}
			return kg
		}
	}
	t.Fatalf("no reading in line %d", line)
	return 0
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6 {
		t.Errorf("%s is %.6f, by hand %.6f", what, got, want)
	}
}
