package record

import (
	"math"
	"strconv"
	"strings"

	"reconcile/internal/adjust"
	"reconcile/internal/limits"
)

// PlanText is a plan in words.
type PlanText struct {
	DoNow      string   // one sentence of at most 72 characters
	Verdict    string   // what is left behind and moved and how sure that is, or why there is no plan
	For        string   // the planned ratings it holds under; "" for those in force
	Actions    []string // the one with the greatest effect first
	Nearest    []string // where there is no plan: what leaves the least excess
	Instead    []string // modifications, and what each leaves over
	NotOffered []string
	Limits     []string // what the plan does not know
	Table      string   // heading of the loads before and after
}

// weighAgain is the limit of every plan.
const weighAgain = "a plan is computed from masses as declared, places as listed and the law of the lever: weigh again after the change"

// PlanText says a plan, and what modifications would do instead, in the words
// of the record's region.
func (r *Record) PlanText(p *adjust.Plan, instead []adjust.Modification) PlanText {
	text := PlanText{DoNow: r.planDoNow(p), Verdict: r.planVerdict(p), For: p.Set}
	text.Actions, text.Nearest = r.actions(p.Moves), r.actions(p.Nearest)
	for _, m := range instead {
		text.Instead = append(text.Instead, r.modification(m))
	}
	for _, n := range p.NotOffered {
		text.NotOffered = append(text.NotOffered, notOfferedText(n))
	}
	if len(p.Moves) > 0 {
		text.Limits = r.planLimits()
	}
	text.Table = "deciding loads in kg, true within ± U about 95 times in 100:"
	switch {
	case p.Why == adjust.InConflict:
		text.Table = "not to be relied on, as it rests on readings that disagree, in kg:"
	case len(p.Moves) > 0:
		text.Table = "deciding loads before and, derived anew, after, in kg, ± U:"
	}
	return text
}

// planLimits says what a plan does not know.
func (r *Record) planLimits() []string {
	all := []string{weighAgain}
	if r.Outfit.Travels == "tensioned" {
		all = append(all, "the tension of the hitch is taken as it was when weighed")
	}
	return all
}

// PlanAdvice says a plan as advice of the record: its actions, and that they
// have to be weighed; or why there is none.
func (r *Record) PlanAdvice(p *adjust.Plan) []Advice {
	var texts []string
	switch {
	case p.Found && len(p.Moves) == 0:
		return nil
	case p.Found:
		texts = append(r.actions(p.Moves), r.planLimits()...)
	default:
		texts = []string{"no plan: " + r.planVerdict(p)}
	}
	var all []Advice
	for _, t := range texts {
		all = append(all, Advice{Kind: "remove", Text: t})
	}
	return all
}

// planDoNow is the first line.
func (r *Record) planDoNow(p *adjust.Plan) string {
	switch {
	case p.Found && len(p.Moves) == 0:
		return "nothing need move: each load that is held keeps its limit"
	case p.Found:
		if len(p.Moves) == 1 {
			return firstThatFits(moveText(p.Moves[0])+", then weigh again", "make the change below, then weigh again")
		}
		return "make the " + strconv.Itoa(len(p.Moves)) + " changes below, then weigh again"
	}
	switch p.Why {
	case adjust.InConflict:
		return "weigh again: the readings disagree, and nothing can be planned on them"
	case adjust.NotWeighed:
		return firstThatFits("weigh "+listed(r.planToWeigh(p))+" first, then plan", "weigh what is missing first, then plan")
	case adjust.NothingDecides:
		return "fill in ratings.csv: there is no rating to plan for"
	case adjust.CannotHold:
		if p.Offered == 0 {
			return "take load off, or list in loads.csv what may move or be left behind"
		}
		return "take other load off: moving what may move is not enough"
	}
	return "no plan was found; allow fewer loads to move, or take other load off"
}

// planToWeigh names what a plan lacks, each once.
func (r *Record) planToWeigh(p *adjust.Plan) []string {
	var loads []string
	for _, c := range r.Checks {
		if c.Verdict == "not_weighed" && c.Set == p.Set && (c.Decides || p.Set != "") {
			loads = addOnce(loads, r.weighNoun(c))
		}
	}
	return loads
}

