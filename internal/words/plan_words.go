package words

import (
	"strings"

	"reconcile/internal/record"
)

// plan is a plan in words: what its document says, and, of one that was just
// made, what is known beyond it.
type plan struct {
	Summary  string        // whether there is a plan, and how good it is known to be
	Moves    [][]string    // load, from and to as typed, mass
	Loads    []plannedLoad // every deciding load
	Blocking [][]string    // limits that no plan meets: name, state, least excess

	DoNow      string   // what to do now, in one sentence
	Verdict    string   // what is left behind and moved and how sure that is, or why there is no plan
	For        string   // the planned ratings it is made for; "" for those in force
	Actions    []string // the one with the greatest effect first
	Nearest    []string // where there is no plan: what leaves the least excess
	Instead    []string // modifications, and what each would leave
	Levers     []string // where nothing of the form may move: what moving something does
	NotOffered []string
	Limits     []string // what the plan does not know
	Table      string   // heading of Loads
}

// plannedLoad is a deciding load of a plan. Forces have their unit.
type plannedLoad struct {
	Label         string // the rating with what it is on
	Rating        string // alone
	On, State     string
	Limit         string
	Before, After string // with U; After is blank where nothing is moved
	Verdict, Then string // before and after
}

// plan says the plan of the record; blank where there is none.
func (w *Words) plan() plan {
	p := w.Record.Plan
	if p == nil {
		return plan{}
	}
	text := w.planDocument(p)
	if p.Facts == nil {
		return text
	}
	text.DoNow, text.Verdict, text.Table = say(w.planDoNow(p)), say(w.planVerdict(p)), say(w.planTable(p))
	if p.Facts.Set != "" {
		text.For = say(p.Facts.Set + ", planned ratings; those in force stay what they are")
	}
	text.Actions, text.Nearest = sayAll(w.planActions(p.Moves)), sayAll(w.planActions(p.Facts.Nearest))
	for _, m := range p.Facts.Instead {
		text.Instead = append(text.Instead, say(w.modification(m.Set, m.MassKg)+w.wouldLeave(m.Conflict, m.Remains)))
	}
	if !p.Found && p.Facts.Why == "cannot_hold" && p.Facts.Offered == 0 {
		text.Levers = sayAll(w.leverAdvice(p.Blocking))
	}
	for _, n := range p.Facts.NotOffered {
		text.NotOffered = append(text.NotOffered, say(notOfferedText(n.Load, n.To, n.Missing)))
	}
	if len(p.Moves) > 0 {
		text.Limits = sayAll(w.planLimits())
	}
	return text
}

// planDocument says what the document of a plan has.
func (w *Words) planDocument(p *record.Plan) plan {
	text := plan{Summary: say(w.planSummary(p))}
	for _, m := range p.Moves {
		to := w.Head("left_behind")
		if m.To != nil {
			to = *m.To
		}
		text.Moves = append(text.Moves, []string{m.Load, m.From, to, w.massText(m.Kg)})
	}
	for i := range p.Before {
		text.Loads = append(text.Loads, w.plannedLoad(p, i))
	}
	for _, b := range p.Blocking {
		name := say(strings.TrimPrefix(w.blockNoun(b, false), "the "))
		text.Blocking = append(text.Blocking, []string{name, say(w.stateWord(b.State)), w.massUp(b.ExcessKg)})
	}
	return text
}

// plannedLoad says the i-th deciding load before the plan and after it.
func (w *Words) plannedLoad(p *record.Plan, i int) plannedLoad {
	l := &p.Before[i]
	load := plannedLoad{
		Label: w.RatingLabel(l.Rating, l.On), Rating: w.RatingLabel(l.Rating, ""), On: OnWord(l.On), State: say(w.stateWord(l.State)),
		Limit: w.planLimit(p, i), Verdict: say(w.rowVerdict(l.Verdict)),
		Before: w.valueText(record.Check{ValueKg: l.ValueKg, UKg: l.UKg, ValueKN: l.ValueKN, UKN: l.UKN, Verdict: l.Verdict}),
	}
	if len(p.Moves) > 0 && len(p.After) == len(p.Before) {
		l = &p.After[i]
		load.After = w.valueText(record.Check{ValueKg: l.ValueKg, UKg: l.UKg, ValueKN: l.ValueKN, UKN: l.UKN, Verdict: l.Verdict})
		load.Then = say(w.rowVerdict(l.Verdict))
	}
	return load
}

