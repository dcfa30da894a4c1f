package main

import "io"

// results is standard output. It remembers the first write that failed, so
// that a result nobody got never ends in an exit status that says all is well.
type results struct {
	w   io.Writer
	err error
}

// Write passes on, until a write has failed.
func (r *results) Write(b []byte) (int, error) {
	if r.err != nil {
		return 0, r.err
	}
	n, err := r.w.Write(b)
	r.err = err
	return n, err
}

// broken says whether the reader of s.out is gone.
func (s streams) broken() bool {
	r, ok := s.out.(*results)
	return ok && r.err != nil
}
