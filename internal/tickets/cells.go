package tickets

import (
	"slices"
	"strings"
)

// Table is a form as a spreadsheet shows it, for who fills in forms.
type Table struct {
	Known    []string // the columns that the form may have, in their order
	Required []string // those without which it says nothing
	Notes    []string // the lines before the header that begin with "# "
	Sep      rune
	Header   []string   // in lower case
	Rows     [][]string // the trimmed cells of each line, one for each of the header
	// Lines and Columns are the places of those lines and cells, as the faults
	// count them.
	Lines   []int
	Columns [][]int
	// Ratings is what each line of ratings.csv means; of other forms it is empty.
	Ratings []ratingMeaning
}

// ratingMeaning is the rating that a word of ratings.csv means, and the kind that the
// word itself says; "" where it is none.
type ratingMeaning struct{ Word, Kind string }

// TableOf splits a form and judges nothing but its shape: faults are
// those of the file and its header, of which there is no table but the columns
// that it may have.
func TableOf(in Form) (Table, []Fault) {
	rank := formRank(in.Name)
	if rank == len(specs) {
		return Table{}, []Fault{{File: in.Name, Line: 1, Column: 1, What: "not a form", Wanted: "one of " + strings.Join(FormNames(), ", "), All: true}}
	}
	faults := &sink{}
	f := readForm(in, specs[rank], faults)
	t := Table{Known: slices.Clone(f.spec.columns), Required: slices.Clone(f.spec.required)}
	if f.broken || len(f.index) == 0 {
		return t, faults.list
	}
	t.Sep, t.Header = f.sep, slices.Clone(f.header)
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
	records := f.records(&desk{}, spans, &sink{})
	for i := range records {
		r := &records[i]
		places := f.placesOf(r)
		var columns []int
		for _, p := range places[:min(len(places), len(r.cells))] {
			columns = append(columns, int(p.column))
		}
		t.Rows, t.Lines, t.Columns = append(t.Rows, slices.Clone(r.cells)), append(t.Lines, f.number(r.first)), append(t.Columns, columns)
	}
	if at, has := f.column("rating"); has && rank == ratingsForm {
		for _, cells := range t.Rows {
			t.Ratings = append(t.Ratings, meaningOf(cells[at]))
		}
	}
	return t, nil
}

func meaningOf(typed string) ratingMeaning {
	rule := ruleOf(typed)
	if rule == nil {
		return ratingMeaning{}
	}
	return ratingMeaning{rule.word, kindOfWord(typed)}
}
