package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// registered reads a register by itself, not by the program's reader, and wants
// what the contract promises of it: the chain, no number twice, every line's
// summary there and intact, and every signed or numbered summary in it. After a
// kill the last ones may still have their temporary names.
func registered(dir string, killed bool) ([][]string, error) {
	b, err := os.ReadFile(filepath.Join(dir, "register.csv"))
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(b)).ReadAll()
	raw := strings.SplitAfter(string(b), "\n")
	if err != nil || len(raw) != len(rows)+1 || raw[len(rows)] != "" {
		return nil, fmt.Errorf("%d rows, %d lines, %v", len(rows), len(raw), err)
	}
	const number, fileSum, file, chain = 0, 11, 12, 15
	numbers, files := map[string]bool{"": true}, map[string]bool{}
	for i, row := range rows[1:] {
		before := sha256.Sum256([]byte(raw[i]))
		if row[chain] != hex.EncodeToString(before[:]) {
			return nil, fmt.Errorf("line %d: the chain does not hold", i+2)
		}
		if row[number] != "" && numbers[row[number]] {
			return nil, fmt.Errorf("line %d: number %q is there twice", i+2, row[number])
		}
		numbers[row[number]] = true
		name := row[file]
		if killed && i >= len(rows)-1-mostPending { // written together, and not yet named
			if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
				name = "." + name + ".part"
			}
		}
		pdf, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", i+2, err)
		}
		if got := sha256.Sum256(pdf); row[fileSum] != hex.EncodeToString(got[:]) {
			return nil, fmt.Errorf("line %d: %q is not the file of the line", i+2, name)
		}
		files[row[file]] = true
	}
	return rows[1:], allRegistered(dir, files)
}

// allRegistered wants every signed or numbered summary of a folder among files.
func allRegistered(dir string, files map[string]bool) error {
	all, err := filepath.Glob(filepath.Join(dir, "*.pdf"))
	for _, path := range all {
		if files[filepath.Base(path)] {
			continue
		}
		pdf, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if existingOf(pdf).issued() {
			return fmt.Errorf("%q is issued and not in the register", path)
		}
	}
	return err
}

// registerCommand is a command of the scripts: register DIR N wants a register
// of N lines that keeps its promises.
func registerCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: register DIR LINES")
	}
	rows, err := registered(ts.MkAbs(args[0]), false)
	ts.Check(err)
	if want, err := strconv.Atoi(args[1]); err != nil || len(rows) != want {
		ts.Fatalf("%d lines (want %s)", len(rows), args[1])
	}
}
