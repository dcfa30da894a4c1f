//go:build unix

package signoff

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"
	"time"

	"reconcile/internal/study"
)

// costs are files of about that size that ask for as much as they can.
func costs(size int) map[string]func() []byte {
	noise := func() []byte {
		b := make([]byte, size)
		rand.NewChaCha8([32]byte{1}).Read(b)
		return b
	}
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	return map[string]func() []byte{
		"one attachment": func() []byte {
			return attachedAs("(a) << /F (a) /UF (a) /EF << /F 5 0 R /UF 5 0 R >> >>", fmt.Sprintf("<< /Length %d >>\nstream\n%s\nendstream", size, noise()))
		},
		"a packed attachment": func() []byte {
			return attachedAs("(a) << /F (a) /UF (a) /EF << /F 5 0 R /UF 5 0 R >> >>", packedOf(noise()))
		},
		"white space":  func() []byte { return made(catalogOf(""), onePage, aPage, fill(" ")+"1") },
		"a string":     func() []byte { return made(catalogOf(""), onePage, aPage, "("+fill("a\\050")+")") },
		"hex":          func() []byte { return made(catalogOf(""), onePage, aPage, "<"+fill("0a ")+">") },
		"a name":       func() []byte { return made(catalogOf(""), onePage, aPage, "/"+fill("abc")) },
		"numbers":      func() []byte { return made(catalogOf(""), onePage, aPage, "["+fill("1 ")+"]") },
		"references":   func() []byte { return made(catalogOf(""), onePage, aPage, "["+fill("1 0 R ")+"]") },
		"dictionaries": func() []byte { return made(catalogOf(""), onePage, aPage, fill("<< /A ")) },
		"objects": func() []byte {
			return bytes.Replace(made(catalogOf(""), onePage, aPage, fill("1\nendobj\n9 0 obj\n")), []byte("\n9 0"), []byte("\n5 0"), 1)
		},
		"updates":             func() []byte { return append(made(catalogOf(""), onePage, aPage, plainFile), fill("x\n%%EOF\n")...) },
		"end marks elsewhere": func() []byte { return []byte("%PDF-1.4\n" + fill("startxref 9\n")) },
		"marks of objects":    func() []byte { return []byte("%PDF-1.4\n" + fill("1 0 obj\n")) },
		"objects of others":   func() []byte { return []byte("%PDF-1.4\n" + others(size)) },
		"strings of others":   func() []byte { return []byte("%PDF-1.4\n" + fill("1 0 obj (")) },
		"a table of others": func() []byte {
			return []byte("%PDF-1.4\nxref\n0 99999999\n" + fill("0000000009 00000 n \n") + "startxref\n9\n")
		},
		"signatures of others": func() []byte {
			return append(made(catalogOf(""), onePage, aPage, plainFile), "6 0 obj\n<< /Contents <"+fill("00")+"> >>"...)
		},
	}
}

// packedOf is a stream of b, packed.
func packedOf(b []byte) string {
	var w bytes.Buffer
	z := zlib.NewWriter(&w)
	z.Write(b)
	z.Close()
	return fmt.Sprintf("<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream", w.Len(), w.String())
}

// others is a file of many objects.
func others(size int) string {
	var b strings.Builder
	for i := 1; b.Len() < size; i++ {
		fmt.Fprintf(&b, "%d 0 obj\n<< /Type /Catalog /A [ 1 2 3 ] >>\nendobj\n", i)
	}
	return b.String()
}

// Whatever a file of 64 MB holds, it is examined within 10 s of the processor
// and 512 MiB (contract, section 9), reading all that can be read of it. A plain
// run takes files of 2 MB, and a fifth of the memory (the race detector doubles it).
func TestBounds(t *testing.T) {
	const most = 10 * time.Second
	size, mostHeap := study.Size(60<<20, 2<<20, 1<<19), uint64(102<<20)
	if study.Full() {
		mostHeap = 512 << 20
	}
	for name, write := range costs(size) {
		pdf := bytes.Clone(write())
		runtime.GC()
		debug.FreeOSMemory()
		heapTop, stop := watchedHeap()
		before := processor(t)
		e, err := Examine(pdf, madeSigner(t, weigher).chain)
		if err == nil && e.Document != nil {
			readAll(pdf)
		}
		Attachments(pdf)
		took := processor(t) - before
		close(stop)
		heap := <-heapTop
		runtime.KeepAlive(pdf)
		t.Logf("%-22s %3d MB: %5.2f s, heap at most %3d MiB (file included)", name, len(pdf)>>20, took.Seconds(), heap>>20)
		if took > most || heap > mostHeap {
			t.Errorf("%s: %s of the processor, %d MiB", name, took, heap>>20)
		}
	}
}

// processor is the time of the processor taken so far.
func processor(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// watchedHeap watches how large the heap becomes until stop is closed.
func watchedHeap() (most chan uint64, stop chan struct{}) {
	most, stop = make(chan uint64, 1), make(chan struct{})
	go func() {
		top := uint64(0)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			top = max(top, m.HeapAlloc)
			select {
			case <-stop:
				most <- top
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	return most, stop
}

// TestInflaterAgain: what an inflater has met before, a stream cut short, changed or
// of a dictionary, changes nothing of what it reads next.
func TestInflaterAgain(t *testing.T) {
	want := bytes.Repeat([]byte("front axle 1482 ± 11 kg\n"), 40)
	var w bytes.Buffer
	z := zlib.NewWriter(&w)
	z.Write(want)
	z.Close()
	good, again := w.Bytes(), new(inflater)
	read := func(packed []byte) ([]byte, error) {
		in, err := again.open(bytes.NewReader(packed))
		if err != nil {
			return nil, err
		}
		return io.ReadAll(in)
	}
	for i := range good {
		changed := bytes.Clone(good)
		changed[i] ^= 0x20
		for _, bad := range [][]byte{good[:i], changed} {
			if got, err := read(bad); err == nil && !bytes.Equal(got, want) {
				t.Fatalf("byte %d: another content is read and nothing said", i)
			}
			if got, err := read(good); err != nil || !bytes.Equal(got, want) {
				t.Fatalf("after a stream that is wrong at byte %d: %d bytes, %v", i, len(got), err)
			}
		}
	}
}
