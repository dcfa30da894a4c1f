package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// VisitSchema names the version of the plan of a visit.
const VisitSchema = "reconcile-visit/1"

// Visit is which weighings the ratings of a job need, in which order.
// Marshalled, it is one line of JSON; slices are never nil.
type Visit struct {
	Schema      string       `json:"schema"`
	Job         string       `json:"job"`
	Deck        string       `json:"deck"`  // single, multi, pads, pads_in_turn
	Taken       int          `json:"taken"` // used readings that the job has already
	Drives      []VisitDrive `json:"drives"`
	CrossChecks []VisitDrive `json:"cross_checks"`
	Checks      []VisitCheck `json:"checks"`
	NotGiven    []string     `json:"not_given"`
	Mind        []VisitMind  `json:"mind"`
	Title       string       `json:"title"`
}

// VisitDrive is one drive over the deck.
type VisitDrive struct {
	Setup string      `json:"setup"`
	Hitch string      `json:"hitch"`
	Stops []VisitStop `json:"stops"`
	Text  string      `json:"text"`
}

// VisitStop is one standing on the deck; OnDeck has a term of tickets.csv for
// each figure that it gives.
type VisitStop struct {
	OnDeck []string `json:"on_deck"`
	Text   string   `json:"text"`
}

// VisitCheck is a deciding check and how well the plan would weigh it: u_kg by
// the drives, null where they do not determine it; mistake_effect_kg with the
// cross-checks, null where a reading stays unchecked. A D-value has u_kn.
type VisitCheck struct {
	Rating          string   `json:"rating"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	UKg             *float64 `json:"u_kg"`
	UKN             *float64 `json:"u_kn,omitempty"`
	Checked         bool     `json:"checked"`
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
	Text            string   `json:"text"`
}

// VisitMind is one thing to mind before going.
type VisitMind struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// VisitOf says a plan of a visit in words.
func VisitOf(job *tickets.Job, p *adjust.VisitPlan) *Visit {
	r := &Record{Options: Options{Region: string(job.Region)}, Outfit: outfitOf(job)}
	v := &Visit{
		Schema: VisitSchema, Job: job.Name, Deck: string(p.Deck), Taken: p.Taken, NotGiven: notGivenWords(p.NotGiven),
		Drives: r.visitDrives(p.Drives), CrossChecks: r.visitDrives(p.CrossChecks),
		Checks: []VisitCheck{}, Mind: []VisitMind{},
	}
	if len(job.Ratings) > 0 {
		for i := range p.Checks {
			v.Checks = append(v.Checks, r.visitCheck(&p.Checks[i]))
		}
	}
	for _, m := range p.Mind {
		v.Mind = append(v.Mind, VisitMind{string(m), r.mindText(m, job, p)})
	}
	v.Title = visitTitle(job, p)
	return v
}

// Line gives the plan as one line of JSON, newline included.
func (v *Visit) Line() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("visit of job %q: %w", v.Job, err)
	}
	return b.Bytes(), nil
}

// deckWords says a kind of deck.
var deckWords = map[tickets.DeckKind]string{
	tickets.DeckSingle: "a weighbridge with a single deck", tickets.DeckMulti: "a weighbridge with a deck for each axle group",
	tickets.DeckPads: "pads under every wheel", tickets.DeckPadsInTurn: "pads under some wheels in turn",
}

func visitTitle(job *tickets.Job, p *adjust.VisitPlan) string {
	what := "the weighings that these ratings need"
	if len(job.Ratings) == 0 {
		what = "no ratings yet: the weighings that the usual ones need"
	}
	if p.Taken > 0 {
		what += ", besides the " + number(p.Taken, "reading") + " taken"
	}
	stops := 0
	for _, d := range p.Drives {
		stops += len(d.Stops)
	}
	if stops == 0 {
		return what + ": none"
	}
	return what + ", on " + deckWords[p.Deck] + ": " + number(len(p.Drives), "drive") + ", " + number(stops, "stop")
}

// number counts things in words: "1 drive", "3 stops".
func number(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

func (r *Record) visitDrives(drives []adjust.Drive) []VisitDrive {
	all := []VisitDrive{}
	for _, d := range drives {
		first := &d.Stops[0].Readings[0]
		v := VisitDrive{Setup: string(d.Setup), Hitch: string(d.Hitch), Stops: []VisitStop{}, Text: r.driveText(first)}
		for _, s := range d.Stops {
			v.Stops = append(v.Stops, r.visitStop(s))
		}
		all = append(all, v)
	}
	return all
}

// driveText says how the outfit stands on a drive.
func (r *Record) driveText(t *tickets.Reading) string {
	switch {
	case derive.OnDeck(t.Terms) == "coupling":
		return "trailer uncoupled, a gauge under the coupling at towing height"
	case t.Setup == tickets.TrailerAlone:
		return "trailer uncoupled, on its jockey wheel"
	case t.Setup == tickets.VehicleAlone:
		return "vehicle uncoupled"
	}
	return r.setupWord(t)
}

// visitStop says what is on the deck, and what is read where that is more than
// one figure.
func (r *Record) visitStop(s adjust.Stop) VisitStop {
	v := VisitStop{OnDeck: []string{}}
	for i := range s.Readings {
		v.OnDeck = append(v.OnDeck, s.Readings[i].OnDeck)
	}
	if len(s.Readings) == 1 {
		v.Text = r.wholeWords(v.OnDeck[0])
		return v
	}
	var words []string
	for _, on := range v.OnDeck {
		words = append(words, r.SupportWord(on))
	}
	v.Text = "all of it at once, each read on its own: " + strings.Join(words, "; ")
	return v
}

// wholeWords says what stands on the deck, a whole unit by its name.
func (r *Record) wholeWords(onDeck string) string {
	switch onDeck {
	case "front+rear+trailer":
		return "the whole outfit"
	case "front+rear":
		return "the whole vehicle"
	case "trailer+nose":
		return "the whole trailer, its jockey wheel too"
	}
	return r.onDeckWords(onDeck)
}

func (r *Record) visitCheck(p *adjust.Planned) VisitCheck {
	c := checkOf(&p.Check)
	v := VisitCheck{Rating: c.Rating, On: c.On, State: c.State, Checked: p.Checked}
	v.Text = r.checkInState(c) + ": no reading of these gives it"
	if !p.Determined {
		return v
	}
	u := p.U
	if p.Check.LimitKN.Valid {
		v.UKN = &u
		v.Text = r.checkInState(c) + ": to ± " + kn(max(2*p.U, 0.01)) + " kN"
		return v
	}
	v.UKg, v.MistakeEffectKg = &u, p.MistakeKg
	v.Text = r.checkInState(c) + ": to " + PlusMinus(u) + " kg"
	switch {
	case p.MistakeKg != nil:
		v.Text += "; cross-checked, a mistake worth more than " + Kg(*p.MistakeKg) + " kg would show"
	case !p.Checked:
		v.Text += "; not cross-checked"
	}
	return v
}

// mindText says what to mind before going.
func (r *Record) mindText(m adjust.Mind, job *tickets.Job, p *adjust.VisitPlan) string {
	switch m {
	case adjust.MindRatings:
		var labels []string
		for _, entry := range notGivenWords(p.NotGiven) {
			labels = append(labels, r.NotGivenLabel(entry))
		}
		return "find these on the plate or in the handbook, or write none where there is none: " + listed(labels)
	case adjust.MindLengths:
		return "measure wheelbase, rear axle to coupling, coupling to trailer axle and nose support to trailer axle: with them the weighings check each other further"
	case adjust.MindLoad:
		return "load it as it travels: fuel and water filled as usual, everything in its place, the same people aboard in every weighing, or note who was not"
	case adjust.MindDeck:
		return "ask before going: is the deck long enough, does it weigh in parts, are its approaches level with it?"
	case adjust.MindPads:
		return "every wheel stands on a pad or on a dummy of equal height; straight wheels, level ground"
	case adjust.MindBrakes:
		return "brakes off and gear in neutral whenever a part is read (a held wheel carries a wrong load), chocks at hand; nobody leans on the outfit"
	case adjust.MindHitch:
		return hitchMind(job)
	case adjust.MindNose:
		return "jockey wheel: up when coupled; with the trailer uncoupled it stands on the deck too"
	case adjust.MindGauge:
		return "the gauge stands under the coupling at the height it has when towing, trailer level, its wheels chocked"
	case adjust.MindTicket:
		return "ask the operator to write on the ticket, for each figure: what stood on the deck, coupled or not, " + hitchOnTicket(job) +
			"how many people were aboard; and once: ticket number, place, date and time, scale interval, both registration numbers; boxes not used say NOT WEIGHED"
	}
	return string(m)
}

func hitchMind(job *tickets.Job) string {
	if job.Outfit.Travels == tickets.TravelsTensioned {
		return "hitch bars: tensioned as on the road where it says tensioned, and slack or off where it says slack; note the link or pin in use"
	}
	return "if the hitch has bars that share the load: weigh with them slack or off, and again tensioned as on the road, and say so in outfit.csv (travels)"
}

func hitchOnTicket(job *tickets.Job) string {
	if job.Outfit.Travels == tickets.TravelsTensioned {
		return "hitch slack or tensioned, "
	}
	return ""
}
