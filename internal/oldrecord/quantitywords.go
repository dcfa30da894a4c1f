package record

import "strings"

// quantityWords are the names of single quantities; a % stands for what the
// region calls the download, the GVM or the ATM, as the quantity needs it.
var quantityWords = map[string]string{
	"trailer_mass":         "whole trailer",
	"combination":          "whole outfit",
	"download":             "%",
	"front_lift":           "lifted off the front axle when coupled",
	"front_restored":       "put back on the front axle by the hitch",
	"download_share":       "%, share of the whole trailer",
	"restoration":          "share of the lift that the hitch puts back",
	"hitch_moment":         "moment of the tensioned hitch",
	"vehicle_cg":           "centre of gravity of the vehicle, behind its front axle",
	"trailer_cg":           "centre of gravity of the trailer, ahead of its axle",
	"payload_used":         "payload used, vehicle",
	"payload_left":         "payload left to the %",
	"trailer_payload_used": "payload used, trailer",
	"trailer_payload_left": "payload left to the %",
	"unlisted":             "aboard the vehicle, not listed",
}

// quantityRating is the rating word that stands for the % of quantityWords.
var quantityRating = map[string]string{
	"download":             "download",
	"download_share":       "download",
	"payload_left":         "gvm",
	"trailer_payload_left": "atm",
}

// QuantityLabel says the name of a quantity in the owner's words: "rear axle,
// coupled", "towball download". An unknown name comes back as it is.
func (r *Record) QuantityLabel(name string) string {
	if words, single := quantityWords[name]; single {
		return strings.Replace(words, "%", r.RatingLabel(quantityRating[name]), 1)
	}
	state, support, found := strings.Cut(name, ".")
	if !found {
		return name
	}
	if name == "vehicle_alone.vehicle" {
		return "whole vehicle, alone"
	}
	return r.SupportWord(support) + ", " + r.StateWord(state)
}

// SupportWord says a support in words: "rear axle", "trailer axle group"
// where the outfit has several, "rear axle 1, left", "jockey wheel".
func (r *Record) SupportWord(support string) string {
	group, axle, side := supportParts(support)
	var word string
	switch group {
	case "vehicle":
		word = "whole vehicle"
	case "nose":
		word = "jockey wheel or stand"
	case "front", "rear", "trailer":
		word = group + " axle"
		if axle == "" && r.severalAxles(group) {
			word += " group"
		}
	default:
		word = group
	}
	if axle != "" {
		word += " " + axle
	}
	if side != "" {
		word += ", " + side
	}
	return word
}

// severalAxles says whether the outfit states more than one axle in a group.
func (r *Record) severalAxles(group string) bool {
	axles := r.Outfit.TrailerAxles
	switch group {
	case "rear":
		axles = r.Outfit.RearAxles
	case "front":
		return false
	}
	return axles != nil && *axles > 1
}
