package limits

import "testing"

// TestWhatIsPartOfAGroup: from stated masses nobody knows what one axle of several,
// or one side, carries; of an entire group, or of a rating of no axle, they do.
func TestWhatIsPartOfAGroup(t *testing.T) {
	job := plated(rate("axle", "rear", 3000), rate("axle", "rear.1", 1600), rate("axle", "rear.left", 1600), rate("gvm", "", 3200))
	job.Outfit.RearAxles = 2
	want := map[string]bool{"axle rear": false, "axle rear.1": true, "axle rear.left": true, "gvm ": false}
	seen := 0
	for _, row := range Applies(job).Rows {
		key := row.Line.Word + " " + row.Line.On
		if part, ok := want[key]; !ok || row.Part != part {
			t.Errorf("%q: part %v (want %v)", key, row.Part, part)
		}
		seen++
	}
	if seen < len(want) {
		t.Errorf("%d rows (want one for each of %d lines at least)", seen, len(want))
	}
}