// planReasons are why there is no plan, or why it is not proved the best.
var planReasons = []string{"conflict", "trip_not_known", "not_weighed", "nothing_decides", "cannot_hold", "failed_recheck", "node_limit", "tightened_recheck"}

func (w *Words) planTable(p *record.Plan) string {
	switch {
	case p.Facts.Why == "conflict":
		return "Provisional (the readings contradict each other), " + w.Unit + ":"
	case len(p.Moves) > 0:
		return "deciding loads before and after (recalculated), in " + w.Unit + ", ± U:"
	}
	return "deciding loads in " + w.Unit + ", true within ± U about 95 times in 100:"
}

// planLimits says what a plan does not know.
func (w *Words) planLimits() []string {
	all := []string{"a plan is computed from masses as stated, places as listed and the law of the lever: weigh again after the change"}
	if w.Record.Outfit.Travels == "tensioned" {
		all = append(all, "the tension of the hitch is taken as it was when weighed")
	}
	return all
}

// planDoNow is the first line; a question that is not answered comes first.
func (w *Words) planDoNow(p *record.Plan) string {
	text := w.planAct(p)
	if a := w.doArgs("look_again"); a != nil {
		return "first look again at " + w.formLine(a.File, a.AtLine) + " (" + w.shortQuestion(a.Name) + "); then " + text
	}
	return text
}

func (w *Words) planAct(p *record.Plan) string {
	switch {
	case p.Found && len(p.Moves) == 0:
		return "nothing needs to move: every load is within its limit"
	case p.Found && len(p.Moves) == 1:
		return w.moveText(p.Moves[0]) + ", then weigh again"
	case p.Found:
		return "make the " + itoa(len(p.Moves)) + " changes below, then weigh again"
	}
	switch p.Facts.Why {
	case "conflict":
		return "weigh again: the readings disagree, and no plan can rest on them"
	case "not_weighed":
		return "weigh " + listed(w.planToWeigh(p)) + " first, then plan"
	case "trip_not_known":
		return "fill in the place of each load with least or most, or the length that is missing; then plan"
	case "nothing_decides":
		return "fill in " + w.reader("ratings.csv", "the plates") + ": there is no rating to plan for"
	case "cannot_hold":
		if a := w.doArgs("not_on_trip"); a != nil && p.Facts.Set == "" && !w.mustNotDrive() {
			return w.tripClause(a) + "; otherwise list " + w.loadsList() + " what else may move or be left behind"
		}
		if p.Facts.Offered == 0 {
			return "take load off, or list " + w.loadsList() + " what may move or be left behind"
		}
		return "take other load off: moving what may move is not enough"
	}
	return "no plan was found; allow fewer loads to move, or take other load off"
}

// loadsList is where what is on board is listed.
func (w *Words) loadsList() string {
	return w.reader("in loads.csv", "under "+button("what_is_loaded"))
}

// planToWeigh names what a plan lacks, each once.
func (w *Words) planToWeigh(p *record.Plan) []string {
	var loads []string
	for _, c := range p.Facts.ToWeigh {
		loads = addOnce(loads, w.weighNoun(c.Rating, c.On))
	}
	if len(p.Facts.ToWeigh) > 0 {
		return loads
	}
	for _, c := range w.Record.Checks {
		if c.Verdict == "not_weighed" && c.Set == p.Facts.Set && (c.Decides || p.Facts.Set != "") {
			loads = addOnce(loads, w.weighNoun(c.Rating, c.On))
		}
	}
	return loads
}

// planVerdict says how good a plan is, or why there is none.
func (w *Words) planVerdict(p *record.Plan) string {
	switch {
	case p.Found && len(p.Moves) == 0:
		return "none needed"
	case p.Found:
		return w.effort(p) + "; " + w.proof(p)
	}
	switch p.Facts.Why {
	case "conflict":
		return "the readings disagree, so no plan can rest on them"
	case "not_weighed":
		return notWeighedText(w.planToWeigh(p))
	case "trip_not_known":
		return "where a load with least or most rides is not known, so no plan can be checked over the trip"
	case "nothing_decides":
		return "no rating is given that decides"
	case "cannot_hold":
		return w.standoff(p)
	case "failed_recheck":
		return "the plan found did not pass when it was recalculated; " + w.remains(p)
	}
	return "none was found before the search reached its limit, and none is proved impossible; " + w.remains(p)
}

