// Command systems keeps the systems of equations that the program solves, and
// solves them again, so that its solver can be compared with that of others.
//
//	systems record DIR FILE
//	systems solve FILE
//
// The first builds the program with a recorder around its solver, runs it on
// the forms in DIR, and leaves in FILE each system that was solved: four
// little-endian 32-bit integers (observations, unknowns, constraints, 0), then
// 64-bit floats: the rank limit, the coefficients by rows, the observed values,
// their standard uncertainties, the constraints by rows, their right-hand sides.
//
// The second solves them on all cores and prints their number, the seconds by
// the clock, the seconds of the processor, and the sum of the squared residuals.
package main

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"reconcile/internal/derive/lsq"
	"reconcile/internal/flow"
)

func main() {
	var err error
	switch {
	case len(os.Args) == 4 && os.Args[1] == "record":
		err = record("..", os.Args[2], os.Args[3])
	case len(os.Args) == 3 && os.Args[1] == "solve":
		err = solve(os.Args[2])
	default:
		err = errors.New("usage: systems record DIR FILE, or systems solve FILE")
	}
	if err != nil {
		log.Fatal(err)
	}
}

//go:embed testdata/recorder.go
var recorder []byte

// solver is the file of the solver, and its head there.
const (
	solver = "internal/derive/lsq/solve.go"
	head   = "func Solve(s System) (*Solution, error) {"
	other  = "func solveSystem(s System) (*Solution, error) {"
)

// record runs the program of the module in root on the forms in a folder, with
// the recorder around its solver.
func record(root, forms, file string) error {
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "systems")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	program := filepath.Join(work, "reconcile")
	overlay, err := overlaid(root, work)
	if err != nil {
		return err
	}
	build := exec.Command("go", "build", "-overlay", overlay, "-o", program, "./cmd/reconcile")
	build.Dir = root
	if out, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	run := exec.Command(program, "summary", "--json", forms)
	run.Env = append(os.Environ(), "SYSTEMS="+file)
	var said bytes.Buffer
	run.Stderr = &said
	if err := run.Run(); run.ProcessState == nil || run.ProcessState.ExitCode() > 2 {
		return fmt.Errorf("%w\n%s", err, said.Bytes())
	}
	return nil
}

// overlaid writes the solver under another name, and the recorder under its
// own, and the list of replaced files that the go command takes.
func overlaid(root, work string) (list string, err error) {
	was, err := os.ReadFile(filepath.Join(root, solver))
	if err != nil {
		return "", err
	}
	if strings.Count(string(was), head) != 1 {
		return "", fmt.Errorf("%s has not the line %q just once", solver, head)
	}
	replaced := map[string]string{}
	for path, text := range map[string][]byte{
		solver:                                bytes.Replace(was, []byte(head), []byte(other), 1),
		filepath.Dir(solver) + "/recorder.go": recorder,
	} {
		now := filepath.Join(work, filepath.Base(path))
		replaced[filepath.Join(root, path)] = now
		if err := os.WriteFile(now, text, 0o666); err != nil {
			return "", err
		}
	}
	b, err := json.Marshal(map[string]any{"Replace": replaced})
	if err != nil {
		return "", err
	}
	list = filepath.Join(work, "overlay.json")
	return list, os.WriteFile(list, b, 0o666)
}

// perTask is the number of systems solved in one go: those of some jobs.
const perTask = 64

// solve solves the systems on all cores.
func solve(file string) error {
	all, err := read(file)
	if err != nil {
		return err
	}
	start, busy, total := time.Now(), processor(), 0.0
	flow.Ordered(context.Background(), (len(all)+perTask-1)/perTask, func(i int) float64 {
		sum := 0.0
		for _, s := range all[i*perTask : min((i+1)*perTask, len(all))] {
			fit, err := lsq.Solve(s)
			if err != nil {
				log.Fatal(err)
			}
			for _, r := range fit.Residuals {
				sum += r * r
			}
		}
		return sum
	}, func(_ int, sum float64) bool {
		total += sum
		return true
	})
	fmt.Printf("%d %.6f %.6f %.6f\n", len(all), time.Since(start).Seconds(), (processor() - busy).Seconds(), total)
	return nil
}

// processor is the time of the processor that this process took so far.
func processor() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		log.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