// planVerdict says how good a plan is, or why there is none.
func (r *Record) planVerdict(p *adjust.Plan) string {
	switch {
	case p.Found && len(p.Moves) == 0:
		return "none needed"
	case p.Found:
		return r.effort(p) + "; " + proof(p)
	}
	switch p.Why {
	case adjust.InConflict:
		return "the readings disagree, so that no plan can rest on them"
	case adjust.NotWeighed:
		return notWeighedText(r.planToWeigh(p))
	case adjust.NothingDecides:
		return "no rating is given that decides"
	case adjust.CannotHold:
		return r.standoff(p)
	case adjust.FailedRecheck:
		return "what the search found did not hold when it was derived anew; " + r.remains(p)
	}
	return "none was found before the search came to its limit, and none is proved impossible; " + r.remains(p)
}

// notWeighedText says what decides and has no value.
func notWeighedText(loads []string) string {
	if len(loads) == 1 {
		return loads[0] + " decides and was not weighed, so that no plan can be held against it"
	}
	return listed(loads) + " decide and were not weighed, so that no plan can be held against them"
}

// proof says how far a plan is proved the best.
func proof(p *adjust.Plan) string {
	switch p.Why {
	case adjust.NodeLimit:
		return "it holds, but is not proved the best: the search came to its limit first; so far proved: " + atLeast(p)
	case adjust.Tightened:
		return "it holds, but is not proved the best: the first one found did not hold when it was derived anew, and a limit was narrowed"
	}
	return "proved: no plan leaves less behind, then moves less, then touches fewer loads"
}

// atLeast says what was proved of every plan: the first figure in which a
// better one could differ.
func atLeast(p *adjust.Plan) string {
	left, moved := KgText(p.Bound.Left.Floor().String()), KgText(p.Bound.Moved.Floor().String())
	switch {
	case p.Bound.Left.LessThan(p.Left):
		return "none leaves less than " + left + " kg behind"
	case p.Bound.Moved.LessThan(p.Moved):
		return "none leaves less behind, and none that leaves no more moves less than " + moved + " kg"
	}
	return "none leaves less behind, then moves less; one could touch fewer loads"
}

// effort is what a plan asks for.
func (r *Record) effort(p *adjust.Plan) string {
	loads := counted(make([]string, p.Touched), "load") + " touched"
	return KgText(p.Left.String()) + " kg left behind, " + KgText(p.Moved.String()) + " kg moved, " + loads
}

// standoff says which limits cannot be met together, and by how much.
func (r *Record) standoff(p *adjust.Plan) string {
	if p.Offered == 0 {
		return "no load of the form may move or be left behind; " + r.remains(p)
	}
	var nouns []string
	for _, b := range p.Against {
		nouns = append(nouns, r.blockNoun(b, r.repeated(p.Against, b)))
	}
	all := map[int]string{2: "both"}[len(nouns)]
	if all == "" {
		all = "all of them"
	}
	switch {
	case len(nouns) == 0:
		return r.remains(p)
	case len(nouns) == 1:
		return "nothing you may move or leave behind brings " + nouns[0] + " within its limit; " + r.remains(p)
	case !upperOnly(p.Against):
		return listed(nouns) + " pull against each other: nothing you may move keeps " + all + "; " + r.remains(p)
	case !p.Opposed:
		all += " enough"
	}
	return listed(nouns) + " pull against each other: nothing you may move lowers " + all + "; " + r.remains(p)
}

// upperOnly says whether all limits are most loads of checks.
func upperOnly(all []adjust.Blocking) bool {
	for _, b := range all {
		switch b.Rating {
		case "download_min", "download_share", "front_restored", "capacity":
			return false
		}
	}
	return true
}

// repeated says whether another limit bears on the same thing in another state.
func (r *Record) repeated(all []adjust.Blocking, b adjust.Blocking) bool {
	n := 0
	for _, o := range all {
		if r.blockNoun(o, false) == r.blockNoun(b, false) {
			n++
		}
	}
	return n > 1
}

