package tickets

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// supports are the words that a term on the deck begins with.
var supports = []string{"front", "rear", "vehicle", "trailer", "nose", "coupling", "all"}

// mostAxles is the most axles a group may have.
const mostAxles = 9

// deckTerm is one term as typed: its word, an axle, a side.
type deckTerm struct {
	text, word string
	axle       int
	side       Side
}

// complaint is a fault of one term.
type complaint struct{ what, wanted, hint string }

const wantTerm = "use front, rear, vehicle, trailer, nose, coupling, all or empty, with an axle or side like rear.1, trailer.left"

// parseTerm reads one term; the words are without regard to case.
func parseTerm(text string) (deckTerm, *complaint) {
	word, behind, dotted := strings.Cut(strings.ToLower(text), ".")
	t := deckTerm{text: text, word: word}
	if !slices.Contains(supports, t.word) {
		hint := "the nearest known position is " + quote(nearest(text, termNames()))
		if term, printed := printedTerm(text); printed {
			hint = "where a ticket says " + strings.ToUpper(text) + ", write " + term
		} else if strings.ContainsAny(text, ",;&/ ") {
			hint = "join terms with +"
		}
		return t, &complaint{quote(text) + " is not a known position", wantTerm, hint}
	}
	var rest []string
	if dotted {
		rest = strings.Split(behind, ".")
	}
	if len(rest) > 0 && rest[0] != "left" && rest[0] != "right" {
		n, err := strconv.Atoi(rest[0])
		if err != nil || n < 1 || n > mostAxles || len(rest[0]) != 1 {
			return t, &complaint{fmt.Sprintf("%s names no axle or side", quote(text)), "an axle counted from the front, left or right", fmt.Sprintf("the nearest known position is %s", quote(nearest(text, termNames())))}
		}
		t.axle, rest = n, rest[1:]
	}
	if len(rest) > 0 && (rest[0] == "left" || rest[0] == "right") {
		t.side, rest = Side(rest[0]), rest[1:]
	}
	if len(rest) > 0 {
		return t, &complaint{fmt.Sprintf("%s has too many parts", quote(text)), "a position, its axle, its side, like trailer.2.left", ""}
	}
	return t, t.misfit()
}

// printedWords are what weighbridges print next to a figure, and the term for it
// (common practice, no source). They are hints: what was on the deck is said
// by the one who was there.
var printedWords = map[string]string{
	"steer": "front", "axle1": "front", "axle 1": "front", "1": "front",
	"drive": "rear", "axle2": "rear", "axle 2": "rear", "2": "rear",
	"trlr": "trailer", "axle3": "trailer", "axle 3": "trailer", "3": "trailer", "axle4": "trailer", "axle 4": "trailer", "4": "trailer",
	"gross": "all for a coupled outfit", "total": "all for a coupled outfit",
}

// printedTerm gives the term for a word that a ticket prints.
func printedTerm(text string) (string, bool) {
	term, printed := printedWords[strings.ToLower(text)]
	return term, printed
}

// misfit refuses an axle or a side of what has none.
func (t deckTerm) misfit() *complaint {
	switch t.word {
	case "nose", "coupling":
		if t.axle != 0 || t.side != "" {
			return &complaint{fmt.Sprintf("%s has no axles and sides", quote(t.text)), t.word + " alone", ""}
		}
	case "vehicle", "all":
		if t.axle != 0 {
			return &complaint{fmt.Sprintf("%s does not say of which group the axle is", quote(t.text)), "front, rear.1, trailer.2 and the like", ""}
		}
	}
	return nil
}

// isTerm says whether a column may be named so.
func isTerm(name string) bool {
	word, _, _ := strings.Cut(name, ".")
	if !slices.Contains(supports, word) {
		return false // without looking for the nearest one
	}
	_, bad := parseTerm(name)
	return bad == nil
}

// termNames lists terms for the nearest one.
func termNames() []string {
	names := slices.Clone(supports)
	for _, g := range []string{"front", "rear", "vehicle", "trailer"} {
		names = append(names, g+".left", g+".right")
	}
	for _, g := range []string{"rear", "trailer"} {
		for a := 1; a <= 3; a++ {
			n := fmt.Sprintf("%s.%d", g, a)
			names = append(names, n, n+".left", n+".right")
		}
	}
	return names
}

// axleCounts is how many axles the groups have; 0 is not stated.
type axleCounts struct{ rear, trailer int }

// of gives the number of axles of a group, 0 where it is not stated.
func (a axleCounts) of(g Group) int {
	switch g {
	case Front:
		return 1
	case Rear:
		return a.rear
	case Trailer:
		return a.trailer
	}
	return 0
}

// axlesColumn is the column of outfit.csv that counts the axles of a group.
func (g Group) axlesColumn() string { return string(g) + "_axles" }

// groups lists the groups of a state that all spells out.
func (s State) groups() []Group {
	switch s {
	case VehicleAlone:
		return vehicleGroups
	case TrailerAlone:
		return trailerGroups
	}
	return coupledGroups
}

// The groups that carry a vehicle, a trailer alone, and both.
var (
	vehicleGroups = []Group{Front, Rear}
	trailerGroups = []Group{Trailer, Nose}
	coupledGroups = []Group{Front, Rear, Trailer}
)

// mostTerms is the most terms that a text can be written in full as.
func mostTerms(text string) int { return (1 + strings.Count(text, "+")) * len(coupledGroups) }

