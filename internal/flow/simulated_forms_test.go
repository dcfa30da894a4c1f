package flow_test

import (
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
)

// forms writes the visit as the CSV forms of a job: name to bytes.
func (v *simulatedVisit) forms() map[string][]byte {
	all := map[string][]byte{
		"tickets.csv": v.ticketsForm(),
		"ratings.csv": v.ratingsForm(),
		"outfit.csv":  v.outfitForm(),
	}
	if v.scalesTyped {
		all["scales.csv"] = v.scalesForm()
	}
	if loads := v.named(); len(loads) > 0 {
		all["loads.csv"], all["places.csv"] = v.loadsForm(loads)
	}
	return all
}

// table writes lines of cells.
func table(lines ...[]string) []byte {
	var b strings.Builder
	w := csv.NewWriter(&b)
	if err := w.WriteAll(lines); err != nil {
		panic(err)
	}
	return []byte(b.String())
}

// ticketsForm writes one line a reading, or, of wheels, one line a weighing.
func (v *simulatedVisit) ticketsForm() []byte {
	columns := []string{"ticket", "scale", "setup", "hitch", "unit", "without", "with", "people", "use", "note"}
	if v.scale.deck != "pads" {
		lines := [][]string{append(columns, "on_deck", "reading")}
		for i := range v.drafts {
			w := &v.drafts[i]
			lines = append(lines, append(v.line(w), w.deck, w.figure))
		}
		return table(lines...)
	}
	wheels := slices.Concat(vehicleWheels, trailerWheels[:2*v.outfit.trailerAxles], []string{"nose"})
	lines := [][]string{append(columns, wheels...)}
	at := map[string]int{}
	for i := range v.drafts {
		w := &v.drafts[i]
		if at[w.ticket] == 0 {
			at[w.ticket] = len(lines)
			lines = append(lines, append(v.line(w), make([]string, len(wheels))...))
		}
		lines[at[w.ticket]][len(columns)+slices.Index(wheels, w.deck)] = w.figure
	}
	return table(lines...)
}

// line is what a line of tickets.csv says in addition to deck and figure.
func (v *simulatedVisit) line(w *draft) []string {
	people := ""
	if w.setup != "trailer_alone" {
		people = strconv.Itoa(len(v.people()) - len(w.absent) + len(w.extra))
	}
	if slices.Contains(w.absent, "water") {
		people = strconv.Itoa(len(v.people()))
		if w.setup == "trailer_alone" {
			people = ""
		}
	}
	return []string{w.ticket, v.of(w).name, w.setup, w.hitch, v.of(w).unit, strings.Join(w.without, "+"), strings.Join(w.with, "+"), people, w.use, w.note}
}

func (v *simulatedVisit) ratingsForm() []byte {
	lines := [][]string{{"rating", "on", "value", "unit", "kind", "source"}}
	for _, p := range v.typed {
		lines = append(lines, []string{p.word, p.on, p.value, p.unit, p.kind, "plate"})
	}
	return table(lines...)
}

// outfitForm writes the lengths as they were measured, to about 10 mm.
func (v *simulatedVisit) outfitForm() []byte {
	o := v.outfit
	line := map[string]string{
		"people": strconv.Itoa(len(v.people())), "rear_axles": "1", "trailer_axles": strconv.Itoa(o.trailerAxles),
		"trailer_brakes": "overrun", "region": v.region, "length_unit": "mm",
	}
	if v.travelsTyped {
		line["travels"] = "plain"
		if o.bars {
			line["travels"] = "tensioned"
		}
	}
	if v.lengthsTyped {
		measured := func(mm float64) string { return strconv.Itoa(int(math.Round(mm + v.d.normal(10)))) }
		line["wheelbase"], line["rear_axle_to_coupling"] = measured(o.wheelbase), measured(o.overhang)
		line["coupling_to_trailer_axle"], line["nose_support_to_trailer_axle"] = measured(o.drawbar), measured(o.nose)
	}
	if o.kind == "drawbar" {
		line["nose_support_to_trailer_axle"] = ""
	}
	var names, cells []string
	for _, name := range []string{
		"people", "wheelbase", "rear_axle_to_coupling", "coupling_to_trailer_axle", "nose_support_to_trailer_axle",
		"rear_axles", "trailer_axles", "length_unit", "travels", "trailer_brakes", "region",
	} {
		names, cells = append(names, name), append(cells, line[name])
	}
	if o.kind != "" {
		names, cells = append(names, "trailer_kind"), append(cells, o.kind)
	}
	return table(names, cells)
}

func (v *simulatedVisit) scalesForm() []byte {
	lines := [][]string{{"scale", "class", "interval", "unit", "deck"}}
	for _, s := range []*simulatedScale{v.scale, v.gauge} {
		if s != nil {
			lines = append(lines, []string{s.name, s.class, strconv.FormatFloat(s.interval, 'f', -1, 64), s.unit, s.deck})
		}
	}
	return table(lines...)
}

// named lists who is named in with or without.
func (v *simulatedVisit) named() []carried {
	var all []carried
	everybody := append(slices.Clone(v.outfit.vehicle), carried{"weigher", 80, 2400})
	for _, c := range everybody {
		if c.name != "" && slices.ContainsFunc(v.drafts, func(w draft) bool {
			return slices.Contains(w.with, c.name) || slices.Contains(w.without, c.name)
		}) {
			all = append(all, c)
		}
	}
	return all
}

// loadsForm writes what people say they weigh, which is right to about 5 %.
func (v *simulatedVisit) loadsForm(named []carried) (loads, places []byte) {
	lines := [][]string{{"load", "mass", "unit", "on", "place"}}
	seats := [][]string{{"place", "on", "at"}}
	for _, c := range named {
		says := max(math.Round(c.kg*(1+v.d.normal(0.05))), 20)
		lines = append(lines, []string{c.name, strconv.Itoa(int(says)), "kg", "vehicle", "seat of " + c.name})
		seats = append(seats, []string{"seat of " + c.name, "vehicle", strconv.Itoa(int(c.at))})
	}
	return table(lines...), table(seats...)
}
