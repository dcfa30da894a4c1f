package search

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"
)

func TestDbg(t *testing.T) {
	lim, _ := strconv.Atoi(os.Getenv("LIM"))
	n, _ := strconv.Atoi(os.Getenv("N"))
	trace = true
	bad := 0
	st0 := time.Now()
	for seed := range uint64(n) {
		p := outfit(seed, 40)
		tr = nil
		st := time.Now()
		r, _ := Solve(p, lim)
		if r.Proved {
			continue
		}
		bad++
		fmt.Println(seed, time.Since(st), r.Found, r.Proved, r.Left, r.Moved, r.Touched, r.Bound, tr)
		if c := r.Conflict; c != nil {
			fmt.Println("   ", c.Total, c.AtLeast, c.Proved, c.Rows)
		}
	}
	trace = false
	fmt.Println("unproved", bad, "of", n, time.Since(st0))
}
