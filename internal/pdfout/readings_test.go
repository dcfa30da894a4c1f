package pdfout

import (
	"slices"
	"strings"
	"testing"
)

// A long number of a ticket is printed below its row in one piece, a short one in
// its column. Among the causes of u, where it would be printed again and again, the
// long one has its middle left out.
func TestLongTicketNumber(t *testing.T) {
	const long = "WB-2026-03-14-0000000000050112-AND-MORE-OF-IT"
	r := *allJobs(t)["planetarium"]
	r.Readings = slices.Clone(r.Readings)
	r.Readings[0].Ticket = long
	file, _ := drawn(t, &r)
	all := tool(t, "pdftotext", "-layout", file, "-")
	_, readings, _ := strings.Cut(all, "Readings as entered")
	readings, _, _ = strings.Cut(readings, "How far the readings agree")
	if !strings.Contains(readings, "ticket "+long+"\n") || strings.Count(readings, "below") != 1 {
		t.Errorf("the long number is not in one piece below its row:\n%s", readings)
	}
	if causes := strings.Join(strings.Fields(all), " "); !strings.Contains(causes, "ticket WB-2026-03…MORE-OF-IT, front (line 2): 8.3") {
		t.Errorf("the long number is not in short among the causes:\n%s", all)
	}
	if !strings.Contains(readings, r.Readings[1].Ticket+" ") {
		t.Errorf("the short number is not in its column:\n%s", readings)
	}
}

// Where nothing is complete but that no mass was declared, the page does not head
// that "complete".
func TestNothingComplete(t *testing.T) {
	file, _ := drawn(t, allJobs(t)["planetarium-no-ratings"])
	page := tool(t, "pdftotext", "-layout", "-l", "1", file, "-")
	lines := strings.Split(page, "\n")
	if slices.ContainsFunc(lines, func(l string) bool { return strings.HasPrefix(l, "complete") }) ||
		!slices.ContainsFunc(lines, func(l string) bool { return slices.Equal(strings.Fields(l), []string{"declared", "nothing"}) }) {
		t.Errorf("page 1:\n%s", page)
	}
}
