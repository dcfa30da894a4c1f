package limits

import (
	"math"
	"testing"
)

// Source of values and probabilities: JCGM 106:2012, 7.3.3 examples 1 and 2,
// 7.4 (recomputed to seven places; published 0.92, 0.99, 0.66). p_over is 1 − p_c.
func TestProbabilities(t *testing.T) {
	for _, c := range []struct {
		name            string
		value, u, limit float64
		lower           bool
		conforms        float64
	}{
		{"Zener diode", -5.47, 0.05, -5.40, false, 0.9192433},
		{"container", 509.7, 8.6, 490, true, 0.9890095},
		{"oil below 16.3", 13.6, 1.8, 16.3, false, 0.9331928},
		{"oil above 12.5", 13.6, 1.8, 12.5, true, 0.7294370},
	} {
		if got := 1 - pOver(c.value, c.u, c.limit, c.lower); math.Abs(got-c.conforms) > 5e-7 {
			t.Errorf("%s: conforms with %.7f (want %.7f)", c.name, got, c.conforms)
		}
	}
	// 7.4: both limits of the oil together, 0.93 − 0.27 = 0.66
	both := 1 - pOver(13.6, 1.8, 16.3, false) - pOver(13.6, 1.8, 12.5, true)
	if math.Abs(both-0.6626298) > 5e-7 {
		t.Errorf("oil between its limits: %.7f (want 0.6626298)", both)
	}
}

// The boundaries, exactly: a step of the grid of 1e-6 kg either way.
func TestVerdictAtTheLimit(t *testing.T) {
	const limit = 3500
	below, above := limit-1e-6, limit+1e-6 // one step of the grid
	for _, c := range []struct {
		name            string
		value, u, limit float64
		lower           bool
		guarded, simple Verdict
	}{
		{"value + U is the limit", 3400, 50, limit, false, Within, Within},
		{"value + U is just above", 3400, 50, below, false, Unsettled, Within},
		{"value is the limit", limit, 50, limit, false, Unsettled, Within},
		{"value is just above", above, 50, limit, false, Unsettled, Over},
		{"value − U is the limit", 3600, 50, limit, false, Unsettled, Over},
		{"value − U is just above", 3600, 50, below, false, Over, Over},
		{"least: value − U is the limit", 3600, 50, limit, true, Within, Within},
		{"least: value − U is just below", 3600, 50, above, true, Unsettled, Within},
		{"least: value is the limit", limit, 50, limit, true, Unsettled, Within},
		{"least: value is just below", below, 50, limit, true, Unsettled, Over},
		{"least: value + U is the limit", 3400, 50, limit, true, Unsettled, Over},
		{"least: value + U is just below", 3400, 50, above, true, Over, Over},
		// inside the guard band: JCGM 106 8.3.2, 8901 + 2·50 > 9000
		{"in the guard band", 8901, 50, 9000, false, Unsettled, Within},
	} {
		if got := judge(c.value, c.u, c.limit, c.lower, Guarded, false); got != c.guarded {
			t.Errorf("%s: %s (want %s)", c.name, got, c.guarded)
		}
		if got := judge(c.value, c.u, c.limit, c.lower, simple, false); got != c.simple {
			t.Errorf("%s, simple rule: %s (want %s)", c.name, got, c.simple)
		}
	}
}

// ILAC-G8:09/2019, Table 1: the specific risk of false acceptance at the
// acceptance limit is below 2.5 % with w = U, below 50 % with w = 0
// (recomputed with k = 2: 0.02275013 and 0.5). JCGM 106 8.3.2.3: at most 2.3 %.
func TestRiskAtTheAcceptanceLimit(t *testing.T) {
	const u, limit = 12.5, 3500.0
	for _, c := range []struct {
		rule   rule
		accept float64
		risk   float64
	}{{Guarded, limit - 2*u, 0.02275013}, {simple, limit, 0.5}} {
		if judge(c.accept, u, limit, false, c.rule, false) != Within || judge(c.accept+0.01, u, limit, false, c.rule, false) == Within {
			t.Errorf("%s: %g is not the acceptance limit", c.rule, c.accept)
		}
		if p := pOver(c.accept, u, limit, false); math.Abs(p-c.risk) > 5e-9 {
			t.Errorf("%s: risk %.8f at the acceptance limit (want %.8f)", c.rule, p, c.risk)
		}
	}
}

func TestNothingUnknownIsWithin(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range [][3]float64{{nan, 1, 10}, {1, nan, 10}, {1, 1, nan}, {-inf, 1, 10}, {1, 1, inf}, {1, 0, 10}, {1, -1, 10}, {1, inf, 10}} {
		for _, rule := range []rule{Guarded, simple} {
			if got := judge(c[0], c[1], c[2], false, rule, false); got != notWeighed {
				t.Errorf("value %g, u %g, limit %g, %s: %s (want not_weighed)", c[0], c[1], c[2], rule, got)
			}
		}
	}
}

// needed is value + U rounded up to 10 kg (the program's own rule).
func TestNeeded(t *testing.T) {
	for _, c := range []struct{ value, u, want float64 }{
		{3480, 10, 3500}, {3480.1, 10, 3510}, {3471, 10, 3500}, {3500.0000000001, 5, 3510}, {0.2, 0.1, 10},
	} {
		if got := needed(c.value, c.u); got != c.want {
			t.Errorf("%g ± %g needs %g (want %g)", c.value, 2*c.u, got, c.want)
		}
	}
}
