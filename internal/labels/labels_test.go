package labels

import (
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
download|towball download · noseweight · static coupling load (S) · tongue weight`

func TestTableIsThePublishedLine(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(printed), "\n")
	if len(lines) != 7 { // the line names seven things besides the interval
		t.Fatalf("%d lines, want 7", len(lines))
	}
	for _, line := range lines {
		word, rest, _ := strings.Cut(line, "|")
		want := strings.Split(rest, " · ")
		au, nz := want[0], want[0]
		if a, n, found := strings.Cut(want[0], " (nz: "); found {
			au, nz = a, strings.TrimSuffix(n, ")")
		}
		for region, label := range map[string]string{"au": au, "nz": nz, "uk": want[1], "eu": want[2], "us": want[3], "": word} {
			if got := Rating(word, region); got != label {
				t.Errorf("Rating(%q, %q) = %q, want %q", word, region, got, label)
			}
		}
	}
}

func TestInterval(t *testing.T) {
	for region, want := range map[string]string{"au": "scale interval", "nz": "scale interval", "uk": "scale interval", "eu": "scale interval", "us": "division", "": "scale interval"} {
		if got := Interval(region); got != want {
			t.Errorf("Interval(%q) = %q, want %q", region, got, want)
		}
	}
}

func TestEveryRatingWordHasARow(t *testing.T) {
	words := []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max", "download_min", "d_value", "tyre", "wheel", "kerb", "tare", "running_order"}
	for _, w := range words {
		for _, region := range Regions {
			if got := Rating(w, region); got == "" || got == w && w != "tyre" {
				t.Errorf("Rating(%q, %q) = %q: no label", w, region, got)
			}
		}
		if got := Rating(w, ""); got != w {
			t.Errorf("Rating(%q, no region) = %q, want the word of the form", w, got)
		}
	}
	if got, want := len(Table), len(words)+2; got != want { // and download, interval
		t.Errorf("%d rows, want %d", got, want)
	}
	if Rating("no such word", "au") != "no such word" {
		t.Error("an unknown word must come back as it is")
	}
}
