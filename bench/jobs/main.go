// Command jobs writes the forms of a made-up day into a folder.
//
//	go run -C bench ./jobs -n 20000 -conflict 0.1 DIR
package main

import (
	"flag"
	"log"

	"reconcile/bench/day"
)

func main() {
	n := flag.Int("n", 1000, "number of jobs")
	conflict := flag.Float64("conflict", 0, "share of jobs whose readings disagree")
	seed := flag.Uint64("seed", 1, "another day")
	flag.Parse()
	if flag.NArg() != 1 {
		log.Fatal("usage: jobs [-n N] [-conflict SHARE] [-seed S] DIR")
	}
	if err := day.New(*n, *conflict, *seed).Write(flag.Arg(0)); err != nil {
		log.Fatal(err)
	}
}
