package pdfout

import (
	"encoding/json"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/study"
)

// readArchive checks what ISO 19005-3 asks of a file at level B as far as its
// objects show it, read with pikepdf, a general-purpose library. Each line names
// its clause; DEVELOPERS.md lists them. It prints what it has counted, so that no
// check passes on nothing.
const readArchive = `
import json, re, struct, sys, pikepdf
OPERATORS = set('b f S m l c re w j J M d rg RG g G BT ET Tf Td Tj BDC BMC EMC Do q Q cm'.split())

def glyph_widths(b):
    tables = {}
    for i in range(struct.unpack('>H', b[4:6])[0]):
        name, _, at, size = struct.unpack('>4sLLL', b[12 + 16 * i:28 + 16 * i])
        tables[name] = b[at:at + size]
    em = struct.unpack('>H', tables[b'head'][18:20])[0]
    n = struct.unpack('>H', tables[b'hhea'][34:36])[0]
    loca = struct.unpack('>%dH' % (len(tables[b'loca']) // 2), tables[b'loca'])
    return [struct.unpack('>H', tables[b'hmtx'][4 * i:4 * i + 2])[0] * 1000 / em for i in range(n)], loca

def read(file):
    raw = open(file, 'rb').read()
    n = dict(strings=0, fonts=0, widths=0, shown=0, operators=0, files=0, names=0)
    assert re.match(rb'%PDF-1\.[0-7]\n%[\x80-\xff]{4,}\n', raw), '6.1.2 header'
    assert raw.endswith(b'%%EOF\n') and raw.count(b'%%EOF') == 1, '6.1.3 end'
    pdf = pikepdf.open(file)
    root = pdf.Root
    assert len(pdf.trailer.ID) == 2 and '/Encrypt' not in pdf.trailer, '6.1.3 trailer'
    assert re.search(rb'\nxref\n0 \d+\n0000000000 65535 f \n', raw), '6.1.4 table'
    bare = re.sub(rb'(?s)stream\n.*?\nendstream', b'', raw)
    for h in re.findall(rb'(?<!<)<([^<>]*)>', re.sub(rb'\((?:\\.|[^\\()])*\)', b'', bare)):
        assert re.fullmatch(rb'(?:[0-9A-Fa-f]{2})*', h), '6.1.6 hexadecimal string'
        n['strings'] += 1
    assert len(re.findall(rb'(?m)^\d+ 0 obj$', bare)) == int(pdf.trailer.Size) - 1 == len(re.findall(rb'(?m)^endobj$', bare)), '6.1.9 objects'

    def value(v):
        if isinstance(v, pikepdf.Dictionary) or isinstance(v, pikepdf.Stream):
            for k in v.keys():
                assert len(k) <= 128, '6.1.13 name'
                assert k not in ('/FFilter', '/FDecodeParms', '/Encrypt', '/JS', '/AA', '/OpenAction', '/A', '/XFA', '/NeedsRendering', '/AlternatePresentations', '/PresSteps',
                    '/Requirements', '/SMask', '/Group', '/TR', '/TR2', '/HTP', '/OPI', '/Ref', '/PS', '/Alternates', '/OCProperties', '/Perms', '/CIDSet', '/Annots'), '6.1.7, 6.2.5 to 6.2.10, 6.4, 6.5, 6.10, 6.11: ' + k
                n['names'] += 1
                if isinstance(v[k], pikepdf.Object) and not v[k].is_indirect:
                    value(v[k])
        elif isinstance(v, pikepdf.Array):
            for x in v:
                if isinstance(x, pikepdf.Object) and not x.is_indirect:
                    value(x)
        elif isinstance(v, pikepdf.String):
            assert len(bytes(v)) <= 32767, '6.1.13 string'
        elif isinstance(v, int):
            assert abs(v) < 2 ** 31, '6.1.13 integer'
    for o in pdf.objects:
        value(o)
        if isinstance(o, pikepdf.Stream):
            assert o.get('/Filter', '/FlateDecode') == '/FlateDecode' and '/F' not in o.keys(), '6.1.7 filter'
            assert len(o.read_raw_bytes()) == o.Length, '6.1.7 length'
    (intent,) = root.OutputIntents
    profile = intent.DestOutputProfile
    icc = profile.read_bytes()
    assert intent.S == '/GTS_PDFA1' and profile.N == 3 and icc[8] == 4 and icc[12:20] == b'mntrRGB ' and icc[36:40] == b'acsp', '6.2.3 profile'
    assert struct.unpack('>L', icc[:4])[0] == len(icc), '6.2.3 size of the profile'
    assert '/AcroForm' not in root.keys() and '/Names' in root.keys() and list(root.Names.keys()) == ['/EmbeddedFiles'], '6.4, 6.5'
    fonts = {}
    for page in pdf.pages:
        assert all(3 <= float(x) <= 14400 for x in list(page.mediabox)[2:]) and page.mediabox[0] == 0, '6.1.13 page'
        resources = page.obj.Resources
        assert set(k for k in resources.keys() if k == '/ProcSet' or len(resources[k])) <= {'/Font', '/XObject', '/ProcSet'}, '6.2.2, 6.2.10: resources on the page, no graphics states'
        for _, x in resources.XObject.items():
            assert x.Subtype == '/Form', '6.2.9'
        for name, f in resources.Font.items():
            if name in fonts:
                continue
            (d,) = f.DescendantFonts
            cmap, text = f.Encoding.read_bytes(), f.ToUnicode.read_bytes()
            assert f.Subtype == '/Type0' and d.Subtype == '/CIDFontType2' and d.CIDToGIDMap == '/Identity', '6.2.11.3'
            for k in ('/Registry', '/Ordering', '/Supplement'):
                assert f.Encoding.CIDSystemInfo[k] == d.CIDSystemInfo[k], '6.2.11.3.1'
            assert f.Encoding.WMode == 0 and b'/WMode 0 def' in cmap and b'usecmap' not in cmap and '/UseCMap' not in f.Encoding.keys(), '6.2.11.3.3'
            assert d.BaseFont == f.BaseFont == d.FontDescriptor.FontName, '6.2.11.2'
            program = d.FontDescriptor.FontFile2
            b = program.read_bytes()
            assert program.Length1 == len(b) and b[:4] == b'\0\1\0\0', '6.2.11.4'
            real, loca = glyph_widths(b)
            widths, w, i = {}, list(d.W), 0
            while i < len(w):
                for j, x in enumerate(w[i + 1]):
                    widths[int(w[i]) + j] = float(x)
                i += 2
            for cid, x in widths.items():
                assert abs(real[cid] - x) <= 1, '6.2.11.5 width of glyph %d' % cid
                n['widths'] += 1
            long = {int(a, 16): int(c) for a, c in re.findall(rb'<([0-9A-F]{4})> (\d+)\n', cmap)}
            known = set(range(0x20, 0x7F)) | {int(a, 16) for a in re.findall(rb'(?m)^<([0-9A-F]+)> <[0-9A-F]{4}>$', text)}
            fonts[name] = (widths, long, known, loca)
            n['fonts'] += 1
    for page in pdf.pages:
        font, depth = None, 0
        for operands, operator in pikepdf.parse_content_stream(page):
            o = str(operator)
            assert o in OPERATORS, '6.2.2 and 6.2.4.3: operator ' + o
            n['operators'] += 1
            if o == 'Tf':
                font = fonts[str(operands[0])]
            if o == 'Tj':
                widths, long, known, loca = font
                b, i = bytes(operands[0]), 0
                while i < len(b):
                    code = b[i] if b[i] < 128 else b[i] << 8 | b[i + 1]
                    i += 1 if code < 128 else 2
                    cid = code if code < 128 else long[code]
                    assert cid in widths and cid > 0, '6.2.11.8 glyph'
                    assert cid == 32 or cid >= 128 or loca[cid] < loca[cid + 1], '6.2.11.4 outline'
                    assert code in known, 'level U: text'
                    n['shown'] += 1
            assert (depth := depth + (o == 'q') - (o == 'Q')) <= 28, '6.1.13 q'
    meta = root.Metadata
    assert meta.Type == '/Metadata' and meta.Subtype == '/XML' and '/Filter' not in meta.keys(), '6.6.2.1'
    packet = meta.read_bytes().decode('utf-8')
    assert 'bytes=' not in packet.split('?>')[0] and 'encoding=' not in packet.split('?>')[0], '6.6.2.1 head'
    with pdf.open_metadata() as m:
        assert m.pdfa_status == '3B' and m['pdfaid:part'] == '3' and m['pdfaid:conformance'] == 'B', '6.6.4'
        assert m['dc:title'] == str(pdf.docinfo.Title) and m['pdf:Producer'] == str(pdf.docinfo.Producer), '6.6.3'
        assert m.get('dc:creator', [''])[0] == str(pdf.docinfo.get('/Author', '')), '6.6.3 author'
        assert re.sub('[^0-9]', '', m['xmp:CreateDate']) == re.sub('[^0-9]', '', str(pdf.docinfo.CreationDate)), '6.6.3 date'
        for k in m:
            assert re.match(r'\{http://(purl.org/dc/elements/1.1/|ns.adobe.com/xap/1.0/|ns.adobe.com/pdf/1.3/|www.aiim.org/pdfa/ns/id/)\}', k), '6.6.2.3 ' + k
    specs = list(root.Names.EmbeddedFiles.Names)[1::2]
    assert {s.objgen for s in specs} == {s.objgen for s in root.AF}, '6.8 AF'
    for s in specs:
        e = s.EF.F
        assert str(s.F) and str(s.UF) and s.AFRelationship in ('/Source', '/Data'), '6.8 relation'
        assert re.match(r'/[a-z]+/[a-z-]+$', str(e.Subtype)) and str(e.Params.ModDate) and e.Params.Size == len(e.read_bytes()), '6.8 type'
        assert (s.UF == 'record.json') == (s.AFRelationship == '/Data'), '6.8 data'
        n['files'] += 1
    print(json.dumps(n))

for file in sys.argv[1:]:
    read(file)
`

