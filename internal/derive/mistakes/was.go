package mistakes

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// Codes of what a Mistake was and should be, where that is no figure.
const (
	aboard        = "on_board"
	notAboard     = "not_on_board"
	hitchUnknown  = "unknown"
	useYes        = "yes"
	useCalculated = "calculated"
)

// say fills in what the job as typed says and what it should say.
func (m *Mistake) say(job *tickets.Job) {
	if len(m.Readings) > 0 {
		m.Was, m.Should, m.Unit = m.change(&job.Readings[m.Readings[0]], &m.Job.Readings[m.Readings[0]])
	}
	if m.Load == unlistedPerson {
		m.Load = ""
	}
}

// change is what a reading says and what it should say: figures in its unit,
// or codes.
func (m *Mistake) change(was, is *tickets.Reading) (from, to, unit string) {
	switch m.Kind {
	case hitchWrong:
		return hitchOf(was), hitchOf(is), ""
	case loadWrong:
		if m.OnBoard {
			return notAboard, aboard, ""
		}
		return aboard, notAboard, ""
	case setupWrong:
		if was.State != is.State {
			return string(was.State), string(is.State), ""
		}
		return tickets.Spell(was.Terms...), tickets.Spell(is.Terms...), ""
	case zeroWrong:
		return "0", decimal.NewFromFloat(m.zeroKg).Round(0).String(), "kg"
	case calculated:
		return useYes, useCalculated, ""
	case unitWrong:
		if was.Unit != is.Unit {
			return was.Unit, is.Unit, was.Unit
		}
		return was.Kg.String(), is.Kg.String(), "kg"
	}
	return figureOf(was), figureOf(is), was.Unit
}

// hitchOf is what a coupled reading says of the hitch.
func hitchOf(r *tickets.Reading) string {
	if r.HitchUnknown {
		return hitchUnknown
	}
	_, hitch := r.State.Cells()
	return hitch
}

// figureOf is a figure as typed, in its own unit.
func figureOf(r *tickets.Reading) string {
	if r.Typed == "" {
		return r.Kg.String()
	}
	return r.Typed
}
