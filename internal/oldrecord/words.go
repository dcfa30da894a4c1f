package record

import (
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
)

// notDetermined is printed where there is no number to print.
const notDetermined = "not determined"

// Kg prints a mass in whole kilograms, halves rounded away from zero and
// thousands set apart: 3,240. A value that is not finite prints as
// "not determined".
func Kg(kg float64) string {
	if math.IsNaN(kg) || math.IsInf(kg, 0) {
		return notDetermined
	}
	return grouped(decimal.NewFromFloat(kg).Round(0).String())
}

// KgText prints a mass that is held as a decimal string the way Kg does. Text
// that is no decimal is given back as it is.
func KgText(kg string) string {
	d, err := decimal.NewFromString(kg)
	if err != nil {
		return kg
	}
	return grouped(d.Round(0).String())
}

// grouped sets thousands apart in a whole number and never leaves "-0".
func grouped(digits string) string {
	sign := ""
	if rest, negative := strings.CutPrefix(digits, "-"); negative {
		sign, digits = "-", rest
	}
	if digits == "0" {
		return "0"
	}
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + "," + digits[at:]
	}
	return sign + digits
}

// PlusMinus prints the expanded uncertainty of a value whose standard
// uncertainty is u, in kilograms: "± 24" for u = 12 (U = 2u). It never says
// ± 0: what is smaller than that prints as ± 1.
func PlusMinus(u float64) string {
	if expanded := math.Round(2 * u); expanded < 1 {
		return "± 1"
	}
	return "± " + Kg(2*u)
}

// KgU prints a value with its expanded uncertainty from its standard one:
// "1,890 ± 24".
func KgU(kg, u float64) string { return Kg(kg) + " " + PlusMinus(u) }

// kn prints a force in kilonewtons to two decimals.
func kn(force float64) string {
	s := decimal.NewFromFloat(force).StringFixed(2)
	if s == "-0.00" {
		return "0.00"
	}
	return s
}

// RatingLabel gives what the owner's region calls a rating word.
func (r *Record) RatingLabel(word string) string {
	return regions.Label(word, regions.Region(r.Options.Region))
}

// DownloadLabel gives what the owner's region calls the coupling download.
func (r *Record) DownloadLabel() string {
	return regions.Label("download", regions.Region(r.Options.Region))
}

// CheckLabel names the rating of a check in the owner's words, with what it is
// on: "GVM", "axle rating, rear", "trailer tyre".
func (r *Record) CheckLabel(c Check) string {
	label := r.RatingLabel(c.Rating)
	switch {
	case c.On == "":
		return label
	case (c.Rating == "tyre" || c.Rating == "wheel") && !strings.Contains(c.On, "."):
		return c.On + " " + label
	}
	return label + ", " + OnWord(c.On)
}

// OnWord says what a rating is on: "rear", "rear axle 1", "trailer axle 2,
// left"; blank for a rating of the whole.
func OnWord(on string) string {
	group, axle, side := supportParts(on)
	if axle != "" {
		group += " axle " + axle
	}
	if side != "" {
		group += ", " + side
	}
	return group
}

// supportParts takes a term like trailer.2.left apart; parts not named are "".
func supportParts(term string) (group, axle, side string) {
	parts := strings.Split(term, ".")
	group = parts[0]
	for _, p := range parts[1:] {
		if p == "left" || p == "right" {
			side = p
		} else {
			axle = p
		}
	}
	return group, axle, side
}

// StateWord says a state in words. An outfit that travels plain has no hitch
// that could be slack, so its coupled state is "coupled" alone.
func (r *Record) StateWord(state string) string {
	switch state {
	case "vehicle_alone":
		return "vehicle alone"
	case "trailer_alone":
		return "trailer alone"
	case "coupled_slack":
		if r.Outfit.Travels == "plain" {
			return "coupled"
		}
		return "coupled, hitch slack"
	case "coupled_tensioned":
		return "coupled, hitch tensioned"
	}
	return state
}

