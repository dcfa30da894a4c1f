package record

import "testing"

func TestGuideWords(t *testing.T) {
	r := &Record{Options: Options{Region: "uk"}}
	cases := []struct {
		g                         Guide
		label, value, usual, kept string
	}{
		{Guide{Guide: "download_share", Value: ptr(0.0961), U: ptr(0.0044), Low: ptr(0.05), High: ptr(0.07), Kept: ptr(false)},
			"noseweight, share of the whole trailer", "9.6 ± 0.9 %", "5.0 to 7.0 %", "not kept"},
		{Guide{Guide: "trailer_to_vehicle", Value: ptr(0.834), U: ptr(0.004), High: ptr(1.0), Kept: ptr(true)},
			"ratio of the whole trailer to the vehicle alone", "0.83 ± 0.01 times", "at most 1.00 times", "kept"},
		{Guide{Guide: "unbraked_share", Value: ptr(700.0), U: ptr(9.0), High: ptr(750.0), Kept: ptr(true)},
			"whole trailer, without brakes", "700 ± 18 kg", "at most 750 kg", "kept"},
		{Guide{Guide: "minimum_download", Low: ptr(25.0)},
			"least noseweight on the road", "not determined", "at least 25 kg", "not known"},
		{Guide{Guide: "tyres_together rear", Value: ptr(1900.0)},
			"tyres of an axle together, rear", "1,900 kg", "", "not known"},
		{Guide{Guide: "something_new", Value: ptr(3.0)}, "something new", "3 kg", "", "not known"},
	}
	for _, c := range cases {
		got := [4]string{r.GuideLabel(c.g), c.g.ValueText(), c.g.UsualText(), c.g.KeptText()}
		if want := [4]string{c.label, c.value, c.usual, c.kept}; got != want {
			t.Errorf("%s: %q, want %q", c.g.Guide, got, want)
		}
	}
}
