package main

import (
	"slices"
	"testing"

	"reconcile/internal/record"
)

// issuedRecord has a value under every key in which two issues may differ.
func issuedRecord() *record.Record {
	r := &record.Record{Program: "2.0.0", Readings: []record.Reading{{Line: 7, Reading: "1240"}},
		Do: []record.Do{{Code: "look_again", Args: &record.Args{AtLine: 7, Lines: []int{2, 7}}}}}
	r.Options.Rule, r.Issuer.Name, r.Issuer.NextNumber, r.Issuer.Number = "guarded", "Yard", "101", "101"
	r.Inputs = slices.Grow(r.Inputs, 1)[:1]
	r.Inputs[0].File, r.Inputs[0].Lines = "tickets.csv", [][2]int{{1, 1}, {7, 7}}
	return r
}

func TestSameRecord(t *testing.T) {
	for name, c := range map[string]struct {
		change func(r *record.Record)
		same   bool
	}{
		"issued":        {func(r *record.Record) { r.Options.Issued = "2026-03-14" }, true},
		"signed by":     {func(r *record.Record) { r.Options.SignedBy = &record.Signer{Name: "Yard"} }, true},
		"line":          {func(r *record.Record) { r.Readings[0].Line = 8 }, true},
		"at line":       {func(r *record.Record) { r.Do[0].Args.AtLine = 8 }, true},
		"lines":         {func(r *record.Record) { r.Do[0].Args.Lines[1] = 8 }, true},
		"lines of form": {func(r *record.Record) { r.Inputs[0].Lines[1] = [2]int{8, 8} }, true},
		"inputs":        {func(r *record.Record) { r.Inputs = nil }, true},
		"replaces":      {func(r *record.Record) { r.Replaces = &record.Replaces{Number: "100"} }, true},
		"number":        {func(r *record.Record) { r.Issuer.Number = "102" }, true},
		"next number":   {func(r *record.Record) { r.Issuer.NextNumber = "102" }, true},
		"program":       {func(r *record.Record) { r.Program = "2.0.1" }, true},
		"reading":       {func(r *record.Record) { r.Readings[0].Reading = "1241" }, false},
		"one more":      {func(r *record.Record) { r.Readings = append(r.Readings, r.Readings[0]) }, false},
		"rule":          {func(r *record.Record) { r.Options.Rule = "simple" }, false},
		"name":          {func(r *record.Record) { r.Issuer.Name = "Barn" }, false},
		"code":          {func(r *record.Record) { r.Do[0].Code = "drive" }, false},
	} {
		changed := issuedRecord()
		if c.change(changed); len(record.Differences(issuedRecord(), changed)) == 0 {
			t.Fatalf("%s: nothing was changed", name)
		}
		if same := sameRecord(issuedRecord(), changed); same != c.same {
			t.Errorf("%s: the same is %v (want %v)", name, same, c.same)
		}
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
		if otherOutfit(c.a, c.b) != c.other || otherOutfit(c.b, c.a) != c.other {
			t.Errorf("%+v and %+v: other is %v (want %v)", c.a, c.b, !c.other, c.other)
		}
	}
}