// remains says the least excess.
func (r *Record) remains(p *adjust.Plan) string {
	var all []string
	for _, b := range p.Blocking {
		if b.ExcessKg > 0 {
			all = append(all, r.blockNoun(b, r.repeated(p.Blocking, b))+" "+kgUp(b.ExcessKg)+" kg")
		}
	}
	guard := ", ± U included"
	if r.Options.Rule == "simple" {
		guard = ""
	}
	return "at best there remains beyond the limit" + guard + ": " + listed(all)
}

// blockNoun names what stands in the way inside a sentence.
func (r *Record) blockNoun(b adjust.Blocking, state bool) string {
	switch b.Rating {
	case "capacity":
		return "the room in " + b.On
	case "download_share":
		return "the least usual share of the " + r.DownloadLabel()
	case "front_restored":
		return "what the hitch puts back on the front axle"
	}
	c := Check{Rating: b.Rating, On: b.On, State: string(b.State)}
	noun := r.loadNoun(c)
	if b.Rating == "download_min" {
		noun = "the least " + r.DownloadLabel()
	}
	if state {
		noun += r.inState(c)
	}
	return noun
}

// actions says every move with its effect on what was not kept.
func (r *Record) actions(moves []adjust.Move) []string {
	var all []string
	for _, m := range moves {
		text := moveText(m)
		if effect := r.relief(m.Relief); effect != "" {
			text += ": " + effect
		}
		all = append(all, text)
	}
	return all
}

// moveText is a move in the imperative.
func moveText(m adjust.Move) string {
	kg := KgText(m.Kg.String()) + " kg"
	what := m.Load + " (" + kg + ")"
	if !m.Whole {
		what = kg + " of " + m.Load
	}
	if m.To == "" {
		return "leave " + what + " behind, now in " + m.From
	}
	return "move " + what + " from " + m.From + " to " + m.To
}

// relief says what a move takes off and puts on, in whole kilograms.
func (r *Record) relief(all []adjust.Relief) string {
	var off, on []string
	for _, x := range all {
		kg := x.Kg
		if x.Check.Lower {
			kg = -kg
		}
		c := Check{Rating: x.Check.Rating, On: x.Check.On, State: string(x.Check.State)}
		words := Kg(max(kg, -kg)) + " kg " + map[bool]string{true: "off ", false: "on "}[kg > 0] + r.placeNoun(c)
		switch {
		case max(kg, -kg) < 0.5 || x.Check.LimitKN.Valid:
		case kg > 0:
			off = addOnce(off, words)
		default:
			on = addOnce(on, words)
		}
	}
	var parts []string
	if len(off) > 0 {
		parts = append(parts, "takes "+listed(off))
	}
	if len(on) > 0 {
		parts = append(parts, "puts "+listed(on))
	}
	return strings.Join(parts, "; ")
}

// modification says what a set would leave over.
func (r *Record) modification(m adjust.Modification) string {
	name := m.Set
	if m.MassKg.IsPositive() {
		name += " (" + KgText(m.MassKg.String()) + " kg of its own)"
	}
	if m.Verdict == limits.JobConflict {
		return name + ": the readings disagree"
	}
	var left []string
	for _, c := range m.Remains {
		row := checkOf(c)
		words := r.loadNoun(row) + r.inState(row) + ", " + CheckVerdictWord(row.Verdict)
		if c.Found != nil {
			words += " (" + r.figures(row) + ")"
		}
		left = append(left, words)
	}
	if len(left) == 0 {
		return name + ": nothing need move; each load that is held would keep its limit"
	}
	return name + ", alone, would leave: " + strings.Join(left, "; ")
}

func notOfferedText(n adjust.NotOffered) string {
	what := n.Load
	if n.To != "" {
		what += " to " + n.To
	}
	switch {
	case n.Missing != "place":
		return what + ": " + n.Missing + " is not given, so that what it would change is not known"
	case n.To != "":
		return what + ": that place has no position (at)"
	}
	return what + ": it has no place, or a place without a position (at)"
}

// kgUp prints a mass in whole kilograms, rounded up and at least 1: what is
// too much is never said to be less.
func kgUp(kg float64) string {
	const noise = 1e-6 // arithmetic alone adds no kilogram
	return Kg(max(1, math.Ceil(kg-noise)))
}
