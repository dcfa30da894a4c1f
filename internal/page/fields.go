package page

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"reconcile/internal/tickets"
)

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// input is one field: what it is called, where its value goes, and whose
// faults it shows.
type input struct {
	do, at      string // the action that a change of it is
	label, help string
	value       string
	kind        string // text, decimal, number, date, time, select, check, file
	choices     []choice
	form        string
	row         int
	columns     []string // whose faults are shown here
	noted       string   // read back below it
	class       string
	name        string // said in place of a label that shows
}

// fieldID is a name for a field that stays while its line moves.
func fieldID(do, where string) string {
	return "f-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' {
			return r
		}
		return '-'
	}, strings.ToLower(do+"-"+where))
}

// field draws a label, its field, and what there is to say of it.
func (pg *page) field(in input) string {
	id := fieldID(in.do, in.at)
	if pg.again {
		id = "w" + id[1:]
	}
	said, invalid := pg.faultsAt(in)
	describedBy := off
	if said != "" || in.help != "" || in.noted != "" {
		describedBy = id + "-said"
	}
	common := at{"id", id, "data-do", in.do, "data-at", in.at, "aria-describedby", describedBy, "aria-invalid", when(invalid, "true"), "aria-label", orOff(in.name)}
	var control string
	switch in.kind {
	case "select":
		control = el("select", common, selected(in.value, in.choices))
	case "check":
		box := el("input", append(at{"type", "checkbox", "checked", when(in.value != "", "")}, common...))
		return el("div", at{"class", "field check " + in.class}, el("label", at{"for", id}, box, " ", esc(in.label)), below(id, in, said))
	default:
		kind := inputKind(in.kind)
		if kind[1] != "file" {
			common = append(common, "value", in.value)
		}
		control = el("input", append(kind, common...))
	}
	shown := ""
	if in.label != "" {
		shown = el("label", at{"for", id}, esc(in.label))
	}
	return el("div", at{"class", "field " + in.class}, shown, control, below(id, in, said))
}

// inputKind are the attributes by which a telephone shows the right keys.
func inputKind(kind string) at {
	switch kind {
	case "decimal":
		return at{"type", "text", "inputmode", "decimal", "autocomplete", "off", "size", "8"}
	case "number":
		return at{"type", "text", "inputmode", "numeric", "autocomplete", "off", "size", "4"}
	case "date", "time":
		return at{"type", kind}
	case "photo":
		return at{"type", "file", "accept", "image/*"}
	case "files":
		return at{"type", "file", "multiple", "", "accept", ".zip,.csv,.pdf"}
	case "pdfs":
		return at{"type", "file", "multiple", "", "accept", ".pdf"}
	case "key":
		return at{"type", "file", "accept", ".p12,.pfx"}
	case "password":
		return at{"type", "password", "autocomplete", "off"}
	}
	return at{"type", "text", "autocomplete", "off"}
}

func below(id string, in input, said string) string {
	if said == "" && in.help == "" && in.noted == "" {
		return ""
	}
	return el("div", at{"id", id + "-said", "class", "below"}, said, p("noted", in.noted), p("help", in.help))
}

// faultsAt are the core's faults at the cells of a field; invalid where one of
// them is about something typed, and not about something still to be filled in.
func (pg *page) faultsAt(in input) (said string, invalid bool) {
	for i := range pg.faults {
		f := &pg.faults[i]
		if f.File != in.form || in.form == "" {
			continue
		}
		row, column := pg.forms.at(f.File, f.Line, f.Column)
		if row != in.row || !slices.Contains(in.columns, column) {
			continue
		}
		pg.shown[f.Error()] = true
		class := "fault"
		if pg.forms.cell(f.File, row, column) == "" {
			class = "todo"
		} else {
			invalid = true
		}
		said += el("p", at{"class", class, "data-fault", f.Error()}, esc(sentence(pg.faultText(f))))
	}
	return said, invalid
}

// said are the faults of cells that have no field of their own.
func (pg *page) said(form string, row int, columns ...string) string {
	text, _ := pg.faultsAt(input{form: form, row: row, columns: columns})
	return text
}

