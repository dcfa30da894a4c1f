package main

import (
	"math"
	"strconv"
	"strings"

	"reconcile/internal/screen"
	"reconcile/internal/words"
)

// jobsHeader is the first line of jobs.csv.
const jobsHeader = "job,file,number,owner,vehicle_id,trailer_id,weighed,verdict,rating,on,state,margin_kg,download_kg,download_U_kg,agreement,record_sha256,file_sha256\n"

// jobsRow is one job's line of jobs.csv and of the closing table; of a job that was
// stopped by its forms the verdict is refused, and only the job is there too. Masses
// are kilograms, to 0.001 kg. downloadU is expanded, U = 2u.
type jobsRow struct {
	job, file, number           string
	owner, vehicleID, trailerID string
	weighed, verdict            string // verdict is a code
	rating, on, state           string // of the check that governs, codes
	margin, download, downloadU string
	agreement                   string
	recordSHA256, fileSHA256    string
	closing                     screen.Row
}

// rowOf is the line of a job by the words of its record, the SHA-256 of the record, the
// name of its summary and the SHA-256 of the summary as written.
func rowOf(say *words.Words, recordSHA, file, fileSHA string) jobsRow {
	r, first := say.Record, say.Headline()
	row := jobsRow{job: r.Job, file: file, number: r.Issuer.Number, owner: r.Outfit.Owner, vehicleID: r.Outfit.VehicleID, trailerID: r.Outfit.TrailerID,
		weighed: first.Weighed, verdict: r.Verdict, agreement: r.Agreement, recordSHA256: recordSHA, fileSHA256: fileSHA, closing: screen.Row{Verdict: r.Verdict}}
	if c := first.Governs; c != nil {
		row.rating, row.on, row.state, row.margin = c.Rating, c.On, c.State, kilograms(c.MarginKg)
	}
	if d := r.Quantities.Get("download"); d != nil {
		expanded := float64(2 * d.U)
		row.download, row.downloadU = kilograms(&d.Value), kilograms(&expanded)
	}
	if c := first.Named; c != nil && c.Of.Verdict != "not_weighed" {
		row.closing.Rating, row.closing.Value, row.closing.Limit = c.InState, c.Value, c.Limit
		if c.Of.LimitKN == nil {
			row.closing.Limit += " " + say.Unit
		}
	}
	return row
}

// line gives the row as a line of jobs.csv.
func (r *jobsRow) line() string {
	text := []string{r.job, r.file, r.number, r.owner, r.vehicleID, r.trailerID, r.weighed, r.verdict, r.rating, r.on, r.state}
	for i := range text {
		text[i] = words.Cell(text[i])
	}
	text = append(text, r.margin, r.download, r.downloadU, words.Cell(r.agreement), words.Cell(r.recordSHA256), words.Cell(r.fileSHA256))
	return strings.Join(text, ",") + "\n"
}

// kilograms prints a mass to three decimals; blank where there is no number.
func kilograms(kg *float64) string {
	if kg == nil || math.IsNaN(*kg) || math.IsInf(*kg, 0) {
		return ""
	}
	s := strconv.FormatFloat(*kg, 'f', 3, 64)
	if s == "-0.000" {
		return "0.000"
	}
	return s
}
