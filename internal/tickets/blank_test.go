package tickets

import (
	"testing"

	"reconcile/internal/regions"
)

// TestIsBlank: the forms that Blank gives are blank, and no longer so once a
// figure is typed or a note deleted.
func TestIsBlank(t *testing.T) {
	n := 0
	for i := range regions.Table {
		for _, full := range []bool{false, true} {
			for _, form := range Blank(regions.Table[i].Region, full, nil) {
				n++
				if !isBlank(form) {
					t.Errorf("%s of %s is not blank", form.Name, regions.Table[i].Region)
				}
				typed := Form{Name: form.Name, Bytes: append([]byte{}, form.Bytes...)}
				typed.Bytes[len(typed.Bytes)-1] = '7'
				if isBlank(typed) || isBlank(Form{Name: form.Name, Bytes: form.Bytes[1:]}) || isBlank(Form{Name: "other.csv", Bytes: form.Bytes}) {
					t.Errorf("%s of %s is blank although it is filled in", form.Name, regions.Table[i].Region)
				}
			}
		}
	}
	if n < 20 {
		t.Errorf("%d forms", n)
	}
}