// faultText is a fault without its place: that is where it is shown. One that is
// at no line of a form the page draws is about a file that was opened.
func (pg *page) faultText(f *tickets.Fault) string {
	if pg.forms.rowAt(f.File, f.Line) < 0 || pg.partInText(f.File) == "" {
		text := say("in_the_file_x", f.File, itoa(f.Line), itoa(f.Column), f.What)
		if f.Wanted != "" {
			text += " (" + f.Wanted + ")"
		}
		return strings.TrimSuffix(text+". "+sentence(f.Hint), " ")
	}
	return pg.words().Fault(f.File, f.What, f.Wanted, f.Hint)
}

// otherFaults are those of a form that no field shows.
func (pg *page) otherFaults(names ...string) string {
	var all strings.Builder
	for i := range pg.faults {
		f := &pg.faults[i]
		if pg.shown[f.Error()] || !slices.Contains(names, f.File) {
			continue
		}
		pg.shown[f.Error()] = true
		all.WriteString(el("li", at{"class", "fault", "data-fault", f.Error()}, esc(pg.placeWord(f)+sentence(pg.faultText(f)))))
	}
	if all.Len() == 0 {
		return ""
	}
	return el("ul", at{"class", "faults"}, all.String())
}

// questions are those asked at a line, each with a way to say that the line is
// right as it is.
func (pg *page) questions(form string, row int) string {
	r := pg.record()
	if r == nil {
		return ""
	}
	var b strings.Builder
	for i, q := range r.Questions {
		if q.File == form && pg.forms.rowAt(form, q.Line) == row && q.Code != "bars_not_stated" {
			b.WriteString(pg.question(i, row))
		}
	}
	return b.String()
}

// question is the i-th of the record.
func (pg *page) question(i, row int) string {
	q, said := pg.record().Questions[i], pg.words().Headline().Questions[i]
	where := q.File + "|" + itoa(row) + "|" + q.Code
	inside := p("", sentence(said.Asked))
	if q.Answered {
		inside += p("noted", sentence(said.Answer)) + button("", "unconfirm", where, "", say("ask_again"))
	} else {
		inside += button("", "confirm", where, "", say("yes_i_checked_it_is"))
	}
	return el("div", at{"class", "question", "id", fieldID("question", where), "data-question", q.Code, "tabindex", "-1"}, inside)
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	s = strings.ToUpper(s[:1]) + s[1:]
	if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") {
		s += "."
	}
	return s
}

// cellField is a field that is a cell of a form.
func (pg *page) cellField(form string, row int, column, label, kind string, choices ...choice) string {
	return pg.field(input{
		do: "cell", at: form + "|" + itoa(row) + "|" + column, label: label, kind: kind, choices: choices,
		value: pg.forms.cell(form, row, column), form: form, row: row, columns: []string{column},
	})
}

// oneField is a field of outfit.csv, which has one line.
func (pg *page) oneField(column, label, kind, help string, choices ...choice) string {
	return pg.field(input{
		do: "one", at: "outfit.csv|" + column, label: label, kind: kind, choices: choices, help: help,
		value: pg.forms.one("outfit.csv", column), form: "outfit.csv", row: 0, columns: []string{column},
	})
}

// photo is the field for the copy of a line.
func (pg *page) photo(form string, row int, label string) string {
	where := form + "|" + itoa(row) + "|copy"
	name := pg.forms.cell(form, row, "copy")
	in := pg.field(input{do: "photo", at: where, label: label, kind: "photo", form: form, row: row, columns: []string{"copy"}})
	if name == "" {
		return in
	}
	if b := pg.forms.copies[name]; len(b) > 0 && !isPicture(b) {
		return el("div", at{"class", "photo"}, in, p("noted", say("x_is_no_picture", name)), button("quiet", "drop-photo", where, "", say("take_the_file_away")))
	}
	return el("div", at{"class", "photo"}, el("img", at{"data-copy", name, "alt", say("photo_x", name), "width", "96"}), p("noted", name), button("quiet", "drop-photo", where, "", say("take_the_photo_away")))
}

// isPicture says whether a file begins as a picture that browsers show: JPEG,
// PNG, GIF, WebP, BMP.
func isPicture(b []byte) bool {
	if len(b) > 12 && string(b[:4]) == "RIFF" && string(b[8:12]) == "WEBP" {
		return true
	}
	return slices.ContainsFunc([]string{"\xff\xd8\xff", "\x89PNG", "GIF8", "BM"}, func(begin string) bool { return bytes.HasPrefix(b, []byte(begin)) })
}

var unitChoices = []choice{{"kg", "kg"}, {"t", "t"}, {"lb", "lb"}}
