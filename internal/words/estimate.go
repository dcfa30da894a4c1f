package words

import (
	"slices"
	"strings"

	"reconcile/internal/record"
)

// estimate is what the stated masses of a job come to, in words.
type estimate struct {
	Words          *Words // the labels of its region and unit; Head("estimate") heads it, so that nobody takes it for a weighing
	DoNow, Verdict string // what to do now, and the gravest verdict of the ratings in force
	Payload        Table  // what the vehicle may carry, running down; no rows where it is not known
	Left           string // of the payload, with its ± U
	Trailer        Table  // what the trailer comes to, adding up
	Masses         []string
	Fits           string // how heavy a trailer may be with the vehicle as loaded, and which rating stops it first
	Checks         Table  // the ratings in force
	Sets           []estimateSet
	NotGiven       []string // the usual ratings without a line
	RestsOn        []string // what is particular to the job first
	Rounded        string   // "" where the printed figures add up
}

// Table is a table in words: its title ends with a colon.
type Table struct {
	Title string
	Heads []string
	Rows  [][]string
}

// estimateSet is a set of planned ratings: what it changes and what it leaves.
type estimateSet struct {
	Checks  Table
	Changes []string
}

// OfEstimate says an estimate, which has no record; unit is kg or lb, and shown
// is as for [Of].
func OfEstimate(e *record.Estimate, unit string, shown places) *estimate {
	r := record.Record{Job: e.Job, Outfit: record.Outfit{Travels: e.Travels, TrailerKind: e.TrailerKind}}
	r.Options.Region, r.Options.Unit = e.Region, unit
	w := &estimates{Of(&r, shown), e}
	out := &estimate{
		Words: w.Words, DoNow: say(w.doNow()), Verdict: likely(e.Verdict),
		Payload: w.payload(), Left: say(w.left(inForce)), Trailer: w.trailer(), Masses: sayAll(w.masses()), Fits: say(w.fits(inForce)),
		Checks:   w.checks(say("what these masses come to against each rating, in "+w.Unit+":"), ""),
		NotGiven: sayAll(w.ratingNames(e.NotGiven)), RestsOn: sayAll(w.restsOn()), Rounded: say(w.rounded()),
	}
	for i, s := range e.Sets {
		out.Sets = append(out.Sets, estimateSet{w.checks(setHead(s.Set), s.Set), sayAll(w.changes(i))})
	}
	return out
}

// estimates says an estimate.
type estimates struct {
	*Words
	e *record.Estimate
}

// likelyWords are the verdicts of an estimate.
var likelyWords = map[string]string{
	"likely_within": "likely within", "likely_over": "likely over", "open": "open", "not_known": "not known",
}

// likely says a verdict of an estimate.
func likely(verdict string) string {
	if words, known := likelyWords[verdict]; known {
		return say(words)
	}
	return say(codeWord(verdict))
}

// doNow says in one sentence what to do now: about the gravest class first,
// then naming the others.
func (w *estimates) doNow() string {
	over, open, unknown := w.named("likely_over"), w.named("open"), w.named("not_known")
	switch {
	case len(over) > 0 && w.e.TrailerFrom == "atm":
		return "take load off before you set out; likely over, with the trailer as heavy as its " + w.ratingLabel("atm") + " allows: " + strings.Join(over, "; ") + w.also(open, unknown)
	case len(over) > 0:
		return "take load off before you set out; likely over: " + strings.Join(over, "; ") + w.also(open, unknown)
	case len(open) > 0:
		return "weigh it before you rely on it; these masses leave open: " + strings.Join(open, "; ") + w.also(nil, unknown)
	case len(unknown) > 0:
		return "state what is missing (below), or weigh it; not known: " + strings.Join(unknown, "; ")
	case len(w.rows("")) == 0:
		return "fill in " + w.reader("ratings.csv", "the plates") + ": there is no rating to compare these masses with"
	}
	text := "weigh it: every rating given is likely to be kept, but only a weighing can show that"
	if missing := w.ratingNames(w.e.NotGiven); len(missing) > 0 {
		text += "; not given: " + strings.Join(missing, "; ")
	}
	return text
}

func (w *estimates) also(open, unknown []string) string {
	text := ""
	if len(open) > 0 {
		text += "; open: " + strings.Join(open, "; ")
	}
	if len(unknown) > 0 {
		text += "; not known: " + strings.Join(unknown, "; ")
	}
	return text
}

