package oldscreen

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"

	record "reconcile/internal/oldrecord"
)

// registerHead is the header of jobs.csv.
var registerHead = []string{"job", "file", "number", "verdict", "rating", "on", "state", "margin_kg",
	"download_kg", "download_U_kg", "agreement", "sha256"}

// Row is one job's line of jobs.csv. Masses are kilograms; nil is a blank cell.
// DownloadU is expanded, U = 2u.
type Row struct {
	Job, File, Number, Verdict  string
	Rating, On, State           string // of the check that governs
	Margin, Download, DownloadU *float64
	Agreement, SHA256           string
}

// RowOf draws the line of a job from its record, the name of its summary and
// the SHA-256 of the summary as written.
func RowOf(r *record.Record, file, sha string) Row {
	row := Row{Job: r.Job, File: file, Number: r.Issuer.Number, Verdict: r.Verdict, Agreement: r.Agreement, SHA256: sha}
	if c := r.GovCheck(); c != nil {
		row.Rating, row.On, row.State, row.Margin = c.Rating, c.On, c.State, c.MarginKg
	}
	if d := r.Quantities["download"]; d != nil {
		expanded := 2 * d.U
		row.Download, row.DownloadU = &d.Value, &expanded
	}
	return row
}

// RefusedRow is the line of a job that was stopped by its forms.
func RefusedRow(job string) Row { return Row{Job: job, Verdict: "refused"} }

// Register gives jobs.csv: the header and a line a job, in the order given.
// Masses stand to 0.001 kg. A text that begins with = + - @, a tab or a
// carriage return would be taken for a formula by a spreadsheet and gets an
// apostrophe before it; a negative margin is a number and stays one.
func Register(rows []Row) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	lines := [][]string{registerHead}
	for _, r := range rows {
		lines = append(lines, []string{safe(r.Job), safe(r.File), safe(r.Number), safe(r.Verdict), safe(r.Rating), safe(r.On),
			safe(r.State), mass(r.Margin), mass(r.Download), mass(r.DownloadU), safe(r.Agreement), safe(r.SHA256)})
	}
	w.WriteAll(lines) //nolint:errcheck // a bytes.Buffer takes everything
	return b.Bytes()
}

// safe keeps a spreadsheet from running a text as a formula.
func safe(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

// mass prints kilograms to three decimals; blank where there is no number.
func mass(kg *float64) string {
	if kg == nil || math.IsNaN(*kg) || math.IsInf(*kg, 0) {
		return ""
	}
	s := strconv.FormatFloat(*kg, 'f', 3, 64)
	if s == "-0.000" {
		return "0.000"
	}
	return s
}
