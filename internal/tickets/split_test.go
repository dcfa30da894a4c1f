package tickets

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

// TestLinesWithoutQuotes compares the cells of a line without quotes with those that
// encoding/csv finds (RFC 4180), trimmed.
func TestLinesWithoutQuotes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sep := rapid.SampledFrom([]rune(",;\t")).Draw(t, "sep")
		line := rapid.StringOfN(rapid.SampledFrom([]rune("a7#.,;\t  \u00a0\u200b\ufeffäß")), 0, 12, -1).Draw(t, "line")
		end := rapid.SampledFrom([]string{"", "\n", "\r\n"}).Draw(t, "end")
		r := csv.NewReader(strings.NewReader(line + end))
		r.Comma = sep
		want, err := r.Read()
		if err != nil {
			return // an empty line, which is skipped before it is split
		}
		for i, c := range want {
			want[i] = strings.Trim(strings.TrimSpace(c), "\u00a0\u200b\ufeff \t")
		}
		if got := appendCells(nil, strings.TrimRight(line+end, "\r\n"), sep); !slices.Equal(got, want) {
			t.Errorf("%q is split into %q (want %q)", line+end, got, want)
		}
	})
}

// TestMassesCompared compares whole kilograms, and others, with what package decimal
// says of them.
func TestMassesCompared(t *testing.T) {
	mass := rapid.Custom(func(t *rapid.T) decimal.Decimal {
		kg := decimal.NewFromInt(rapid.Int64Range(1, 100_000_000).Draw(t, "kg"))
		if rapid.Bool().Draw(t, "in steps") {
			kg = decimal.NewFromInt(rapid.Int64Range(1, 2000).Draw(t, "twenties") * 20)
		}
		return kg.Shift(-rapid.Int32Range(0, 2).Draw(t, "decimals"))
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := mass.Draw(t, "a"), mass.Draw(t, "b")
		n := rapid.Int64Range(0, 540_000).Draw(t, "n") // 10,000 intervals on 54 pads
		if got, want := compareTimes(a, n, b), a.Cmp(b.Mul(decimal.NewFromInt(n))); got != want {
			t.Errorf("%s compared with %d times %s is %d (want %d)", a, n, b, got, want)
		}
		if got, want := isMultiple(a, b), a.Mod(b).IsZero(); got != want {
			t.Errorf("%s is a multiple of %s: %v (want %v)", a, b, got, want)
		}
	})
}
