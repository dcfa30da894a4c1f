package tickets

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// exported reads the forms that a spreadsheet wrote under one country's
// settings.
func exported(t testing.TB, country string) []Form {
	t.Helper()
	var forms []Form
	for _, name := range []string{"tickets.csv", "ratings.csv", "loads.csv", "outfit.csv"} {
		b, err := os.ReadFile(filepath.Join("testdata/dialects", country+"_"+name))
		if err != nil {
			t.Fatal(err)
		}
		forms = append(forms, Form{Name: name, Bytes: b})
	}
	return forms
}

// TestDialects reads one weighing as spreadsheets of three countries save it:
// semicolons, decimal commas, dates with points and a mark; commas, pounds and
// month first; two-byte text with tabs and day first. The kilograms in the
// table are the cells times the unit: 1 t = 1000 kg, 1 lb = 0.45359237 kg
// (International Yard and Pound Agreement, 1959), 1 in = 25.4 mm.
func TestDialects(t *testing.T) {
	tests := []struct {
		country   string
		kg        []string
		typed     string
		clock     string
		note      string
		wheelbase float64
		limit     string
		load      string
	}{
		{"german", []string{"1500", "2260", "2840", "3440"}, "1.5", "2026-03-14T09:40", "trocken; windstill", 3220, "3500", "82.5"},
		{"us", []string{"1496.854821", "2258.8900026", "2839.4882362", "3438.2301646"}, "3300", "2026-03-14T13:05", "dry, calm", 126.75 * 25.4, "3492.661249", "81.6466266"},
		{"australian", []string{"1500", "2260", "2840", "3440"}, "1500", "2026-03-14T09:40", `wet "and" windy 🌧`, 3220, "3500", "82"},
	}
	for _, tt := range tests {
		t.Run(tt.country, func(t *testing.T) {
			res := readFolder(exported(t, tt.country), Options{NeedTickets: true})
			if len(res.Faults) > 0 || len(res.Jobs) != 1 {
				t.Fatalf("faults:\n%s", showFaults(res.Faults))
			}
			j := res.Jobs[0]
			if len(j.Readings) != len(tt.kg) {
				t.Fatalf("%d readings, want %d", len(j.Readings), len(tt.kg))
			}
			for i, want := range tt.kg {
				if got := j.Readings[i].Kg.String(); got != want {
					t.Errorf("reading %d is %s kg, want %s", i, got, want)
				}
			}
			equal(t, "typed", j.Readings[0].Typed, tt.typed)
			equal(t, "time", j.Readings[3].WeighedAt.Time.Format("2006-01-02T15:04"), tt.clock)
			equal(t, "note", j.Readings[1].Note, tt.note)
			equal(t, "line of the reading behind a blank line", j.Readings[3].Line, 6)
			equal(t, "wheelbase", j.Outfit.Wheelbase.Mm, tt.wheelbase)
			equal(t, "first rating", j.Ratings[0].LimitKg.Decimal.String(), tt.limit)
			equal(t, "load", j.Loads[0].Kg.String(), tt.load)
		})
	}
}

func equal[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

// TestSameJobInEveryDialect writes one form in many shapes; the job read is
// the same.
func TestSameJobInEveryDialect(t *testing.T) {
	plain := "ticket,setup,on_deck,reading,unit,interval\n1,coupled,front,1.5,t,0.02\n2,coupled,rear+trailer,5100,kg,20\n"
	shapes := []struct{ name, text string }{
		{"mark", "\ufeff" + plain},
		{"carriage returns", "ticket,setup,on_deck,reading,unit,interval\r\n1,coupled,front,1.5,t,0.02\r\n2,coupled,rear+trailer,5100,kg,20\r\n"},
		{"no last line feed", "ticket,setup,on_deck,reading,unit,interval\n1,coupled,front,1.5,t,0.02\n2,coupled,rear+trailer,5100,kg,20"},
		{"semicolons and decimal commas", "ticket;setup;on_deck;reading;unit;interval\n1;coupled;front;1,5;t;0,02\n2;coupled;rear+trailer;5100;kg;20\n"},
		{"semicolons and decimal points", "ticket;setup;on_deck;reading;unit;interval\n1;coupled;front;1.5;t;0.02\n2;coupled;rear+trailer;5100;kg;20\n"},
		{"tabs", "ticket\tsetup\ton_deck\treading\tunit\tinterval\n1\tcoupled\tfront\t1,5\tt\t0,02\n2\tcoupled\trear+trailer\t5100\tkg\t20\n"},
		{"columns in another order", "unit,reading,on_deck,setup,interval,ticket\nt,1.5,front,coupled,0.02,1\nkg,5100,rear+trailer,coupled,20,2\n"},
		{"header in another case and with spaces", " Ticket ,SETUP,On_Deck , reading,Unit,INTERVAL\n1,coupled,front,1.5,t,0.02\n2,coupled,rear+trailer,5100,kg,20\n"},
		{"words in another case and with spaces", "ticket,setup,on_deck,reading,unit,interval\n 1 ,Coupled, Front ,1.5,T,0.02\n2,COUPLED,Trailer + Rear,5100,KG,20\n"},
		{"quotes around all", "\"ticket\",\"setup\",\"on_deck\",\"reading\",\"unit\",\"interval\"\n\"1\",\"coupled\",\"front\",\"1.5\",\"t\",\"0.02\"\n\"2\",\"coupled\",\"rear+trailer\",\"5100\",\"kg\",\"20\"\n"},
		{"blank header over blank cells", "ticket,setup,on_deck,reading,unit,interval,,\n1,coupled,front,1.5,t,0.02,,\n2,coupled,rear+trailer,5100,kg,20\n"},
	}
	want := shapeOf(t, plain)
	for _, s := range shapes {
		if got := shapeOf(t, s.text); got != want {
			t.Errorf("%s: read\n%s\nwant\n%s", s.name, got, want)
		}
	}
}

func shapeOf(t *testing.T, text string) string {
	t.Helper()
	res := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(text)}}, Options{NeedTickets: true})
	if len(res.Jobs) != 1 {
		t.Errorf("%q: %s", text, showFaults(res.Faults))
		return ""
	}
	s := ""
	for _, r := range res.Jobs[0].Readings {
		s += r.Ticket + " " + string(r.State) + " " + r.Typed + " " + r.Unit + " " + r.Kg.String() + " " + r.IntervalKg.String()
		for _, term := range r.Terms {
			s += " " + Spell(term)
		}
		s += "\n"
	}
	return s
}

