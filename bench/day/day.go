// Package day makes up the forms of a weighing operator's day: many jobs in
// one folder, for benchmarks and for tests of whole runs. Every outfit is
// invented; its readings follow from its loads by rounding to the scale's
// interval, so that they agree, and its ratings are kept.
package day

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// Forms are the forms of a day by file name.
type Forms map[string][]byte

// New makes up n jobs of six to eight readings, the share of them in conflict
// given by conflict (0 to 1). The same arguments give the same forms.
func New(n int, conflict float64, seed uint64) Forms {
	r := rand.New(rand.NewPCG(seed, 2))
	d := day{Rand: r}
	d.tickets.WriteString("job,ticket,weighed_at,scale,setup,hitch,on_deck,reading,unit,people\n")
	d.ratings.WriteString("job,rating,on,value,unit,kind,source\n")
	d.outfits.WriteString("job,owner,vehicle,vehicle_id,trailer,trailer_id,people,wheelbase,rear_axle_to_coupling,coupling_to_trailer_axle,nose_support_to_trailer_axle,rear_axles,trailer_axles,travels,trailer_brakes,region\n")
	for i := range n {
		d.job(i, float64(i%100) < 100*conflict)
	}
	return Forms{
		"tickets.csv": d.tickets.Bytes(), "ratings.csv": d.ratings.Bytes(), "outfit.csv": d.outfits.Bytes(),
		"scales.csv": []byte("scale,site,operator,class,interval,unit,max,deck,certificate,verified_on\ndepot,Copper Lane grain depot,Copper Lane,III,20,kg,60000,single,C-118,2026-01-15\nyard,Lantern Hill yard,Copper Lane,III,10,kg,30000,multi,C-131,2026-02-03\n"),
		"issuer.csv": []byte("name,address,licence,phone,next_number\nCopper Lane grain depot,1 Copper Lane,W-77,5550117,2026-000001\n"),
	}
}

// Write writes the forms into a folder.
func (f Forms) Write(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for name, b := range f {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o666); err != nil {
			return err
		}
	}
	return nil
}

type day struct {
	*rand.Rand
	tickets, ratings, outfits bytes.Buffer
}

// outfit is what one outfit truly weighs, in kilograms, and measures, in
// millimetres.
type outfit struct {
	front, rear, trailer, nose   float64
	wheelbase, overhang, drawbar float64
}

func (d *day) between(low, high float64) float64 { return low + (high-low)*d.Float64() }

func (d *day) job(i int, conflict bool) {
	o := outfit{
		front: d.between(1200, 1500), rear: d.between(1150, 1500), trailer: d.between(1300, 1800),
		wheelbase: d.between(3000, 3400), overhang: d.between(1100, 1400), drawbar: d.between(4300, 5200),
	}
	o.nose = o.trailer * d.between(0.09, 0.12)
	name := fmt.Sprintf("2026-%06d", i+1)
	d.weigh(name, i, o, conflict)
	d.plates(name, o)
	travels := "plain"
	if tensioned(i) {
		travels = "tensioned"
	}
	fmt.Fprintf(&d.outfits, "%s,Owner %d,crew-cab utility,DOME %d,tandem-axle trailer,DOME T%d,2,%.0f,%.0f,%.0f,%.0f,1,2,%s,overrun,au\n",
		name, i+1, i+1, i+1, o.wheelbase, o.overhang, o.drawbar, o.drawbar, travels)
}

// weigh writes the tickets of six, seven or eight readings: coupled, the
// vehicle alone and the trailer alone, enough to check one another.
func (d *day) weigh(job string, i int, o outfit, conflict bool) {
	lever := o.overhang / o.wheelbase
	front, rear := o.front-lever*o.nose, o.rear+(1+lever)*o.nose
	line := 0
	wrong := 0
	if conflict {
		wrong = 1 + i%5
	}
	put := func(setup, hitch, deck string, kg float64) {
		line++
		e := 20.0
		read := e * math.Round(kg/e)
		if line == wrong {
			read += 300
		}
		fmt.Fprintf(&d.tickets, "%s,%d,2026-03-14 %02d:%02d,depot,%s,%s,%s,%.0f,kg,%s\n", job, 500000+10*i+line, 6+i/6%12, (10*i+line)%60, setup, hitch, deck, read, map[bool]string{true: "2"}[setup != "trailer_alone"])
	}
	hitch := ""
	if tensioned(i) {
		hitch = "slack"
	}
	put("coupled", hitch, "front", front)
	put("coupled", hitch, "front+rear", front+rear)
	put("coupled", hitch, "trailer", o.trailer)
	put("vehicle_alone", "", "front", o.front)
	put("vehicle_alone", "", "vehicle", o.front+o.rear)
	put("trailer_alone", "", "all", o.trailer+o.nose)
	switch {
	case tensioned(i): // takes from the rear axle and gives to both others
		back := 0.5 * lever * o.nose
		put("coupled", "tensioned", "front", front+back)
		put("coupled", "tensioned", "trailer", o.trailer+back*o.wheelbase/(o.overhang+o.drawbar))
	case i%3 == 1:
		put("coupled", "", "rear", rear)
	}
}

// tensioned says whether an outfit has a load-distribution hitch: every third.
func tensioned(i int) bool { return i%3 == 2 }

// plates writes ratings that the outfit keeps with room to spare.
func (d *day) plates(job string, o outfit) {
	up := func(kg float64) float64 { return 10 * math.Ceil((kg+120)/10) }
	lever := o.overhang / o.wheelbase
	gvm := up(o.front + o.rear + o.nose)
	for _, r := range []struct {
		rating, on, kind string
		kg               float64
	}{
		{"gvm", "", "", gvm},
		{"gcm", "", "", up(o.front + o.rear + o.nose + o.trailer + 200)},
		{"atm", "", "", up(o.trailer + o.nose)},
		{"gtm", "", "", up(o.trailer + 60)},
		{"axle", "front", "", up(o.front)},
		{"axle", "rear", "", up(o.rear + (1+lever)*o.nose)},
		{"towing", "", "braked", up(o.trailer + o.nose + 500)},
		{"download_max", "vehicle", "", up(o.nose)},
	} {
		fmt.Fprintf(&d.ratings, "%s,%s,%s,%.0f,kg,%s,plate\n", job, r.rating, r.on, r.kg, r.kind)
	}
}
