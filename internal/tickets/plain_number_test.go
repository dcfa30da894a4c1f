package tickets

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

// TestPlainNumber compares the scanner with the regular expression of what a
// number looks like (spec: digits, one minus before them, one decimal sign
// among them), on texts of the characters that matter.
func TestPlainNumber(t *testing.T) {
	want := regexp.MustCompile(`^[-−]?[0-9]+([.,][0-9]+)?$`)
	// Five of these are numbers, by eye.
	plain := 0
	for _, text := range []string{"", "-", "−", "3240", "-3240", "−3240", "-−3240", "−-3240", "--1", "3.24", "3,24", "3.", ".5", "3.2.4", "3..4", "3 240", "+5", "5-", "1e3", "٣"} {
		if got := plainNumber(text); got != want.MatchString(text) {
			t.Errorf("%q: %v", text, got)
		} else if got {
			plain++
		}
	}
	if plain != 5 {
		t.Errorf("%d numbers (want 5)", plain)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("07-−.,9 e")), 0, 7, -1).Draw(t, "text")
		if got := plainNumber(text); got != want.MatchString(text) {
			t.Errorf("%q: %v", text, got)
		}
	})
}

// TestWhole: a number of a few digits is the decimal that any reader of decimals makes
// of it, each time.
func TestWhole(t *testing.T) {
	for n := range 2 * len(wholes) {
		for _, text := range []string{strconv.Itoa(n), fmt.Sprintf("%018d", n), fmt.Sprintf("%019d", n), strconv.Itoa(n) + "0.", strconv.Itoa(-n - 1)} {
			got, ok := whole(text)
			if want := plainNumber(text) && len(text) <= mostDigits && text[0] != '-' && n < len(wholes); ok != want {
				t.Fatalf("%q: %v (want %v)", text, ok, want)
			}
			if ok && !reflect.DeepEqual(got, decimal.RequireFromString(text)) {
				t.Errorf("%q is %v", text, got)
			}
		}
	}
	if _, ok := whole(""); ok {
		t.Error("a blank text is a number")
	}
}
