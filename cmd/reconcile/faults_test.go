package main

import (
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

// TestFaultsPrinted prints 100 faults a form and how many more there are.
func TestFaultsPrinted(t *testing.T) {
	var p faultPrinter
	var b strings.Builder
	for i := range 103 {
		p.print(&b, "day/", []tickets.Fault{{File: "tickets.csv", Line: i + 2, Column: 1, What: "a", Wanted: "b"}})
	}
	p.print(&b, "day/", []tickets.Fault{{File: "outfit.csv", Line: 2, Column: 1, What: "a", Wanted: "b"}})
	p.close(&b)
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	if len(lines) != 102 {
		t.Fatalf("%d lines, want 102", len(lines))
	}
	for i, want := range map[int]string{99: "day/tickets.csv:101:1: a (b)", 100: "day/outfit.csv:2:1: a (b)", 101: "day/tickets.csv: 3 more faults"} {
		if lines[i] != want {
			t.Errorf("line %d is %q (want %q)", i+1, lines[i], want)
		}
	}
}
