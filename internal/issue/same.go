package issue

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// SameRecord says whether two records, as their lines of JSON, say the same of
// the same job: compared without what issuing gives (number, replaces, issued,
// signed_by, and next_number, from which the number comes), without the version
// of the program, and without inputs and every number of a line, which an
// outfit typed in between moves.
func SameRecord(a, b []byte) (bool, error) {
	x, err := content(a)
	if err != nil {
		return false, err
	}
	y, err := content(b)
	return err == nil && reflect.DeepEqual(x, y), err
}

// content is a record without what two issues of it may differ in.
func content(line []byte) (map[string]any, error) {
	var r map[string]any
	d := json.NewDecoder(bytes.NewReader(line))
	d.UseNumber()
	if err := d.Decode(&r); err != nil {
		return nil, fmt.Errorf("record: %w", err)
	}
	for _, key := range []string{"program", "replaces", "inputs"} {
		delete(r, key)
	}
	for object, keys := range map[string][]string{"options": {"issued", "signed_by"}, "issuer": {"number", "next_number"}} {
		if o, ok := r[object].(map[string]any); ok {
			for _, key := range keys {
				delete(o, key)
			}
		}
	}
	withoutLines(r)
	return r, nil
}

// withoutLines takes every number of a line out of a value.
func withoutLines(v any) {
	switch x := v.(type) {
	case map[string]any:
		for _, key := range []string{"line", "at_line", "lines"} {
			delete(x, key)
		}
		for _, inner := range x {
			withoutLines(inner)
		}
	case []any:
		for _, inner := range x {
			withoutLines(inner)
		}
	}
}

// OtherOutfit says whether two outfits, a vehicle and its trailer, cannot be the
// same one: a mark painted on them differs that both have; the owner counts where
// they have no mark to compare. What one of them leaves blank says nothing.
func OtherOutfit(a, b *record.Outfit) bool {
	comparable := false
	for _, pair := range [][2]string{{a.VehicleID, b.VehicleID}, {a.TrailerID, b.TrailerID}} {
		x, y := plain(pair[0]), plain(pair[1])
		if x == "" || y == "" {
			continue
		}
		if comparable = true; x != y {
			return true
		}
	}
	x, y := plain(a.Owner), plain(b.Owner)
	return !comparable && x != "" && y != "" && x != y
}

// plain is a mark without regard to case and spaces, as a register has it.
func plain(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(words.TextOfCell(s)), ""))
}
