// Command page builds the page for an owner, one file with the program inside,
// and serves it on this machine alone, or writes it.
package main

import (
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"

	"github.com/spf13/pflag"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

func run(args []string, out, errOut io.Writer) int {
	flags := pflag.NewFlagSet("page", pflag.ContinueOnError)
	flags.SetOutput(errOut)
	file := flags.String("out", "", "write the page into `FILE` instead of serving it")
	port := flags.Int("port", 0, "`PORT` to serve on; 0: any that is free")
	switch err := flags.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return 0
	case err != nil || flags.NArg() > 0:
		return refuse(errOut, "want no more than --out FILE and --port PORT")
	}
	page, err := build()
	if err != nil {
		return refuse(errOut, err.Error())
	}
	if *file != "" {
		if err := os.WriteFile(*file, page, 0o644); err != nil {
			return refuse(errOut, err.Error())
		}
		fmt.Fprintf(out, "%s: %d bytes\n", *file, len(page))
		return 0
	}
	return serve(page, *port, out, errOut)
}

func refuse(errOut io.Writer, what string) int {
	fmt.Fprintf(errOut, "page: %s\n", what)
	return 3
}

// serve serves the page on the loopback address: no other machine reaches it.
func serve(page []byte, port int, out, errOut io.Writer) int {
	l, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return refuse(errOut, err.Error())
	}
	fmt.Fprintf(out, "http://%s/\n", l.Addr())
	if err := http.Serve(l, only(page)); err != nil {
		return refuse(errOut, err.Error())
	}
	return 0
}

// only serves one page and nothing else.
func only(page []byte) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Cache-Control", "no-cache")
		w.Write(page)
	})
}
