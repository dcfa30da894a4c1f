package words

import "reconcile/internal/record"

// set is a set of planned ratings.
type set struct {
	Name, Head string
	Effects    []string // which rows that are not kept it would lift and which it leaves, and in which order ratings bound one another
}

// setHead heads the table of a set of planned ratings.
func setHead(set string) string { return say("if these ratings applied (" + set + "):") }

// sets are those that have rows, in the order of the record.
func (w *Words) sets() []set {
	var names []string
	for _, c := range w.Record.Checks {
		if c.Set != "" {
			names = addOnce(names, c.Set)
		}
	}
	var all []set
	for _, name := range names {
		all = append(all, set{name, setHead(name), sayAll(w.setEffects(name))})
	}
	return all
}

// setEffects says which rows that are not kept a set would lift and which it
// leaves, and in which order ratings bound one another.
func (w *Words) setEffects(set string) []string {
	var lifts, leaves []string
	for c := range w.deciding() {
		if c.Verdict != "over" && c.Verdict != "unsettled" {
			continue
		}
		planned := w.inSet(set, *c)
		name := w.checkLabel(*c) + w.inState(c.State)
		switch {
		case planned == nil:
		case planned.Verdict == "within":
			lifts = addOnce(lifts, name)
		default:
			leaves = addOnce(leaves, name+" ("+codeWord(planned.Verdict)+")")
		}
	}
	var all []string
	if len(lifts) > 0 {
		all = append(all, "these ratings would bring within the limit: "+listed(lifts))
	}
	if len(leaves) > 0 {
		all = append(all, "these ratings would leave: "+listed(leaves))
	}
	if len(all) > 0 {
		tyres := w.ratingLabel("tyre") + "s"
		all = append(all, "a rating is worth no more than those below it: "+tyres+", wheels and springs, then the axle, then the "+w.ratingLabel("gvm")+", then the "+w.ratingLabel("gcm"))
	}
	return all
}

// inSet is the row of a set for the same load: of several the least margin.
func (w *Words) inSet(set string, like record.Check) *record.Check {
	var best *record.Check
	for i := range w.Record.Checks {
		c := &w.Record.Checks[i]
		if c.Set == set && c.Rating == like.Rating && c.On == like.On && c.State == like.State && (best == nil || lessMargin(c, best)) {
			best = c
		}
	}
	return best
}
