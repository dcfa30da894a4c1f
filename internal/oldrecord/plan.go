package record

import (
	"bytes"
	"encoding/json"
	"fmt"

	"reconcile/internal/adjust"
)

// PlanOf makes the document of a plan.
func PlanOf(job string, p *adjust.Plan) *Plan {
	doc := &Plan{
		Schema: PlanSchema, Job: job, Found: p.Found, Proved: p.Proved,
		LeftKg: p.Left.String(), MovedKg: p.Moved.String(), Touched: p.Touched,
		Moves: []Move{}, Before: planLoads(p.Before), After: planLoads(p.After), Blocking: []Blocking{},
	}
	for _, m := range p.Moves {
		move := Move{Load: m.Load, From: m.From, Kg: m.Kg.String()}
		if to := m.To; to != "" {
			move.To = &to
		}
		doc.Moves = append(doc.Moves, move)
	}
	for _, b := range p.Blocking {
		doc.Blocking = append(doc.Blocking, Blocking{b.Rating, b.On, string(b.State), b.ExcessKg})
	}
	return doc
}

func planLoads(held []adjust.Deciding) []PlanLoad {
	rows := []PlanLoad{}
	for _, h := range held {
		c := h.Check
		row := PlanLoad{Rating: c.Rating, On: c.On, State: string(c.State), Verdict: string(h.Verdict)}
		if c.LimitKN.Valid {
			row.LimitKN, row.ValueKN, row.UKN = c.LimitKN.Decimal.String(), c.Found.Value, c.Found.U
		} else {
			row.LimitKg, row.ValueKg, row.UKg = c.LimitKg.Decimal.String(), c.Found.Value, c.Found.U
		}
		rows = append(rows, row)
	}
	return rows
}

// Line gives the plan as one line of JSON, newline included.
func (p *Plan) Line() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(p); err != nil {
		return nil, fmt.Errorf("plan of job %q: %w", p.Job, err)
	}
	return b.Bytes(), nil
}

type (
	loadInKg struct {
		Rating  string  `json:"rating"`
		On      string  `json:"on"`
		State   string  `json:"state"`
		LimitKg string  `json:"limit_kg"`
		ValueKg float64 `json:"value_kg"`
		UKg     float64 `json:"u_kg"`
		Verdict string  `json:"verdict"`
	}
	loadInKN struct {
		Rating  string   `json:"rating"`
		On      string   `json:"on"`
		State   string   `json:"state"`
		LimitKg *string  `json:"limit_kg"` // null, and so the next two
		ValueKg *float64 `json:"value_kg"`
		UKg     *float64 `json:"u_kg"`
		LimitKN string   `json:"limit_kn"`
		ValueKN float64  `json:"value_kn"`
		UKN     float64  `json:"u_kn"`
		Verdict string   `json:"verdict"`
	}
)

// MarshalJSON writes the keys of the load's unit; a D-value has the kN keys
// filled and the kg ones null.
func (l PlanLoad) MarshalJSON() ([]byte, error) {
	if l.LimitKN != "" {
		return json.Marshal(loadInKN{
			Rating: l.Rating, On: l.On, State: l.State, LimitKN: l.LimitKN, ValueKN: l.ValueKN, UKN: l.UKN, Verdict: l.Verdict,
		})
	}
	return json.Marshal(loadInKg{l.Rating, l.On, l.State, l.LimitKg, l.ValueKg, l.UKg, l.Verdict})
}

// UnmarshalJSON reads either form and refuses unknown keys.
func (l *PlanLoad) UnmarshalJSON(b []byte) error {
	var kn loadInKN
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&kn); err != nil {
		return err
	}
	if (kn.LimitKg == nil || kn.ValueKg == nil || kn.UKg == nil) && kn.LimitKN == "" {
		return fmt.Errorf("load of a plan %s has no value", b)
	}
	*l = PlanLoad{
		Rating: kn.Rating, On: kn.On, State: kn.State, Verdict: kn.Verdict,
		LimitKN: kn.LimitKN, ValueKN: kn.ValueKN, UKN: kn.UKN,
	}
	if kn.LimitKN == "" {
		l.LimitKg, l.ValueKg, l.UKg = *kn.LimitKg, *kn.ValueKg, *kn.UKg
	}
	return nil
}

// ValueText prints the load with its expanded uncertainty, as tables show it.
func (l PlanLoad) ValueText() string { return l.check().ValueText() }

// LimitText prints the limit, as tables show it.
func (l PlanLoad) LimitText() string { return l.check().LimitText() }

func (l PlanLoad) check() Check {
	if l.LimitKN != "" {
		return Check{Rating: l.Rating, LimitKN: &l.LimitKN, ValueKN: &l.ValueKN, UKN: &l.UKN}
	}
	return Check{Rating: l.Rating, LimitKg: &l.LimitKg, ValueKg: &l.ValueKg, UKg: &l.UKg}
}
