package derive

import (
	"testing"

	"reconcile/internal/tickets"
)

// What each weighing needs to know of the lengths, by the lever law: a part of
// the outfit alone on the deck needs the lengths between its supports, the
// whole of it none.
func TestKnownAt(t *testing.T) {
	known := known(3000)
	all := tickets.Outfit{Wheelbase: known, RearAxleToCoupling: known, CouplingToTrailerAxle: known, NoseSupportToTrailerAxle: known}
	for _, c := range []struct {
		name    string
		reading tickets.Reading
		place   string
		without func(*tickets.Outfit)
		missing string
	}{
		{"all lengths", weigh(tickets.Coupled, tickets.Slack, 1, "front"), "locker", func(*tickets.Outfit) {}, ""},
		{"vehicle whole", weigh(tickets.VehicleAlone, "", 1, "vehicle"), "tray", func(o *tickets.Outfit) { o.Wheelbase.Known = false }, ""},
		{"vehicle in part", weigh(tickets.VehicleAlone, "", 1, "front"), "tray", func(o *tickets.Outfit) { o.Wheelbase.Known = false }, "wheelbase"},
		{"above the front axle", weigh(tickets.VehicleAlone, "", 1, "front"), "cab", func(o *tickets.Outfit) { o.Wheelbase.Known = false }, ""},
		{"another unit", weigh(tickets.VehicleAlone, "", 1, "front"), "locker", func(o *tickets.Outfit) { *o = tickets.Outfit{} }, ""},
		{"trailer whole", weigh(tickets.TrailerAlone, "", 1, "whole trailer"), "locker", func(o *tickets.Outfit) { *o = tickets.Outfit{} }, ""},
		{"trailer without its nose", weigh(tickets.TrailerAlone, "", 1, "trailer"), "locker", func(o *tickets.Outfit) { o.NoseSupportToTrailerAxle.Known = false }, "nose_support_to_trailer_axle"},
		{"gauge", weigh(tickets.TrailerAlone, "", 1, "coupling"), "locker", func(o *tickets.Outfit) { o.CouplingToTrailerAxle.Known = false }, "coupling_to_trailer_axle"},
		{"coupled whole", weigh(tickets.Coupled, tickets.Slack, 1, "outfit"), "locker", func(o *tickets.Outfit) { *o = tickets.Outfit{} }, ""},
		{"coupled trailer", weigh(tickets.Coupled, tickets.Slack, 1, "trailer"), "locker", func(o *tickets.Outfit) { o.CouplingToTrailerAxle.Known = false }, "coupling_to_trailer_axle"},
		{"coupled trailer needs no overhang", weigh(tickets.Coupled, tickets.Slack, 1, "trailer"), "locker", func(o *tickets.Outfit) { o.RearAxleToCoupling.Known = false }, ""},
		{"coupled vehicle needs no overhang", weigh(tickets.Coupled, tickets.Slack, 1, "vehicle"), "locker", func(o *tickets.Outfit) { o.RearAxleToCoupling.Known = false }, ""},
		{"coupled front", weigh(tickets.Coupled, tickets.Tensioned, 1, "front"), "locker", func(o *tickets.Outfit) { o.RearAxleToCoupling.Known = false }, "rear_axle_to_coupling"},
		{"above the trailer's axle", weigh(tickets.Coupled, tickets.Slack, 1, "front"), "bay", func(o *tickets.Outfit) { *o = tickets.Outfit{} }, ""},
		{"no position", weigh(tickets.Coupled, tickets.Slack, 1, "outfit"), "attic", func(*tickets.Outfit) {}, "place"},
		{"no place", weigh(tickets.Coupled, tickets.Slack, 1, "outfit"), "", func(*tickets.Outfit) {}, "place"},
	} {
		job := jobOf(c.reading)
		job.Outfit = all
		c.without(&job.Outfit)
		job.Places = []tickets.Place{
			{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 2000}, {Name: "cab", On: tickets.OnVehicle, HasAt: true},
			{Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 1500}, {Name: "bay", On: tickets.OnTrailer, HasAt: true}, {Name: "attic", On: tickets.OnVehicle},
		}
		if missing, ok := mustSolve(t, job).KnownAt(c.place); missing != c.missing || ok != (c.missing == "") {
			t.Errorf("%s: missing %q, known %v (want %q)", c.name, missing, ok, c.missing)
		}
	}
}
