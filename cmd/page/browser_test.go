//go:build browser

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"reconcile/internal/study"
)

// scratch is a folder for what all tests need once.
var scratch string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "page-test")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	scratch = dir
	status := m.Run()
	os.RemoveAll(dir)
	os.Exit(status)
}

// built makes the page once for all tests.
var built = sync.OnceValues(func() (string, error) {
	b, err := build()
	if err != nil {
		return "", err
	}
	path := filepath.Join(scratch, "page.html")
	return path, os.WriteFile(path, b, 0o644)
})

// slow is how long a test waits for what should happen at once: no test is of
// how long something takes, and a loaded machine is slow.
const slow = 3 * time.Minute

// chromium is the browser; without it the test skips, but not in CI.
func chromium(t testing.TB) string {
	t.Helper()
	return study.Tool(t, "chromium")
}

// tab is the page open in a browser of its own.
type tab struct {
	t        testing.TB
	ctx      context.Context
	saves    string // folder of what is downloaded
	mu       sync.Mutex
	requests []string
	errors   []string
}

// open starts a browser with a new profile, opens the page from the disk and
// waits until it can be used.
func open(t testing.TB, width, height int64) *tab {
	t.Helper()
	page, err := built()
	if err != nil {
		t.Fatal(err)
	}
	b := openFile(t, page, width, height)
	b.wait(`document.body.dataset.ready`)
	return b
}

// openFile starts a browser with a new profile and opens a file.
func openFile(t testing.TB, page string, width, height int64) *tab {
	t.Helper()
	path := chromium(t)
	profile, err := os.MkdirTemp(scratch, "profile") // new and empty
	if err != nil {
		t.Fatal(err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.UserDataDir(profile), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WSURLReadTimeout(slow),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.WindowSize(int(width), int(height)))
	alloc, stopBrowser := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(alloc)
	ctx, late := context.WithTimeout(ctx, 4*slow)
	t.Cleanup(func() { late(); stop(); stopBrowser(); os.RemoveAll(profile) })
	b := &tab{t: t, ctx: ctx, saves: filepath.Join(profile, "saved")}
	chromedp.ListenTarget(ctx, b.listen)
	b.do(network.Enable(), emulation.SetDeviceMetricsOverride(width, height, 1, width < 600),
		browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllow).WithDownloadPath(b.saves).WithEventsEnabled(true),
		chromedp.Navigate("file://"+page))
	return b
}

// do runs actions, or ends the test.
func (b *tab) do(actions ...chromedp.Action) {
	b.t.Helper()
	if err := chromedp.Run(b.ctx, actions...); err != nil {
		b.t.Fatal(err)
	}
}

// eval gives the value of an expression as text.
func (b *tab) eval(expression string) string {
	b.t.Helper()
	var v any
	b.do(chromedp.Evaluate(expression, &v))
	return fmt.Sprint(v)
}

// wait waits until an expression is true.
func (b *tab) wait(expression string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, slow)
	defer cancel()
	if err := chromedp.Run(ctx, chromedp.Poll("!!("+expression+")", nil, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(slow))); err != nil {
		b.t.Fatalf("waiting for %s: %v\nerrors: %v", expression, err, b.errors)
	}
}

// settled waits until the core has nothing left to do.
func (b *tab) settled() {
	b.t.Helper()
	b.wait(`document.body.dataset.state === "idle"`)
}

// answered waits until what was typed is answered; the rest may be on its way.
func (b *tab) answered() {
	b.t.Helper()
	b.wait(`document.body.dataset.state !== "busy"`)
}

// selector finds a field by what it does and where.
func selector(do, at string) string { return fmt.Sprintf(`[data-do="%s"][data-at="%s"]`, do, at) }

// tap presses at the middle of an element, as a finger does.
func (b *tab) tap(selector string) {
	b.t.Helper()
	var at []float64
	b.do(chromedp.Evaluate(fmt.Sprintf(`(() => { const e = [...document.querySelectorAll(%q)].find((e) => e.getClientRects().length); if (!e) return [];
		const l = e.type === "radio" || e.type === "checkbox" ? e.closest("label") || e : e; l.scrollIntoView({ block: "center" }); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`, selector), &at))
	if len(at) != 2 {
		b.t.Fatalf("nothing to tap at %s", selector)
	}
	b.do(chromedp.MouseClickXY(at[0], at[1]))
	b.handled()
	b.answered()
}

// handled waits until the page has handled what came before.
func (b *tab) handled() {
	b.t.Helper()
	var done bool
	b.do(chromedp.Evaluate(`new Promise((done) => setTimeout(() => setTimeout(() => done(true))))`, &done, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
}

// write taps a field and types into it.
func (b *tab) write(selector, text string) {
	b.t.Helper()
	b.tap(selector)
	b.do(chromedp.Evaluate(`document.activeElement.select && document.activeElement.select()`, nil), input.InsertText(text))
	b.answered()
}

// choose picks an option of a select element.
func (b *tab) choose(selector, value string) {
	b.t.Helper()
	b.do(chromedp.Evaluate(fmt.Sprintf(`(() => { const e = [...document.querySelectorAll(%q)].find((e) => e.getClientRects().length); e.focus(); e.value = %q; e.dispatchEvent(new Event("input", { bubbles: true })); })()`, selector, value), nil))
	b.answered()
}

// part goes to a part of the page.
func (b *tab) part(name string) {
	b.t.Helper()
	b.tap(`#nav button[value="` + name + `"]`)
}

// saved waits for a file that the page saves, and reads it.
func (b *tab) saved(name string) []byte {
	b.t.Helper()
	path := filepath.Join(b.saves, name)
	for end := time.Now().Add(slow); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if _, err := os.Stat(path + ".crdownload"); err == nil {
			continue
		}
		if content, err := os.ReadFile(path); err == nil && len(content) > 0 {
			os.Remove(path)
			return content
		}
	}
	b.t.Fatalf("%s was not saved; errors: %v", name, b.errors)
	return nil
}

// shot takes a picture of the page as it is.
func (b *tab) shot(path string) {
	b.t.Helper()
	var picture []byte
	b.do(chromedp.FullScreenshot(&picture, 100))
	if err := os.WriteFile(path, picture, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tab) text(selector string) string {
	b.t.Helper()
	return b.eval(fmt.Sprintf(`(document.querySelector(%q) || {}).textContent || ""`, selector))
}

// contains ends the test unless a text is there.
func (b *tab) contains(selector, want string) {
	b.t.Helper()
	if got := b.text(selector); !strings.Contains(got, want) {
		b.t.Errorf("%s says %q (want %q in it)", selector, got, want)
	}
}
