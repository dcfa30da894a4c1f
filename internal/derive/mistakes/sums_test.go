package mistakes

import "testing"

// Sums and differences of two or more figures, to the tolerance.
func TestSumsTo(t *testing.T) {
	for _, c := range []struct {
		rest    float64
		figures []float64
		want    bool
	}{
		{3000, []float64{1240, 1760}, true},        // total
		{2240, []float64{5240, 3000}, true},        // gross less tare
		{3010, []float64{1240, 1760}, true},        // to one interval
		{3040, []float64{1240, 1760}, false},       // not
		{1240, []float64{1240, 1760}, false},       // one figure is no sum
		{5440, []float64{1160, 1860, 2420}, true},  // three
		{-5440, []float64{1160, 1860, 2420}, true}, // signs run both ways
	} {
		if got := sumsTo(c.rest, 20, c.figures, nil, func([]int) bool { return true }); got != c.want {
			t.Errorf("%g of %v: %v", c.rest, c.figures, got)
		}
	}
}

// A total typed as a reading on a ticket of its own: 2,760 + 2,680 = 5,440 of two
// other tickets, as conservation of mass makes it; not a chance sum.
func TestCalculatedAcrossTickets(t *testing.T) {
	job := slips()
	for i := range job.Readings {
		job.Readings[i].Ticket = string(rune('a' + i))
	}
	s := mustSolve(t, job)
	for i, want := range map[int]bool{
		2: true, // vehicle alone: front and rear alone, 1260 + 1500
		6: true, // vehicle coupled: all less trailer, 5440 − 2420 = 3020, to one interval
		8: true, // all coupled: vehicle and trailer alone, 2760 + 2680
		7: true, // rear and trailer: 1860 + 2420
		3: true, // the trailer alone: all coupled less the vehicle alone
		0: true, // front alone: vehicle less rear
		9: true, // trailer coupled: rear and trailer less rear
		4: true, // front coupled: vehicle less rear, to one interval
	} {
		if got := newSearch(s).addsUpAcross(i); got != want {
			t.Errorf("reading %d adds up across tickets: %v (want %v)", i, got, want)
		}
	}
	// 1260 + 1160 = 2420, but front alone and front coupled are no trailer.
	if s.Conserved(9, []int{0, 4}, []int{1, 1}) {
		t.Error("two front axles are taken for the trailer")
	}
	// all coupled = vehicle alone + trailer alone, whatever the loads are
	if !s.Conserved(8, []int{2, 3}, []int{1, 1}) {
		t.Error("mass is not conserved")
	}
}
