package pdfout

import "testing"

// The expected numbers are worked by hand.
func TestLengthsInPoints(t *testing.T) {
	for l, want := range map[length]string{0: "0", 5: "0.05", 50: "0.5", 1234: "12.34", -1230: "-12.3", 700: "7", -1: "-0.01"} {
		if got := l.points(); got != want {
			t.Errorf("%d is written %q, want %q", l, got, want)
		}
	}
}

func TestParts(t *testing.T) {
	for _, c := range []struct {
		l     length
		n, of int
		want  length
	}{{100, 1, 3, 33}, {100, 2, 3, 67}, {5, 1, 2, 3}, {-5, 1, 2, -2}, {100, -1, 3, -33}, {100, 1, -3, -33}, {1600, 905, 1000, 1448}} {
		if got := c.l.part(c.n, c.of); got != c.want {
			t.Errorf("%d·%d/%d = %d, want %d", c.l, c.n, c.of, got, c.want)
		}
	}
}

func TestThousandths(t *testing.T) {
	for v, want := range map[float64]int{1.0005: 1001, -2.25: -2250, 1e30: 1e12, 240.410567: 240411} {
		if got := thousandths(v); got != want {
			t.Errorf("%v: %d, want %d", v, got, want)
		}
	}
}

// A number keeps its ± U and its unit on its line.
func TestNumbersAreNotBroken(t *testing.T) {
	f := theFaces
	for w := length(60 * pt); w < 200*pt; w += 5 * pt {
		for _, l := range f.regular.wrap(nil, new([]string), "the rear axle carries 1,268 ± 24 kg against 1,339 kg", 9*pt, w) {
			if l == "±" || l == "kg" || len(l) > 1 && (l[len(l)-2:] == "±" || l[:2] == "kg") {
				t.Errorf("at %d a number is broken: %q", w, l)
			}
		}
	}
}
