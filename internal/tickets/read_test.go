package tickets

import (
	"errors"
	"io/fs"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// formsOf gives the forms of a text archive.
func formsOf(archive string) []Form {
	var forms []Form
	for _, f := range txtar.Parse([]byte(archive)).Files {
		forms = append(forms, Form{Name: f.Name, Bytes: f.Data})
	}
	return forms
}

// onlyPhoto is a folder that has a copy of a document, a link, and copies that
// are large, alone or together.
func onlyPhoto(name string) (int64, error) {
	switch name {
	case "ticket.jpg":
		return 100_000, nil
	case "link.jpg":
		return 100_000, errors.New("a link")
	case "huge.jpg":
		return 20_000_001, nil
	case "a.jpg", "b.jpg", "c.jpg":
		return 20_000_000, nil
	}
	return 0, fs.ErrNotExist
}

const planetarium = `-- tickets.csv --
ticket,weighed_at,scale,setup,on_deck,reading,interval,without,people
1,2026-03-14 09:20,bridge,coupled,front,1500,20,,2
2,2026-03-14 09:24,bridge,coupled,rear,2260,20,,2
3,2026-03-14 09:27,bridge,coupled,trailer,2840,20,,2
4,2026-03-14 09:40,bridge,vehicle_alone,vehicle,3440,20,driver,1
5,2026-03-14 09:52,bridge,trailer_alone,all,3080,20,,0
-- ratings.csv --
rating,on,value,unit,fitted,kind
gvm,,3500,kg,,
gcm,,7000,kg,,
atm,,3500,kg,,
axle,front,1600,,,
axle,rear,2300,,,
axle,trailer,3500,,,
towing,,3500,,,braked
download_max,ball,350,,,
tyre,rear,121/118,,2,commercial
-- outfit.csv --
owner,vehicle,trailer,people,wheelbase,rear_axle_to_coupling,coupling_to_trailer_axle,rear_axles,trailer_axles,trailer_brakes,region
Skylark Planetarium,crew-cab utility,tandem-axle trailer,2,3220,1310,3900,1,2,overrun,au
-- scales.csv --
scale,site,class,interval,unit,max
bridge,Mill Road,III,20,kg,60000
-- loads.csv --
load,mass,unit,on
driver,82,kg,vehicle
`

func TestReadOrdinaryJob(t *testing.T) {
	res := readFolder(formsOf(planetarium), Options{NeedTickets: true})
	for _, f := range res.Faults {
		t.Error(f.Error())
	}
	if len(res.Jobs) != 1 || len(res.Jobs[0].Readings) != 5 || len(res.Jobs[0].Ratings) != 9 {
		t.Fatalf("read %+v", res)
	}
}