// named names the ratings in force with a verdict, each once; what is over says
// by how much.
func (w *estimates) named(verdict string) []string {
	var names []string
	for _, i := range w.rows("") {
		c := &w.e.Checks[i]
		if c.Verdict != verdict {
			continue
		}
		name := w.keyLabel(c.Rating, c.On)
		switch {
		case verdict != "likely_over":
		case c.MarginKg != nil:
			name += " (by some " + w.massUp(-*c.MarginKg) + " " + w.Unit + ")"
		case c.MarginKN != nil:
			name += " (by some " + kn(-*c.MarginKN) + " kN)"
		}
		names = addOnce(names, name)
	}
	return names
}

// rows are the places of a set's checks among all of them.
func (w *estimates) rows(set string) []int {
	var rows []int
	for i := range w.e.Checks {
		if w.e.Checks[i].Set == set {
			rows = append(rows, i)
		}
	}
	return rows
}

// checks are the rows of a set under their title.
func (w *estimates) checks(title, set string) Table {
	t := Table{Title: title}
	for _, code := range []string{"rating", "state", "value", "limit", "margin", "verdict"} {
		t.Heads = append(t.Heads, w.Head(code))
	}
	for _, i := range w.rows(set) {
		t.Rows = append(t.Rows, w.row(i))
	}
	return t
}

// row is the cells of the i-th check: rating, state, value ± U, limit, margin,
// verdict.
func (w *estimates) row(i int) []string {
	c := &w.e.Checks[i]
	label, value, limit, margin := w.keyLabel(c.Rating, c.On), "-", "-", "-"
	if isDownload(c.Rating) && c.On != "" {
		label += ", " + c.On
	}
	switch {
	case c.LimitKN != nil:
		label += ", kN"
		limit = typedFigure(*c.LimitKN)
	case c.LimitKg != nil:
		limit = w.limitFigure(*c.LimitKg)
	}
	switch {
	case c.ValueKN != nil:
		value, margin = strings.TrimSuffix(w.figure(nil, nil, c.ValueKN, c.UKN), " kN"), kn(*c.MarginKN)
	case c.ValueKg != nil:
		value, margin = w.massOf(&record.StatedMass{ValueKg: *c.ValueKg, UKg: *c.UKg}), w.mass(*c.MarginKg)
	}
	return []string{say(label), say(w.stateWord(c.State)), value, limit, margin, likely(c.Verdict)}
}

// massOf is a mass with its ± U; a rating that a trailer is taken to weigh has
// no ±.
func (w *estimates) massOf(m *record.StatedMass) string {
	switch {
	case m == nil:
		return likelyWords["not_known"]
	case m.UKg == 0:
		return w.mass(m.ValueKg)
	}
	return w.massU(m.ValueKg, m.UKg)
}

// withUnit is massOf with its unit.
func (w *estimates) withUnit(m *record.StatedMass) string {
	if m == nil {
		return likelyWords["not_known"]
	}
	return w.massOf(m) + " " + w.Unit
}

// payload runs down from what the vehicle may weigh to what is left.
func (w *estimates) payload() Table {
	t := w.sum("what the vehicle may carry", "left")
	for _, s := range w.e.PayloadSum {
		w.addStep(&t, w.step(s.Step, s.Name), s.Kg, s.ThenKg)
	}
	return t
}

// trailer adds up what the trailer comes to.
func (w *estimates) trailer() Table {
	t := w.sum("what the trailer comes to", "total")
	for _, s := range w.e.TrailerSum {
		w.addStep(&t, w.step(s.Step, s.Name), s.Kg, s.ThenKg)
	}
	return t
}

// sum begins a running sum; then heads the column of what there is after each
// step.
func (w *estimates) sum(title, then string) Table {
	return Table{Title: say(title + ", in " + w.Unit + ":"), Heads: sayAll([]string{"", w.Unit, then})}
}

// addStep adds a step to a running sum, with its sign but for the first.
func (w *estimates) addStep(t *Table, step string, kg, then float64) {
	mass := w.massSigned(kg)
	if len(t.Rows) == 0 {
		mass = w.mass(kg)
	}
	t.Rows = append(t.Rows, []string{say(step), mass, w.mass(then)})
}

func (w *estimates) step(code, name string) string {
	switch code {
	case "load":
		return Escape(name)
	case "driver_counted":
		return "the driver in it, listed below"
	case "download":
		return w.download() + " (" + percentU(w.e.Share.Value, w.e.Share.U) + " of the trailer)"
	}
	label := w.ratingLabel(code)
	if name == "front" || name == "rear" {
		label += ", " + name
	}
	return label
}

// inForce is the place of the ratings in force where that of a set is wanted.
const inForce = -1