// TestArchive reads complete files of every kind, names in other scripts among them.
func TestArchive(t *testing.T) {
	var files []string
	for _, r := range most(t) {
		file, _ := drawn(t, r, record.File{Name: "tickets.csv", Bytes: []byte("ticket\n")}, record.File{Name: "copy.jpg", Bytes: []byte("\xff\xd8")}, record.File{Name: "earlier.json", Bytes: []byte("{}")})
		files = append(files, file)
	}
	lines := strings.Split(strings.TrimSpace(toolAt(t, study.Tool(t, "python3", "pikepdf"), append([]string{"-c", readArchive}, files...)...)), "\n")
	if len(lines) != len(files) {
		t.Fatalf("%d of %d files were read", len(lines), len(files))
	}
	for i, line := range lines {
		var n struct{ Strings, Fonts, Widths, Shown, Operators, Files, Names int }
		if err := json.Unmarshal([]byte(line), &n); err != nil {
			t.Fatal(err)
		}
		// two faces of 113 common characters each; the identifier is two strings; the record and three files
		if n.Fonts != 2 || n.Widths < 2*113 || n.Shown < 500 || n.Operators < 500 || n.Files != 4 || n.Strings < 6 || n.Names < 300 {
			t.Errorf("%s: %+v", files[i], n)
		}
	}
}

// TestMetadata: exiftool, another's reader of XMP, finds in the packet what the
// record says.
func TestMetadata(t *testing.T) {
	r := example(t, "within")
	file, _ := drawn(t, r)
	var found []map[string]any
	if err := json.Unmarshal([]byte(tool(t, "exiftool", "-json", "-XMP:all", file)), &found); err != nil || len(found) != 1 {
		t.Fatal(err)
	}
	for key, want := range map[string]any{"Title": "Weighing summary · number 1042 · job planetarium, within · crew-cab utility + tandem-axle planetarium trailer", "Creator": "Quarry Road Weighing Service",
		"Part": 3.0, "Conformance": "B", "Producer": "reconcile 2.0.0", "Language": "en-AU", "CreateDate": "2026:03:16 00:00:00Z", "Format": "application/pdf"} {
		if found[0][key] != want {
			t.Errorf("%s is %v, want %v", key, found[0][key], want)
		}
	}
}
