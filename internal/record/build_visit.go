package record

import (
	"reconcile/internal/adjust"
	"reconcile/internal/tickets"
)

// VisitOf makes the document of the plan of a visit. A job without ratings has
// no checks in it: those that it was planned for are nobody's.
func VisitOf(job *tickets.Job, p *adjust.VisitPlan) *Visit {
	o := &job.Outfit
	v := &Visit{
		Schema: visitSchema, Job: job.Name, Region: string(job.Region),
		Travels: string(o.Travels), Stated: o.TravelsStated, TrailerKind: o.TrailerKind,
		Rated: len(job.Ratings) > 0, Deck: p.Deck, Taken: p.Taken, NotGiven: ratingKeys(p.NotGiven),
		Drives: visitDrives(p.Drives), CrossChecks: visitDrives(p.CrossChecks), Checks: []VisitCheck{}, Mind: []visitMind{}, Outfit: outfitOf(job),
	}
	for i := range p.Checks {
		if v.Rated {
			v.Checks = append(v.Checks, visitCheck(&p.Checks[i]))
		}
	}
	for _, m := range p.Mind {
		v.Mind = append(v.Mind, visitMind{string(m)})
	}
	return v
}

func visitDrives(drives []adjust.Drive) []VisitDrive {
	all := []VisitDrive{}
	for i := range drives {
		d := VisitDrive{Setup: string(drives[i].Setup), Hitch: string(drives[i].Hitch), Gauge: drives[i].Gauge(), Stops: []VisitStop{}}
		for _, s := range drives[i].Stops {
			stop := VisitStop{OnDeck: []string{}}
			for k := range s.Readings {
				stop.OnDeck = append(stop.OnDeck, s.Readings[k].OnDeck)
			}
			d.Stops = append(d.Stops, stop)
		}
		all = append(all, d)
	}
	return all
}

func visitCheck(p *adjust.Planned) VisitCheck {
	v := VisitCheck{Rating: p.Check.Rating, On: p.Check.On, State: string(p.Check.State), Checked: p.Checked}
	switch {
	case !p.Determined:
	case p.Check.LimitKN.Valid:
		v.UKN = &p.U
	default:
		v.UKg, v.MistakeEffectKg = &p.U, p.MistakeKg
	}
	return v
}
