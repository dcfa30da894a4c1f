// Command floor does the least that any program must do that reads the forms
// of a day and prints a record of each job: it reads every line with
// encoding/csv, parses every number, and writes one record per job with
// encoding/json. It derives nothing.
//
//	floor DIR RECORDS.json > /dev/null
//
// RECORDS.json holds the records of some jobs of the day, one per line; they are
// written over and over.
package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"log"
	"os"
	"path/filepath"
	"strconv"

	"reconcile/internal/record"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: floor DIR RECORDS.json")
	}
	records := parse(os.Args[2])
	forms, err := filepath.Glob(filepath.Join(os.Args[1], "*.csv"))
	if err != nil || len(forms) == 0 {
		log.Fatal("no forms in ", os.Args[1])
	}
	jobs, sum := 0, 0.0
	for _, path := range forms {
		n, s := read(path)
		sum += s
		if filepath.Base(path) == "outfit.csv" {
			jobs = n
		}
	}
	out := bufio.NewWriterSize(os.Stdout, 1<<16)
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	for i := range jobs {
		if err := e.Encode(records[i%len(records)]); err != nil {
			log.Fatal(err)
		}
	}
	if err := out.Flush(); err != nil || sum == 0 {
		log.Fatal(err, sum)
	}
}

// read returns the lines of a form below its header and the sum of its numbers.
func read(path string) (lines int, sum float64) {
	f, err := os.Open(path)
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(bufio.NewReaderSize(f, 1<<16))
	r.ReuseRecord = true
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return lines - 1, sum
		}
		if err != nil {
			log.Fatal(err)
		}
		lines++
		for _, c := range cells {
			if c == "" || c[0] < '0' || c[0] > '9' {
				continue
			}
			if v, err := strconv.ParseFloat(c, 64); err == nil {
				sum += v
			}
		}
	}
}

func parse(path string) []*record.Record {
	b, err := os.ReadFile(path)
	if err != nil {
		log.Fatal(err)
	}
	var records []*record.Record
	for _, line := range bytes.SplitAfter(b, []byte("\n")) {
		if len(line) == 0 {
			continue
		}
		r, err := record.Parse(line, 0)
		if err != nil {
			log.Fatal(err)
		}
		records = append(records, r)
	}
	return records
}
