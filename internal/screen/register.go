package screen

import (
	"math"
	"strconv"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// jobsHead is the header of jobs.csv.
var jobsHead = []string{"job", "file", "number", "owner", "vehicle_id", "trailer_id", "weighed", "verdict", "rating", "on", "state", "margin_kg",
	"download_kg", "download_U_kg", "agreement", "record_sha256", "file_sha256"}

// Row is one job's line of jobs.csv. Masses are kilograms; nil is a blank cell.
// DownloadU is expanded, U = 2u.
type Row struct {
	Job, File, Number           string
	Owner, VehicleID, TrailerID string
	Weighed, Verdict            string
	Rating, On, State           string // of the check that governs
	Margin, Download, DownloadU *float64
	Agreement                   string
	RecordSHA256, FileSHA256    string
}

// RowOf draws the line of a job from its record, the SHA-256 of the record, the
// name of its summary and the SHA-256 of the summary as written.
func RowOf(r *record.Record, recordSHA, file, fileSHA string) Row {
	say := words.Of(r)
	row := Row{Job: r.Job, File: file, Number: r.Issuer.Number, Owner: r.Outfit.Owner, VehicleID: r.Outfit.VehicleID, TrailerID: r.Outfit.TrailerID,
		Weighed: say.WeighedWhen(), Verdict: r.Verdict, Agreement: r.Agreement, RecordSHA256: recordSHA, FileSHA256: fileSHA}
	if c := say.Governs(); c != nil {
		row.Rating, row.On, row.State, row.Margin = c.Rating, c.On, c.State, c.MarginKg
	}
	if d := r.Quantities.Get("download"); d != nil {
		expanded := float64(2 * d.U)
		row.Download, row.DownloadU = &d.Value, &expanded
	}
	return row
}

// RefusedRow is the line of a job that was stopped by its forms.
func RefusedRow(job string) Row { return Row{Job: job, Verdict: "refused"} }

// Jobs gives jobs.csv: the header and a line a job, in the order given.
func Jobs(rows []Row) []byte {
	b := []byte(strings.Join(jobsHead, ",") + "\n")
	for _, r := range rows {
		b = append(b, r.Line()...)
	}
	return b
}

// Line gives the row as a line of jobs.csv. Masses are written to 0.001 kg.
func (r Row) Line() []byte {
	text := []string{r.Job, r.File, r.Number, r.Owner, r.VehicleID, r.TrailerID, r.Weighed, r.Verdict, r.Rating, r.On, r.State}
	for i := range text {
		text[i] = words.Cell(text[i])
	}
	text = append(text, Mass(r.Margin), Mass(r.Download), Mass(r.DownloadU), words.Cell(r.Agreement), words.Cell(r.RecordSHA256), words.Cell(r.FileSHA256))
	return []byte(strings.Join(text, ",") + "\n")
}

// Mass prints kilograms to three decimals; blank where there is no number.
func Mass(kg *float64) string {
	if kg == nil || math.IsNaN(*kg) || math.IsInf(*kg, 0) {
		return ""
	}
	s := strconv.FormatFloat(*kg, 'f', 3, 64)
	if s == "-0.000" {
		return "0.000"
	}
	return s
}
