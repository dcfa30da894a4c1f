package pdfout

import "strings"

// quantities prints everything found with its U, basis and largest causes of
// doubt, in the record's order; then what could not be determined.
func (s *sheet) quantities() {
	g := s.newGrid(col(s.label("quantity"), 48, false), col(s.label("value"), 25, true), col(s.label("basis"), 24, false), col(s.label("causes"), 81, false))
	var missing []string
	for _, n := range s.rec.Quantities {
		said := s.say.Quantity(n.Name)
		if n.Value == nil {
			if s.rec.Outfit.Travels != "plain" || !ofTension(n.Name) { // a plain outfit has no hitch to be tensioned
				missing = append(missing, said.Label)
			}
			continue
		}
		g.add(said.Label, said.Text, orNone(said.Basis), orNone(strings.Join(said.Causes, "; ")))
	}
	if len(g.rows) > 0 {
		s.section(s.label("s_found"), s.label("found_remark"), g)
	}
	s.undetermined(missing)
}

// undetermined prints what has no number, and why, one reason a line.
func (s *sheet) undetermined(missing []string) {
	if len(missing) == 0 {
		return
	}
	s.gap(3 * pt)
	s.labelledLine(s.label("not_determined"), strings.Join(missing, "; "))
	for _, why := range s.say.Report().NotFound {
		s.labelledLine(s.label("why_no_number"), why)
	}
}

// ofTension reports whether a quantity is of an outfit with its hitch tensioned.
func ofTension(name string) bool {
	return strings.HasPrefix(name, "coupled_tensioned.") || name == "front_restored" || name == "restoration" || name == "hitch_moment"
}

// routes prints the download by each route and the guides next to the limits.
func (s *sheet) routes() {
	if len(s.rec.Routes) > 0 {
		g := s.newGrid(col(s.label("route"), 130, false), col(s.label("value_unit"), 48, true))
		for _, said := range s.say.Evidence().Routes {
			g.add(said...)
		}
		s.section(sentence(s.label("s_routes")), s.say.Report().OddRoute, g)
	}
	if len(s.rec.Guides) == 0 {
		return
	}
	g := s.newGrid(col(s.label("guide"), 58, false), col(s.label("value"), 27, true), col(s.label("usual"), 28, false), col(s.label("kept"), 17, false), col(s.label("source"), 48, false))
	for _, said := range s.say.Evidence().Guides {
		g.add(said[0], said[1], orNone(said[2]), said[3], said[4])
	}
	s.section(s.label("s_guides"), "", g)
}

// changes prints what changed since an earlier visit, with both dates.
func (s *sheet) changes() {
	if s.say.Earlier == nil {
		return
	}
	g := s.newGrid(col(s.label("load"), 62, false), col(s.label("then"), 28, true), col(s.label("now"), 28, true), col(s.label("change"), 28, true), col("", 32, false))
	changes := s.say.Report().Changes
	for _, c := range changes.Rows {
		g.add(c.Label, c.Old, c.New, c.By, c.Word)
	}
	if len(g.rows) == 0 {
		g.add(s.label("nothing"), none, none, none, none)
	}
	s.section(s.label("s_changes"), sentence(changes.Head), g)
}
