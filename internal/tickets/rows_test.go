package tickets

import (
	"reflect"
	"testing"
)

// Every row lists all of its cells in the order of its fields: a cell of an absent
// column is named by its place among them.
func TestRowsListTheirCells(t *testing.T) {
	listsCells[ticketRow](t)
	listsCells[ratingRow](t)
	listsCells[outfitRow](t)
	listsCells[scaleRow](t)
	listsCells[loadRow](t)
	listsCells[placeRow](t)
	listsCells[issuerRow](t)
}

func listsCells[R any, P row[R]](t *testing.T) {
	t.Helper()
	r := new(R)
	v, cells := reflect.ValueOf(r).Elem(), P(r).cells(nil)
	if len(cells) != v.NumField() {
		t.Fatalf("%s lists %d cells (want %d)", v.Type().Name(), len(cells), v.NumField())
	}
	for i, c := range cells {
		if c != v.Field(i).Addr().Interface().(*cell) {
			t.Errorf("%s: cell %d is not the field %s", v.Type().Name(), i, v.Type().Field(i).Name)
		}
	}
}
