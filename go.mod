module reconcile

go 1.26.0

require (
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1
	github.com/shopspring/decimal v1.6.0
	github.com/spf13/pflag v1.1.0
	golang.org/x/term v0.48.0
	golang.org/x/text v0.44.0
	gonum.org/v1/gonum v0.17.0
	software.sslmate.com/src/go-pkcs12 v0.7.4
)

require (
	codeberg.org/go-fonts/liberation v0.6.0 // indirect
	github.com/jung-kurt/gofpdf v1.16.2 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/smallstep/pkcs7 v0.2.3 // indirect
	golang.org/x/crypto v0.11.0 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/tools v0.52.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
	rsc.io/qr v0.2.0 // indirect
)