// parseDeck reads terms joined by + and adds them, written in full for a state, to a list
// of none. A blank state, itself a fault, checks the terms alone.
func parseDeck(terms []Term, text string, state State, drawbar bool, axles axleCounts) ([]Term, []complaint) {
	var bad []complaint
	for part := range strings.SplitSeq(text, "+") {
		part = trim(part)
		if part == "" {
			bad = append(bad, complaint{quote(text) + " has a + with no position before or after it", "positions joined by +", ""})
			continue
		}
		t, c := parseTerm(part)
		if c == nil {
			c = t.outside(state)
		}
		if c == nil && drawbar && (t.word == "nose" || t.word == "coupling") {
			c = &complaint{fmt.Sprintf("%s is not a position of a drawbar trailer, which carries its mass on its axles", quote(t.text)), "trailer, trailer.1 and the like, or all", ""}
		}
		if c == nil {
			c = t.beyond(axles)
		}
		if c == nil {
			before := terms
			terms = t.spell(terms, state, drawbar)
			for _, s := range terms[len(before):] { // which do not overlap each other
				c = cmp.Or(c, overlap(part, s, before))
			}
		}
		if c != nil {
			bad = append(bad, *c)
		}
	}
	if len(terms) > 1 && slices.ContainsFunc(terms, func(t Term) bool { return t.Group == Coupling }) && len(bad) == 0 {
		bad = append(bad, complaint{quote(text) + " joins the coupling with other positions", "coupling alone: the gauge reads the download", ""})
	}
	slices.SortFunc(terms, compareTerms)
	return terms, bad
}

// outside refuses a support that the state does not have.
func (t deckTerm) outside(state State) *complaint {
	switch {
	case state == "":
		return nil
	case (t.word == "nose" || t.word == "coupling") && state != TrailerAlone:
		setup, _ := state.Cells()
		return &complaint{fmt.Sprintf("%s cannot be on the deck in setup %s", quote(t.text), setup), t.word + " in trailer_alone only", ""}
	case (t.word == "front" || t.word == "rear" || t.word == "vehicle") && state == TrailerAlone:
		return &complaint{fmt.Sprintf("%s cannot be on the deck in setup trailer_alone", quote(t.text)), "trailer, nose, coupling or all", ""}
	case t.word == "trailer" && state == VehicleAlone:
		return &complaint{fmt.Sprintf("%s cannot be on the deck in setup vehicle_alone", quote(t.text)), "front, rear, vehicle or all", ""}
	case t.word == "all" && t.side != "" && state == TrailerAlone:
		return &complaint{fmt.Sprintf("%s has no meaning with a nose on the deck", quote(t.text)), "trailer.left, trailer.right or nose", ""}
	}
	return nil
}

// beyond refuses an axle that the group does not have, or of a group whose
// axles nobody counted: the axles not named would be missing from its load.
func (t deckTerm) beyond(axles axleCounts) *complaint {
	if t.axle == 0 {
		return nil
	}
	g := Group(t.word)
	switch n := axles.of(g); {
	case n == 0:
		return &complaint{fmt.Sprintf("%s names an axle of a group whose axles are not counted", quote(t.text)), g.axlesColumn() + " in outfit.csv", "fill in " + g.axlesColumn()}
	case t.axle > n && g == Front:
		return &complaint{fmt.Sprintf("%s names an axle beyond the first", quote(t.text)), "front, which has one axle", ""}
	case t.axle > n:
		return &complaint{fmt.Sprintf("%s names an axle beyond %s %d", quote(t.text), g.axlesColumn(), n), fmt.Sprintf("an axle from 1 to %d", n), ""}
	}
	return nil
}

// spell adds the supports that a term means.
func (t deckTerm) spell(terms []Term, state State, drawbar bool) []Term {
	var groups []Group
	switch {
	case t.word == "vehicle":
		groups = vehicleGroups
	case t.word == "all" && state == TrailerAlone && drawbar:
		groups = trailerGroups[:1]
	case t.word == "all":
		groups = state.groups()
	default:
		return append(terms, Term{Group(t.word), t.axle, t.side})
	}
	for _, g := range groups {
		terms = append(terms, Term{g, t.axle, t.side})
	}
	return terms
}

func overlap(text string, t Term, before []Term) *complaint {
	for _, b := range before {
		if b.overlaps(t) {
			return &complaint{fmt.Sprintf("%s overlaps a position before it", quote(text)), "each position once", ""}
		}
	}
	return nil
}

// overlaps says whether two terms share a wheel.
func (t Term) overlaps(o Term) bool {
	return t.Group == o.Group && (t.Axle == o.Axle || t.Axle == 0 || o.Axle == 0) && (t.Side == o.Side || t.Side == "" || o.Side == "")
}

// Spell names supports as a form does: rear.1.left, several joined by +.
func Spell(terms ...Term) string {
	s := ""
	for i, t := range terms {
		if i > 0 {
			s += "+"
		}
		s += string(t.Group)
		if t.Axle > 0 {
			s += "." + strconv.Itoa(t.Axle)
		}
		if t.Side != "" {
			s += "." + string(t.Side)
		}
	}
	return s
}

var groupOrder = []Group{Front, Rear, Trailer, Nose, Coupling}

func compareTerms(a, b Term) int {
	return cmp.Or(cmp.Compare(slices.Index(groupOrder, a.Group), slices.Index(groupOrder, b.Group)),
		cmp.Compare(a.Axle, b.Axle), cmp.Compare(a.Side, b.Side))
}
