package words

import "strings"

// heads are the labels, headings and remarks of screen and pages, by a code of
// their own: leads of lines, heads of columns, titles of sections. [unit] is kg
// or lb, [download] and [interval] the region's words. A new label is one row.
var heads = map[string]string{
	// leads of the report on a terminal; the first six are fixed
	"do_now": "do now", "verdict": "verdict", "look_again": "look again", "not_weighed": "not weighed", "not_given": "not given",
	"declared": "declared", "next": "next",
	"why": "why", "job": "job", "outfit": "outfit", "found": "found", "why_not": "why not", "cautions": "cautions", "footnotes": "footnotes",
	"plan": "plan", "plan_for": "for the set", "instead": "instead of moving", "not_offered": "not offered", "limits_of_plan": "limits of the plan",
	"trip": "trip", "bars": "bars", "levers": "levers", "nothing": "nothing", "cannot_be": "cannot be", "replaces": "replaces", "signed": "signed",
	"hitch": "hitch", "caution": "caution", "complete": "complete", "only_declared": "only declared", "why_no_number": "why no number", "doubt_first": "in doubt",
	"doubt_more": "may be smeared", "not_determined": "not determined", "routes_disagree": "routes to the [download]", "asked": "asked and confirmed",
	"no_declared": "relying on declared masses: none", "none_unweighed": "every deciding load is weighed", "none_missing": "every usual rating is given",
	// heads of columns
	"rating": "rating", "on": "on", "state": "state", "value": "value ± U", "limit": "limit", "margin": "margin",
	"value_unit": "value ± U, [unit]", "limit_unit": "limit, [unit]", "margin_unit": "margin, [unit]", "p_over": "chance past limit", "hidden": "hidden mistake, [unit]",
	"line": "line", "ticket": "ticket", "below": "below", "when_where": "time, scale, site", "how": "how it was, on the deck", "entered": "entered", "how_weighed": "how weighed",
	"correction": "correction, [unit]", "reconciled": "reconciled, [unit]", "residual": "residual, [unit]", "doubt": "doubt", "u": "u, [unit]",
	"scale": "scale", "site": "site, operator", "class": "class", "interval": "[interval]", "max": "max", "deck": "deck", "certificate": "certificate, verified",
	"stated_uncertainty": "stated uncertainty", "quantity": "quantity", "basis": "basis", "causes": "largest causes of u, [unit]", "route": "route",
	"guide": "guide", "usual": "usual", "kept": "kept", "source": "source", "applies": "applies", "source_certificate": "source, certificate", "became": "what became of it",
	"tie": "tie", "compared": "what is compared", "load": "load", "stated": "stated, [unit]", "solved": "solved ± U, [unit]", "what": "what", "p_then": "p then",
	"u_now": "U now, [unit]", "u_then": "U then, [unit]", "place": "place", "fits": "fits, [unit]", "until": "until this rating is reached", "where": "where",
	"difference": "difference ± U, [unit]", "from": "from", "to": "to", "mass": "[unit]", "before": "before", "after": "after", "then": "then", "now": "now",
	"before_unit": "before ± U, [unit]", "after_unit": "after ± U, [unit]", "change": "change ± U", "still_over": "still too much, [unit]", "left_behind": "left behind",
	"file": "file", "lines": "lines", "sha256": "SHA-256", "question": "question", "answer": "what to write if it is right", "at_worst": "worst", "at_worst_value": "worst ± U, [unit]",
	"front": "front axle, [unit]", "rear": "rear axle, [unit]", "trailer": "trailer axle, [unit]", "restored": "bars", "adds": "adds, [unit]",
	// titles of sections
	"title": "Weighing summary", "what_to_do": "what to do now", "s_next": "What next", "s_trip": "Over the trip", "s_trip_all": "Over the trip: every rating that decides, at its worst", "s_bars": "How tight the bars may be",
	"s_levers": "What moving something does", "s_headroom": "Room left, by place", "s_imbalance": "Left less right, or one axle less the next",
	"s_plan": "Plan: what to move or leave behind", "s_blocking": "Limits that cannot be met together", "s_agreement": "How far the readings agree",
	"s_mistakes": "Single mistakes under which the readings would agree; none has been applied", "s_ties": "Moment ties in force", "s_loads": "Stated loads in the readings",
	"s_checks": "Every load and every rating", "s_set": "Set", "s_ratings": "Ratings as given", "s_readings": "Readings as entered, and what they became", "s_scales": "Scales",
	"s_found": "What was found", "s_routes": "[download] by each route", "s_guides": "Guides: common practice, which decides nothing", "s_footnotes": "Assumptions and footnotes",
	"s_method": "Method", "s_attached": "Attached files", "s_cautions": "Before you use this", "s_signoff": "Sign-off", "s_questions": "Look again: what is asked",
	"s_cannot_be": "What cannot be", "s_changes": "Changes since the earlier weighing", "s_declared": "Masses stated, not weighed",
	// sign-off and letterhead
	"owner": "owner", "vehicle": "vehicle", "trailer_unit": "trailer", "weighed": "weighed", "not_stated": "not stated", "licence": "licence", "number": "number", "issued": "issued",
	"weighed_by": "weighed by", "checked_by": "checked by", "received_by": "received by", "name": "name", "capacity": "capacity", "date": "date", "signature": "signature",
	"hash": "SHA-256 of the record, also in the square code:", "page": "page", "of": "of",
	// estimate, plan and visit
	"estimate": "from stated masses, nothing weighed", "rests_on": "what these sums rest on, and what they lack",
	"actions": "what to do, the greatest effect first:", "nearest": "the best that can be done, which still exceeds a limit:", "drive": "drive", "setup": "setup", "on_deck": "on_deck",
	"cross_checks": "also, so that a mistake would show:", "cross_check": "cross-check: with it a mistake would show", "known_then": "each rated load is then known", "mind": "before you go",
	// the sheet to take along
	"sheet": "Weighing sheet", "weighbridge": "weighbridge", "interval_shown": "[interval] on its plate", "empty_before": "display with nothing on the deck, before", "empty_after": "and after",
	"figure": "figure, [unit]", "time": "time", "s_known_then": "How well each rated load is then known, in [unit]", "s_mind": "Before you go",
	"mark_not_checked": "not cross-checked: a mistake in a reading it rests on would not show", "mark_tensioned": "passes only because the hitch is tensioned",
	"mark_assumed": "assumed",
	// words of the drawings and of cells
	"s_result": "Result", "s_chart": "Loads against the ratings that decide", "chart_legend": "dot and whisker: value ± U · heavy line: the limit", "chart_governs": "shaded: what governs",
	"trip_legend": "ring: as weighed · bar: lightest to heaviest · dot and whisker: worst ± U · heavy line: the limit", "unit_left": "[unit] left", "unit_over": "[unit] over", "left": "left", "off_axis": "in kN, not on this axis",
	"not_known": "not known", "s_axle_loads": "Axle loads", "not_to_scale": "not to scale", "to_scale": "axles and coupling to scale", "symbols": "bodies are symbols", "hitch_slack": "hitch slack", "uncoupled": "uncoupled",
	"axle": "axle", "no_length": "length not given", "on_its_wheels": "vehicle on its wheels", "in_set": "set", "of_certificate": "certificate", "certified": "certified", "verified": "verified", "copy": "copy",
	"without": "without", "with": "with", "of_column": "column", "on_board": "on board",
	// verdicts in the table of many jobs, where they are not their codes
	"conflict": "the readings disagree", "unconfirmed": "look again",
	// heads and remarks of tables and lists
	"row_verdict": "verdict", "checks": "loads compared with ratings, in [unit], true within ± U about 95 times in 100:", "others": "Also compared, not decisive:",
	"mistakes":        "possible single mistakes, most likely first (nothing has been changed):",
	"checks_remark":   "Bold rows decide. Hidden mistake: by how much a mistake in one reading could shift the value without showing; any: nothing cross-checks it.",
	"set_remark":      "A plan, not a finding: the verdict of this summary is that of the ratings in force.",
	"readings_remark": "Reconciled: what a scale without error would have shown. Correction: reconciled less entered. Residual: what is left unexplained after the scale's own common error. Doubt: the residual in its own standard deviations; above 3.29 the reading is suspect; on the line under it, the smallest mistake that would show; untested: nothing cross-checks it. e: [interval].",
	"found_remark":    "U = 2u; the true value is within ± U about 95 times in 100. Basis: weighed means that one reading had exactly these wheels on the deck; from the lengths, that it is not known without the moment ties; by difference, everything else.",
	"attached_remark": "The forms this summary was made from are inside this file, this job's lines only, byte for byte. Line numbers are those of the form.",
	"short_remark":    "These are the two pages of a short summary. Readings, agreement, assumptions and footnotes are in the record attached to this file.",
}

