package main

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"

	"reconcile/internal/derive/lsq"
)

// read reads the systems that the recorder wrote.
func read(file string) ([]lsq.System, error) {
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var all []lsq.System
	for r := (reader{b}); len(r.rest) > 0; {
		s, ok := r.system()
		if !ok {
			return nil, fmt.Errorf("%s ends within system %d", file, len(all)+1)
		}
		all = append(all, s)
	}
	return all, nil
}

// reader goes through the bytes of a file.
type reader struct{ rest []byte }

func (r *reader) system() (s lsq.System, ok bool) {
	if len(r.rest) < 16 {
		return s, false
	}
	size := func(i int) int { return int(binary.LittleEndian.Uint32(r.rest[4*i:])) }
	rows, columns, constraints := size(0), size(1), size(2)
	r.rest = r.rest[16:]
	if len(r.rest) < 8*(1+rows*columns+2*rows+constraints*columns+constraints) {
		return s, false
	}
	s.Columns, s.RankLimit = columns, r.floats(1)[0]
	s.A = r.matrix(rows, columns)
	s.Y, s.U = r.floats(rows), r.floats(rows)
	s.C, s.D = r.matrix(constraints, columns), r.floats(constraints)
	return s, true
}

func (r *reader) matrix(rows, columns int) (all [][]float64) {
	for range rows {
		all = append(all, r.floats(columns))
	}
	return all
}

func (r *reader) floats(n int) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = math.Float64frombits(binary.LittleEndian.Uint64(r.rest[8*i:]))
	}
	r.rest = r.rest[8*n:]
	return all
}
