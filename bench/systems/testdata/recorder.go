// This file is added to the package lsq of a program built by bench/systems; it
// is no part of reconcile.

package lsq

import (
	"bufio"
	"encoding/binary"
	"log"
	"os"
	"sync"
)

var recorder = struct {
	sync.Mutex
	file *os.File
}{file: func() *os.File {
	f, err := os.Create(os.Getenv("SYSTEMS"))
	if err != nil {
		log.Fatal("SYSTEMS names the file to be written: ", err)
	}
	return f
}()}

// Solve writes the system to the file and solves it.
func Solve(s System, sol *Solution) (*Solution, error) {
	if s.Cov != nil {
		log.Fatal("a system with a covariance, which the file has no place for")
	}
	recorder.Lock()
	defer recorder.Unlock()
	out := bufio.NewWriter(recorder.file)
	put := func(v any) { binary.Write(out, binary.LittleEndian, v) } // its error comes out of Flush
	put([]int32{int32(len(s.A)), int32(s.Columns), int32(len(s.C)), 0})
	put(s.RankLimit)
	for _, row := range s.A {
		put(row)
	}
	put(s.Y)
	put(s.U)
	for _, row := range s.C {
		put(row)
	}
	put(s.D)
	if err := out.Flush(); err != nil {
		log.Fatal(err)
	}
	return solveSystem(s, sol)
}
