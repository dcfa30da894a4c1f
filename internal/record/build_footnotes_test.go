package record

import "testing"

// TestRoundingShowsInThePrintedUnit: the footnote on sums goes by the unit that
// the pages print (contract, section 6). By hand, with 1 lb = 0.45359237 kg:
// 1000.4 + 1000.4 = 2000.8 kg prints 1000 + 1000 = 2001 and, in pounds
// (2205.504 + 2205.504 = 4411.009), 2206 + 2206 = 4411; 1000 + 1000 = 2000 kg
// is right in kilograms, and in pounds (2204.623 + 2204.623 = 4409.245) prints
// 2205 + 2205 = 4409; 1000.4 + 1000 = 2000.4 kg prints 1000 + 1000 = 2000 and
// 2206 + 2205 = 4410 (2205.504, 2204.623, 4410.127); 1000.3 + 1000.4 = 2000.7
// kg prints 1000 + 1000 = 2001 and 2205 + 2206 = 4411 (2205.284, 4410.788).
func TestRoundingShowsInThePrintedUnit(t *testing.T) {
	for _, c := range []struct {
		front, rear, sum float64
		kg, lb           bool
	}{
		{1000.4, 1000.4, 2000.8, true, true},
		{1000, 1000, 2000, false, true},
		{1000.4, 1000, 2000.4, false, true},
		{1000.3, 1000.4, 2000.7, true, false},
	} {
		for unit, want := range map[string]bool{"kg": c.kg, "lb": c.lb} {
			r := Record{Options: options{Unit: unit}, Quantities: quantities{
				{"vehicle_alone.front", &quantity{Unit: inKg, Value: c.front}}, {"vehicle_alone.rear", &quantity{Unit: inKg, Value: c.rear}},
				{"vehicle_alone.vehicle", &quantity{Unit: inKg, Value: c.sum}}, {"trailer_mass", nil}}}
			if got := r.roundingShows(); got != want {
				t.Errorf("%v + %v = %v in %s: %v (want %v)", c.front, c.rear, c.sum, unit, got, want)
			}
		}
	}
}
