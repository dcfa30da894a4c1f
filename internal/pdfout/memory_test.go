package pdfout

import (
	"bytes"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// TestPagesInUsedMemory compares pages that are drawn in new memory with those that are
// drawn, in another order, where other records were.
func TestPagesInUsedMemory(t *testing.T) {
	all := maps.Clone(allJobs(t))
	all["nasty"], all["many"], all["bare"], all["empty"] = nasty(t), many(t), bare(t), &record.Record{}
	names := slices.Sorted(maps.Keys(all))
	draw := func(name string) []byte {
		pdf, err := Draw(words.Of(all[name], nil), lineOf(t, all[name]), nil, nil)
		if err != nil {
			t.Fatal(name, err)
		}
		return pdf
	}
	want := map[string][]byte{}
	for _, name := range names {
		memories.kept = nil
		want[name] = draw(name)
	}
	order := rand.New(rand.NewPCG(1, 2))
	for range 2 {
		order.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		for _, name := range names {
			if !bytes.Equal(draw(name), want[name]) {
				t.Errorf("%s is drawn in another way where other pages were", name)
			}
		}
	}
}

// TestMemoryIsEmptied: nothing of a record is left where the next one is drawn.
func TestMemoryIsEmptied(t *testing.T) {
	memories.kept = nil
	drawn(t, example(t, "conflict"))
	m := memories.get()
	if len(m.grids) < 8 || cap(m.lines) < 300 || cap(m.pieces) < 20 { // of the tables and texts of any summary
		t.Fatalf("%d tables, room for %d lines and %d pieces: the memory is another one", len(m.grids), cap(m.lines), cap(m.pieces))
	}
	if n := m.used + m.begun + len(m.lines) + len(m.pieces) + len(m.texts) + len(m.room); n > 0 {
		t.Errorf("%d things are still in use", n)
	}
	for i, g := range m.grids {
		for _, r := range g.rows[:cap(g.rows)] {
			if !reflect.ValueOf(r).IsZero() {
				t.Errorf("table %d holds the row %+v", i, r)
			}
		}
		for _, c := range g.columns[:cap(g.columns)] {
			if !reflect.ValueOf(c).IsZero() {
				t.Errorf("table %d holds the column %+v", i, c)
			}
		}
	}
	for _, text := range slices.Concat(m.lines[:cap(m.lines)], m.pieces[:cap(m.pieces)]) {
		if text != "" {
			t.Errorf("%q is left", text)
		}
	}
	for v, i := reflect.ValueOf(m).Elem(), 0; i < v.NumField(); i++ {
		if v.Field(i).Kind() == reflect.Struct && v.Field(i).FieldByName("taken").Int() != 0 {
			t.Errorf("%s: something is still lent", v.Type().Field(i).Name)
		}
	}
}
