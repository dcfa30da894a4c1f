package search

import "os"

var trace bool
var xp2 = os.Getenv("XP2")
var xp = os.Getenv("XP")
var tr [][2]int
