package oldpdfout

import (
	"slices"
	"strings"

	record "reconcile/internal/oldrecord"
)

// states are the states of a solution, in the order printed.
var states = []string{"vehicle_alone", "trailer_alone", "coupled_slack", "coupled_tensioned"}

// singles are the quantities of no state, in the order printed.
var singles = []string{"trailer_mass", "combination", "download", "download_share", "front_lift", "front_restored", "restoration", "hitch_moment",
	"vehicle_cg", "trailer_cg", "payload_used", "payload_left", "trailer_payload_used", "trailer_payload_left", "unlisted"}

// quantityNames are all names of a record: state by state, the whole supports
// before the finer ones, then the rest.
func quantityNames(r *record.Record) []string {
	var names []string
	take := func(match func(string) bool) {
		var some []string
		for name := range r.Quantities {
			if match(name) && !slices.Contains(names, name) {
				some = append(some, name)
			}
		}
		slices.Sort(some)
		names = append(names, some...)
	}
	for _, state := range states {
		for _, support := range []string{"front", "rear", "vehicle", "trailer", "nose"} {
			take(func(n string) bool { return n == state+"."+support })
		}
		take(func(n string) bool { return strings.HasPrefix(n, state+".") })
	}
	for _, single := range singles {
		take(func(n string) bool { return n == single })
	}
	take(func(string) bool { return true })
	return names
}

// quantities prints everything found with its U, basis and largest causes of
// doubt; then, in one sentence, what could not be determined.
func (s *sheet) quantities(r *record.Record) {
	if len(r.Quantities) == 0 {
		return
	}
	g := newGrid(column{"quantity", 48, false}, column{"value ± U", 25, true}, column{"basis", 24, false}, column{"largest causes of u, kg", 81, false})
	var missing []string
	for _, name := range quantityNames(r) {
		q := r.Quantities[name]
		if q == nil && r.Outfit.Travels == "plain" && ofTension(name) {
			continue // there is no hitch to be tensioned
		}
		if q == nil {
			missing = append(missing, r.QuantityLabel(name))
			continue
		}
		g.add(r.QuantityLabel(name), r.QuantityText(name), orNone(record.BasisWord(q.Basis)), budget(r.Budgets[name]))
	}
	s.section("What was found", record.FoundRemark, g)
	if len(missing) > 0 {
		s.gap(3 * pt)
		s.labelledLine("not determined", strings.Join(missing, "; "))
	}
}

// ofTension reports whether a quantity is of an outfit with its hitch tensioned.
func ofTension(name string) bool {
	return strings.HasPrefix(name, "coupled_tensioned.") || slices.Contains([]string{"front_restored", "restoration", "hitch_moment"}, name)
}

// budget lists the causes of an uncertainty.
func budget(causes []record.Cause) string {
	var texts []string
	for _, c := range causes {
		texts = append(texts, c.Cause+": "+rounded(c.UKg, 1))
	}
	return orNone(strings.Join(texts, "; "))
}

// routes prints the download by each route and the guides beside it.
func (s *sheet) routes(r *record.Record) {
	if len(r.Routes) > 0 {
		g := newGrid(column{"route", 130, false}, column{"value ± U, kg", 48, true})
		for _, p := range r.Routes {
			g.add(record.RouteWord(p.Route), record.KgU(p.ValueKg, p.UKg))
		}
		s.section(sentence(r.DownloadLabel())+" by each route", "", g)
	}
	if len(r.Guides) == 0 {
		return
	}
	g := newGrid(column{"guide", 58, false}, column{"value ± U", 27, true}, column{"usual", 28, false}, column{"kept", 17, false}, column{"source", 48, false})
	for _, q := range r.Guides {
		g.add(r.GuideLabel(q), q.ValueText(), q.UsualText(), q.KeptText(), q.Source)
	}
	s.section("Guides beside the limits; they decide nothing", "", g)
}
