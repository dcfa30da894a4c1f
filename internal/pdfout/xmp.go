package pdfout

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
	"time"
)

// xmp is the metadata packet (ISO 16684-1): the same as the information
// dictionary, and that the file is PDF/A-3b (ISO 19005-3, 6.6.4).
func (a about) xmp() []byte {
	var b bytes.Buffer
	date := a.date.UTC().Format(time.RFC3339)
	b.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">` + "\n")
	b.WriteString("<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>\n")
	fmt.Fprintf(&b, "<dc:format>application/pdf</dc:format>\n<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">%s</rdf:li></rdf:Alt></dc:title>\n", escaped(a.title))
	fmt.Fprintf(&b, "<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">%s</rdf:li></rdf:Alt></dc:description>\n", escaped(a.subject))
	fmt.Fprintf(&b, "<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>\n", escaped(a.lang))
	if a.author != "" {
		fmt.Fprintf(&b, "<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>\n", escaped(a.author))
	}
	fmt.Fprintf(&b, "<xmp:CreateDate>%s</xmp:CreateDate><xmp:ModifyDate>%s</xmp:ModifyDate><xmp:MetadataDate>%s</xmp:MetadataDate>\n", date, date, date)
	fmt.Fprintf(&b, "<pdf:Producer>%s</pdf:Producer>\n</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>", escaped(a.producer))
	return b.Bytes()
}

// escaped is s as character data; what XML cannot hold becomes U+FFFD.
func escaped(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a strings.Builder takes everything
	return b.String()
}
