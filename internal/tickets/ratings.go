package tickets

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
)

// ratingEntry is a rating with its line.
type ratingEntry struct {
	*Rating
	rule *ratingRule // nil where the word is not known
	row  *ratingRow
}

// mostRatings is the most lines of ratings.csv that hold for one job, those of
// planned sets among them: what follows takes time by their square.
const mostRatings = 1000

// mostFitted is the most tyres that one line of a rating may count.
const mostFitted = 36

// ratingLines reads what lines of ratings.csv say by themselves; the entries lead
// to the ratings.
func (r rowReader) ratingLines(records []record) (all []ratingEntry, ratings []Rating) {
	rows := decode(r.desk, &r.desk.ratings, records)
	ratings, all = r.memory.ratings.List(len(rows)), r.desk.entries.List(len(rows))
	for i := range rows {
		all[i] = ratingEntry{Rating: &ratings[i], rule: ruleOf(rows[i].Rating.text()), row: &rows[i]}
		r.rating(&all[i])
	}
	return all, ratings
}

func (j *jobReader) readRatings(shared *sharedLines) {
	j.ratings, j.job.Ratings = j.ratingLines(j.ownLines(ratingsForm))
	if len(shared.ratings) > 0 {
		j.mixRatings(shared.ratings)
	}
	if len(j.ratings) > mostRatings {
		j.refuse(j.ratings[mostRatings].row.Rating, fmt.Sprintf("the job has more than %d ratings", mostRatings), fmt.Sprintf("at most %d lines per job", mostRatings), "")
		j.ratings, j.job.Ratings = j.ratings[:mostRatings], j.job.Ratings[:mostRatings]
	}
	for i := range j.ratings {
		j.fit(&j.ratings[i])
	}
	j.checkTowing()
	j.checkEmpty()
}

// mixRatings puts ratings that hold for every job among the job's own, in the order
// of the form.
func (j *jobReader) mixRatings(shared []ratingEntry) {
	own := j.ratings
	j.ratings = j.desk.entries.List(len(shared) + len(own))
	copy(j.ratings[copy(j.ratings, shared):], own)
	slices.SortStableFunc(j.ratings, func(a, b ratingEntry) int { return a.Line - b.Line })
	j.job.Ratings = j.memory.ratings.List(len(j.ratings))
	for i := range j.ratings {
		j.job.Ratings[i] = *j.ratings[i].Rating
		j.ratings[i].Rating = &j.job.Ratings[i] // that of all jobs stays as it is
	}
}

// rating reads what a line says by itself.
func (r rowReader) rating(e *ratingEntry) {
	row := e.row
	*e.Rating = Rating{Line: row.Job.line(), Typed: row.Rating.text(), On: strings.ToLower(row.On.text()), OnTyped: row.On.text(), Source: row.Source.text(),
		Certificate: row.Certificate.code(), CertifiedOn: row.CertifiedOn.date(r.region), Set: row.Set.nameText(),
		Replaced: row.Replaced.yes(), Confirmed: row.Confirmed.confirmed(), Copy: row.Copy.copyName(r.copies), Note: row.Note.text()}
	if e.rule == nil {
		r.ofNoRating(row)
	}
	if !row.Rating.require("a rating, like gvm", "") {
		return
	}
	if e.rule == nil {
		row.Rating.refuse(row.Rating.shown()+" is not known", "a rating, like gvm, axle or towing", "the nearest known rating is "+quote(nearest(row.Rating.text(), ratingWords())))
		return
	}
	e.Word = e.rule.word
	r.ratingKind(e)
	r.ratingOn(e)
	r.ratingWhen(e)
	r.ratingValue(e)
}

// ofNoRating refuses what no rating has, on a line whose rating is not known.
func (r rowReader) ofNoRating(row *ratingRow) {
	row.Kind.choice("braked", "unbraked", "passenger", "commercial")
	row.Fitted.count(1, mostFitted)
	row.When.choice(allStates...)
	row.Unit.choice("kg", "t", "lb", "kN")
	if v := row.Value; !v.blank() && !strings.EqualFold(v.text(), "none") && !loadIndex().MatchString(v.text()) {
		v.number("a figure as on the plate, or none with a source")
	}
}

