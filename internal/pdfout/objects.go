package pdfout

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"sort"
	"strconv"
)

// objects is a PDF split into its objects: the text of each numbered object, number 1 at
// index 0, without "n 0 obj" and "endobj".
type objects [][]byte

var errForm = errors.New("the drawn pages do not have the expected form")

// splitObjects cuts what the PDF library wrote into its objects, which it puts in
// the place of those of an earlier document. It relies on the library's one plain
// cross-reference table.
func splitObjects(pdf []byte, earlier objects) (objects, error) {
	table := bytes.LastIndex(pdf, []byte("\nxref\n0 "))
	trailer := bytes.LastIndex(pdf, []byte("\ntrailer\n"))
	if table < 0 || trailer < table {
		return nil, errForm
	}
	entries := bytes.Split(pdf[table+1:trailer], []byte("\n"))[3:]
	starts := make([]int, len(entries))
	for i, e := range entries {
		at, err := strconv.Atoi(string(bytes.TrimLeft(e[:min(10, len(e))], "0")))
		if err != nil || at >= table {
			return nil, errForm
		}
		starts[i] = at
	}
	return between(pdf[:table+1], starts, earlier)
}

// between returns the objects that begin at starts, in the order of their numbers.
func between(pdf []byte, starts []int, earlier objects) (objects, error) {
	order := append([]int{}, starts...)
	sort.Ints(order)
	out := slices.Grow(earlier[:0], len(starts))
	for i, at := range starts {
		end := len(pdf)
		if next := sort.SearchInts(order, at+1); next < len(order) {
			end = order[next]
		}
		object := pdf[at:end]
		var room [24]byte
		head := append(appendWhole(room[:0], i+1), " 0 obj\n"...)
		tail := []byte("endobj\n")
		if !bytes.HasPrefix(object, head) || !bytes.HasSuffix(object, tail) {
			return nil, errForm
		}
		out = append(out, bytes.TrimSuffix(object[len(head):len(object)-len(tail)], []byte("\n")))
	}
	return out, nil
}

// add appends an object and returns its number.
func (o *objects) add(text []byte) int {
	*o = append(*o, text)
	return len(*o)
}

// idPlace is where the file's identifier is filled in when it is finished.
const idPlace = "0000000000000000000000000000000000000000000000000000000000000000"

// join writes the objects as a PDF 1.7 file with one cross-reference table, into
// room if that is large enough.
func (o objects) join(root, info int, room []byte) []byte {
	const perObject, ends = 48, 512 // its number, marks and table entry; header and trailer
	size := ends
	for _, text := range o {
		size += len(text) + perObject
	}
	b := slices.Grow(room[:0], size)
	b = append(b, "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"...) // the bytes above 127 show mail programs that this is not text
	starts := make([]int, len(o))
	for i, text := range o {
		starts[i] = len(b)
		b = append(appendWhole(b, i+1), " 0 obj\n"...)
		b = append(append(b, text...), "\nendobj\n"...)
	}
	table := len(b)
	b = fmt.Appendf(b, "xref\n0 %d\n0000000000 65535 f \n", len(o)+1)
	for _, at := range starts {
		b = append(appendPadded(b, at), " 00000 n \n"...)
	}
	return fmt.Appendf(b, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/ID [<%s><%s>]\n>>\nstartxref\n%d\n%%%%EOF\n",
		len(o)+1, root, info, idPlace, idPlace, table)
}

// appendPadded appends n in ten digits.
func appendPadded(b []byte, n int) []byte {
	b = append(b, "0000000000"...)
	for at := len(b) - 1; n > 0; at-- {
		b[at] = byte('0' + n%10)
		n /= 10
	}
	return b
}
