package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"reconcile/internal/page"
)

//go:embed assets/page.css
var style string

//go:embed assets/page.js
var script string

//go:embed assets/worker.js
var worker string

// core is the program that the page holds.
const core = "reconcile/cmd/page/core"

// icon is the page's own: without one a browser asks the host for one.
const icon = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="6" fill="#14507a"/><path d="M6 12h14v9H6z" fill="#fff"/><circle cx="10" cy="22" r="3"/><circle cx="17" cy="22" r="3"/><path d="M4 27h24" stroke="#fff" stroke-width="2"/></svg>`

// build makes the page: the core compiled, packed and put into one file with
// its script, style and the HTML that is there before the core has started.
func build() ([]byte, error) {
	program, err := compile()
	if err != nil {
		return nil, err
	}
	support, err := goroot("lib/wasm/wasm_exec.js")
	if err != nil {
		return nil, err
	}
	packed, err := pack(program)
	if err != nil {
		return nil, err
	}
	return assemble(packed, support), nil
}

// inlined are the packages whose calls are inlined: those that do the sums. In
// all others that would only cost room, a tenth of the file.
var inlined = []string{
	"reconcile/internal/derive", "reconcile/internal/derive/lsq", "reconcile/internal/portable", "github.com/shopspring/decimal",
}

// compile compiles the core for browsers.
func compile() ([]byte, error) {
	dir, err := os.MkdirTemp("", "page")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "core.wasm")
	args := []string{"build", "-trimpath", "-ldflags=-s -w", "-gcflags=all=-l"}
	for _, p := range inlined {
		args = append(args, "-gcflags="+p+"=")
	}
	c := exec.Command("go", append(args, "-o", out, core)...)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	if said, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the core does not compile: %w\n%s", err, said)
	}
	return os.ReadFile(out)
}

// goroot reads a file of the Go release that compiles.
func goroot(name string) (string, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("go env GOROOT: %w", err)
	}
	b, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), filepath.FromSlash(name)))
	return string(b), err
}

// pack packs the core into text. What is packed has a checksum, by which a
// browser knows a file that was damaged on its way.
func pack(b []byte) (string, error) {
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err == nil {
		_, err = z.Write(b)
	}
	if err == nil {
		err = z.Close()
	}
	return string(base85(packed.Bytes())), err
}

// policy forbids the page every request; its script and style are known by
// their hashes.
func policy(script, style string) string {
	hash := func(s string) string {
		sum := sha256.Sum256([]byte(s))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return "default-src 'none'; script-src " + hash(script) + " 'wasm-unsafe-eval'; style-src " + hash(style) +
		"; img-src blob: data:; worker-src blob:; form-action 'none'; base-uri 'none'"
}

// assemble writes the one file. The core and the worker are in it as text that
// no browser runs by itself. The core comes last: of a file that was cut off
// the script is there and can say so.
func assemble(packed, support string) []byte {
	drawn := page.Drawn(time.Now)
	var b bytes.Buffer
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n")
	fmt.Fprintf(&b, "<meta http-equiv=\"Content-Security-Policy\" content=\"%s\">\n", html.EscapeString(policy(script, style)))
	b.WriteString("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><meta name=\"referrer\" content=\"no-referrer\">\n<title>Weighing a trailer: plates, slips, answer</title>\n")
	fmt.Fprintf(&b, "<link rel=\"icon\" href=\"data:image/svg+xml;base64,%s\">\n", base64.StdEncoding.EncodeToString([]byte(icon)))
	fmt.Fprintf(&b, "<style>%s</style></head>\n<body data-part=\"have\" data-state=\"starting\">\n", style)
	b.WriteString("<a class=\"skip\" href=\"#main\">To the content</a>\n<header><h1>Is the trailer within its ratings?</h1>")
	fmt.Fprintf(&b, "<nav id=\"nav\" aria-label=\"Parts of the page\">%s</nav></header>\n%s\n<main id=\"main\" class=\"layout\"><div>\n", drawn["nav"], drawn["damaged"])
	for _, part := range []string{"have", "plates", "slip", "whatif", "keep", "look"} {
		fmt.Fprintf(&b, "<section class=\"part\" id=\"%s\">%s</section>\n", part, drawn[part])
	}
	fmt.Fprintf(&b, "</div><section class=\"part\" id=\"answer\">%s</section></main>\n<div id=\"line\">%s</div>\n", drawn["answer"], drawn["line"])
	fmt.Fprintf(&b, "<script type=\"text/plain\" id=\"worker\">%s\n%s</script>\n<script type=\"module\">%s</script>\n", support, worker, script)
	fmt.Fprintf(&b, "<script type=\"text/plain\" id=\"core\">%s</script>\n</body></html>\n", packed)
	return b.Bytes()
}
