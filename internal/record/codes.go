package record

// The codes of a record with their arguments (fields of Args). The JSON Schema
// has the same table; internal/words has a sentence for each, and a test wants
// one for every code here.

// code is one code and the arguments that come with it, by their JSON keys.
type code struct {
	Code string
	Args []string
}

// codes has every code of a record by the key that lists it: do, questions,
// cannot_be, cautions, footnotes, mistakes, assumed, and mind of a visit.
var codes = map[string][]code{
	"do": doCodes, "questions": questionCodes, "cannot_be": cannotBeCodes, "cautions": cautionCodes, "footnotes": footnoteCodes,
	"mistakes": mistakeKinds, "assumed": assumedCodes, "mind": mindCodes,
}

// doCodes are what line 1 can say, in the order in which it says them: the
// gravest first, then every other class. look_again comes first of all where the
// trailer was hardly uncoupled, since every load then rests on that.
//
//	compare             readings in conflict: the figure to compare with its ticket first (at_line, column, ticket, on); none: any line
//	compare_ticket      cannot_be: the figures of a ticket to compare (ticket, lines)
//	measure_again       only the ties disagree, and no reading explains that better than a length: lengths, or level ground
//	over_anyway         in a conflict: over under every listed mistake
//	over                a deciding check is over: kg to take off what it is on (download_min: to put on), guard included
//	over_elsewhere      over in a state, or against a line, that does not decide; kg is by how much the value exceeds the limit
//	unsettled           a deciding check is unsettled: kg that would settle it
//	weigh               deciding loads not weighed (checks)
//	find                usual ratings not given (ratings)
//	give_ratings        no rating decides
//	look_again          unanswered questions: name is the question's code, file, at_line; number how many there are
//	drive               within: number of ratings given (number)
//	drive_not_checked   within, but a deciding check is not checked (number)
//	within_known        within, but fewer than half of the usual ratings have a value (number of of_all)
//	not_on_trip         within as weighed, not over the trip: rating, on, state, names (loads), of (over, unsettled, not_known)
var doCodes = []code{
	{"compare", []string{"at_line", "column", "ticket", "on"}},
	{"compare_ticket", []string{"ticket", "lines"}},
	{"measure_again", nil},
	{"over_anyway", []string{"rating", "on", "state"}},
	{"over", []string{"rating", "on", "state", "kg"}},
	{"over_elsewhere", []string{"rating", "on", "state", "kg"}},
	{"unsettled", []string{"rating", "on", "state", "kg"}},
	{"weigh", []string{"checks"}},
	{"find", []string{"ratings"}},
	{"give_ratings", nil},
	{"look_again", []string{"file", "at_line", "name", "number"}},
	{"drive", []string{"number"}},
	{"drive_not_checked", []string{"number"}},
	{"within_known", []string{"number", "of_all"}},
	{"not_on_trip", []string{"rating", "on", "state", "names", "of", "kg", "u_kg", "limit_kg"}},
}

// questionCodes are the questions in their order; kg and u_kg are the value
// asked of, limit_kg or limit what it is compared with, value and u a ratio.
var questionCodes = []code{
	{"axle_light", []string{"on", "state", "kg", "u_kg", "limit_kg"}},
	{"not_uncoupled", []string{"kg", "u_kg", "value"}},
	{"share_high", []string{"kg", "u_kg", "value", "u", "limit"}},
	{"not_a_multiple", []string{"typed", "other"}}, // the reading and the interval, as typed, in the reading's unit
	{"left_out_disagrees", []string{"typed", "kg", "u_kg"}},
	{"with_everywhere", []string{"name"}},
	{"bars_unknown", nil},
	{"bars_not_stated", nil},
	{"rating_small", []string{"rating", "on", "kg", "set"}},
	{"axles_below_gvm", []string{"kg", "limit_kg", "set"}},
	{"axles_far_above_gvm", []string{"kg", "limit_kg", "set"}},
	{"axle_above_gvm", []string{"on", "kg", "limit_kg", "set"}},
	{"gvm_far_above", []string{"kg", "u_kg", "limit_kg", "set"}},
	{"gcm_below_gvm", []string{"kg", "limit_kg", "set"}},
	{"gcm_above_sum", []string{"kg", "limit_kg", "set"}},
	{"gtm_above_atm", []string{"kg", "limit_kg", "set"}},
	{"atm_far_above", []string{"kg", "u_kg", "limit_kg", "set"}},
	{"download_far_above", []string{"kg", "limit_kg", "set"}},
	{"axle_each", []string{"kg", "limit_kg", "set"}},
}

