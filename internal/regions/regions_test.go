package regions

import (
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// printed is the label line of what the program promises its users, one
// rating a line: au, nz · uk · eu · us; "nz:" where New Zealand differs.
const printed = `
gvm|GVM · MAM · F.1 max laden mass · GVWR
gcm|GCM · gross train weight · F.3 combination mass · GCWR
atm|ATM (nz: GVM of trailer) · MTPLM · max laden mass of trailer · trailer GVWR
gtm|GTM · trailer axle weight · trailer axle load · sum of trailer GAWR
axle|axle rating · plated axle weight · max axle mass · GAWR
towing|rated towing capacity · towing limit · towable mass (axle load) · tow rating
download|towball download · noseweight · static coupling load (S) · tongue weight
interval|scale interval · scale interval · scale interval · division`

func TestLabelsAreThePublishedLines(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(printed), "\n")
	if len(lines) != 8 { // the contract names eight things
		t.Fatalf("%d lines, want 8", len(lines))
	}
	for _, line := range lines {
		word, rest, _ := strings.Cut(line, "|")
		want := strings.Split(rest, " · ")
		au, nz := want[0], want[0]
		if a, n, found := strings.Cut(want[0], " (nz: "); found {
			au, nz = a, strings.TrimSuffix(n, ")")
		}
		for region, label := range map[string]string{"au": au, "nz": nz, "uk": want[1], "eu": want[2], "us": want[3]} {
			if got := Of(region).Labels[word]; got != label {
				t.Errorf("label of %q in %q = %q, want %q", word, region, got, label)
			}
		}
		if got := Of("").Labels[word]; got != word && word != "interval" {
			t.Errorf("label of %q without a region = %q, want the word of the form", word, got)
		}
	}
}

// labelled are the words that every row has a label for.
var labelled = []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download", "download_max", "download_min",
	"d_value", "tyre", "wheel", "kerb", "tare", "running_order", "interval", "download_semi"}

func TestEveryCellIsFilled(t *testing.T) {
	if len(Table) != 6 { // au, nz, uk, eu, us and the neutral row
		t.Fatalf("%d rows, want 6", len(Table))
	}
	for i := range Table {
		row := &Table[i]
		v := reflect.ValueOf(*row)
		for f := range v.NumField() {
			name := v.Type().Field(f).Name
			if v.Field(f).IsZero() && (name != "Region" || i != len(Table)-1) {
				t.Errorf("row %q: %s is not filled", row.Region, name)
			}
		}
		for _, w := range labelled {
			if row.Labels[w] == "" {
				t.Errorf("row %q: no label for %s", row.Region, w)
			}
		}
		if len(row.Labels) != len(labelled) {
			t.Errorf("row %q: %d labels, want %d", row.Region, len(row.Labels), len(labelled))
		}
		if row.Share.Stated && !(0 < row.Share.Low && row.Share.Low < row.Share.Usual && row.Share.Usual < row.Share.High) {
			t.Errorf("row %q: share guide %+v is not in order", row.Region, row.Share)
		}
		if row.Expected.Value <= 0 || row.Expected.U <= 0 {
			t.Errorf("row %q: no expected share", row.Region)
		}
	}
}

func TestSourcesAreCodes(t *testing.T) {
	code, seen := regexp.MustCompile(`^[a-z0-9_.]+$`), 0
	for i := range Table {
		sources := []string{Table[i].Share.Source, Table[i].Least.Source, Table[i].TyresTogether}
		for _, b := range Table[i].Brakes {
			sources = append(sources, b.Source)
		}
		for _, d := range Table[i].Towed {
			sources = append(sources, d.Source, d.Guide)
		}
		for _, s := range sources {
			seen++
			if !code.MatchString(s) {
				t.Errorf("row %q: source %q is not a code", Table[i].Region, s)
			}
		}
	}
	if seen < 6*3 {
		t.Errorf("%d sources looked at", seen)
	}
}

// TestFigures holds the figures of the contract (sections 3 and 8): guides in
// percent as low-high (usual), expected share ± u in percent.
func TestFigures(t *testing.T) {
	want := map[string][5]float64{
		"au": {8, 15, 10, 10, 2}, "nz": {8, 15, 10, 10, 2}, "uk": {5, 7, 6, 6, 1},
		"us": {10, 15, 12.5, 12.5, 2}, "eu": {0, 0, 0, 5, 1.5}, "": {0, 0, 0, 10, 4},
	}
	for r, w := range want {
		row := Of(r)
		got := [5]float64{row.Share.Low, row.Share.High, row.Share.Usual, row.Expected.Value, row.Expected.U}
		for i := range got {
			if d := got[i]*100 - w[i]; d > 1e-9 || d < -1e-9 {
				t.Errorf("region %q: figure %d is %v %%, want %v", r, i, got[i]*100, w[i])
			}
		}
	}
}

func TestWords(t *testing.T) {
	var words []string
	for i := range Table {
		words = append(words, Table[i].Region)
		if got := Of(Table[i].Region); got != &Table[i] {
			t.Errorf("Of(%q) is the row %q", Table[i].Region, got.Region)
		}
	}
	if got := strings.Join(words, " "); got != "au nz uk eu us " {
		t.Errorf("the table's regions are %q", got)
	}
	if Of("fr").Region != "" {
		t.Error("an unknown region must read the neutral row")
	}
}

// TestUsual: without a region gvm, atm, axle front, axle rear, download_max;
// with one also gcm, axle trailer or gtm, towing (contract, section 3).
func TestUsual(t *testing.T) {
	for i := range Table {
		want := 8
		if Table[i].Region == "" {
			want = 5
		}
		if got := len(Table[i].Usual); got != want {
			t.Errorf("%d usual ratings in %q, want %d", got, Table[i].Region, want)
		}
	}
}

// TestTowing: the axle load in eu alone; without a region no towing line is read.
func TestTowing(t *testing.T) {
	for i := range Table {
		row := &Table[i]
		if row.TowsAxles.Yes != (row.Region == "eu") || row.TowingRefused.Yes != (row.Region == "") {
			t.Errorf("towing in %q: axle load %v, refused %v", row.Region, row.TowsAxles.Yes, row.TowingRefused.Yes)
		}
	}
}
