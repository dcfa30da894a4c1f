package words

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

func in(unit string) *Words { return Of(base(outfit{"au", "centre_axle", "plain", unit}), nil) }

// TestMass: pounds by hand from 1 lb = 0.45359237 kg (international yard and
// pound agreement of 1959): 1000/0.45359237 = 2204.62, 0.5/… = 1.10.
func TestMass(t *testing.T) {
	for _, c := range []struct {
		kg         float64
		inKg, inLb string
	}{
		{0, "0", "0"}, {1000, "1,000", "2,205"}, {3240.4, "3,240", "7,144"}, {-0.4, "0", "-1"}, {-0.2, "0", "0"}, {0.5, "1", "1"}, {-1234.5, "-1,235", "-2,722"},
		{1234567, "1,234,567", "2,721,754"}, {453.59237, "454", "1,000"}, {math.NaN(), "not determined", "not determined"}, {math.Inf(1), "not determined", "not determined"},
	} {
		if got := in("kg").mass(c.kg); got != say(c.inKg) {
			t.Errorf("%v kg: %q, want %q", c.kg, got, c.inKg)
		}
		if got := in("lb").mass(c.kg); got != say(c.inLb) {
			t.Errorf("%v kg in lb: %q, want %q", c.kg, got, c.inLb)
		}
	}
}

// TestMassUpAndDown: what is too much is rounded up and at least 1, what still
// fits down; the noise of arithmetic (1e-6) does not count. 61 kg = 134.48 lb.
func TestMassUpAndDown(t *testing.T) {
	for _, c := range []struct {
		kg                         float64
		upKg, upLb, downKg, downLb string
	}{
		{61, "61", "135", "61", "134"}, {60.2, "61", "133", "60", "132"}, {61.0000001, "61", "135", "61", "134"}, {60.9999999, "61", "135", "61", "134"},
		{0.2, "1", "1", "0", "0"}, {1234.5, "1,235", "2,722", "1,234", "2,721"}, {453.59237, "454", "1,000", "453", "1,000"},
	} {
		for what, pair := range map[string][2]string{
			"up kg": {in("kg").massUp(c.kg), c.upKg}, "up lb": {in("lb").massUp(c.kg), c.upLb},
			"down kg": {in("kg").massDown(c.kg), c.downKg}, "down lb": {in("lb").massDown(c.kg), c.downLb},
		} {
			if pair[0] != pair[1] {
				t.Errorf("%v %s: %q, want %q", c.kg, what, pair[0], pair[1])
			}
		}
	}
}

// TestPlusMinus: U = 2u; never ± 0. u 10.9: U 21.8 kg = 48.06 lb.
func TestPlusMinus(t *testing.T) {
	for _, c := range []struct {
		u      float64
		kg, lb string
	}{{10.9, "± 22", "± 48"}, {0.1, "± 1", "± 1"}, {0, "± 1", "± 1"}, {12, "± 24", "± 53"}, {600, "± 1,200", "± 2,646"}} {
		if a, b := in("kg").plusMinus(c.u), in("lb").plusMinus(c.u); a != c.kg || b != c.lb {
			t.Errorf("u %v: %q, %q, want %q, %q", c.u, a, b, c.kg, c.lb)
		}
	}
	if got := in("kg").massU(240.4, 10.9); got != "240 ± 22" {
		t.Errorf("MassU: %q", got)
	}
}

// TestLimitsAsTyped: a limit typed in the unit printed is printed as typed,
// with its decimals; one typed in the other unit is converted. 7,000 lb is
// 3,175.14659 kg exactly; 3,500 kg is 7,716.18 lb.
func TestLimitsAsTyped(t *testing.T) {
	check := func(limit string) record.Check { return record.Check{Line: ptr(2), LimitKg: &limit} }
	for _, c := range []struct{ value, unit, limitKg, kg, lb string }{
		{"7000", "lb", "3175.14659", "3,175.14659", "7,000"},
		{"3500", "kg", "3500", "3,500", "7,716"},
		{"3,5", "t", "3500", "3,500", "7,716"},
		{"1234.5", "kg", "1234.5", "1,234.5", "2,722"},
		{"121", "", "1450", "1,450", "3,197"},               // a load index: 1,450 kg
		{"1000", "kg", "909.090909", "909.090909", "2,004"}, // divided by 1.10: not what was typed
	} {
		for unit, want := range map[string]string{"kg": c.kg, "lb": c.lb} {
			w := in(unit)
			w.Record.Ratings = w.Record.Ratings[:1]
			w.Record.Ratings[0].Value, w.Record.Ratings[0].Unit = c.value, c.unit
			if got := w.limitText(check(c.limitKg)); got != want {
				t.Errorf("%s %s in %s: %q, want %q", c.value, c.unit, unit, got, want)
			}
		}
	}
}