// TestSkippedLines holds what is not read: blank lines, lines of separators
// and comments, before the header too, whose quotes need not match.
func TestSkippedLines(t *testing.T) {
	text := "# weighed at 5\" of rain\n\n,,,\n\"# quoted, and\nover two lines\",,,\nticket,setup,on_deck,reading\n\n# no \"quotes, here\n1,vehicle_alone,front,1500\n,,,\n  \n#,,,\n\"# two, cells\",,,\n2,vehicle_alone,rear,1700\n"
	res := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(text)}}, Options{NeedTickets: true})
	if len(res.Jobs) != 1 || len(res.Jobs[0].Readings) != 2 {
		t.Fatalf("read %d jobs; %s", len(res.Jobs), showFaults(res.Faults))
	}
	equal(t, "line of the first reading", res.Jobs[0].Readings[0].Line, 9)
	equal(t, "line of the second reading", res.Jobs[0].Readings[1].Line, 14)
}

// TestPlaceOfReading wants line and column of a figure behind quoted line
// feeds and letters of several bytes: those a text editor shows.
func TestPlaceOfReading(t *testing.T) {
	text := "ticket,note,setup,on_deck,reading,rear\n1,\"Müller\nsagt: naß\",vehicle_alone,front, 15OO,17OO\n"
	res := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(text)}}, Options{NeedTickets: true})
	// Counted by hand on the line behind the line feed: sagt: naß",vehicle_alone,front, 15OO
	want := `tickets.csv:3:33: reading "15OO" is not a number (the figure as printed, like 3240)
tickets.csv:3:38: rear "17OO" is not a number (the figure as printed, like 3240)`
	equal(t, "faults", showFaults(res.Faults), want)

	res = readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(strings.ReplaceAll(text, "OO", "00"))}}, Options{NeedTickets: true})
	if len(res.Jobs) != 1 || len(res.Jobs[0].Readings) != 2 {
		t.Fatal(showFaults(res.Faults))
	}
	r := res.Jobs[0].Readings
	equal(t, "line", r[0].Line, 2) // where its record begins
	equal(t, "name of the second column", r[1].Column, "rear")
}

// TestSizes refuses what is no form for its size alone, at once.
func TestSizes(t *testing.T) {
	for _, tt := range []struct{ name, text, want string }{
		{"a line of two million letters", "ticket,setup,on_deck,reading\n1," + strings.Repeat("x", 2_000_000) + "\n", "tickets.csv:2:1: the line has 2000003 bytes (at most 1048576)"},
		{"a million columns", strings.Repeat(",", 1_000_000) + "ticket,setup\n", "tickets.csv:1:501: the header has 1000002 columns (at most 500)"},
		{"a million columns in a line", "ticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240" + strings.Repeat(",", 1_000_000) + "\n", ""},
	} {
		res := readFolder([]Form{{Name: "tickets.csv", Bytes: []byte(tt.text)}}, Options{NeedTickets: true})
		if got := showFaults(res.Faults); got != tt.want {
			t.Errorf("%s: %.200s, want %s", tt.name, got, tt.want)
		}
	}
}
