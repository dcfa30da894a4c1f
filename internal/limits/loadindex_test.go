package limits

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// Fixed points of the load index table. Source: transcriptions of the lists of
// UN R30 Annex 4 and R54 Annex IV; "memory" where nothing was compared.
func TestLoadIndexFixedPoints(t *testing.T) {
	for _, c := range []struct {
		index  int
		kg     string
		source string
	}{
		{0, "45", "memory"}, {1, "46.2", "memory"}, {19, "77.5", "memory"}, {50, "190", "memory"},
		{51, "195", "transcription"}, {60, "250", "transcription"}, {75, "387", "transcription"}, {80, "450", "transcription"},
		{99, "775", "transcription"}, {100, "800", "transcription"}, {110, "1060", "transcription"}, {112, "1120", "transcription"},
		{118, "1320", "transcription"}, {121, "1450", "transcription"}, {127, "1750", "transcription"}, {150, "3350", "transcription"},
		{155, "3875", "transcription"}, {160, "4500", "transcription"}, {179, "7750", "transcription"}, {180, "8000", "transcription"},
	} {
		got, ok := kgOfIndex(c.index)
		if !ok || !got.Equal(decimal.RequireFromString(c.kg)) {
			t.Errorf("load index %d is %s (want %s, %s)", c.index, got, c.kg, c.source)
		}
	}
	for _, outside := range []int{-1, 181, 1000} {
		if _, ok := kgOfIndex(outside); ok {
			t.Errorf("load index %d has a load", outside)
		}
	}
}

// The table's own regularities, all derived from it and its law 45·10^(LI/80):
// 181 entries, rising, within 1.94 % of the law; 80 indices are ten times the
// load but for ten rounded pairs; the entries 50 to 150 sum to 111,700.
func TestLoadIndexTable(t *testing.T) {
	if n := len(loadIndexKg); n != 181 {
		t.Fatalf("%d entries (want 181)", n)
	}
	sum := 0.0
	for i, kg := range loadIndexKg {
		if i > 0 && kg <= loadIndexKg[i-1] {
			t.Errorf("load index %d does not rise", i)
		}
		if law := 45 * math.Pow(10, float64(i)/80); math.Abs(kg/law-1) > 0.0194 {
			t.Errorf("load index %d: %g kg is %.2f %% from the law", i, kg, 100*(kg/law-1))
		}
		if i >= 50 && i <= 150 {
			sum += kg
		}
	}
	if sum != 111700 {
		t.Errorf("indices 50 to 150 sum to %g (want 111700)", sum)
	}
	rounded := map[int]bool{35: true, 37: true, 61: true, 63: true, 67: true, 75: true, 77: true, 79: true, 81: true, 83: true}
	tenfold := 0
	for i := 0; i <= 100; i++ {
		if exact := math.Abs(loadIndexKg[i+80]-10*loadIndexKg[i]) < 1e-9; exact == rounded[i] {
			t.Errorf("load index %d + 80: %g and %g", i, loadIndexKg[i], loadIndexKg[i+80])
		} else if exact {
			tenfold++
		}
	}
	if tenfold != 91 {
		t.Errorf("%d tenfold pairs (want 91)", tenfold)
	}
}

// Source: four tyres of 1,750 kg carry 7,000 kg, load index 127 (common
// practice, no source); speed symbol Q is 160 km/h (UN R30, transcriptions).
func TestTyreFacts(t *testing.T) {
	kg, _ := kgOfIndex(127)
	if four := kg.Mul(decimal.NewFromInt(4)); !four.Equal(decimal.NewFromInt(7000)) {
		t.Errorf("four tyres of load index 127 carry %s (want 7000)", four)
	}
	found := map[string]int{}
	for i, s := range speedSymbols {
		found[s.Symbol] = s.Kmh
		if i > 0 && s.Kmh < speedSymbols[i-1].Kmh {
			t.Errorf("speed symbol %s is out of order", s.Symbol)
		}
	}
	// H between U and V; J to Y from transcriptions, A1 from memory
	for symbol, kmh := range map[string]int{"Q": 160, "H": 210, "U": 200, "V": 240, "J": 100, "Y": 300, "A1": 5, "G": 90} {
		if found[symbol] != kmh {
			t.Errorf("speed symbol %s is %d km/h (want %d)", symbol, found[symbol], kmh)
		}
	}
	if len(found) != 30 {
		t.Errorf("%d speed symbols (want 30)", len(found))
	}
}

// Single or dual: dual where fitted/(2·axles) = 2 (112/110: 1,120 single,
// 1,060 dual, by the table); the lower where the fitting is uneven. US: 1,000 kg ÷ 1.10
// = 909.0909 on a trailer, never rounded up (49 CFR 571.120).
func TestTyreLimits(t *testing.T) {
	job := &tickets.Job{Outfit: tickets.Outfit{RearAxles: 1, TrailerAxles: 2}}
	us := &tickets.Job{Region: "us", Outfit: job.Outfit}
	passenger := func(r tickets.Rating) tickets.Rating { r.Kind = "passenger"; return r }
	for _, c := range []struct {
		name string
		job  *tickets.Job
		line tickets.Rating
		want string
	}{
		{"single", job, tyreIndex("rear", 2, 112, 110), "1120"},
		{"dual", job, tyreIndex("rear", 4, 112, 110), "1060"},
		{"dual, both axles", job, tyreIndex("trailer", 8, 112, 110), "1060"},
		{"tandem, single", job, tyreIndex("trailer", 4, 112, 110), "1120"},
		{"a side, dual", job, tyreIndex("rear.left", 2, 112, 110), "1060"},
		{"a side, single", job, tyreIndex("rear.left", 1, 112, 110), "1120"},
		{"one axle single, one dual", job, tyreIndex("trailer", 6, 112, 110), "1060"},
		{"passenger, elsewhere", job, passenger(tyreIndex("trailer", 4, 108, 0)), "1000"},
		{"passenger, us trailer", us, passenger(tyreIndex("trailer", 4, 108, 0)), "909.090909"},
		{"passenger, us vehicle", us, passenger(tyreIndex("rear", 2, 108, 0)), "1000"},
		{"commercial, us trailer", us, tyreIndex("trailer", 4, 108, 0), "1000"},
		{"passenger mass, us trailer", us, passenger(with(rate("tyre", "trailer", 950), func(r *tickets.Rating) { r.Fitted = 4 })), "863.636363"},
	} {
		h := &checker{job: c.job, region: regions.Of(c.job.Region)}
		if got := h.limitOf(&c.line); !got.Valid || got.Decimal.String() != c.want {
			t.Errorf("%s: %s (want %s)", c.name, got.Decimal, c.want)
		}
	}
	h := &checker{job: job, region: regions.Of(job.Region)}
	wheel := passenger(rate("wheel", "trailer", 950))
	if got := (&checker{job: us, region: regions.Of(us.Region)}).limitOf(&wheel); got.Decimal.String() != "950" {
		t.Errorf("a rim's rating became %s", got.Decimal)
	}
	outside := tyreIndex("rear", 2, 200, 0)
	if h.limitOf(&outside).Valid {
		t.Error("a load index outside the table has a limit")
	}
}
