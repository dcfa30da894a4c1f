//go:build browser

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"reconcile/internal/study"
)

// give gives files to a file field.
func (b *tab) give(selector string, paths ...string) {
	b.t.Helper()
	var all []string
	for _, p := range paths {
		abs, err := filepath.Abs(p)
		if err != nil {
			b.t.Fatal(err)
		}
		all = append(all, abs)
	}
	b.do(chromedp.SetUploadFiles(selector, all, chromedp.ByQuery))
	b.answered()
}

// job opens the forms of a demo job.
func (b *tab) job(name string) {
	b.t.Helper()
	forms, err := filepath.Glob("../../testdata/tickets/" + name + "/*.csv")
	if err != nil || len(forms) == 0 {
		b.t.Fatalf("no forms of %s", name)
	}
	b.part("have")
	b.give(`[data-do="files"][data-at="have"]`, forms...)
	b.wait(`document.body.dataset.part === "answer" || document.body.dataset.part === "plates"`)
	b.settled()
}

// summaryOf makes the summary of a demo job with the command line.
func summaryOf(t testing.TB, name string) string {
	t.Helper()
	_, pdf := commandLine(t, "../../testdata/tickets/"+name)
	path := filepath.Join(t.TempDir(), name+".pdf")
	if err := os.WriteFile(path, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// faulty are things typed wrong, the field, and what the core says there.
var faulty = []struct{ at, text, want string }{
	{`[data-at="tickets.csv|0|reading"]`, "twelve", "is not a number"},
	{`[data-at="tickets.csv|0|reading"]`, "3,2,4", "thousands separator"},
	{`[data-at="tickets.csv|0|reading"]`, "1.2e3", "exponent"},
	{`[data-at="tickets.csv|0|reading"]`, "", "is not typed"},
	{`[data-at="tickets.csv|0|reading"]`, "-20", ""},
	{`[data-at="tickets.csv|0|reading"]`, "10", "mallest step"},
	{`[data-at="tickets.csv|0|people"]`, "two", "People on board"},
	{`[data-at="0|interval"]`, "x", "Smallest step"},
	{`[data-at="0|ticket"]`, "", "is not filled in"},
	{`[data-at="gvm|||value|first"]`, "3,350", "3,350"},
	{`[data-at="gvm|||value|first"]`, "three tonnes", "is not a number"},
	{`[data-at="atm|||value|first"]`, "9", ""},
	{`[data-at="outfit.csv|people"]`, "-1", "People on board"},
	{`[data-at="outfit.csv|wheelbase"]`, "3,1m", "front axle to rear axle"},
}

// What is typed wrong is refused by the core, in its words, at the field.
func TestFaultsAtTheirFields(t *testing.T) {
	b := open(t, 390, 844)
	b.part("have")
	b.choose(selector("region", "region"), "au")
	b.part("plates")
	b.tap(`[data-open="lengths"] summary`)
	b.write(selector("rating", "gvm|||value|first"), "3350")
	b.write(selector("rating", "atm|||value|first"), "3000")
	b.write(selector("one", "outfit.csv|people"), "2")
	typeSlip(b, slip{"7", "2026-03-14", "09:20", "kg", "20", []line{{note: "STEER", figure: "1320", setup: "coupled", deck: []string{"front"}, people: "2"}}})
	for _, f := range faulty {
		part := "plates"
		if strings.Contains(f.at, "tickets.csv") || strings.Contains(f.at, "0|") {
			part = "slip"
		}
		b.part(part)
		before := b.eval(fmt.Sprintf(`document.querySelector('%s').value`, f.at))
		if f.text == "" {
			b.tap(f.at)
			b.do(chromedp.Evaluate(`document.activeElement.select()`, nil), chromedp.KeyEvent(kb.Backspace))
		} else {
			b.write(f.at, f.text)
		}
		b.answered()
		got := b.eval(fmt.Sprintf(`[...document.querySelector('%s').closest(".field").querySelectorAll("[data-fault]")].map((e) => e.textContent).join(" | ")`, f.at))
		if got == "" || !strings.Contains(got, f.want) {
			t.Errorf("%s = %q says %q (want %q in it)", f.at, f.text, got, f.want)
		}
		if b.eval(`document.querySelector("#do-now") === null`) != "true" {
			t.Errorf("%s = %q is answered all the same", f.at, f.text)
		}
		b.write(f.at, before)
	}
	b.settled()
	b.part("answer")
	b.contains("#verdict", "Incomplete")
	b.quiet()
}

// A fault in the list of the answer leads to its field, on another part and in
// what is closed.
func TestFaultLeadsToItsField(t *testing.T) {
	b := open(t, 390, 844)
	typeSlip(b, slip{"7", "2026-03-14", "09:20", "kg", "20", []line{
		{note: "STEER", figure: "1320", setup: "coupled", deck: []string{"front"}, people: "2"}, {note: "DRIVE", figure: "1x", setup: "coupled", deck: []string{"rear"}}}})
	b.part("plates")
	b.write(selector("rating", "gvm|||value|first"), "x")
	b.tap(`[data-open="lengths"] summary`)
	b.write(selector("one", "outfit.csv|wheelbase"), "x")
	for _, c := range []struct{ says, part, at string }{
		{"Slip 1, line 2:", "slip", "tickets.csv|1|reading"}, {"Plates, A, ", "plates", "gvm|||value|first"}, {"The plates: A, front axle", "plates", "outfit.csv|wheelbase"},
	} {
		b.part("answer")
		at := b.eval(fmt.Sprintf(`(() => { const e = [...document.querySelectorAll("#answer .faults button")].find((e) => e.textContent.startsWith(%q)); return e ? e.dataset.at : ""; })()`, c.says))
		if at == "" {
			t.Errorf("no fault %q in the list: %s", c.says, b.text("#answer"))
			continue
		}
		b.tap(fmt.Sprintf(`#answer .faults button[data-at=%q]`, at))
		if got := b.eval(`document.body.dataset.part + " " + (document.activeElement.dataset.at || "")`); got != c.part+" "+c.at {
			t.Errorf("%q leads to %q (want %q)", c.says, got, c.part+" "+c.at)
		}
	}
	b.quiet()
}

// Questions are asked at their line and answered there.
func TestQuestionAskedAndAnswered(t *testing.T) {
	b := open(t, 390, 844)
	typeSlip(b, slip{"7", "2026-03-14", "09:20", "kg", "20", []line{{note: "STEER", figure: "1323", setup: "coupled", deck: []string{"front"}, people: "2"}}})
	b.wait(`document.querySelector('#slip [data-question="not_a_multiple"]')`)
	b.part("answer")
	b.settled()
	b.tap(`#answer .questions button`)
	if got := b.eval(`document.body.dataset.part + " " + (document.activeElement.dataset.question || "")`); got != "slip not_a_multiple" {
		t.Errorf("the question leads to %q", got)
	}
	b.tap(selector("confirm", "tickets.csv|0|not_a_multiple"))
	b.contains(`#slip [data-question="not_a_multiple"]`, "confirmed")
}

// What is opened while an answer is on its way stays open, and what the core says of it
// is not sent back: page and core would answer each other without end.
func TestOpenedAtOnce(t *testing.T) {
	b := open(t, 390, 844)
	b.job("three-tickets")
	b.part("slip")
	b.do(chromedp.Evaluate(`for (const d of document.querySelectorAll('#slip details[data-open^="line-"]')) d.open = true`, nil))
	b.handled()
	b.settled()
	if got := b.eval(`[...document.querySelectorAll('#slip details[data-open^="line-"]')].map((d) => d.open).join(" ")`); got != "true true true" {
		t.Errorf("three lines were opened; open are %s", got)
	}
	b.quiet()
}

// A figure that adds up is asked about, and only such a one.
func TestWeighedOrAddedUp(t *testing.T) {
	b := open(t, 390, 844)
	typeSlip(b, fiveTickets[1])
	b.settled()
	if got := b.eval(`[...document.querySelectorAll('#slip [data-at$="|use"][data-do="cell"]')].map((e) => e.dataset.at + "=" + e.checked).join(" ")`); got != "tickets.csv|3|use=true tickets.csv|3|use=false" {
		t.Errorf("asked at %q (want the total of line 4 alone, taken as added up)", got)
	}
}

// A summary is sound; one byte changed, it is not.
func TestLookAtSummaries(t *testing.T) {
	b := open(t, 390, 844)
	good := summaryOf(t, "planetarium")
	content, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(content, []byte("stream")) + 40
	content[at] ^= 1
	forged := filepath.Join(t.TempDir(), "forged.pdf")
	if err := os.WriteFile(forged, content, 0o644); err != nil {
		t.Fatal(err)
	}
	b.part("look")
	b.give(`[data-do="look"]`, good)
	b.wait(`document.querySelector("#look .outcome")`)
	b.contains("#look .outcome", "Sound, not signed")
	b.contains("#look", "does not prove")
	b.give(`[data-do="look"]`, forged)
	b.wait(`document.querySelector("#look .outcome.not_sound")`)
	b.give(`[data-do="look"]`, good, summaryOf(t, "weighed-again"))
	b.wait(`document.querySelectorAll("#look .outcome").length === 2 && document.querySelector("#look table")`)
	b.quiet()
}

// What is typed is there after a reload, until it is forgotten; a .zip and a
// summary bring it back.
func TestReloadForgetOpen(t *testing.T) {
	b := open(t, 390, 844)
	b.job("planetarium")
	said := b.text("#do-now")
	b.part("keep")
	b.tap(`[data-do="zip"]`)
	packed := filepath.Join(t.TempDir(), "forms.zip")
	if err := os.WriteFile(packed, b.saved("forms.zip"), 0o644); err != nil {
		t.Fatal(err)
	}
	reload := func() {
		b.wait(`document.body.dataset.stored === "yes"`)
		b.do(chromedp.Reload())
		b.wait(`document.body.dataset.ready`)
		b.settled()
	}
	reload()
	if got := b.text("#do-now"); got != said {
		t.Errorf("after a reload: %q (want %q)", got, said)
	}
	b.part("keep")
	b.tap(`[data-do="forget"]`)
	if got := b.text("#do-now"); got != "" {
		t.Errorf("forgotten, it says %q", got)
	}
	if b.eval(`document.body.innerHTML.includes("50112")`) == "true" {
		t.Error("forgotten, the number of a slip is still in the page")
	}
	reload()
	if got := b.text("#do-now"); got != "" {
		t.Errorf("forgotten and loaded again, it says %q", got)
	}
	for _, path := range []string{packed, summaryOf(t, "planetarium")} {
		b.part("have")
		b.give(`[data-do="files"][data-at="have"]`, path)
		b.wait(`document.querySelector("#do-now")`)
		b.settled()
		if got := b.text("#do-now"); got != said {
			t.Errorf("%s brings back %q (want %q)", filepath.Base(path), got, said)
		}
		b.part("keep")
		b.tap(`[data-do="pdf"]`)
		_, want := commandLine(t, "../../testdata/tickets/planetarium")
		if got := b.saved("summary.pdf"); !bytes.Equal(got, want) {
			t.Errorf("%s: the summary made again differs", filepath.Base(path))
		}
	}
}

// A summary is signed with a key picked for that moment, which is kept nowhere.
func TestSigned(t *testing.T) {
	b := open(t, 1280, 800)
	program, err := reconcile()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	secret := filepath.Join(dir, "secret")
	if err := os.WriteFile(secret, []byte("a long secret of ours\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if said, err := exec.Command(program, "key", dir+"/yard.p12", "--name", "Lantern Hill", "--password-file", secret).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, said)
	}
	b.job("planetarium")
	b.part("keep")
	b.tap(`#keep [data-open="sign"] summary`)
	b.give(`[data-do="hold-key"]`, dir+"/yard.p12")
	b.write(`[data-do="hold-password"]`, "a long secret of ours")
	b.tap(`[data-do="sign"]`)
	path := filepath.Join(dir, "signed.pdf")
	if err := os.WriteFile(path, b.saved("summary.pdf"), 0o644); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(program, "verify", path, "--trust", dir+"/yard.pem").CombinedOutput()
	if err != nil || !strings.Contains(string(said), "vouched for") {
		t.Errorf("verify: %v\n%s", err, said)
	}
	if got := b.eval(`document.querySelector('[data-do="hold-password"]').value + document.querySelector('[data-do="hold-key"]').files.length`); got != "0" {
		t.Errorf("key and password stay on the page: %q", got)
	}
}

// The page works with the keyboard alone.
func TestKeyboardAlone(t *testing.T) {
	b := open(t, 1280, 800)
	press := func(key string) { b.do(chromedp.KeyEvent(key)); b.answered() }
	until := func(selector string) {
		t.Helper()
		for range 200 {
			if b.eval(fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) == "true" {
				return
			}
			b.do(chromedp.KeyEvent(kb.Tab))
		}
		t.Fatalf("the Tab key never comes to %s", selector)
	}
	write := func(selector, text string) { until(selector); press(text) }
	until(`#nav button[value="slip"]`)
	press(kb.Enter)
	until(`[data-do="add-slip"]`)
	press(kb.Enter)
	write(`[data-do="slip"][data-at="0|ticket"]`, "12")
	write(`[data-at="tickets.csv|0|note"]`, "GROSS")
	write(`[data-at="tickets.csv|0|reading"]`, "5840")
	until(`[data-do="setup"]`)
	press(" ")
	until(`g[data-do="deck"]`)
	press(" ")
	until(`g[data-at="tickets.csv|0|trailer"]`)
	press(kb.Enter)
	if got := b.eval(`[...document.querySelectorAll('g[data-do="deck"]')].map((e) => e.getAttribute("aria-checked")).join(" ")`); got != "true false true" {
		t.Errorf("wheels on the deck: %q", got)
	}
	b.settled()
	if b.text("#do-now") == "" {
		t.Error("no answer")
	}
}

// axe is the checker of accessibility rules, from its registry.
var axe = sync.OnceValues(func() (string, error) {
	dir := scratch
	c := exec.Command("npm", "pack", "axe-core@4.14.1", "--silent")
	c.Dir = dir
	if said, err := c.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, said)
	}
	if said, err := exec.Command("tar", "xzf", dir+"/axe-core-4.14.1.tgz", "-C", dir).CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, said)
	}
	b, err := os.ReadFile(dir + "/package/axe.min.js")
	return string(b), err
})