func (r rowReader) ratingKind(e *ratingEntry) {
	kind, own := e.row.Kind, kindOfWord(e.Typed)
	switch {
	case kind.blank():
		e.Kind = own
	case e.rule.kinds == nil:
		kind.refuse(kind.shown()+" does not go with rating "+quote(e.Typed), "a kind of towing or tyre lines only", "leave it blank")
	default:
		e.Kind, _ = kind.choice(e.rule.kinds...)
		if own != "" && e.Kind != "" && e.Kind != own {
			kind.refuse(fmt.Sprintf("%s contradicts rating %s, which is %s", kind.shown(), quote(e.Typed), own), own, "leave it blank")
		}
	}
	fitted := e.row.Fitted
	if !fitted.blank() && !e.rule.fitted {
		fitted.refuse(fitted.shown()+" does not go with rating "+quote(e.Typed), "a number fitted on tyre and wheel lines only", "leave it blank")
		return
	}
	e.Fitted, _ = fitted.count(1, mostFitted)
}

func (r rowReader) ratingOn(e *ratingEntry) {
	c, rule := e.row.On, e.rule
	switch {
	case rule.onNeeded && rule.support && !c.require("front, rear, trailer, rear.1 and the like", ""):
	case rule.onNeeded && !c.require(either(rule.on...), ""):
	case c.blank():
	case rule.support:
		r.ratingSupport(e)
	case rule.on == nil:
		c.refuse(c.shown()+" does not go with rating "+quote(e.Typed), "on left blank for this rating", "leave it blank")
	default:
		c.choice(rule.on...)
	}
}

// ratingSupport reads on as the axle or group that the rating limits.
func (r rowReader) ratingSupport(e *ratingEntry) {
	c := e.row.On
	t, bad := parseTerm(e.On)
	wanted := "front, rear, trailer, rear.1 and the like"
	switch {
	case bad != nil:
		c.refuse("on "+bad.what, wanted, bad.hint)
	case t.word == "vehicle" || t.word == "all":
		c.refuse(c.shown()+" is more than one axle or group", wanted, "write a line for each")
	case t.word == "nose" || t.word == "coupling":
		c.refuse(c.shown()+" is not an axle", wanted, "")
	case t.side != "" && !e.rule.sides:
		c.refuse(c.shown()+" is one side of an axle", wanted, "leave out ."+string(t.side))
	default:
		e.Terms = t.spell(r.memory.terms.List(1)[:0], "", false)
	}
}

func (r rowReader) ratingWhen(e *ratingEntry) {
	c := e.row.When
	if c.blank() {
		return
	}
	states := e.rule.states
	if len(e.Terms) == 1 && e.Terms[0].Group == Trailer {
		states = coupledStates
	}
	when, ok := c.choice(allStates...)
	switch {
	case !ok:
	case len(states) == 0:
		c.refuse(c.shown()+" does not go with rating "+quote(e.Typed), "when left blank for an empty mass", "leave it blank")
	case !slices.Contains(states, when):
		c.refuse(fmt.Sprintf("%s is a state in which rating %s limits nothing", c.shown(), quote(e.Typed)), either(states...), "")
	default:
		e.When = when
	}
}

// twoWays is a mass whose only sign is followed by exactly three digits: a
// decimal sign or a thousands separator.
var twoWays = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9]+[.,][0-9]{3}$`) })

var loadIndex = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^([0-9]{1,3})(/([0-9]{1,3}))?$`) })

// mostLoadIndex ends the list of load-capacity indices (UN R30, Annex 4; the
// indices above 180 are for tyres of aircraft and earth movers).
const mostLoadIndex = 180

func (r rowReader) ratingValue(e *ratingEntry) {
	c, unit := e.row.Value, e.row.Unit
	switch {
	case strings.EqualFold(c.text(), "none"):
		e.None, e.Value = true, "none"
		unit.choice("kg", "t", "lb", "kN")
		if e.row.Source.blank() {
			e.row.Source.refuse("required cell source left blank where value is "+quote(c.text()), "where the rating was looked for", "say which plate, paper or handbook")
		}
	case !c.require("a figure as on the plate, or none with a source", "fill it in, or delete the line"):
	case meansNone(c.text()):
		c.refuse(c.shown()+" is not a number", "a figure as on the plate, or none with a source", "the nearest word is "+quote("none"))
	case e.rule.unit == "kN":
		r.forceValue(e)
	case e.rule.unit == "tyre" && unit.blank():
		r.indexValue(e)
	default:
		r.massValue(e)
	}
}

// meansNone says whether a value is the word none, misspelt.
func meansNone(text string) bool {
	return !strings.ContainsAny(text, "0123456789") && distance(strings.ToLower(text), "none", 2) <= 2
}

