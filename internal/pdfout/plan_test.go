package pdfout

import (
	"strings"
	"testing"
)

// Where no plan meets every limit the page has the loads as they are, with
// their verdicts, and the limits that cannot be met; where one does, what is
// before and after it. 39 kg too much and U = 32 kg are those of page 1.
func TestPlanTable(t *testing.T) {
	for job, want := range map[string]struct {
		has, hasNot []string
	}{
		"planetarium-no-way":     {[]string{"value ± U, kg verdict", "1,820 1,859 ± 32 over", "still too much, kg"}, []string{"before ± U", "after ± U", "then"}},
		"planetarium-overloaded": {[]string{"before ± U, kg after ± U, kg then"}, []string{"still too much", "– within"}},
	} {
		r := *allJobs(t)[job]
		file, _ := drawn(t, &r)
		_, rest, found := strings.Cut(strings.Join(strings.Fields(tool(t, "pdftotext", "-layout", file, "-")), " "), "Plan: what to move or leave behind")
		table, _, ends := strings.Cut(rest, "Every load and every rating")
		if !found || !ends {
			t.Fatalf("%s: no table of the plan", job)
		}
		for _, text := range want.has {
			if !strings.Contains(table, text) {
				t.Errorf("%s: the plan lacks %q:\n%s", job, text, table)
			}
		}
		for _, text := range want.hasNot {
			if strings.Contains(table, text) {
				t.Errorf("%s: the plan has %q:\n%s", job, text, table)
			}
		}
	}
}

// A place has one name in the tables of a page, with lengths and without.
func TestPlaceNames(t *testing.T) {
	for _, job := range []string{"three-tickets", "planetarium"} {
		r := *allJobs(t)[job]
		file, _ := drawn(t, &r)
		text := tool(t, "pdftotext", "-layout", file, "-")
		_, rest, found := strings.Cut(text, "Room left, by place")
		room, rest, both := strings.Cut(rest, "What 10 kg at a place adds")
		if !found || !both || !strings.Contains(room, "\nover the axle ") || !strings.Contains(rest, "\nover the axle ") || strings.Contains(room, "trailer's axle") {
			t.Errorf("%s: the places are\n%s\nand\n%.900s", job, room, rest)
		}
	}
}

// TestRowsTogether: of a table of four rows that goes over to the next page two
// are on each, wherever on the page it begins: not one, and no head alone.
func TestRowsTogether(t *testing.T) {
	seen := map[int]bool{}
	for room := length(0); room < 90*pt; room += pt {
		s := newSheet(theFaces, papers["a4"])
		s.begin()
		s.begin()
		s.y = s.bottom() - room
		g := s.newGrid(col("rating", 1, false), col("limit", 1, true))
		for range 4 {
			g.add("GVM", "3,200")
		}
		s.table(g)
		x := s.edges(g)
		over := 0 // rows on the next page
		if len(s.pages) == 3 {
			over = int((s.y - firstLine - s.headHeight(g, x)) / g.rows[0].height(s, g, x))
		}
		if over == 1 || over == 3 {
			t.Errorf("with room for %d points %d rows of 4 are on the next page", room/pt, over)
		}
		seen[over] = true
	}
	if len(seen) != 3 {
		t.Errorf("rows on the next page: %v (want 0, 2 and 4)", seen)
	}
}
