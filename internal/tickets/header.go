package tickets

import (
	"fmt"
	"slices"
	"strings"
)

// sniff recognises the separator from the header: the one that gives the most
// known columns, then the most cells; a comma where none does.
func (f *form) sniff() rune {
	header := f.headerLine()
	best, known, cells := ',', -1, 0
	for _, sep := range ",;\t" {
		n, parts := 0, 0
		for p := range strings.SplitSeq(header, string(sep)) {
			if parts++; parts > maxColumns {
				break
			}
			if f.spec.knows(canonical(strings.Trim(strings.TrimSpace(p), `"`))) {
				n++
			}
		}
		if n > known || n == known && parts > cells {
			best, known, cells = sep, n, parts
		}
	}
	return best
}

// headerLine is the first line that is neither blank nor a comment.
func (f *form) headerLine() string {
	for i := 0; i < len(f.src.start); i++ {
		l := strings.TrimSpace(f.src.line(i))
		switch {
		case strings.Trim(l, ",;\t \"") == "" || isComment(l, ','):
		case strings.HasPrefix(l, `"#`):
			// A quoted comment may run over several lines.
			for open := strings.Count(l, `"`)%2 == 1; open && i+1 < len(f.src.start); {
				i++
				open = strings.Count(f.src.line(i), `"`)%2 == 0
			}
		default:
			return l
		}
	}
	return ""
}

// canonical is a header name without regard to case.
func canonical(name string) string { return strings.ToLower(trim(name)) }

// readHeader checks the column names. A line that names none is no header, and
// what follows cannot be read.
func (f *form) readHeader(r *record) {
	cells := r.cells
	f.header = make([]string, len(cells))
	if len(cells) > maxColumns {
		f.refuse(r.place(maxColumns), fmt.Sprintf("the header has %d columns", len(cells)), fmt.Sprintf("at most %d", maxColumns), "")
		return
	}
	if !slices.ContainsFunc(cells, func(c string) bool { return slices.Contains(f.spec.columns, canonical(c)) }) {
		f.refuseHeader(r)
		return
	}
	meant := map[string]bool{}
	for i, c := range cells {
		name := canonical(c)
		_, twice := f.index[name]
		switch {
		case name == "":
		case twice:
			f.refuse(r.place(i), fmt.Sprintf("column %s is given twice", quote(c)), "each column once", "delete one of them")
		case !f.spec.knows(name):
			near := nearest(c, f.spec.names())
			meant[near] = true
			f.refuse(r.place(i), fmt.Sprintf("column %s is not known", quote(c)), "a column of "+f.spec.name, "the nearest known column is "+quote(near))
		default:
			f.header[i] = name
			f.index[name] = i
		}
	}
	f.job, f.hasJobs = f.column("job")
	f.set, _ = f.column("set")
	f.bound = f.spec.bind(f.header)
	f.checkMissing(meant)
}

// column is the place of a column in the header; -1 and false where it has none.
func (f *form) column(name string) (at int, ok bool) {
	if at, ok = f.index[name]; !ok {
		at = -1
	}
	return at, ok
}

// refuseHeader refuses a first line that names no column at all.
func (f *form) refuseHeader(r *record) {
	cells := r.cells
	hint := "the first line names the columns; # and a space begin a comment"
	if strings.HasPrefix(canonical(cells[0]), "sep=") {
		hint = "delete this line, the separator is recognised from the header"
	}
	f.refuse(r.place(0), fmt.Sprintf("the first line begins with %s and names no column", quote(cells[0])), "a header with "+strings.Join(f.required(), ", "), hint)
}

// checkMissing refuses a header without a column that the form cannot do
// without, unless a misspelt one was meant.
func (f *form) checkMissing(meant map[string]bool) {
	for name := range meant {
		if f.spec == specs[0] && isTerm(name) {
			meant["on_deck"], meant["reading"] = true, true
		}
	}
	for _, name := range f.required() {
		if _, ok := f.index[name]; !ok && !meant[name] {
			f.refuse(f.endOf(f.last), fmt.Sprintf("column %s is missing", quote(name)), "a header with "+strings.Join(f.required(), ", "), "")
		}
	}
}

// required lists the columns that the header must have. Tickets have either
// the columns on_deck and reading, or columns named like terms.
func (f *form) required() []string {
	if f.spec != specs[0] || len(f.termColumns()) > 0 {
		return f.spec.required
	}
	return append(slices.Clone(f.spec.required), "on_deck", "reading")
}

// termColumns are the columns named like a term on the deck.
func (f *form) termColumns() []int {
	var columns []int
	for i, h := range f.header {
		if f.spec == specs[0] && h != "" && !slices.Contains(f.spec.columns, h) {
			columns = append(columns, i)
		}
	}
	return columns
}