// left says what is left of the payload with the i-th set, with its ± U.
func (w *estimates) left(i int) string {
	payload, left := w.e.PayloadKg, w.e.PayloadLeft
	if i != inForce {
		payload, left = w.e.Sets[i].PayloadKg, w.e.Sets[i].PayloadLeft
	}
	switch {
	case payload == nil:
		return "payload: " + likelyWords["not_known"]
	case left == nil:
		return "payload " + w.massText(*payload) + " " + w.Unit + "; what is left of it is " + likelyWords["not_known"]
	case left.ValueKg < 0:
		over := record.StatedMass{ValueKg: -left.ValueKg, UKg: left.UKg}
		return "payload " + w.massText(*payload) + " " + w.Unit + ", exceeded by " + w.withUnit(&over)
	}
	return "payload " + w.massText(*payload) + " " + w.Unit + ", of which " + w.withUnit(left) + " is left"
}

// masses says what vehicle, trailer, download and both together come to.
func (w *estimates) masses() []string {
	e := w.e
	return []string{
		"vehicle, loaded: " + w.withUnit(e.Vehicle), "trailer, loaded: " + w.withUnit(e.Trailer),
		w.download() + ": " + w.withUnit(e.Download), "vehicle and trailer: " + w.withUnit(e.Combination),
	}
}

// fits says how heavy a trailer may be with the vehicle as loaded, and which
// rating stops it first, with the i-th set.
func (w *estimates) fits(i int) string {
	f, by := w.e.Fits, w.e.StopsFirst
	if i != inForce {
		f, by = w.e.Sets[i].Fits, w.e.Sets[i].StopsFirst
	}
	switch {
	case by == nil:
		return "how heavy a trailer may be is " + likelyWords["not_known"]
	case f.TrailerKg == nil:
		return "no trailer fits behind the vehicle as loaded: the " + w.keyLabel(by.Rating, by.On) + w.inState(by.State) + " stops any"
	}
	text := "behind the vehicle as loaded, up to " + w.massDown(*f.TrailerKg) + " " + w.Unit + " of trailer"
	if *f.DownloadKg > 0 {
		text += " with a " + w.download() + " of " + w.massDown(*f.DownloadKg)
	}
	return text + "; the " + w.keyLabel(by.Rating, by.On) + w.inState(by.State) + " stops it first (by the values alone, without ± U" + w.leftOut() + ")"
}

