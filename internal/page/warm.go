package page

import "reconcile/internal/record"

// warmForms are a small job of our own. Working it out once after the first
// paint has the browser compile what the first answer of the user needs.
var warmForms = []record.File{
	{Name: "tickets.csv", Bytes: []byte(`ticket,weighed_at,setup,on_deck,reading,unit,people
1,2026-03-14 09:20,coupled,front,1240,kg,2
1,2026-03-14 09:22,coupled,front+rear,3000,kg,2
1,2026-03-14 09:25,coupled,trailer,2240,kg,2
2,2026-03-14 09:41,vehicle_alone,vehicle,2760,kg,2
`)},
	{Name: "ratings.csv", Bytes: []byte("rating,on,value,unit\ngvm,,3200,kg\natm,,2800,kg\naxle,rear,1950,kg\ndownload_max,vehicle,310,kg\n")},
	{Name: "outfit.csv", Bytes: []byte("people,rear_axles,trailer_axles,travels,region\n2,1,2,plain,au\n")},
}
