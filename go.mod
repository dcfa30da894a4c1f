module reconcile

go 1.26.0

require (
	codeberg.org/go-fonts/liberation v0.6.0 // indirect
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1 // indirect
	github.com/jung-kurt/gofpdf v1.16.2 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/shopspring/decimal v1.6.0 // indirect
	github.com/smallstep/pkcs7 v0.2.3 // indirect
	github.com/spf13/pflag v1.1.0 // indirect
	golang.org/x/crypto v0.11.0 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/term v0.48.0 // indirect
	golang.org/x/text v0.44.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
	rsc.io/qr v0.2.0 // indirect
	software.sslmate.com/src/go-pkcs12 v0.7.4 // indirect
)
