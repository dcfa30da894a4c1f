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
			read := Read([]Form{
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
