package page

import (
	"context"
	"errors"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/record"
)

// later is what is worked out only while it is looked at, behind the answer.
type later struct {
	plan      *record.Record // with what to move
	planned   bool           // it was worked out, or cannot be
	planError string
	visit     *record.Visit // the sheet to take to the weighbridge
	visited   bool
}

// wantsPlan says whether somebody looks at what to move.
func (pg *page) wantsPlan() bool {
	return pg.view.Part == "whatif" && pg.answer != nil && pg.movable() && !pg.later.planned
}

// wantsVisit says whether somebody looks at the sheet.
func (pg *page) wantsVisit() bool {
	return pg.job != nil && pg.view.Open["sheet"] && !pg.later.visited
}

func (pg *page) wanting() bool { return pg.wantsPlan() || pg.wantsVisit() }

// goOn is [Reply.Rest].
func (pg *page) goOn(stop func() bool) Reply {
	switch {
	case pg.rest:
		return pg.restOfAnswer(stop)
	case pg.wantsPlan():
		return pg.restOfPlan(stop)
	case pg.wantsVisit():
		return pg.restOfVisit(stop)
	case pg.warming:
		pg.warming = false
		warm(stop)
		return pg.reply(Reply{})
	}
	return Reply{}
}

func (pg *page) restOfAnswer(stop func() bool) Reply {
	job := pg.job
	found, err := pg.beyond(stop)
	if errors.Is(err, context.Canceled) || job != pg.job {
		return Reply{} // something was done meanwhile
	}
	var result *flow.Result
	if err == nil {
		result, err = found.Result(pg.options())
	}
	switch {
	case err != nil:
		pg.cannot, pg.rest = err.Error(), false
	default:
		pg.result, pg.answer, pg.rest = result, result.Record, false
		if pg.answer.Plan != nil && pg.view.Set == "" {
			pg.later.plan, pg.later.planned = pg.answer, true
		}
	}
	return pg.reply(Reply{})
}

func (pg *page) restOfPlan(stop func() bool) Reply {
	job := pg.job
	plan, err := flow.Adjust(job, pg.options(), stop)
	if errors.Is(err, context.Canceled) || job != pg.job {
		return Reply{}
	}
	pg.later.plan, pg.later.planned = plan, true
	if err != nil {
		pg.later.planError = err.Error()
	}
	return pg.reply(Reply{})
}

func (pg *page) restOfVisit(stop func() bool) Reply {
	job := pg.job
	visit, err := flow.PlanVisit(job, pg.options(), stop)
	if errors.Is(err, context.Canceled) || job != pg.job {
		return Reply{}
	}
	pg.later.visited = true
	if err == nil {
		pg.later.visit = visit
	}
	return pg.reply(Reply{})
}

// warm works a built-in job out and throws it away, in steps between which it
// asks stop: the browser then has compiled what the first answer needs.
func warm(stop func() bool) {
	pg := newPage(func() time.Time { return time.Time{} })
	pg.do([]event{{Do: "restore", Files: warmForms}, {Do: "goto", Value: "slip"}})
	if stop() {
		return
	}
	pg.goOn(stop)
	if stop() || pg.result == nil {
		return
	}
	pg.result.Summary(nil)
}
