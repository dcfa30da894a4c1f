package flow

import (
	"regexp"
	"slices"
	"strconv"
	"sync"
)

// Program is this program's version, as records name it.
const Program = "2.0.0"

// released are the versions whose summaries this program judges: all that were
// handed out. Of 1.0.0 nothing was.
var released = versions{Program: Program, Listed: []string{"2.0.0"}}

// versions are the versions of the program known to whoever verifies.
type versions struct {
	Program string   // this one: only its pages can be drawn again
	Listed  []string // all that were released
}

// models are the models that this program derives with, the last of them for
// what it makes, each with the schema of its records.
var models = map[int]string{2: "reconcile-record/2"}

// maker is what a record says of the program that made it.
type maker struct {
	schema, program string
	model           int
}

// recordHead is how every record begins, of whatever version.
var recordHead = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^\{"schema":"([^"\\]{0,99})","program":"([^"\\]{0,99})","model":([0-9]{1,9}),`)
})

// makerOf reads who made a record; false: it does not begin as one.
func makerOf(line []byte) (maker, bool) {
	m := recordHead().FindSubmatch(line[:min(len(line), 500)])
	if m == nil {
		return maker{}, false
	}
	model, err := strconv.Atoi(string(m[3]))
	return maker{schema: string(m[1]), program: string(m[2]), model: model}, err == nil
}

// known reports whether what a program of that version made can be judged.
func (v versions) known(m maker) bool {
	schema, ok := models[m.model]
	return ok && schema == m.schema && slices.Contains(v.Listed, m.program)
}
