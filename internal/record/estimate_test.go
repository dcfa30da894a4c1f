package record

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/adjust"
	"reconcile/internal/tickets"
)

// statedDocument is the estimate of a few forms.
func statedDocument(t *testing.T) *Estimate {
	t.Helper()
	forms := []tickets.Form{
		{Name: "outfit.csv", Bytes: []byte("region,download_share\nau,10\n")},
		{Name: "ratings.csv", Bytes: []byte("rating,on,value,unit,set\ngvm,,3350,kg,\nkerb,vehicle,2740,kg,\natm,,3500,kg,\naxle,rear,1900,kg,\nd_value,towbar,17.2,kN,\ngvm,,3600,kg,springs\n")},
	}
	jobs, faults := tickets.Read(forms, tickets.Options{}).All()
	for _, f := range faults {
		t.Fatal(f.Error())
	}
	return EstimateOf(jobs[0], adjust.Estimate(jobs[0]))
}

// The contract gives these keys in this order; what is added comes after them.
func TestEstimateKeys(t *testing.T) {
	e := statedDocument(t)
	line, err := Line(nil, e)
	if err != nil {
		t.Fatal(err)
	}
	if err := validate(t, compiled(t, "Estimate"), line); err != nil {
		t.Errorf("%v\n%s", err, line)
	}
	want := []string{"schema", "job", "vehicle", "trailer", "download", "combination", "payload_kg", "payload_left", "checks", "fits", "trailer_from"}
	if got := objectKeys(t, line)[:len(want)]; !slices.Equal(got, want) {
		t.Errorf("keys %v (want %v)", got, want)
	}
	// a row in force has the contract's keys and no other; 2740 + 350 against 3350, u = √(54.8² + 35²)
	row := `{"rating":"gvm","on":"","state":"coupled","limit_kg":"3350","value_kg":3090,"u_kg":65.02338,"margin_kg":260,"verdict":"likely_within"}`
	for _, part := range []string{
		`{"schema":"reconcile-estimate/1","job":"","vehicle":{"value_kg":2740,"u_kg":54.8},"trailer":{"value_kg":3500,"u_kg":0},`,
		`"payload_kg":"610","payload_left":{"value_kg":260,"u_kg":65.02338}`, row, `"trailer_from":"atm"`, `"fits":{"download_kg":350,"trailer_kg":3500}`,
		`"state":"coupled","set":"springs","limit_kg":"3600"`, `"value_kg":null,"u_kg":null,"margin_kg":null,"verdict":"not_known"`, `"limit_kn":"17.2"`,
	} {
		if !strings.Contains(string(line), part) {
			t.Errorf("the line has no %s:\n%s", part, line)
		}
	}
	if validate(t, compiled(t, "Estimate"), []byte(strings.Replace(string(line), "likely_within", "may be driven", 1))) == nil {
		t.Error("the schema accepts a sentence for a verdict")
	}
}

// What stops the heaviest trailer is named with its state, as the rows have it.
func TestStopsFirstFollowsTheSchema(t *testing.T) {
	for _, want := range []string{`{"rating":"gvm","on":"","state":"coupled"}`, `{"rating":"axle","on":"front","state":"vehicle_alone"}`, `{"rating":"atm","on":"","state":""}`} {
		var rating struct{ Rating, On string }
		if err := json.Unmarshal([]byte(want), &rating); err != nil {
			t.Fatal(err)
		}
		// 2,740 empty, 1,500 of it in front: every rating stops a trailer at some mass, the
		// front axle's at any.
		limit := map[string]string{"gvm": "2900", "axle": "1400", "atm": "1000"}[rating.Rating]
		jobs, faults := tickets.Read([]tickets.Form{
			{Name: "outfit.csv", Bytes: []byte("region,length_unit,wheelbase,rear_axle_to_coupling\nau,mm,3000,1200\n")},
			{Name: "ratings.csv", Bytes: []byte("rating,on,value,unit\nkerb,vehicle,2740,kg\nkerb,front,1500,kg\nkerb,rear,1240,kg\ntare,trailer,900,kg\n" + rating.Rating + "," + rating.On + "," + limit + ",kg\n")},
		}, tickets.Options{}).All()
		for _, f := range faults {
			t.Fatal(f.Error())
		}
		line, err := Line(nil, EstimateOf(jobs[0], adjust.Estimate(jobs[0])))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(line), `"stops_first":`+want) {
			t.Errorf("not stopped by %s:\n%s", want, line)
		}
		if err := validate(t, compiled(t, "Estimate"), line); err != nil {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// The verdict is the gravest of the ratings in force; those of sets do not count.
func TestEstimateVerdict(t *testing.T) {
	for _, c := range []struct {
		rows []estimateCheck
		want string
	}{
		{nil, "not_known"},
		{[]estimateCheck{{Verdict: "likely_within"}}, "likely_within"},
		{[]estimateCheck{{Verdict: "likely_within"}, {Verdict: "likely_over", Set: "springs"}}, "likely_within"},
		{[]estimateCheck{{Verdict: "likely_within", Set: "springs"}}, "not_known"},
		{[]estimateCheck{{Verdict: "not_known"}, {Verdict: "likely_within"}}, "not_known"},
		{[]estimateCheck{{Verdict: "not_known"}, {Verdict: "open"}}, "open"},
		{[]estimateCheck{{Verdict: "likely_over"}, {Verdict: "open"}, {Verdict: "not_known"}}, "likely_over"},
	} {
		if got := gravest(c.rows); got != c.want {
			t.Errorf("%+v: %s (want %s)", c.rows, got, c.want)
		}
	}
}