func TestTyped(t *testing.T) {
	for _, c := range []struct{ figure, unit, want string }{
		{"1500", "kg", "1,500 kg"}, {"3.24", "t", "3.24 t"}, {"3,24", "t", "3.24 t"}, {"12345678", "lb", "12,345,678 lb"}, {"-4", "", "-4 kg"}, {"abc", "kg", "abc kg"}, {"1500.0", "kg", "1,500.0 kg"},
	} {
		want(t, c.figure, say(typed(c.figure, c.unit)), c.want)
	}
}

func TestQuantity(t *testing.T) {
	w := in("kg")
	w.Record.Quantities = nil
	addRatio(w.Record, "download_share", 0.0961, 0.0044)
	addRatio(w.Record, "vehicle_cg", 1503.6, 8.2)
	addRatio(w.Record, "hitch_moment", 260.2, 14)
	w.Record.Quantities.Get("vehicle_cg").Unit, w.Record.Quantities.Get("hitch_moment").Unit = "mm", "kgm"
	addMass(w.Record, "download", 240.4, 10.9)
	add(&w.Record.Quantities).Name = "front_lift"
	for name, text := range map[string]string{"download_share": "9.6 ± 0.9 %", "vehicle_cg": "1,504 ± 16 mm", "hitch_moment": "260 ± 28 kg·m", "download": "240 ± 22 kg"} {
		if got := w.Quantity(name).Text; got != text {
			t.Errorf("%s: %q, want %q", name, got, text)
		}
	}
	want(t, "front_lift", w.Quantity("front_lift").Text, "not determined")
}

// TestFixed: by hand, the halves away from zero.
func TestFixed(t *testing.T) {
	for _, c := range []struct {
		v      float64
		places int
		text   string
	}{
		{0, 0, "0"}, {0, 2, "0.00"}, {4.05, 1, "4.1"}, {4.04, 1, "4.0"}, {-4.05, 1, "-4.1"}, {0.04, 1, "0.0"}, {-0.04, 1, "0.0"}, {0.05, 1, "0.1"},
		{9.96, 1, "10.0"}, {99.5, 0, "100"}, {-999.5, 0, "-1000"}, {0.5, 0, "1"}, {-0.5, 0, "-1"}, {-0.4, 0, "0"}, {1e-9, 2, "0.00"}, {1234, 2, "1234.00"},
		{1.005, 2, "1.01"}, {123456789012345680, 1, "123456789012345680.0"}, {math.NaN(), 1, notDetermined}, {math.Inf(-1), 1, notDetermined},
	} {
		if got := fixed(c.v, c.places); got != c.text {
			t.Errorf("%v to %d decimals: %q, want %q", c.v, c.places, got, c.text)
		}
	}
	if got := fixed(1e40, 0); got != "1"+strings.Repeat("0", 40) {
		t.Errorf("1e40: %s", got)
	}
}

// TestFixedAsDecimal: any number prints as the decimals of another library print it.
func TestFixedAsDecimal(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		v := (random.Float64() - 0.5) * math.Pow(10, float64(random.IntN(9)-2))
		if places := random.IntN(5); random.IntN(2) == 0 {
			v = decimal.NewFromFloat(v).Round(int32(places)).InexactFloat64() // as the record has them
		}
		for places := range 4 {
			want := decimal.NewFromFloat(v).StringFixed(int32(places))
			if strings.Trim(want, "-0.") == "" {
				want = strings.TrimPrefix(want, "-")
			}
			if got := fixed(v, places); got != want {
				t.Fatalf("%v to %d decimals: %q, want %q", v, places, got, want)
			}
		}
	}
}
