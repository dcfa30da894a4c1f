package tickets

import (
	"slices"
	"strings"
)

// Table is a form as a spreadsheet shows it, for who fills in forms.
type Table struct {
	Notes  []string // the lines before the header that begin with "# "
	Sep    rune
	Header []string   // in lower case
	Rows   [][]string // the trimmed cells of each line, one for each of the header
	// Lines and Columns are the places of those lines and cells, as the faults
	// count them.
	Lines   []int
	Columns [][]int
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
		var columns []int
		for _, p := range r.places {
			columns = append(columns, int(p.column))
		}
		t.Rows, t.Lines, t.Columns = append(t.Rows, slices.Clone(r.cells)), append(t.Lines, f.number(r.first)), append(t.Columns, columns)
	}
	return t, nil
}

// ColumnsOf lists the columns of a form in their order, and those without which
// it says nothing; none of what is no form.
func ColumnsOf(form string) (all, required []string) {
	rank := formRank(form)
	if rank == len(specs) {
		return nil, nil
	}
	return slices.Clone(specs[rank].columns), slices.Clone(specs[rank].required)
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
