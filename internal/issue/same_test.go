package issue

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

const base = `{"program":"2.0.0","options":{"rule":"guarded","issued":"","signed_by":null},"readings":[{"line":7,"reading":"1240"}],
"do":[{"code":"look_again","args":{"at_line":7}}],"replaces":null,"inputs":[{"file":"tickets.csv","lines":[[1,1],[7,7]]}],"issuer":{"name":"Yard","next_number":"101","number":"101"}}`

func TestSameRecord(t *testing.T) {
	for _, c := range []struct {
		from, to string
		same     bool
	}{
		{`"issued":""`, `"issued":"2026-03-14"`, true},
		{`"signed_by":null`, `"signed_by":{"name":"Yard"}`, true},
		{`"line":7`, `"line":8`, true},
		{`"at_line":7`, `"at_line":8`, true},
		{`[7,7]`, `[8,8]`, true},
		{`"replaces":null`, `"replaces":{"number":"100"}`, true},
		{`"number":"101"}`, `"number":"102"}`, true},
		{`"next_number":"101"`, `"next_number":"102"`, true},
		{`"program":"2.0.0"`, `"program":"2.0.1"`, true},
		{`"reading":"1240"`, `"reading":"1241"`, false},
		{`"rule":"guarded"`, `"rule":"simple"`, false},
		{`"name":"Yard"`, `"name":"Barn"`, false},
		{`look_again`, `drive`, false},
	} {
		changed := strings.Replace(base, c.from, c.to, 1)
		if changed == base {
			t.Fatalf("%s is not there", c.from)
		}
		if same, err := SameRecord([]byte(base), []byte(changed)); err != nil || same != c.same {
			t.Errorf("%s as %s: the same is %v (want %v), %v", c.from, c.to, same, c.same, err)
		}
	}
	if _, err := SameRecord([]byte(base), []byte("half")); err == nil {
		t.Error("a record that cannot be read is compared")
	}
}

func TestOtherOutfit(t *testing.T) {
	who := func(owner, vehicle, trailer string) *record.Outfit {
		return &record.Outfit{Owner: owner, VehicleID: vehicle, TrailerID: trailer}
	}
	for _, c := range []struct {
		a, b  *record.Outfit
		other bool
	}{
		{who("", "", ""), who("", "", ""), false},
		{who("Ann", "STAR 1", "DOME 7"), who("Ann", "star1", "DOME7"), false},
		{who("Ann", "STAR 1", "DOME 7"), who("Ann", "STAR 1", "DOME 8"), true},
		{who("Ann", "STAR 1", ""), who("Ann", "STAR 2", "DOME 8"), true},
		{who("Ann", "STAR 1", ""), who("Bob", "STAR 1", "DOME 8"), false}, // sold, and weighed before
		{who("Ann", "", "DOME 7"), who("Bob", "STAR 1", ""), true},
		{who("Ann", "", ""), who("", "STAR 1", "DOME 7"), false}, // typed in later
		{who("'=A", "", ""), who("=A", "", ""), false},           // as the register has it
	} {
		if OtherOutfit(c.a, c.b) != c.other || OtherOutfit(c.b, c.a) != c.other {
			t.Errorf("%+v and %+v: other is %v (want %v)", c.a, c.b, !c.other, c.other)
		}
	}
}