// violations are those that axe finds in what is in view.
func (b *tab) violations() []string {
	b.t.Helper()
	var found string
	b.do(chromedp.Evaluate(`axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }).then((r) => JSON.stringify(r.violations.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" || "))))`,
		&found, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
	var all []string
	if err := json.Unmarshal([]byte(found), &all); err != nil {
		b.t.Fatal(err)
	}
	return all
}

// shown are the parts with something in them, for pictures and for axe.
var shown = []struct{ name, job, part string }{
	{"have", "", "have"}, {"plates", "slack-and-tensioned", "plates"}, {"slip", "three-tickets", "slip"}, {"slip-pads", "five-tickets-5", "slip"},
	{"answer-within", "planetarium", "answer"}, {"answer-conflict", "planetarium-conflict", "answer"}, {"answer-over", "planetarium-overloaded", "answer"},
	{"whatif", "planetarium-overloaded", "whatif"}, {"whatif-bars", "slack-and-tensioned", "whatif"}, {"estimate", "stated-only", "whatif"}, {"keep", "planetarium", "keep"}, {"look", "", "look"},
}

// Every part, on a telephone and a large screen, light and dark, without a
// violation of the rules of accessibility, and nothing wider than the screen.
// All of them look as in the pictures that are kept.
func TestPartsAreAccessible(t *testing.T) {
	study.Tool(t, "npm")
	source, err := axe()
	if err != nil {
		t.Fatalf("axe-core: %v", err)
	}
	for _, size := range [][2]int64{{390, 844}, {1280, 800}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) { partsAt(t, size, source) })
	}
}

