module reconcile/bench

go 1.26.0

require (
	codeberg.org/go-fonts/liberation v0.6.0
	github.com/jung-kurt/gofpdf v1.16.2
	github.com/spf13/pflag v1.1.0
	reconcile v0.0.0
)

require (
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1 // indirect
	github.com/klauspost/compress v1.20.4 // indirect
	github.com/shopspring/decimal v1.6.0 // indirect
	golang.org/x/crypto v0.48.0 // indirect
	golang.org/x/text v0.44.0 // indirect
	rsc.io/qr v0.2.0 // indirect
	software.sslmate.com/src/go-pkcs12 v0.7.4 // indirect
)

replace reconcile => ..