// cannotBeCodes are what cannot be. impossible: lines are those of the readings
// that decide the load. does_not_add_up: typed is the calculated figure, figures
// those that would mend the ticket, first those a digit away.
var cannotBeCodes = []code{
	{"impossible", []string{"kg", "u_kg", "lines"}},
	{"does_not_add_up", []string{"ticket", "typed", "figures"}},
}

// mistakeKinds are the kinds of a Mistake.
var mistakeKinds = []code{
	{"digits_swapped", nil}, {"digit_wrong", nil}, {"digit_count", nil}, {"unit_wrong", nil}, {"exchanged", nil}, {"hitch_wrong", nil},
	{"load_wrong", nil}, {"setup_wrong", nil}, {"calculated", nil}, {"length_wrong", nil}, {"zero_wrong", nil},
}

// assumedCodes are what a check's value can rest on beyond the readings.
var assumedCodes = []code{
	{"equal_share", nil}, {"fitted", nil}, {"scale_class", nil}, {"deck", nil}, {"interval", nil}, {"split", nil}, {"travels", nil},
}

// footnoteCodes are the remarks; line is that of the form named by the words.
var footnoteCodes = []code{
	{"people_not_stated", nil},
	{"no_time", nil},
	{"different_days", nil},
	{"interval_assumed", []string{"typed"}}, // the interval assumed, in kilograms
	{"travels_assumed", nil},
	{"no_hitch_stated", nil},
	{"looks_calculated", []string{"column"}},
	{"does_not_add_up", []string{"column"}},
	{"nose_off_deck", []string{"kg"}},
	{"below_minimum", []string{"column", "name"}}, // the scale
	{"above_max", []string{"column", "name"}},
	{"not_a_multiple", []string{"column", "typed"}},
	{"scale_verified_later", []string{"name"}},
	{"rating_not_in_force", []string{"rating", "on"}},
	{"share_unknown", []string{"name", "names"}}, // the load, and what is missing: columns or place
	{"strained", nil},
	{"sum_rounded", nil},
	{"equal_share", []string{"rating", "on"}},
	{"taken_as_calculated", []string{"column"}},
	{"confirmed_unasked", []string{"file", "name"}},
	{"hitch_unknown", nil},
	{"scale_assumed", []string{"name"}},
}

// cautionCodes are what is printed next to the verdict.
var cautionCodes = []code{
	{"download_not_positive", []string{"kg", "u_kg"}},
	{"axles_not_stated", []string{"names"}},                      // columns of outfit.csv, taken as 1
	{"share_below_guide", []string{"value", "u", "limit", "of"}}, // of: the guide's source
	{"over_restored", []string{"kg", "u_kg"}},
	{"assumed", []string{"of", "name"}}, // of: one of assumedCodes; name: the scale
	{"zero_unseen", []string{"name"}},
	{"eu_allowance", []string{"rating", "on", "kg"}},
	{"axles_below_certificate", []string{"kg", "limit_kg"}},
	{"trailer_heavier", []string{"value", "u", "limit", "of"}},
	{"trailer_brakes", []string{"kg", "u_kg", "limit_kg", "of"}},
	{"towing_default", []string{"kg", "u_kg", "limit_kg", "of"}},
	{"unbraked_share", []string{"kg", "u_kg", "limit_kg", "of"}},
	{"minimum_download", []string{"kg", "u_kg", "limit_kg", "of"}},
	{"tyres_together", []string{"on", "kg", "u_kg", "limit_kg", "of"}},
	{"brakes_not_stated", []string{"of"}},
	{"no_train_weight", nil},
	{"other_id", []string{"column", "typed", "other"}},
	{"front_dual", []string{"rating", "on", "number"}},
	{"dual_index_missing", []string{"on"}},
	{"tyres_uneven", []string{"on", "number"}},
	{"tyre_kind_not_stated", []string{"on"}},
	{"passenger_tyre", []string{"on"}},
	{"raised_alone", []string{"rating", "set", "ratings"}}, // a set, "" a certificate, raises the one; those that go with it stay
}

// mindCodes are what to see to before going to a weighbridge.
var mindCodes = []code{
	{"ratings", nil}, // not given yet
	{"lengths", nil}, // that would let moment ties help
	{"load", nil},    // as it travels: fuel, water, people or their number
	{"deck", nil},    // ask before going: length of the deck, level approach, weighing in parts
	{"pads", nil},    // every wheel on a pad or a dummy
	{"brakes", nil},  // off, in every reading of a part
	{"hitch", nil},   // the same tension as on the road; slack where said
	{"nose", nil},    // jockey wheel on the deck with the trailer alone, up when coupled
	{"gauge", nil},   // at towing height
	{"ticket", nil},  // what the operator should write
}
