package mesh

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
)

// plyType is a type of number in a PLY file.
type plyType byte

const (
	plyInt8 plyType = iota
	plyUint8
	plyInt16
	plyUint16
	plyInt32
	plyUint32
	plyFloat32
	plyFloat64
)

var plySizes = [...]int64{plyInt8: 1, plyUint8: 1, plyInt16: 2, plyUint16: 2, plyInt32: 4, plyUint32: 4, plyFloat32: 4, plyFloat64: 8}

// plyTypes holds the names of types: the first of Turk, The PLY Polygon File
// Format (1994), and the later ones with sizes.
var plyTypes = map[string]plyType{
	"char": plyInt8, "uchar": plyUint8, "short": plyInt16, "ushort": plyUint16,
	"int": plyInt32, "uint": plyUint32, "float": plyFloat32, "double": plyFloat64,
	"int8": plyInt8, "uint8": plyUint8, "int16": plyInt16, "uint16": plyUint16,
	"int32": plyInt32, "uint32": plyUint32, "float32": plyFloat32, "float64": plyFloat64,
}

func (t plyType) size() int64 { return plySizes[t] }

// A plyProperty is a column of an element: a number, or a list of numbers after
// their count.
type plyProperty struct {
	name    string
	item    plyType
	isList  bool
	counter plyType
}

// A plyElement is a table of a PLY file.
type plyElement struct {
	name       string
	count      int64
	properties []plyProperty
}

// has tells whether the element has numbers of all these names.
func (e plyElement) has(names ...string) bool {
	for _, name := range names {
		if !slices.ContainsFunc(e.properties, func(p plyProperty) bool { return p.name == name && !p.isList }) {
			return false
		}
	}
	return true
}

// leastRow is the fewest bytes that a row can take: in text, a digit and a
// space a number.
func (e plyElement) leastRow(text bool) int64 {
	if text {
		return 2 * int64(len(e.properties))
	}
	bytes := int64(0)
	for _, p := range e.properties {
		if p.isList {
			bytes += p.counter.size()
		} else {
			bytes += p.item.size()
		}
	}
	return bytes
}

// plyHeader is what a PLY file says of itself.
type plyHeader struct {
	order    binary.ByteOrder // nil for text
	elements []plyElement
	size     int64 // bytes of the header
	lines    int
	comment  string // the first that seems to name a unit
}

func (h plyHeader) text() bool { return h.order == nil }

// readPLYHeader reads the header and holds its counts against the file's size.
func (s scanFile) readPLYHeader() (plyHeader, error) {
	var h plyHeader
	head, err := s.start(maxPLYHeader)
	if err != nil {
		return h, err
	}
	known := false
	for line := range bytes.Lines(head) {
		if !bytes.HasSuffix(line, []byte("\n")) {
			break
		}
		h.lines++
		h.size += int64(len(line))
		words := strings.Fields(string(line))
		if len(words) == 0 || h.lines == 1 {
			continue
		}
		if words[0] == "end_header" {
			if !known {
				return h, s.fail("export the scan again", "has a PLY header without its format")
			}
			return h, h.check(s)
		}
		problem := ""
		switch words[0] {
		case "format":
			known, problem = true, h.takeFormat(words[1:])
		case "element":
			problem = h.takeElement(words[1:])
		case "property":
			problem = h.takeProperty(words[1:])
		case "comment", "obj_info":
			if text := printable(line[len(words[0]):]); h.comment == "" && saysUnit(text) {
				h.comment = text
			}
		default:
			problem = fmt.Sprintf("%q is no word of a PLY header", words[0])
		}
		if problem != "" {
			return h, s.fail("export the scan again", "is damaged in line %d: %s", h.lines, problem)
		}
	}
	return h, s.fail("export the scan again", "is cut off, or is no PLY: its header has no end")
}

func (h *plyHeader) takeFormat(words []string) (problem string) {
	switch strings.Join(words, " ") {
	case "ascii 1.0":
		h.order = nil
	case "binary_little_endian 1.0":
		h.order = binary.LittleEndian
	case "binary_big_endian 1.0":
		h.order = binary.BigEndian
	default:
		return fmt.Sprintf("%q is no known format", strings.Join(words, " "))
	}
	return ""
}

func (h *plyHeader) takeElement(words []string) (problem string) {
	if len(words) == 2 {
		if n, ok := parseInteger([]byte(words[1])); ok && n >= 0 {
			h.elements = append(h.elements, plyElement{name: words[0], count: int64(n)})
			return ""
		}
	}
	return "an element needs a name and a count"
}

func (h *plyHeader) takeProperty(words []string) (problem string) {
	if len(h.elements) == 0 {
		return "a property stands before any element"
	}
	p, known := plyProperty{}, false
	switch {
	case len(words) == 2:
		p.name = words[1]
		p.item, known = plyTypes[words[0]]
	case len(words) == 4 && words[0] == "list":
		p.name, p.isList = words[3], true
		var counts bool
		p.counter, counts = plyTypes[words[1]]
		p.item, known = plyTypes[words[2]]
		known = known && counts
	}
	if !known {
		return "a property needs a known type and a name"
	}
	e := &h.elements[len(h.elements)-1]
	e.properties = append(e.properties, p)
	return ""
}

// counts returns how many points there are, and how many faces or rows of strips.
func (h plyHeader) counts() (points, faces int64) {
	for _, e := range h.elements {
		switch e.name {
		case "vertex":
			points += e.count
		case "face", "tristrips":
			faces += e.count
		}
	}
	return points, faces
}

// check holds the counts against the bytes that follow the header.
func (h plyHeader) check(s scanFile) error {
	room := s.size - h.size + 1 // text may end without a space
	for _, e := range h.elements {
		least := e.leastRow(h.text())
		switch {
		case e.count == 0:
			continue
		case least == 0:
			return s.fail("export the scan again", "has %d %q elements without properties", e.count, e.name)
		case e.count > room/least:
			return s.fail("the file is cut off or damaged; export it again", "says %d %q elements but has room for %d", e.count, e.name, max(room-1, 0)/least)
		}
		room -= e.count * least
	}
	return nil
}
