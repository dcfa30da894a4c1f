package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode/utf16"

	"reconcile/internal/words"
)

// verifySchema names the version of the lines of verify --json.
const verifySchema = "reconcile-verify/1"

// verifyLine is one file, as verify --json prints it.
type verifyLine struct {
	Schema       string            `json:"schema"`
	File         string            `json:"file"`
	Exit         int               `json:"exit"`
	Outcome      string            `json:"outcome"`
	Findings     []json.RawMessage `json:"findings"`
	Signers      []verifySigner    `json:"signers"`
	RecordSHA256 string            `json:"record_sha256"`
	Number       string            `json:"number"`
	Verdict      string            `json:"verdict"`
}

type verifySigner struct {
	Name        string `json:"name"`
	Fingerprint string `json:"fingerprint"`
	ValidFrom   string `json:"valid_from"`
	ValidTo     string `json:"valid_to"`
	At          string `json:"at"`
	Trusted     bool   `json:"trusted"`
}

// findingJSON writes a finding as one object: its code, its status and its
// arguments in order. An argument of a kind that JSON has not is a fault of this
// program.
func findingJSON(f words.Finding) json.RawMessage {
	var b bytes.Buffer
	member := func(before byte, key string, value any) {
		if at, ok := value.(time.Time); ok {
			value = stamp(at)
		}
		text, err := json.Marshal(value)
		if err != nil {
			panic(err)
		}
		fmt.Fprintf(&b, "%c%q:%s", before, key, text)
	}
	member('{', "code", f.Code)
	member(',', "status", f.Status)
	for _, a := range f.Args {
		member(',', a.Key, a.Value)
	}
	b.WriteByte('}')
	return b.Bytes()
}

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// line is the file's line of JSON. What would not show is escaped in it too.
func (v *verified) line() []byte {
	out := verifyLine{
		Schema: verifySchema, File: v.path, Exit: v.status, Outcome: v.found.Outcome, Findings: []json.RawMessage{}, Signers: []verifySigner{},
		RecordSHA256: v.found.SHA256, Number: v.number, Verdict: v.verdict,
	}
	for _, f := range v.found.Findings {
		out.Findings = append(out.Findings, findingJSON(f))
	}
	for _, by := range v.found.Signers {
		out.Signers = append(out.Signers, verifySigner{by.Name, by.Fingerprint, stamp(by.ValidFrom), stamp(by.ValidTo), stamp(by.At), by.Trusted})
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(out); err != nil {
		panic(err)
	}
	return append([]byte(shownJSON(strings.TrimSuffix(b.String(), "\n"))), '\n')
}

// shownJSON writes characters that do not show as JSON escapes them.
func shownJSON(line string) string {
	var b strings.Builder
	for _, r := range line {
		switch {
		case words.Escape(string(r)) == string(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}