// leftOut names the ratings that the heaviest trailer is not sought under.
func (w *estimates) leftOut() string {
	var names []string
	for _, r := range w.e.Remarks {
		if r.Code == "not_in_fits" {
			names = addOnce(names, w.ratingLabel(r.Name))
		}
	}
	for _, i := range w.rows("") {
		if c := &w.e.Checks[i]; c.Verdict == "not_known" {
			names = addOnce(names, w.keyLabel(c.Rating, c.On))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "; left out: " + strings.Join(names, "; ")
}

// changes says what the i-th set of planned ratings changes, and what it leaves.
func (w *estimates) changes(i int) []string {
	all := []string{w.left(i), w.fits(i)}
	var lifts, leaves []string
	for _, row := range w.rows("") {
		c := &w.e.Checks[row]
		if c.Verdict != "likely_over" && c.Verdict != "open" {
			continue
		}
		name := w.keyLabel(c.Rating, c.On) + w.inState(c.State)
		switch verdict := w.inSet(w.e.Sets[i].Set, row); verdict {
		case "":
		case "likely_within":
			lifts = addOnce(lifts, name)
		default:
			leaves = addOnce(leaves, name+" ("+likelyWords[verdict]+")")
		}
	}
	if len(lifts) > 0 {
		all = append(all, "these ratings would bring likely within: "+strings.Join(lifts, "; "))
	}
	if len(leaves) > 0 {
		all = append(all, "these ratings would leave: "+strings.Join(leaves, "; "))
	}
	return append(all, w.boundOrder())
}

// boundOrder says that a raised rating raises no other.
func (w *estimates) boundOrder() string {
	return "a rating is worth no more than those below it: " + w.ratingLabel("tyre") + "s, wheels and springs, then the axle, then the " + w.ratingLabel("gvm") + ", then the " + w.ratingLabel("gcm")
}

// inSet is the gravest verdict of a set for the load of the i-th check.
func (w *estimates) inSet(set string, i int) string {
	like := &w.e.Checks[i]
	rank := map[string]int{"likely_within": 1, "not_known": 2, "open": 3, "likely_over": 4}
	worst := ""
	for _, row := range w.rows(set) {
		if c := &w.e.Checks[row]; c.Rating == like.Rating && c.On == like.On && c.State == like.State && rank[c.Verdict] > rank[worst] {
			worst = c.Verdict
		}
	}
	return worst
}

// restsOn says what the sums rest on and what they lack: what is particular to
// the job first.
func (w *estimates) restsOn() []string {
	var all []string
	for i := range w.e.Remarks {
		if w.e.Remarks[i].Code != "not_in_fits" {
			all = append(all, w.remark(i))
		}
	}
	all = append(all, w.shareText(), "an empty mass is taken as right to ± 4 % (common practice, no source), a load to its own uncertainty; ± U covers the truth about 95 times in 100")
	all = append(all, "on board is what "+w.reader("loads.csv", button("what_is_loaded"))+" lists, and nothing else: people, fuel, water and tools that it does not list are not in these sums")
	for _, c := range w.e.Checks {
		for _, code := range c.Assumed {
			all = addOnce(all, "assumed for "+w.ratingLabel(c.Rating)+": "+w.assumed(code))
		}
	}
	return all
}

func (w *estimates) shareText() string {
	share := "the " + w.download() + " is taken as " + percentU(w.e.Share.Value, w.e.Share.U) + " of the trailer's mass"
	switch w.e.Share.From {
	case "drawbar":
		return "a hinged drawbar puts no load on the coupling"
	case "outfit":
		return share + ": " + w.reader("download_share of outfit.csv", "the share you typed") + ", to ± 2 points"
	case "semi":
		return share + ", usual for a semi-trailer (common practice, no source); " + w.reader("download_share in outfit.csv states another", "type another under "+button("share_of_it_on_the"))
	}
	return share + ", usual where none is stated (common practice, no source); " + w.reader("download_share in outfit.csv states another", "type another under "+button("share_of_it_on_the"))
}

// remark says one of the things that the sums rest on or lack.
func (w *estimates) remark(i int) string {
	r := &w.e.Remarks[i]
	listed := w.reader("loads.csv", button("what_is_loaded"))
	switch r.Code {
	case "driver_included":
		return "a mass in running order has a driver of 75 kg and 90 % of the fuel in it (Regulation (EU) 1230/2012); " + listed + " lists no load driver, so the 75 kg stay in it"
	case "fuel_included":
		return "a mass in running order has a driver of 75 kg and 90 % of the fuel in it (Regulation (EU) 1230/2012); " + listed + " lists the driver, so the 75 kg were taken off; the fuel stays in it"
	case "trailer_at_atm":
		return "no empty mass of the trailer is stated: it is taken as heavy as its " + w.ratingLabel("atm") + " allows, whatever " + listed + " puts on it"
	case "bars_tensioned":
		return "it travels with tensioned bars: they take load off the rear axle and put it on the front axle and the trailer's axles, which these sums leave out"
	}
	return w.missing(r.Code, Escape(r.Name), r.Line)
}

// missing says what is not stated or cannot be stated, and where it would be.
func (w *estimates) missing(code, name string, line int) string {
	more := button("more_figures")
	switch code {
	case "no_vehicle_mass":
		return "no empty mass of the vehicle is stated: " + w.reader("add a line kerb, tare or running_order on vehicle to ratings.csv", "add its "+w.ratingLabel("kerb")+", on the vehicle, under "+more)
	case "no_trailer_mass":
		return "neither an empty mass of the trailer nor its " + w.ratingLabel("atm") + " is stated: " + w.reader("add a line tare on trailer, or atm, to ratings.csv", "add its "+w.ratingLabel("tare")+", on the trailer, under "+more)
	case "no_axle_mass":
		return "no empty mass of the " + onWord(name) + " axle is stated: " + w.reader("add a line kerb, tare or running_order on "+name+" to ratings.csv", "add its "+w.ratingLabel("kerb")+", on "+name+", under "+more)
	case "load_on_neither":
		return w.reader("loads.csv line "+itoa(line)+": "+name+" says neither vehicle nor trailer: fill in on or place", "it is not said whether "+name+" rides on the vehicle or the trailer: choose under "+button("what_is_loaded"))
	case "no_position":
		return w.reader("loads.csv line "+itoa(line)+": it is not known where "+name+" rides: give it a place, and the place an at, in places.csv",
			"it is not known where "+name+" rides: give it a place under "+button("what_is_loaded")+", and type how far that is under "+button("places_where_things_ride"))
	case "no_length":
		return "the loads of the axles need " + w.reader(name+" in outfit.csv", outfitField(name))
	case "part_of_group":
		return w.reader("ratings.csv line "+itoa(line)+": only", "only") + " a weighing says what " + onWord(name) + " carries of its group"
	}
	return codeWord(code)
}

// rounded says that printed figures need not add up, where they are pounds or
// a step of a sum is no whole kilogram.
func (w *estimates) rounded() string {
	broken := w.lb
	for _, s := range slices.Concat(w.e.PayloadSum, w.e.TrailerSum) {
		broken = broken || s.Kg != float64(int64(s.Kg))
	}
	if !broken {
		return ""
	}
	return "each figure is rounded separately, so the last digit of a sum may be off by one or two"
}
