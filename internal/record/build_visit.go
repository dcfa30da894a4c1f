package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/tickets"
)

// VisitOf makes the document of the plan of a visit, which a version of the program
// made. A job without ratings has no checks in it: those that it was planned for are
// nobody's.
func VisitOf(job *tickets.Job, p *adjust.VisitPlan, program string) *Visit {
	o, m := &job.Outfit, new(memory) // which nobody releases
	v := &Visit{
		Schema: visitSchema, Job: job.Name, Region: job.Region,
		Travels: travelsWord(o), Stated: o.TravelsStated, TrailerKind: kindWord(o),
		Rated: len(job.Ratings) > 0, Deck: deckWord(&p.Scale), Taken: p.Taken, NotGiven: m.ratingKeys(p.NotGiven),
		Checks: []visitCheck{}, Mind: []visitMind{}, Program: program, Outfit: m.outfitOf(job),
	}
	v.Pads = p.Scale.Pads
	v.Drives, v.CrossChecks = visitDrives(p, false), visitDrives(p, true)
	v.Route = routeOf(v.Drives, v.CrossChecks)
	if v.Rated {
		v.Checks = visitChecks(p)
	}
	for _, mind := range p.Mind {
		v.Mind = append(v.Mind, visitMind{string(mind)})
	}
	return v
}

// visitDrives are the drives that determine, or those that cross-check.
func visitDrives(p *adjust.VisitPlan, crossCheck bool) []visitDrive {
	all := []visitDrive{}
	for i := range p.Drives {
		from := &p.Drives[i]
		if from.CrossChecks != crossCheck {
			continue
		}
		d := visitDrive{Gauge: from.Gauge, Stops: []visitStop{}, State: from.State}
		d.Setup, d.Hitch = d.State.Cells()
		for _, s := range from.Stops {
			stop := visitStop{OnDeck: []string{}}
			for k := range s.Readings {
				stop.OnDeck = append(stop.OnDeck, s.Readings[k].OnDeck)
			}
			d.Stops = append(d.Stops, stop)
		}
		all = append(all, d)
	}
	return all
}

func visitChecks(p *adjust.VisitPlan) []visitCheck {
	all := []visitCheck{}
	for i := range p.Checks {
		c := &p.Checks[i]
		v := visitCheck{Rating: c.Check.Rating, On: c.Check.On, State: string(c.Check.State), Checked: c.Checked}
		switch {
		case !c.Determined:
		case c.Check.LimitKN.Valid:
			v.UKN = &c.U
		default:
			v.UKg, v.MistakeEffectKg = &c.U, c.MistakeKg
		}
		all = append(all, v)
	}
	return all
}