// notWeighedText says what decides and has no value.
func notWeighedText(loads []string) string {
	if len(loads) == 1 {
		return loads[0] + " decides and was not weighed, so no plan can be checked against it"
	}
	return listed(loads) + " decide and were not weighed, so no plan can be checked against them"
}

// proof says how far a plan is proved the best.
func (w *Words) proof(p *record.Plan) string {
	switch p.Facts.Why {
	case "node_limit":
		return "it works, but is not proved the best: the search reached its limit first; so far proved: " + w.atLeast(p)
	case "tightened_recheck":
		return "it works, but is not proved the best: the first one found did not pass when it was recalculated, and a limit was narrowed"
	}
	return "proved: no plan leaves less behind, then moves less, then touches fewer loads"
}

// atLeast says what was proved of every plan: the first figure in which a
// better one could differ.
func (w *Words) atLeast(p *record.Plan) string {
	switch {
	case less(p.Facts.BoundLeft, p.LeftKg):
		return "none leaves less than " + w.floorText(p.Facts.BoundLeft) + " behind"
	case less(p.Facts.BoundMoved, p.MovedKg):
		return "none leaves less behind, and none that leaves no more moves less than " + w.floorText(p.Facts.BoundMoved)
	}
	return "none leaves less behind, then moves less; one could touch fewer loads"
}

func less(a, b string) bool {
	x, okX := decimalOf(a)
	y, okY := decimalOf(b)
	return okX && okY && x.LessThan(y)
}

// floorText is a proved bound, rounded down, with its unit.
func (w *Words) floorText(kg string) string {
	d, ok := decimalOf(kg)
	if !ok {
		return notDetermined
	}
	return grouped(w.inUnit(d).Floor().String()) + " " + w.Unit
}

// effort is what a plan asks for.
func (w *Words) effort(p *record.Plan) string {
	unit := " " + w.Unit
	return w.massText(p.LeftKg) + unit + " left behind, " + w.massText(p.MovedKg) + unit + " moved, " + counted(p.Touched, "load") + " touched"
}

// planSummary says on a page whether there is a plan, and how good it is known
// to be.
func (w *Words) planSummary(p *record.Plan) string {
	if !p.Found {
		return "No plan meets every limit."
	}
	text := capital(w.effort(p)) + ". "
	if p.Proved {
		return text + "Proved: no plan leaves less behind, then moves less."
	}
	return text + "Not proved to be the least."
}

// standoff says which limits cannot be met together, and by how much.
func (w *Words) standoff(p *record.Plan) string {
	if p.Facts.Offered == 0 {
		return "no load " + w.reader("in the form", "that is listed") + " may move or be left behind; " + w.remains(p)
	}
	var nouns []string
	for _, b := range p.Facts.Against {
		nouns = append(nouns, w.blockNoun(b, w.repeated(p.Facts.Against, b)))
	}
	all := "all of them"
	if len(nouns) == 2 {
		all = "both"
	}
	switch {
	case len(nouns) == 0:
		return w.remains(p)
	case len(nouns) == 1:
		return "nothing you may move or leave behind brings " + nouns[0] + " within its limit; " + w.remains(p)
	case upperOnly(p.Facts.Against) && !p.Facts.Opposed:
		return listed(nouns) + " conflict: no permitted move lowers " + all + " enough; " + w.remains(p)
	}
	return listed(nouns) + " conflict: no permitted move satisfies " + all + "; " + w.remains(p)
}

// upperOnly says whether all limits are most loads of checks.
func upperOnly(all []record.Blocking) bool {
	for _, b := range all {
		switch b.Rating {
		case "download_min", "download_share", "front_restored", "capacity":
			return false
		}
	}
	return true
}

// repeated says whether another limit is about the same thing in another state.
func (w *Words) repeated(all []record.Blocking, b record.Blocking) bool {
	n := 0
	for _, o := range all {
		if w.blockNoun(o, false) == w.blockNoun(b, false) {
			n++
		}
	}
	return n > 1
}

