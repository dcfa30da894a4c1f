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
// The second solves them one after the other, once to warm up and then some times
// more, and prints their number, the seconds of one such pass by the clock and of
// the processor, each the median, and the sum of the squared residuals.
package main

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"reconcile/internal/derive/lsq"
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
	head   = "func Solve(s System, sol *Solution) (*Solution, error) {"
	other  = "func solveSystem(s System, sol *Solution) (*Solution, error) {"
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

// passes is how often the systems are solved, after once that is not counted.
const passes = 9

// solve solves the systems, one after the other.
func solve(file string) error {
	all, err := read(file)
	if err != nil {
		return err
	}
	var wall, cpu []float64
	var total float64
	for range 1 + passes {
		start, busy := time.Now(), processor()
		if total, err = pass(all); err != nil {
			return err
		}
		wall, cpu = append(wall, time.Since(start).Seconds()), append(cpu, (processor()-busy).Seconds())
	}
	slices.Sort(wall[1:])
	slices.Sort(cpu[1:])
	fmt.Printf("%d %.6f %.6f %.6f\n", len(all), wall[1+passes/2], cpu[1+passes/2], total)
	return nil
}

// pass solves the systems once, and asks of each what the tests of its observations
// need, as the program of others that this is compared with finds it too.
func pass(all []lsq.System) (squares float64, err error) {
	var fit lsq.Solution
	for _, s := range all {
		if _, err := lsq.Solve(s, &fit); err != nil {
			return 0, err
		}
		for i, r := range fit.Residuals {
			fit.ResidualCovariance(i, i)
			squares += r * r
		}
		fit.Release()
	}
	return squares, nil
}

// processor is the time of the processor that this process took so far.
func processor() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		log.Fatal(err)
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
