package words

import (
	"encoding/csv"
	"strings"
	"testing"
)

// Whatever separator a spreadsheet takes, no cell begins a formula. The cases
// are worked by hand; the file stays CSV that other readers read.
func TestCellsAreNoFormulas(t *testing.T) {
	cases := map[string]string{"=1+1": "'=1+1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "\tx": "'\tx", "\rx": "'\rx", "a=b": "a=b", "": "", "dome, east": "dome, east", `"x"`: `"x"`,
		"a;=1+1": "a;'=1+1", "a\t=1": "a\t'=1", "a, -1": "a, '-1", `";=1`: `";'=1`, `"=1`: `"'=1`, " =1": " '=1", "＝1": "'＝1", "dome-3": "dome-3"}
	for in, want := range cases {
		rows, err := csv.NewReader(strings.NewReader(Cell(in) + ",end\n")).ReadAll()
		if err != nil || len(rows) != 1 || len(rows[0]) != 2 {
			t.Fatalf("%q: %v, %q", in, err, rows)
		}
		if rows[0][0] != strings.ReplaceAll(want, "\r\n", "\n") {
			t.Errorf("%q became %q, want %q", in, rows[0][0], want)
		}
		if changed := in != want; changed && Cell(in)[0] != '"' {
			t.Errorf("%q is written %s, not quoted", in, Cell(in))
		}
	}
}
