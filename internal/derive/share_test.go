package derive

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// A gauge reading depends on L alone. With n known and L missing the share of
// a trailer load of known place is unknown there, and the gauge is r short of
// the download: r = 0.1·m = 6 kg assumed, so the download is 244 + 6.
func TestGaugeWithoutDrawbarLength(t *testing.T) {
	job := jobOf(weigh(tickets.TrailerAlone, "", 244, "coupling"))
	job.Readings[0].Without = []string{"battery"}
	job.Outfit.NoseSupportToTrailerAxle = known(4500)
	job.Loads = []tickets.Load{{Name: "battery", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnTrailer, Place: "locker"}}
	job.Places = []tickets.Place{{Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 4000}}
	s := mustSolve(t, job)
	wantNumber(t, "download", s.Download(), 250, 1e-9)
	if len(s.Unknown) != 1 || s.Unknown[0] != (UnknownShare{Load: "battery", Missing: lengthL}) {
		t.Errorf("unknown shares %+v (want the battery's, for want of %s)", s.Unknown, lengthL)
	}
}