// remains says the least excess.
func (w *Words) remains(p *record.Plan) string {
	var all []string
	for _, b := range p.Blocking {
		if b.ExcessKg > 0 {
			all = append(all, w.blockNoun(b, w.repeated(p.Blocking, b))+" by "+w.massUp(b.ExcessKg)+" "+w.Unit)
		}
	}
	guard := ", including ± U"
	if w.Record.Options.Rule == "simple" {
		guard = ""
	}
	if len(all) == 0 {
		return "what the best plan exceeds is not known"
	}
	return "even the best plan exceeds" + guard + ": " + listed(all)
}

// blockNoun names what prevents a plan inside a sentence.
func (w *Words) blockNoun(b record.Blocking, state bool) string {
	switch b.Rating {
	case "capacity":
		return "the room in " + b.On
	case "download_share":
		return "the least usual share of the " + w.download()
	case "front_restored":
		return "what the hitch puts back on the front axle"
	}
	noun := w.loadNoun(b.Rating, b.On)
	if b.Rating == "download_min" {
		noun = "the least " + w.download()
	}
	if state {
		noun = w.nounInState(noun, b.State)
	}
	return noun
}

// planActions says every move with its effect on what was not kept.
func (w *Words) planActions(moves []record.Move) []string {
	var all []string
	for _, m := range moves {
		text := w.moveText(m)
		if effect := w.relief(m); effect != "" {
			text += ": " + effect
		}
		all = append(all, text)
	}
	return all
}

func (w *Words) moveText(m record.Move) string {
	kg, load, from := w.massText(m.Kg)+" "+w.Unit, m.Load, m.From
	what := kg + " of " + load
	if m.Whole {
		what = load + " (" + kg + ")"
	}
	if m.To == nil {
		return "leave " + what + " behind, now in " + from
	}
	return "move " + what + " from " + from + " to " + *m.To
}

// relief says what a move takes off and puts on, in whole units.
func (w *Words) relief(m record.Move) string {
	var off, on []string
	for _, x := range m.Relief {
		kg := x.Kg
		if x.Rating == "download_min" {
			kg = -kg
		}
		amount := w.mass(max(kg, -kg))
		place := w.placeNoun(x.Rating, x.On)
		switch {
		case amount == "0" || x.KN:
		case kg > 0:
			off = addOnce(off, amount+" "+w.Unit+" off "+place)
		default:
			on = addOnce(on, amount+" "+w.Unit+" on "+place)
		}
	}
	return strings.TrimSpace(moveEffects("", off, on))
}

// modification names a set, with the mass of its own loads.
func (w *Words) modification(set, massKg string) string {
	if kg, ok := decimalOf(massKg); ok && kg.IsPositive() {
		return set + " (" + w.massText(massKg) + " " + w.Unit + " of its own)"
	}
	return set
}

// wouldLeave says what a set would leave over.
func (w *Words) wouldLeave(conflict bool, remains []record.Check) string {
	if conflict {
		return ": the readings disagree"
	}
	var left []string
	for _, c := range remains {
		words := w.loadInState(c.Rating, c.On, c.State) + ", " + codeWord(c.Verdict)
		if c.Verdict != "not_weighed" {
			words += " (" + w.figures(c) + ")"
		}
		left = append(left, words)
	}
	if len(left) == 0 {
		return ": nothing needs to move; every load would be within its limit"
	}
	return ", alone, would leave: " + strings.Join(left, "; ")
}

func notOfferedText(load, to, missing string) string {
	what := load
	if to != "" {
		what += " to " + to
	}
	switch {
	case missing != "place":
		return what + ": " + codeWord(missing) + " is not given, so what it would change is not known"
	case to != "":
		return what + ": that place has no position (at)"
	}
	return what + ": it has no place, or a place without a position (at)"
}

// planLimit prints the limit of the i-th load of a plan.
func (w *Words) planLimit(p *record.Plan, i int) string {
	l := &p.Before[i]
	for _, c := range w.Record.Checks { // the line that the limit was typed on
		if c.Rating == l.Rating && c.On == l.On && c.State == l.State && c.LimitKg != nil && l.LimitKg != nil && *c.LimitKg == *l.LimitKg {
			return w.limitText(c)
		}
	}
	return w.limitText(record.Check{LimitKg: l.LimitKg, LimitKN: l.LimitKN})
}
