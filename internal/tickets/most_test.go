package tickets

import (
	"fmt"
	"strings"
	"testing"
)

// TestMostLines: a job has so many ratings, loads and places, and one more is
// refused where it is (the bounds are our own, for what takes time by their
// number).
func TestMostLines(t *testing.T) {
	for _, c := range []struct {
		form, head, line, what string
		most                   int
	}{
		{"ratings.csv", "rating,value\n", "gvm,%d\n", "the job has more than 1000 ratings", 1000},
		{"loads.csv", "mass,load,on\n", "80,l%d,trailer\n", "the job has more than 200 loads", 200},
		{"places.csv", "on,place\n", "trailer,p%d\n", "the job has more than 50 places", 50},
	} {
		for _, more := range []int{0, 1} {
			text := c.head
			for i := range c.most + more {
				text += fmt.Sprintf(c.line, 3000+i)
			}
			read := readFolder([]Form{
				{Name: "tickets.csv", Bytes: []byte("ticket,setup,on_deck,reading\n1,trailer_alone,all,2480\n")},
				{Name: c.form, Bytes: []byte(text)},
			}, Options{NeedTickets: true})
			switch {
			case more == 0 && len(read.Faults) > 0:
				t.Errorf("%s: %v", c.form, read.Faults[0])
			case more == 1 && (len(read.Faults) != 1 || !strings.Contains(read.Faults[0].Error(), c.what) || read.Faults[0].Line != c.most+2 || len(read.Jobs) > 0):
				t.Errorf("%s: %v, want %s in line %d", c.form, read.Faults, c.what, c.most+2)
			}
		}
	}
}

// TestMostBytes: the forms of one job have so many bytes and lines together, and
// one more is refused in the form that is too much (the bounds are our own).
func TestMostBytes(t *testing.T) {
	const readings = "ticket,setup,on_deck,reading\n1,trailer_alone,all,2480\n" // 3 lines with the empty one behind
	note := "# " + strings.Repeat("n", 997) + "\n"
	for _, c := range []struct {
		what, ratings string
	}{
		{"lines", "rating,value\ngvm,3200\n" + strings.Repeat("#\n", MaxJob.Lines-6)},
		{"bytes", "rating,value\ngvm,3200\n" + strings.Repeat(note, MaxJob.Bytes/1000-1) + "# " + strings.Repeat("n", 1000+MaxJob.Bytes%1000-len(readings)-len("rating,value\ngvm,3200\n# "))},
	} {
		for _, more := range []string{"", "#", "#\n#"} {
			ratings := c.ratings + more
			read := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(readings)}, {Name: "ratings.csv", Bytes: []byte(ratings)}}, Options{NeedTickets: true})
			size, lines := len(readings)+len(ratings), strings.Count(readings, "\n")+strings.Count(ratings, "\n")+2
			fits := size <= 4_194_304 && lines <= 40_000 // 4 MiB
			switch {
			case fits && len(read.Faults) > 0:
				t.Errorf("%s and %q: %v", c.what, more, read.Faults[0])
			case !fits && (len(read.Faults) != 1 || len(read.Jobs) > 0 || read.Faults[0].Error() != fmt.Sprintf(
				"ratings.csv:1:1: with this form the forms of the job have %d bytes and up to %d lines (at most 4194304 bytes and 40000 lines)\nhint: delete notes and lines that the job does not need", size, lines)):
				t.Errorf("%s and %q: %v", c.what, more, read.Faults)
			}
			if most := size == 4_194_304 || lines == 40_000; more == "" && (!fits || !most) {
				t.Errorf("%s: %d bytes and %d lines are not the most", c.what, size, lines)
			}
			if more == "#\n#" && fits {
				t.Errorf("%s and %q: %d bytes and %d lines are not too much", c.what, more, size, lines)
			}
		}
	}
}
