module reconcile

go 1.26.0

// The program.
require (
	codeberg.org/go-fonts/liberation v0.6.0 // the typeface embedded in the summary
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1 // cells of the forms into rows
	github.com/jung-kurt/gofpdf v1.16.2 // drawing the pages
	github.com/klauspost/compress v1.20.4 // packing and unpacking the streams of the summary: the same bytes with every Go release
	github.com/shopspring/decimal v1.6.0 // masses exactly as typed, limits and margins
	github.com/spf13/pflag v1.1.0 // flags
	golang.org/x/sys v0.50.0 // the lock of a folder on Windows
	golang.org/x/term v0.48.0 // passwords without echo, progress only on a terminal
	golang.org/x/text v0.44.0 // UTF-16 forms, composed accents, folding of names
	rsc.io/qr v0.2.0 // the record's hash as a square code
	software.sslmate.com/src/go-pkcs12 v0.7.4 // signing keys in PKCS#12 files
)

// The tests.
require (
	github.com/rogpeppe/go-internal v1.16.0 // scripts that run the program
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3 // records held to the JSON Schema
	golang.org/x/tools v0.52.0 // our own source, read for products that could be fused
	gonum.org/v1/gonum v0.17.0 // an independent computation to compare with
	pgregory.net/rapid v1.3.0 // properties over drawn cases
)

require (
	github.com/chromedp/cdproto v0.0.0-20250724212937-08a3db8b4327 // the words of its protocol
	github.com/chromedp/chromedp v0.14.2 // a real browser for the page
)

require (
	github.com/chromedp/sysutil v1.1.0 // indirect
	github.com/go-json-experiment/json v0.0.0-20250725192818-e39067aee2d2 // indirect
	github.com/gobwas/httphead v0.1.0 // indirect
	github.com/gobwas/pool v0.2.1 // indirect
	github.com/gobwas/ws v1.4.0 // indirect
	golang.org/x/crypto v0.48.0 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/sync v0.25.0 // indirect
)