// VerdictWord says a job's verdict as the second line of all output does.
// ratings is the number of rating lines with a deciding row and crossChecked
// whether every deciding row is checked; both matter to "within" alone.
func VerdictWord(verdict string, ratings int, crossChecked bool) string {
	switch verdict {
	case "conflict":
		return "the readings disagree"
	case "within":
		word := "within the " + strconv.Itoa(ratings) + " ratings given"
		if ratings == 1 {
			word = "within the 1 rating given"
		}
		if !crossChecked {
			word += ", not cross-checked"
		}
		return word
	}
	return verdict
}

// CheckVerdictWord says the verdict of one check: "not weighed" where there is
// no value to hold, else within, over or unsettled.
func CheckVerdictWord(verdict string) string { return strings.ReplaceAll(verdict, "_", " ") }

// BasisWord says where a value comes from.
func BasisWord(basis string) string {
	switch basis {
	case "moment":
		return "from the lengths"
	case "difference":
		return "by difference"
	}
	return basis
}

// RouteWord says by which readings a route finds the download.
func RouteWord(route string) string {
	switch route {
	case "trailer":
		return "whole trailer less its axles coupled"
	case "vehicle":
		return "vehicle coupled less vehicle alone"
	case "front_lift":
		return "what the front axle loses, by the lengths"
	case "gauge":
		return "gauge under the coupling"
	}
	return route
}

// ValueText prints what a check found, with its U: "1,890 ± 24", in kN with
// the unit, and "not weighed" where nothing was found.
func (c Check) ValueText() string {
	switch {
	case c.Verdict == "not_weighed":
		return "not weighed"
	case c.ValueKN != nil && c.UKN != nil:
		return kn(*c.ValueKN) + " ± " + kn(max(2**c.UKN, 0.01)) + " kN"
	case c.ValueKg != nil && c.UKg != nil:
		return KgU(*c.ValueKg, *c.UKg)
	}
	return "not weighed"
}

// LimitText prints the limit of a check; kN with the unit, kilograms without.
func (c Check) LimitText() string {
	switch {
	case c.LimitKN != nil:
		return *c.LimitKN + " kN"
	case c.LimitKg != nil:
		return KgText(*c.LimitKg)
	}
	return ""
}

// MarginText prints what is left to the limit, negative where it is passed;
// blank where nothing was weighed.
func (c Check) MarginText() string {
	switch {
	case c.Verdict == "not_weighed":
		return ""
	case c.MarginKN != nil:
		return kn(*c.MarginKN) + " kN"
	case c.MarginKg != nil:
		return Kg(*c.MarginKg)
	}
	return ""
}

// DeclaredText says a total that rests on masses declared rather than
// weighed, in kilograms: "weighed 3,240, declared away 300, held 2,940".
// A negative away was not aboard and is added.
func DeclaredText(weighed, away, held float64) string {
	declared := "declared away " + Kg(away)
	if away < 0 {
		declared = "declared added " + Kg(-away)
	}
	return "weighed " + Kg(weighed) + ", " + declared + ", held " + Kg(held)
}

// ReadingName says which figure of the tickets is meant: "line 7 (ticket 3,
// rear)"; the line alone where the record has no such reading.
func (r *Record) ReadingName(line int, column string) string {
	name := "line " + strconv.Itoa(line)
	for _, g := range r.Readings {
		if g.Line != line || g.Column != column {
			continue
		}
		on := g.OnDeck
		if on == "" {
			return name + " (ticket " + g.Ticket + ")"
		}
		return name + " (ticket " + g.Ticket + ", " + on + ")"
	}
	return name
}

// NotGivenLabel says an entry of not_given in the owner's words: "axle rating,
// front".
func (r *Record) NotGivenLabel(entry string) string {
	if entry == "axle trailer or gtm" {
		return r.RatingLabel("axle") + ", trailer, or " + r.RatingLabel("gtm")
	}
	word, on, _ := strings.Cut(entry, " ")
	return r.CheckLabel(Check{Rating: word, On: on})
}

// listed joins words as English does: "a, b and c".
func listed(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}
