// Command plain draws documents with bare gofpdf calls: two embedded faces,
// the texts, lines and attachments of a summary, on all cores. It lays nothing
// out and measures nothing; a summary is compared with it.
//
//	plain -n N CONTENT.json OUT
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"runtime"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/jung-kurt/gofpdf"
)

// content is what a summary holds: the texts and the painted paths of each
// page, and the sizes of what is attached.
type content struct {
	Pages []struct {
		Texts []string
		Paths int
	}
	Attached []string
}

func main() {
	n := flag.Int("n", 1, "number of documents")
	flag.Parse()
	if flag.NArg() != 2 {
		log.Fatal("usage: plain [-n N] CONTENT.json OUT")
	}
	b, err := os.ReadFile(flag.Arg(0))
	if err != nil {
		log.Fatal(err)
	}
	var c content
	if err := json.Unmarshal(b, &c); err != nil {
		log.Fatal(err)
	}
	if err := os.MkdirAll(flag.Arg(1), 0o777); err != nil {
		log.Fatal(err)
	}
	numbers := make(chan int)
	var all sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		all.Go(func() {
			for i := range numbers {
				if err := c.draw(filepath.Join(flag.Arg(1), fmt.Sprintf("%06d.pdf", i))); err != nil {
					log.Fatal(err)
				}
			}
		})
	}
	for i := range *n {
		numbers <- i
	}
	close(numbers)
	all.Wait()
}

func (c *content) draw(path string) error {
	pdf := gofpdf.New("P", "pt", "A4", "")
	pdf.AddUTF8FontFromBytes("sans", "", bytes.Clone(liberationsansregular.TTF)) // it writes into what it is given
	pdf.AddUTF8FontFromBytes("sans", "B", bytes.Clone(liberationsansbold.TTF))
	pdf.SetAutoPageBreak(false, 0)
	for _, page := range c.Pages {
		pdf.AddPage()
		for i, text := range page.Texts {
			if i%8 == 0 {
				pdf.SetFont("sans", []string{"", "B"}[i/8%2], 9)
			}
			pdf.SetXY(40+float64(i%6)*85, 40+float64(i/6)*11)
			pdf.Cell(85, 11, text)
		}
		for i := range page.Paths {
			y := 40 + float64(i)*3
			pdf.Line(40, y, 555, y)
		}
	}
	var files []gofpdf.Attachment
	for i, text := range c.Attached {
		files = append(files, gofpdf.Attachment{Content: []byte(text), Filename: fmt.Sprintf("file%d.csv", i)})
	}
	pdf.SetAttachments(files)
	return pdf.OutputFileAndClose(path)
}