// conflictHeads are what some of them are where the readings contradict each
// other.
var conflictHeads = map[string]string{
	"row_verdict": "not to be relied on", "checks": "Provisional (the readings contradict each other), [unit]:",
	"checks_remark": "Provisional (the readings contradict each other): no row has a verdict.",
}

// countedHeads are those with a number in them, for one and for more.
var countedHeads = map[string][2]string{
	"omitted":   {"1 further row, not weighed and not decisive, is omitted", "[n] further rows, not weighed and not decisive, are omitted"},
	"trip_more": {"1 more rating is kept over the entire trip", "[n] more ratings are kept over the entire trip"},
}

// Head gives a label, heading or remark by its code; an unknown code comes back
// in words. One with a number in it is given that, and blank where it is none.
func (w *Words) Head(code string, number ...int) string {
	text, known := conflictHeads[code]
	if !known || w.Record.Verdict != "conflict" {
		text, known = heads[code]
	}
	switch {
	case len(number) > 0:
		text = countedHead(code, number[0])
	case !known:
		text = codeWord(code)
	}
	return say(strings.ReplaceAll(w.put(text), "[unit]", w.Unit))
}

func countedHead(code string, n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return countedHeads[code][0]
	}
	return strings.ReplaceAll(countedHeads[code][1], "[n]", itoa(n))
}
