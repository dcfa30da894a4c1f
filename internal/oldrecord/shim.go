package record

import (
	"fmt"
	"strings"

	"reconcile/internal/limits"
)

// What package limits now gives as codes is put into words here for as long as
// this version of the record drives the program.

// notGivenWords spells what is not given as version 1 did.
func notGivenWords(keys []limits.RatingKey) []string {
	words := []string{}
	for _, k := range keys {
		on := strings.ReplaceAll(k.On, "trailer_or_gtm", "trailer or gtm")
		words = append(words, strings.TrimSpace(k.Rating+" "+on))
	}
	return words
}

// verdictWord maps the verdicts that version 1 does not know.
func verdictWord(v limits.JobVerdict) string {
	if v == limits.JobUnconfirmed {
		return string(limits.JobIncomplete)
	}
	return string(v)
}

// sourceOf is where a rating was read.
func sourceOf(c *limits.Check) string {
	if c.Line == nil {
		return ""
	}
	return c.Line.Source
}

// cautionText puts a caution's code and figures into a line.
func cautionText(c limits.Caution) string {
	words := []string{strings.ReplaceAll(c.Code, "_", " ")}
	for _, w := range []string{c.Args.Rating, c.Args.On, c.Args.Of, c.Args.Name, c.Args.Typed, c.Args.Other, strings.Join(c.Args.Names, " ")} {
		if w != "" {
			words = append(words, w)
		}
	}
	if c.Args.Kg != nil {
		words = append(words, fmt.Sprintf("%s kg", Kg(*c.Args.Kg)))
	}
	return strings.Join(words, " ")
}

// assumedText says what a tyre's load rests on; what else is assumed version 1
// said in footnotes alone.
func assumedText(c *limits.Check) string {
	var words []string
	for _, code := range c.Assumed {
		switch code {
		case limits.EqualShare:
			words = append(words, "equal share of "+strings.Join(c.HeldOn, " and "))
		case limits.Fitted:
			words = append(words, "fitted not stated")
		}
	}
	return strings.Join(words, "; ")
}
