package pdfout

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// aVisit is a plan with every kind of drive: slack, tensioned, both units alone,
// a gauge.
func aVisit(deck string) *record.Visit {
	v := &record.Visit{Program: "2.0.0", Region: "au", Rated: true, Deck: deck}
	drive := func(setup, hitch string, gauge bool, stops ...string) {
		d := add(&v.Route)
		d.Setup, d.Hitch, d.Gauge = setup, hitch, gauge
		for _, on := range stops {
			stop := add(&d.Stops)
			on, stop.CrossCheck = strings.CutPrefix(on, "check ")
			stop.OnDeck = strings.Fields(on)
		}
	}
	slack := []string{"front", "check front+rear", "front+rear+trailer"}
	switch deck {
	case "multi":
		slack = []string{"check front+rear", "front rear trailer"}
	case "pads":
		slack = []string{"check front+rear", "front.left front.right rear.left rear.right trailer.1.left trailer.1.right trailer.2.left trailer.2.right"}
	}
	drive("coupled", "tensioned", false, "front", "trailer")
	drive("coupled", "slack", false, slack...)
	drive("trailer_alone", "", false, "trailer+nose")
	drive("vehicle_alone", "", false, "front+rear")
	drive("trailer_alone", "", true, "check coupling")
	kg, effect, gvm := 13.5, 48.2, add(&v.Checks)
	gvm.Rating, gvm.State, gvm.UKg, gvm.Checked, gvm.MistakeEffectKg = "gvm", "coupled_slack", &kg, true, &effect
	add(&v.Mind).Code = "load"
	add(&v.Mind).Code = "brakes"
	return v
}

// add adds an entry to a list, to be filled in.
func add[T any](list *[]T) *T {
	*list = append(*list, *new(T))
	return &(*list)[len(*list)-1]
}

// drawnSheet is a plan with how it is drawn.
type drawnSheet struct {
	*record.Visit
	paper, unit string
}

func (s drawnSheet) draw() ([]byte, error) { return DrawSheet(s.Visit, s.paper, s.unit) }

// aSheet is that plan for the outfit of the demo job.
func aSheet(t *testing.T, deck string) drawnSheet {
	v := aVisit(deck)
	v.Outfit = example(t, "tensioned").Outfit
	v.Travels, v.Stated, v.TrailerKind = v.Outfit.Travels, v.Outfit.TravelsStated, v.Outfit.TrailerKind
	return drawnSheet{v, "a4", "kg"}
}

func sheetFile(t *testing.T, s drawnSheet) (file string, pdf []byte) {
	t.Helper()
	pdf, err := s.draw()
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return file, pdf
}

// sheets are the sheet on every deck and paper, in both units, for outfits of
// every kind, with lengths and without.
func sheets(t *testing.T) map[string]drawnSheet {
	all := map[string]drawnSheet{}
	for _, deck := range []string{"single", "multi", "pads"} {
		all[deck] = aSheet(t, deck)
	}
	us := aSheet(t, "single")
	us.paper, us.unit, us.Region = "letter", "lb", "us"
	all["us"] = us
	for _, kind := range []string{"semi", "drawbar"} {
		s := aSheet(t, "single")
		s.Outfit.TrailerKind, s.TrailerKind = kind, kind
		noLengths(&s.Outfit)
		all[kind] = s
	}
	long := aSheet(t, "single")
	long.Outfit.Owner, long.Outfit.Vehicle, long.Job = strings.Repeat("Überlandsternwarte ", 12), strings.Repeat("W", 200), ")(\\ <<>> \u202Eevil"
	long.Outfit.People, long.Stated, long.Travels = nil, false, "plain"
	all["long names"] = long
	all["nothing to weigh"] = drawnSheet{Visit: &record.Visit{}}
	return all
}

// TestSheetLayout: no text leaves the page or lies over another; the file is
// sound, and has no record.
func TestSheetLayout(t *testing.T) {
	for name, s := range sheets(t) {
		file, pdf := sheetFile(t, s)
		if out := tool(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors found") {
			t.Errorf("%s: %s", name, out)
		}
		if bytes.Contains(pdf, []byte("EmbeddedFile")) || bytes.Contains(pdf, []byte("/AF")) {
			t.Errorf("%s: something is attached", name)
		}
		again, err := s.draw()
		if err != nil || !bytes.Equal(pdf, again) {
			t.Errorf("%s: drawn twice, not the same bytes (%v)", name, err)
		}
		for n, p := range pagesOf(t, file) {
			for i, w := range p.Words {
				if bad := misplaced(p, w); bad != "" {
					t.Errorf("%s, page %d: %q %s", name, n+1, w.Text, bad)
				}
				for _, v := range p.Words[i+1:] {
					if overlap(w, v) {
						t.Errorf("%s, page %d: %q over %q", name, n+1, w.Text, v.Text)
					}
				}
			}
		}
	}
}

// TestSheetText: the contract's parts of a sheet, and on every page that it is
// no summary.
func TestSheetText(t *testing.T) {
	file, _ := sheetFile(t, aSheet(t, "single"))
	text := strings.Join(strings.Fields(tool(t, "pdftotext", file, "-")), " ")
	for _, want := range []string{"2 people on board", "bars tensioned as on the road", "bars slack or off", "jockey wheel or stand up", "jockey wheel or stand down, on the deck",
		"brakes off and rolled to a stop", "figure, kg", "ticket", "time", "on_deck front+rear+trailer", "hitch tensioned", "a gauge under the coupling", "cross-check: with it a mistake would show",
		"5 drives, 8 stops", "display with nothing on the deck", "weighbridge", "± 27 kg"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, text)
		}
	}
	pages := strings.Count(tool(t, "pdftotext", file, "-"), "\f")
	if n := len(regexp.MustCompile("This is not a weighing summary").FindAllString(text, -1)); n != pages+1 {
		t.Errorf("%d pages say %d times that they are no summary (want each, and the head)", pages, n)
	}
	named := aSheet(t, "single")
	named.Job = "dome-7"
	file, _ = sheetFile(t, named)
	text = tool(t, "pdftotext", file, "-")
	if n, pages := strings.Count(text, "job dome-7"), strings.Count(text, "\f"); n != 2*pages {
		t.Errorf("%d pages name the job %d times (want each in its head and foot)", pages, n)
	}
	for unit, want := range map[string]string{"kg": "figure, kg", "lb": "figure, lb"} {
		s := aSheet(t, "single")
		s.unit = unit
		file, _ := sheetFile(t, s)
		if text := tool(t, "pdftotext", file, "-"); !strings.Contains(text, want) {
			t.Errorf("in %s: no %q", unit, want)
		}
	}
}
