package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unsafe"

	"golang.org/x/term"
)

// terminal is a pseudo-terminal: the test types at one end, the program runs
// at the other.
type terminal struct {
	*testing.T
	mine, its *os.File
	mutex     sync.Mutex
	shown     bytes.Buffer
}

// openTerminal opens one as Linux's ptmx(4) describes.
func openTerminal(t *testing.T) *terminal {
	t.Helper()
	mine, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	var unlock, number int32
	for request, at := range map[uintptr]*int32{syscall.TIOCSPTLCK: &unlock, syscall.TIOCGPTN: &number} {
		if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, mine.Fd(), request, uintptr(unsafe.Pointer(at))); e != 0 {
			t.Fatal(e)
		}
	}
	its, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	te := &terminal{T: t, mine: mine, its: its}
	t.Cleanup(func() { its.Close(); mine.Close() })
	go io.Copy(te, mine)
	return te
}

// Write takes what appears on the terminal.
func (te *terminal) Write(b []byte) (int, error) {
	te.mutex.Lock()
	defer te.mutex.Unlock()
	return te.shown.Write(b)
}

func (te *terminal) text() string {
	te.mutex.Lock()
	defer te.mutex.Unlock()
	return te.shown.String()
}

// start runs the program on the terminal, without a password anywhere else.
func (te *terminal) start(dir string, args ...string) *exec.Cmd {
	te.Helper()
	cmd := exec.Command("reconcile", args...)
	cmd.Dir, cmd.Stdin, cmd.Stdout, cmd.Stderr = dir, te.its, te.its, te.its
	for _, e := range os.Environ() {
		if !strings.HasPrefix(e, passwordVariable+"=") {
			cmd.Env = append(cmd.Env, e)
		}
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := cmd.Start(); err != nil {
		te.Fatal(err)
	}
	return cmd
}

// answer waits for a prompt with the echo off, and types.
func (te *terminal) answer(prompt, typed string) {
	te.Helper()
	for limit := time.Now().Add(20 * time.Second); !strings.HasSuffix(te.text(), prompt) || te.echoes(); time.Sleep(time.Millisecond) {
		if time.Now().After(limit) {
			te.Fatalf("no prompt %q: %q", prompt, te.text())
		}
	}
	if _, err := io.WriteString(te.mine, typed); err != nil {
		te.Fatal(err)
	}
}

// echoes says whether the terminal shows what is typed.
func (te *terminal) echoes() bool {
	te.Helper()
	var s syscall.Termios
	if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, te.its.Fd(), syscall.TCGETS, uintptr(unsafe.Pointer(&s))); e != 0 {
		te.Fatal(e)
	}
	return s.Lflag&syscall.ECHO != 0
}

// TestPromptWithoutEcho types passwords: none appears, and the echo is back.
func TestPromptWithoutEcho(t *testing.T) {
	dir := t.TempDir()
	dayForms(t, filepath.Join(dir, "day"), 1, 0)
	for _, c := range []struct {
		args    string
		answers [][2]string
		status  int
		says    string
	}{
		{"key yard.p12 --name Yard", [][2]string{{"password of the key: ", secret + "\n"}, {"the same again: ", wrong + "\n"}}, exitCouldNot, "the two passwords differ"},
		{"key yard.p12 --name Yard", [][2]string{{"password of the key: ", "\n"}, {"the same again: ", "\n"}}, exitCouldNot, "a key needs a password"},
		{"key yard.p12 --name Yard", [][2]string{{"password of the key: ", secret + "\n"}, {"the same again: ", secret + "\n"}}, exitWithin, "the certificate to hand out"},
		{"summary day --out a --sign yard.p12", [][2]string{{"password of the key: ", wrong + "\n"}}, exitCouldNot, "the password does not open"},
		{"summary day --out b --sign yard.p12", [][2]string{{"password of the key: ", "\x03"}}, exitCouldNot, "no password: interrupted"},
		{"summary day --out d --sign yard.p12", [][2]string{{"password of the key: ", secret + "\n"}}, exitUnsettled, "do now: "},
	} {
		te := openTerminal(t)
		if !te.echoes() || !term.IsTerminal(int(te.its.Fd())) {
			t.Fatal("no terminal that echoes to begin with")
		}
		cmd := te.start(dir, strings.Fields(c.args)...)
		for _, a := range c.answers {
			te.answer(a[0], a[1])
		}
		if err := cmd.Wait(); cmd.ProcessState.ExitCode() != c.status {
			t.Errorf("%s: %v (want exit status %d): %s", c.args, err, c.status, te.text())
		}
		for limit := time.Now().Add(5 * time.Second); !strings.Contains(te.text(), c.says) && time.Now().Before(limit); {
			time.Sleep(time.Millisecond)
		}
		if text := te.text(); !strings.Contains(text, c.says) || strings.Contains(text, "Quoll") {
			t.Errorf("%s: the terminal shows %q (want %q and no password)", c.args, text, c.says)
		}
		if !te.echoes() {
			t.Errorf("%s: the terminal does not echo afterwards", c.args)
		}
	}
	for out, want := range map[string]int{"a": 0, "b": 0, "d": 3} { // a summary, the table and the register
		if got := len(filesIn(t, filepath.Join(dir, out))); got != want {
			t.Errorf("%d files in %s (want %d)", got, out, want)
		}
	}
}