func (r rowReader) massValue(e *ratingEntry) {
	c := e.row.Value
	unit, unitOK := e.row.Unit.massUnit(r.region)
	read := c.positive
	if e.rule.atLeast0 {
		read = c.notNegative
	}
	if (unit == "kg" || unit == "lb") && strings.ContainsAny(c.text(), ".,") && twoWays().MatchString(c.text()) {
		thousands, decimals := pointAndMinus(c.text()), strings.NewReplacer(",", "", ".", "").Replace(c.text())
		c.refuse(c.shown()+" can be read in two ways", fmt.Sprintf("%s %s or %s %s", decimals, unit, strings.TrimRight(strings.TrimRight(thousands, "0"), "."), unit),
			"write it without the sign, or with one more 0 behind it")
		return
	}
	n, ok := read("a mass, like 3500")
	if !ok || !unitOK {
		return
	}
	if n.hasPoint && e.row.Unit.blank() {
		c.refuse(c.shown()+" has a decimal sign and no unit", "kg, t or lb in the column unit", "fill in unit as on the plate")
		return
	}
	kg, ok := c.toKg(n, unit)
	if most := e.rule.most; ok && compareWhole(kg, most) > 0 {
		c.refuse(fmt.Sprintf("%s %s is more than any rating %s", c.shown(), unit, quote(e.Typed)), fmt.Sprintf("at most %d t", most/1000), "look at unit")
		return
	}
	if least := e.rule.least; ok && compareWhole(kg, least) < 0 {
		c.refuse(fmt.Sprintf("%s %s is less than any rating %s", c.shown(), unit, quote(e.Typed)), fmt.Sprintf("at least %d kg", least), "look at unit")
		return
	}
	e.Value, e.Unit = n.typed, unit
	e.LimitKg = decimal.NullDecimal{Decimal: kg, Valid: ok}
}

func (r rowReader) forceValue(e *ratingEntry) {
	c, unit := e.row.Value, e.row.Unit
	if unit.blank() && r.region != refusedRegion && regions.Of(r.region).UnitNeeded.Yes {
		unit.require("kN", "")
	} else if !unit.blank() && !strings.EqualFold(unit.text(), "kN") {
		unit.refuse(unit.shown()+" does not go with rating "+quote(e.Typed), "kN", "")
	}
	n, ok := c.positive("a force in kN, like 14.3")
	if !ok {
		return
	}
	if n.value.GreaterThan(decimal.NewFromInt(1000)) {
		c.refuse(c.shown()+" kN is more than any coupling can take", "a force in kN, like 14.3", "")
		return
	}
	e.Value, e.Unit = n.typed, "kN"
	e.LimitKN = decimal.NullDecimal{Decimal: n.value, Valid: true}
}

// indexValue reads the load index of a tyre, single or single and dual.
func (r rowReader) indexValue(e *ratingEntry) {
	c := e.row.Value
	wanted := fmt.Sprintf("a load index from 0 to %d, like 121 or 121/118, or a mass with its unit", mostLoadIndex)
	m := loadIndex().FindStringSubmatch(c.text())
	if m == nil {
		c.refuse(c.shown()+" is not a load index", wanted, "for a mass fill in unit")
		return
	}
	single, _ := strconv.Atoi(m[1])
	dual, _ := strconv.Atoi(m[3])
	switch {
	case single > mostLoadIndex || dual > mostLoadIndex:
		c.refuse(c.shown()+" is not a load index", wanted, "for a mass fill in unit")
	case m[3] != "" && dual > single:
		c.refuse(c.shown()+" has the larger index for dual tyres", wanted, "the index for single tyres comes first")
	default:
		e.Value = c.text()
		e.Index = []int{single}
		if m[3] != "" {
			e.Index = append(e.Index, dual)
		}
	}
}

// fit checks a rating against what the job says of the outfit.
func (j *jobReader) fit(e *ratingEntry) {
	if e.rule == nil {
		return
	}
	j.fitKind(e)
	if len(e.Terms) != 1 {
		return
	}
	t, c := e.Terms[0], e.row.On
	n := j.axles.of(t.Group)
	switch {
	case t.Axle > 1 && t.Group == Front:
		j.refuse(c, c.shown()+" names an axle beyond the first", "front, which has one axle", "")
	case n > 0 && t.Axle > n:
		j.refuse(c, fmt.Sprintf("%s names an axle beyond %s %d", c.shown(), t.Group.axlesColumn(), n), fmt.Sprintf("an axle from 1 to %d", n), "")
	}
	single := 2
	if t.Side != "" {
		single = 1
	}
	if e.Word == "tyre" && n == 0 && t.Axle == 0 && e.Fitted > single {
		f := e.row.Fitted
		j.refuse(f, fmt.Sprintf("%s may be dual tyres or more axles", f.shown()), t.Group.axlesColumn()+" in outfit.csv", "fill in "+t.Group.axlesColumn())
	}
	if t.Axle > 0 {
		n = 1
	}
	j.fitEnds(e, single, n)
	j.fitDual(e, single, n)
}

