package tickets

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/regions"
)

// ratingRule is what a rating word goes with.
type ratingRule struct {
	word     string
	also     []string // other words for it, lower case
	on       []string // words that on may be; none: on is refused
	support  bool     // on names a support instead
	sides    bool     // the support may be one side
	onNeeded bool
	kinds    []string
	fitted   bool
	unit     string // mass, kN, or tyre: a load index or a mass
	most     int64  // kg; above it the unit is wrong
	least    int64  // kg; below it the unit is wrong
	atLeast0 bool   // a value of 0 has a meaning
	states   []string
	empty    bool // an empty mass, not a limit
}

var (
	couplings     = []string{"vehicle", "towbar", "ball", "coupling"}
	emptyOf       = []string{"vehicle", "trailer", "front", "rear"}
	allStates     = []string{"alone", "coupled", "slack", "tensioned"}
	coupledStates = []string{"coupled", "slack", "tensioned"}
)

// The most that ratings are read for, in kilograms: far above what is towed on
// roads, and below kilograms typed as tonnes, which would keep any load within
// (common practice, no source).
const (
	mostOutfit   = 300_000
	mostGroup    = 100_000
	mostCoupling = 20_000
	mostTyre     = 20_000
	leastMass    = 20 // of vehicles, trailers and axles: below it tonnes were typed as kilograms
)

// ratingRules is the table of ratings, with the words of the regions that are
// read for them.
var ratingRules = []ratingRule{
	{word: "gvm", also: []string{"gvwr", "gvw", "dgvw", "mam_vehicle", "f.1", "f.2"}, unit: "mass", most: mostOutfit, least: leastMass, states: allStates},
	{word: "gcm", also: []string{"gcwr", "gtw", "dgcw", "mc", "f.3"}, unit: "mass", most: mostOutfit, least: leastMass, states: coupledStates},
	{word: "atm", also: []string{"gvwr_trailer", "gvm_trailer", "mtplm", "mam_trailer"}, unit: "mass", most: mostOutfit, least: leastMass, states: coupledStates},
	{word: "gtm", unit: "mass", most: mostOutfit, least: leastMass, states: coupledStates},
	{word: "axle", also: []string{"gawr"}, support: true, onNeeded: true, unit: "mass", most: mostGroup, least: leastMass, states: allStates},
	{word: "towing", also: []string{"o.1", "o.2", "tm"}, kinds: []string{"braked", "unbraked"}, unit: "mass", most: mostOutfit, least: leastMass, states: coupledStates},
	{word: "download_max", also: []string{"noseweight", "tongue", "ball_weight", "s"}, on: couplings, unit: "mass", most: mostCoupling, states: coupledStates},
	{word: "download_min", on: couplings, unit: "mass", most: mostCoupling, atLeast0: true, states: coupledStates},
	{word: "d_value", on: []string{"towbar", "coupling"}, unit: "kN", states: coupledStates},
	{word: "tyre", support: true, sides: true, onNeeded: true, kinds: []string{"passenger", "commercial"}, fitted: true, unit: "tyre", most: mostTyre, states: allStates},
	{word: "wheel", support: true, sides: true, onNeeded: true, fitted: true, unit: "mass", most: mostTyre, states: allStates},
	{word: "kerb", on: emptyOf, onNeeded: true, unit: "mass", most: mostOutfit, least: leastMass, empty: true},
	{word: "tare", on: emptyOf, onNeeded: true, unit: "mass", most: mostOutfit, least: leastMass, empty: true},
	{word: "running_order", on: emptyOf, onNeeded: true, unit: "mass", most: mostOutfit, least: leastMass, empty: true},
}

// rulesByWord are the rules of all words as they are mostly typed: in lower case,
// with single spaces.
var rulesByWord = sync.OnceValue(func() map[string]*ratingRule {
	rules := map[string]*ratingRule{}
	for _, word := range ratingWords() {
		rules[word] = findRule(word)
	}
	return rules
})

// ruleOf finds the rule of a rating word or of another word for it.
func ruleOf(word string) *ratingRule {
	if rule := rulesByWord()[word]; rule != nil {
		return rule
	}
	return findRule(word)
}

// findRule looks for it without regard to case and spaces.
func findRule(word string) *ratingRule {
	word = strings.ToLower(strings.Join(strings.Fields(word), " "))
	if of, ok := labelWords[word]; ok {
		word = of
	}
	for i := range ratingRules {
		if r := &ratingRules[i]; r.word == word || slices.Contains(r.also, word) {
			return r
		}
	}
	return nil
}

// ratingWords lists every word that is read.
func ratingWords() []string {
	var words []string
	for _, r := range ratingRules {
		words = append(append(words, r.word), r.also...)
	}
	return append(words, slices.Sorted(maps.Keys(labelWords))...)
}

// labelWords gives the rating word for every label that a page can print, in
// lower case: what somebody reads there may be typed into a form.
var labelWords = func() map[string]string {
	words := map[string]string{}
	for i := range regions.Table {
		for _, r := range ratingRules {
			words[strings.ToLower(regions.Table[i].Labels[r.word])] = r.word
		}
		for _, label := range []string{"download", "download_semi"} {
			words[strings.ToLower(regions.Table[i].Labels[label])] = "download_max"
		}
	}
	return words
}()

// kindOfWord is the kind that a word itself says: boxes O.1 and O.2 of a
// registration document hold the braked and the unbraked mass (Directive
// 1999/37/EC, Annex I).
func kindOfWord(word string) string {
	switch strings.ToLower(word) {
	case "o.1":
		return "braked"
	case "o.2":
		return "unbraked"
	}
	return ""
}