func partsAt(t *testing.T, size [2]int64, source string) {
	b := open(t, size[0], size[1])
	b.do(chromedp.Evaluate(source, nil))
	for _, s := range shown {
		if s.job != "" {
			b.job(s.job)
		}
		b.part(s.part)
		if s.part == "look" {
			b.give(`[data-do="look"]`, summaryOf(t, "planetarium"))
			b.wait(`document.querySelector("#look .outcome")`)
		}
		b.settled()
		for _, scheme := range []string{"light", "dark"} {
			name := fmt.Sprintf("%s-%d-%s", s.name, size[0], scheme)
			b.do(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
			if scheme == "dark" && size[0] > 390 {
				b.picture(name) // the colours were looked at on the telephone
				continue
			}
			for _, v := range b.violations() {
				t.Errorf("%s: %s", name, v)
			}
			b.picture(name)
		}
		if s.part == "slip" { // what is folded in the pictures
			b.do(chromedp.Evaluate(`for (const d of document.querySelectorAll("#slip details")) d.open = true`, nil))
			b.handled()
			b.settled()
			for _, v := range b.violations() {
				t.Errorf("%s, unfolded: %s", s.name, v)
			}
		}
	}
	for _, width := range []int64{360, size[0]} {
		b.do(emulation.SetDeviceMetricsOverride(width, size[1], 1, false))
		for _, s := range []string{"have", "plates", "slip", "answer", "whatif", "keep", "look"} {
			b.part(s)
			if wide := b.eval(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide != "0" {
				t.Errorf("%s at %d is %s too wide", s, width, wide)
			}
		}
	}
	b.quiet()
}
