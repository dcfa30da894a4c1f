package tickets

import (
	"slices"
	"strings"
)

// Table is a form as a spreadsheet shows it, for who fills in forms: the lines
// before the header that begin with "# ", the header in lower case, and every
// line with the place of its cells.
type Table struct {
	Notes  []string
	Sep    rune
	Header []string
	Rows   []TableRow
}

// TableRow is one line of a form: its trimmed cells, one for each of the
// header, and the column of each as the faults count it.
type TableRow struct {
	Line    int
	Cells   []string
	Columns []int
}

// TableOf takes a form apart and judges nothing but its shape: faults are
// those of the file and its header, for which there is no table.
func TableOf(in Form) (Table, []Fault) {
	rank := formRank(in.Name)
	if rank == len(specs) {
		return Table{}, []Fault{{File: in.Name, Line: 1, Column: 1, What: "not a form", Wanted: "one of " + strings.Join(FormNames(), ", "), All: true}}
	}
	faults := newSink()
	f := readForm(in, specs[rank], faults)
	if f.broken || len(f.index) == 0 {
		return Table{}, faults.list
	}
	t := Table{Sep: f.sep, Header: slices.Clone(f.header)}
	for i := range f.first - 1 {
		if line := strings.TrimRight(f.src.line(i), "\r\n"); isComment(line, f.sep) {
			t.Notes = append(t.Notes, line)
		}
	}
	spans := slices.Clone(f.noJob)
	for _, job := range f.jobs {
		spans = append(spans, f.byJob[job]...)
	}
	slices.SortFunc(spans, func(a, b span) int { return int(a.first - b.first) })
	for _, r := range f.records(spans, newSink()) {
		row := TableRow{Line: f.number(r.first), Cells: slices.Clone(r.cells)}
		for _, p := range r.places {
			row.Columns = append(row.Columns, int(p.column))
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

// ColumnsOf lists the columns of a form in their order; nil for what is no form.
func ColumnsOf(form string) []string {
	rank := formRank(form)
	if rank == len(specs) {
		return nil
	}
	return slices.Clone(specs[rank].columns)
}

// RequiredOf lists the columns without which a form says nothing.
func RequiredOf(form string) []string {
	rank := formRank(form)
	if rank == len(specs) {
		return nil
	}
	return slices.Clone(specs[rank].required)
}

// RatingWord gives the rating that a word of ratings.csv means, and the kind
// that the word itself says; "" where it is none.
func RatingWord(typed string) (word, kind string) {
	rule := ruleOf(typed)
	if rule == nil {
		return "", ""
	}
	return rule.word, kindOfWord(typed)
}
