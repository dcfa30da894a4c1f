package screen

import (
	"math"
	"strconv"
	"strings"

	"reconcile/internal/words"
)

// head is the header of jobs.csv.
var head = Row{Job: "job", File: "file", Number: "number", Owner: "owner", VehicleID: "vehicle_id", TrailerID: "trailer_id", Weighed: "weighed",
	Verdict: "verdict", Rating: "rating", On: "on", State: "state", Margin: "margin_kg", Download: "download_kg", DownloadU: "download_U_kg",
	Agreement: "agreement", RecordSHA256: "record_sha256", FileSHA256: "file_sha256"}

// Row is one job's line of jobs.csv and of the closing table; of a job that was
// stopped by its forms the verdict is refused, and only Job is there too. Masses
// are kilograms, to 0.001 kg. DownloadU is expanded, U = 2u.
type Row struct {
	Job, File, Number           string
	Owner, VehicleID, TrailerID string
	Weighed, Verdict            string // Verdict is a code
	Rating, On, State           string // of the check that governs, codes
	Margin, Download, DownloadU string
	Agreement                   string
	RecordSHA256, FileSHA256    string
	Called                      string // by the closing table, where not by Job
	Governs, Found              string // in words, of the tightest check: its rating, and its value with the limit
}

// RowOf draws the line of a job from the words of its record, the SHA-256 of the record, the
// name of its summary and the SHA-256 of the summary as written.
func RowOf(say *words.Words, recordSHA, file, fileSHA string) Row {
	r := say.Record
	row := Row{Job: r.Job, File: file, Number: r.Issuer.Number, Owner: r.Outfit.Owner, VehicleID: r.Outfit.VehicleID, TrailerID: r.Outfit.TrailerID,
		Weighed: say.Headline().Weighed, Verdict: r.Verdict, Agreement: r.Agreement, RecordSHA256: recordSHA, FileSHA256: fileSHA}
	if c := say.Headline().Governs; c != nil {
		row.Rating, row.On, row.State, row.Margin = c.Rating, c.On, c.State, mass(c.MarginKg)
	}
	if d := r.Quantities.Get("download"); d != nil {
		expanded := float64(2 * d.U)
		row.Download, row.DownloadU = mass(&d.Value), mass(&expanded)
	}
	if c := say.Headline().Named; c != nil && c.Of.Verdict != "not_weighed" {
		row.Governs, row.Found = c.InState, c.Value+" / "+c.Limit
		if c.Of.LimitKN == nil {
			row.Found += " " + say.Unit
		}
	}
	return row
}

// Line gives the row as a line of jobs.csv, after the header where it is the first.
func (r Row) Line(first bool) []byte {
	if first {
		return append(head.Line(false), r.Line(false)...)
	}
	text := []string{r.Job, r.File, r.Number, r.Owner, r.VehicleID, r.TrailerID, r.Weighed, r.Verdict, r.Rating, r.On, r.State}
	for i := range text {
		text[i] = words.Cell(text[i])
	}
	text = append(text, r.Margin, r.Download, r.DownloadU, words.Cell(r.Agreement), words.Cell(r.RecordSHA256), words.Cell(r.FileSHA256))
	return []byte(strings.Join(text, ",") + "\n")
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
