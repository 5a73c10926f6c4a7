package drawing

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pourwright/render/say"
)

var (
	streams  = regexp.MustCompile(`(?s)/Length (\d+) >>\nstream\n(.*?)\nendstream`)
	polygons = regexp.MustCompile(`(?m)((?:-?[\d.]+ -?[\d.]+ [ml] ){4})h S$`)
	scaling  = regexp.MustCompile(`^([\d.]+) 0 0 -([\d.]+) 0 ([\d.]+) cm\n`)
)

// contents are the page descriptions of a PDF, whose lengths are checked.
func contents(t *testing.T, pdf []byte) []string {
	t.Helper()
	var all []string
	for _, m := range streams.FindAllSubmatch(pdf, -1) {
		if want, _ := strconv.Atoi(string(m[1])); want != len(m[2]) {
			t.Errorf("a stream of %d bytes says %d", len(m[2]), want)
		}
		all = append(all, string(m[2]))
	}
	return all
}

// The check square of a PDF is 50 mm in the unit of PDF, 1/72 in.
func TestPDFTrueSize(t *testing.T) {
	for name, p := range everyStyle() {
		for _, f := range Files(p, say.Both) {
			if !strings.HasSuffix(f.Name, ".pdf") || f.Name == "sheets.pdf" {
				continue
			}
			page := contents(t, f.Data)[0]
			scale := scaling.FindStringSubmatch(page)
			if scale == nil || scale[1] != scale[2] {
				t.Fatalf("%s %s: no scale in %.80q", name, f.Name, page)
			}
			points, _ := strconv.ParseFloat(scale[1], 64)
			found := false
			for _, m := range polygons.FindAllStringSubmatch(page, -1) {
				var c [8]float64
				var op [4]string
				fmt.Sscan(m[1], &c[0], &c[1], &op[0], &c[2], &c[3], &op[1], &c[4], &c[5], &op[2], &c[6], &c[7], &op[3])
				w, h := (c[4]-c[0])*points, (c[5]-c[1])*points
				if near(w, 50/25.4*72, 1e-4) && near(h, 50/25.4*72, 1e-4) {
					found = true
				}
			}
			if !found {
				t.Errorf("%s %s: no square of 50 mm on the first page", name, f.Name)
			}
		}
	}
}

// The table at the end of a PDF says where each object is (ISO 32000-1, 7.5.4).
func TestPDFTable(t *testing.T) {
	for _, f := range Files(buoy(), say.Both) {
		if !strings.HasSuffix(f.Name, ".pdf") {
			continue
		}
		start := bytes.LastIndex(f.Data, []byte("startxref\n"))
		var at, count int
		fmt.Sscan(string(f.Data[start+len("startxref\n"):]), &at)
		table := string(f.Data[at:])
		if n, err := fmt.Sscanf(table, "xref\n0 %d\n", &count); n != 1 || err != nil {
			t.Fatalf("%s: no table at %d: %.20q", f.Name, at, table)
		}
		lines := strings.SplitAfter(table, "\n")[2 : 2+count]
		for i, line := range lines {
			if len(line) != 20 {
				t.Errorf("%s: entry %d is %d bytes long", f.Name, i, len(line))
			}
			offset, _ := strconv.Atoi(line[:10])
			if want := fmt.Sprintf("%d 0 obj\n", i); i > 0 && !bytes.HasPrefix(f.Data[offset:], []byte(want)) {
				t.Errorf("%s: object %d is not at %d", f.Name, i, offset)
			}
		}
		if pages := bytes.Count(f.Data, []byte("/Type /Page ")); pages != len(contents(t, f.Data)) || !bytes.Contains(f.Data, []byte(fmt.Sprintf("/Count %d ", pages))) {
			t.Errorf("%s: %d pages do not match", f.Name, pages)
		}
	}
}

func TestLiteral(t *testing.T) {
	for text, want := range map[string]string{"a (b) \\": `(a \(b\) \\)`, "3 × 4 °": "(3 \xd7 4 \xb0)", "−5…": "(-5\x85)", "灯台": "(??)"} {
		if have := literal(text); have != want {
			t.Errorf("%q is written %q, want %q", text, have, want)
		}
	}
}
