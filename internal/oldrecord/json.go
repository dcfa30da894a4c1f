package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Line gives the record as one line of JSON, newline included: the bytes that
// --json prints, that are attached as record.json, and that are hashed.
func (r *Record) Line() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // the text is data, never a page
	if err := e.Encode(r); err != nil {
		return nil, fmt.Errorf("record of job %q: %w", r.Job, err)
	}
	return b.Bytes(), nil
}

// Parse reads a record back. It refuses unknown keys: a record with more in it
// than this program knows was made by another version; and anything behind it.
func Parse(line []byte) (*Record, error) {
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	r := new(Record)
	if err := d.Decode(r); err != nil {
		return nil, fmt.Errorf("record: %w", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("record: something follows it")
	}
	return r, nil
}

type (
	inKg struct {
		Value float64 `json:"value_kg"`
		U     float64 `json:"u_kg"`
		Basis string  `json:"basis"`
	}
	inRatio struct {
		Value float64 `json:"value"`
		U     float64 `json:"u"`
	}
	inKgM struct {
		Value float64 `json:"value_kgm"`
		U     float64 `json:"u_kgm"`
	}
	inMm struct {
		Value float64 `json:"value_mm"`
		U     float64 `json:"u_mm"`
	}
)

// MarshalJSON writes the keys of the quantity's unit.
func (q Quantity) MarshalJSON() ([]byte, error) {
	switch q.Unit {
	case InKg:
		return json.Marshal(inKg{q.Value, q.U, q.Basis})
	case InKgM:
		return json.Marshal(inKgM{q.Value, q.U})
	case InMm:
		return json.Marshal(inMm{q.Value, q.U})
	case InRatio:
		return json.Marshal(inRatio{q.Value, q.U})
	}
	return nil, fmt.Errorf("quantity in %q (want kg, kgm, mm or a ratio)", q.Unit)
}

// UnmarshalJSON tells the unit from the keys.
func (q *Quantity) UnmarshalJSON(b []byte) error {
	var all struct {
		ValueKg  *float64 `json:"value_kg"`
		UKg      float64  `json:"u_kg"`
		Basis    string   `json:"basis"`
		Value    *float64 `json:"value"`
		U        float64  `json:"u"`
		ValueKgM *float64 `json:"value_kgm"`
		UKgM     float64  `json:"u_kgm"`
		ValueMm  *float64 `json:"value_mm"`
		UMm      float64  `json:"u_mm"`
	}
	if err := json.Unmarshal(b, &all); err != nil {
		return err
	}
	switch {
	case all.ValueKg != nil:
		*q = Quantity{InKg, *all.ValueKg, all.UKg, all.Basis}
	case all.ValueKgM != nil:
		*q = Quantity{InKgM, *all.ValueKgM, all.UKgM, ""}
	case all.ValueMm != nil:
		*q = Quantity{InMm, *all.ValueMm, all.UMm, ""}
	case all.Value != nil:
		*q = Quantity{InRatio, *all.Value, all.U, ""}
	default:
		return fmt.Errorf("quantity %s has no value", b)
	}
	return nil
}