// fitKind refuses ratings that a trailer of the job's kind does not have.
func (j *jobReader) fitKind(e *ratingEntry) {
	o := &j.job.Outfit
	switch {
	case o.Drawbar && strings.HasPrefix(e.Word, "download"):
		j.refuse(e.row.Rating, e.row.Rating.shown()+" does not go with trailer_kind drawbar", "a rating of a trailer that carries no download", "a drawbar trailer puts no download on the coupling")
	case (o.Drawbar || o.Semi) && e.Word == "d_value":
		j.refuse(e.row.Rating, fmt.Sprintf("%s does not go with trailer_kind %s", e.row.Rating.shown(), j.typed.kind), "a D-value with a centre-axle trailer only", "a D-value is calculated differently for this kind of trailer")
	}
}

// fitEnds refuses a number fitted that counts what carries nothing, or that
// spreads a load unevenly: a spare among them, or the tyres of other axles, would
// make the share of each too small.
func (j *jobReader) fitEnds(e *ratingEntry, single, axles int) {
	ends, f := single*max(axles, 1), e.row.Fitted
	switch {
	case axles > 0 && e.Fitted > 2*ends:
		j.refuse(f, fmt.Sprintf("%s is more than two on each end of an axle of %s", f.shown(), quote(e.row.On.text())), fmt.Sprintf("%d, or %d where they are dual", ends, 2*ends), "count only the tyres or wheels of that axle or group, without a spare")
	case e.Fitted > ends && e.Fitted%ends != 0:
		j.refuse(f, fmt.Sprintf("%s is not the same number on every end of an axle of %s", f.shown(), quote(e.row.On.text())), fmt.Sprintf("%d, or %d where they are dual", ends, 2*ends), "leave out a spare; where axles differ write a line for each, like rear.1 and rear.2")
	}
}

// fitDual refuses dual tyres under a load index for single ones: a tyre next to
// another carries less than the index says.
func (j *jobReader) fitDual(e *ratingEntry, single, axles int) {
	if axles == 0 || e.Index == nil || len(e.Index) == 2 || e.Fitted != 2*single*axles {
		return
	}
	v := e.row.Value
	j.refuse(v, fmt.Sprintf("load index %s is for single tyres, and these are dual", v.shown()),
		"both indices, like 121/118", "the second index comes after the first on the sidewall")
}

// checkTowing refuses towing lines whose meaning is open: without a region, or
// of two kinds where nobody says how the trailer is braked.
func (j *jobReader) checkTowing() {
	kind := ""
	for _, e := range j.ratings {
		if e.Word != "towing" || e.Replaced {
			continue
		}
		c := e.row.Rating
		if regions.Of(j.region).TowingRefused.Yes && j.region != refusedRegion && !e.None {
			j.refuse(c, c.shown()+" limits different loads in different regions", "a region", "fill in region in outfit.csv")
		}
		if e.Kind == "" || j.job.Outfit.TrailerBrakes != "" || j.typed.brakes != "" {
			continue
		}
		if kind != "" && kind != e.Kind {
			j.refuse(c, fmt.Sprintf("%s is %s, and another line is %s", c.shown(), e.Kind, kind), "trailer_brakes in outfit.csv, which says which governs", "fill in trailer_brakes: none, overrun or driver")
		}
		kind = e.Kind
	}
}

// checkEmpty refuses two kinds of empty mass for one unit: which of them the
// payload is counted from would be open.
func (j *jobReader) checkEmpty() {
	first := map[string]ratingEntry{}
	for _, e := range j.ratings {
		if e.rule == nil || !e.rule.empty || e.Replaced || e.None {
			continue
		}
		key := e.On + " " + e.Set
		before, ok := first[key]
		if !ok {
			first[key] = e
			continue
		}
		c := e.row.Rating
		j.refuse(c, fmt.Sprintf("%s is a second empty mass after %s on line %d", c.shown(), before.Word, before.Line), "one empty mass for each unit or axle", "write yes in the column replaced of the one that no longer holds")
	}
}
