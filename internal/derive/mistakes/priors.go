package mistakes

import "reconcile/internal/derive"

// occasion is what a prior counts by. One slip per line and the same slip per
// ticket are separate rows: a form has more lines than tickets.
type occasion string

// The occasions of a mistake.
const (
	aFigure occasion = "figure"
	aPair   occasion = "pair of figures of a ticket"
	aLine   occasion = "line"
	aTicket occasion = "ticket"
	aTie    occasion = "tie"
	aVisit  occasion = "visit"
	aScale  occasion = "scale"
)

// prior is how often a mistake is made, in 10,000 occasions. Where it can take
// several forms on one occasion (the other digits, the other decks), it is
// shared out equally among them.
type prior struct {
	kind   kind
	which  string
	weight float64
	per    occasion
	why    string
}

// priors is the table of how plausible each mistake is before the readings are
// looked at. Common practice, no source: our own judgement of tickets copied by
// hand. Only their ratios matter, and a ratio below 3 changes nothing that is
// shown as equal.
var priors = []prior{
	{digitsSwapped, "neighbours", 10, aFigure, "the commonest slip of copying"},
	{digitsSwapped, "further off", 2, aFigure, "rarer than between neighbours"},
	{digitWrong, "", 20, aFigure, "bad print, handwriting"},
	{digitCount, "lost", 8, aFigure, "a key not pressed hard, a figure cut off at the edge"},
	{digitCount, "twice", 4, aFigure, "a key pressed twice"},
	{unitWrong, "figure", 2, aFigure, "the unit is printed once per ticket"},
	{unitWrong, "ticket", 10, aTicket, "kg, t and lb on one operator's scales"},
	{exchanged, "neighbours", 10, aPair, "the next box of the ticket"},
	{exchanged, "further off", 4, aPair, ""},
	{hitchWrong, "line", 30, aLine, "the column is left blank"},
	{hitchWrong, "ticket", 60, aTicket, "the state rarely changes between readings of a ticket"},
	{hitchWrong, "line, unmentioned", 2, aLine, "no line says tensioned: most outfits have no such hitch"},
	{hitchWrong, "ticket, unmentioned", 4, aTicket, ""},
	{hitchWrong, "visit", 30, aVisit, "one state for as long as nobody touches the bars"},
	{hitchWrong, "visit, unmentioned", 2, aVisit, ""},
	{loadWrong, "line", 10, aLine, "one load of loads.csv"},
	{loadWrong, "ticket", 20, aTicket, "one load of loads.csv"},
	{loadWrong, "person", 10, aLine, "somebody got out or in"},
	{loadWrong, "person, ticket", 20, aTicket, ""},
	{loadWrong, "person, people stated", 2, aLine, "the ticket's count of people says otherwise"},
	{setupWrong, "nose", 30, aLine, "the jockey wheel is off a short deck"},
	{setupWrong, "deck", 10, aFigure, "a wheel on or off the deck unnoticed"},
	{setupWrong, "setup", 10, aLine, ""},
	{setupWrong, "setup, ticket", 10, aTicket, ""},
	{setupWrong, "not unhitched", 10, aTicket, "the jack is wound down, the coupling still on"},
	{setupWrong, "never unhitched", 20, aVisit, "nobody asked them to"},
	{calculated, "", 100, aFigure, "given that the figure is the sum or difference of others"},
	{calculated, "other ticket", 30, aFigure, "given that the figure is what conservation of mass makes of figures of other tickets"},
	{lengthWrong, "tie", 20, aTie, "not level, or one lever measured wrong"},
	{lengthWrong, "length", 20, aTie, "a length measured wrong"},
	{zeroWrong, "", 20, aScale, "mud, rain or snow on the deck, a display not set to zero"},
}

// priorOf shares a row of the table among the forms that a mistake can take.
// A kind that has no row is a fault of the program and not of the form, so it
// stops: no mistake is tried with a prior that nobody judged.
func priorOf(kind kind, which string, forms int) float64 {
	for _, p := range priors {
		if p.kind == kind && p.which == which {
			return float64(p.weight*1e-4) / float64(max(forms, 1))
		}
	}
	panic("mistakes: no prior for " + string(kind) + " " + which)
}

// The download that trailers of all kinds have, as a share of their mass, and
// what the prior of a hypothesis is divided by under which it is another. Few
// trailers are built with more, and none is meant to lift the vehicle.
//
// Common practice, no source.
const (
	leastShare    = 0.0
	greatestShare = 0.35
	greatestSemi  = 0.6 // of a semi-trailer
	improbability = 20.0
)

// coverage is k: U = 2u.
const coverage = 2.0

// improbable says whether the download of a solved hypothesis would be a share of
// the trailer's mass that hardly occurs, by more than its U.
// The share is D/m, the download over the mass of the trailer:
//
//	D/m + 2u < 0  or  D/m − 2u > the greatest
//
// Where the hypothesis leaves it undetermined, nothing is said against it.
func improbable(s *derive.Solution) bool {
	share, u, ok := s.Figures().DownloadShare.Number()
	most := greatestShare
	if s.Job.Outfit.Semi {
		most = greatestSemi
	}
	return ok && (share+float64(coverage*u) < leastShare || share-float64(coverage*u) > most)
}
