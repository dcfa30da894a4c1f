package tickets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// collect gathers what each form gave to the job, and the copies named.
func (j *jobReader) collect() {
	for _, s := range specs {
		f := j.form(s.name, j.job.Name)
		if f == nil || f.broken {
			continue
		}
		records := f.linesOf(j.job.Name)
		if s.name == "tickets.csv" {
			records = f.linesOfTickets(j.job.Name)
		}
		if len(records) > 0 {
			j.job.Inputs = append(j.job.Inputs, f.input(records))
		}
	}
	for _, r := range j.job.Readings {
		j.addCopy(r.Copy)
	}
	for _, r := range j.job.Ratings {
		j.addCopy(r.Copy)
	}
	for _, s := range j.job.Scales {
		j.addCopy(s.Copy)
	}
}

func (j *jobReader) addCopy(name string) {
	if name != "" && !slices.Contains(j.job.Copies, name) {
		j.job.Copies = append(j.job.Copies, name)
	}
}

// input is the whole form where every line holds for the job, else its mark,
// its header and the lines that hold, byte for byte.
func (f *form) input(records []*record) Input {
	if len(records) == len(f.records) {
		in := Input{File: f.spec.name, Bytes: f.src.raw}
		if f.numbers != nil {
			in.Lines = ranges(f.numbers[:f.lineCount()])
		}
		return in
	}
	var numbers []int
	b := slices.Clone(f.src.raw[:f.src.bom])
	add := func(first, last int) {
		b = append(b, f.src.rawLines(first, last)...)
		for l := first; l <= last; l++ {
			numbers = append(numbers, f.number(l))
		}
	}
	add(f.first, f.last)
	for _, r := range records {
		add(r.first, r.last)
	}
	return Input{File: f.spec.name, Bytes: b, Lines: ranges(numbers)}
}

// ranges writes line numbers as 1,4,9-12.
func ranges(numbers []int) string {
	var b strings.Builder
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		if i > 0 {
			b.WriteByte(',')
		}
		if k == i {
			fmt.Fprintf(&b, "%d", numbers[i])
		} else {
			fmt.Fprintf(&b, "%d-%d", numbers[i], numbers[k])
		}
		i = k + 1
	}
	return b.String()
}

// mostLines bounds the lines that an Input may name.
const mostLines = 8_000_000

// ParseLines reads the line numbers of an Input back, for Form.Lines; "" gives
// nil, the whole form. Numbers that do not count up are refused.
func ParseLines(lines string) ([]int, error) {
	if lines == "" {
		return nil, nil
	}
	var numbers []int
	for _, part := range strings.Split(lines, ",") {
		from, to, isRange := strings.Cut(part, "-")
		first, err := strconv.Atoi(from)
		last := first
		if isRange && err == nil {
			last, err = strconv.Atoi(to)
		}
		if err != nil || first < 1 || last < first || len(numbers)+last-first > mostLines || len(numbers) > 0 && first <= numbers[len(numbers)-1] {
			return nil, fmt.Errorf("line numbers %s do not count up (numbers and ranges, like 1,4,9-12)", quote(lines))
		}
		for n := first; n <= last; n++ {
			numbers = append(numbers, n)
		}
	}
	return numbers, nil
}
