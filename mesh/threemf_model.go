package mesh

import (
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// coreSpace is the XML name space of 3MF (core specification 1.3).
const coreSpace = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"

// threeMFUnits are the units of 3MF in mm.
var threeMFUnits = map[string]float64{
	"micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
}

// maxDepth bounds how deep the tags of a model are nested.
const maxDepth = 64

// modelReader reads one model of a package.
type modelReader struct {
	*threeMF
	name   string
	isRoot bool
	xml    *xml.Decoder
	inside []string // the tags that are open, "" for those of other name spaces
	object *object
	found  bool     // the tag of the model
	uses   []string // other models whose objects are used
}

// read reads the model.
func (m *modelReader) read() error {
	for {
		token, err := m.xml.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return m.wrong("it is not whole, or no XML")
		}
		switch t := token.(type) {
		case xml.StartElement:
			if len(m.inside) == maxDepth {
				return m.wrong("tags are nested more than %d deep", maxDepth)
			}
			tag, parent := "", ""
			if t.Name.Space == coreSpace {
				tag = t.Name.Local
			}
			if len(m.inside) > 0 {
				parent = m.inside[len(m.inside)-1]
			}
			m.inside = append(m.inside, tag)
			if err := m.open(parent, tag, t.Attr); err != nil {
				return err
			}
		case xml.EndElement:
			m.inside = m.inside[:len(m.inside)-1]
		}
	}
	if !m.found {
		return m.wrong("it holds no model")
	}
	return nil
}

func (m *modelReader) wrong(what string, args ...any) error {
	line, _ := m.xml.InputPos()
	return m.fail(exportAgain3MF, "is damaged in line %d of %s: %s", line, printable([]byte(path.Base(m.name))), fmt.Sprintf(what, args...))
}

// open reads a tag.
func (m *modelReader) open(parent, tag string, attributes []xml.Attr) error {
	switch {
	case tag == "model" && parent == "":
		m.found = true
		return m.header(attributes)
	case tag == "object" && parent == "resources":
		return m.newObject(attributes)
	case tag == "vertex" && parent == "vertices" && m.object != nil:
		return m.vertexTag(attributes)
	case tag == "triangle" && parent == "triangles" && m.object != nil:
		return m.triangleTag(attributes)
	case tag == "component" && parent == "components" && m.object != nil:
		c, err := m.component(attributes)
		m.object.components = append(m.object.components, c)
		return err
	case tag == "item" && parent == "build" && m.isRoot:
		c, err := m.component(attributes)
		m.items = append(m.items, c)
		return err
	}
	return nil
}

// header reads the tag of the model.
func (m *modelReader) header(attributes []xml.Attr) error {
	spaces := map[string]string{}
	for _, a := range attributes {
		if a.Name.Space == "xmlns" {
			spaces[a.Name.Local] = a.Value
		}
	}
	for _, a := range attributes {
		switch {
		case a.Name.Space != "" || !m.isRoot:
		case a.Name.Local == "unit":
			mm, known := threeMFUnits[a.Value]
			if !known {
				return m.wrong("%q is no unit of 3MF", printable([]byte(a.Value)))
			}
			m.src.UnitMM = mm
		case a.Name.Local == "requiredextensions":
			for prefix := range strings.FieldsSeq(a.Value) {
				if space := spaces[prefix]; !harmless3MF(space) {
					return m.fail("export it without extras, or as binary STL", "needs the 3MF extension %q, which is not read",
						printable([]byte(max(space, prefix))))
				}
			}
		}
	}
	return nil
}

// harmless3MF tells whether shapes are read right without knowing more of an
// extension than is known here.
func harmless3MF(space string) bool {
	return slices.ContainsFunc([]string{"/production/", "/material/", "/trianglesets/"},
		func(part string) bool { return strings.Contains(space, part) })
}

// newObject reads the tag of an object.
func (m *modelReader) newObject(attributes []xml.Attr) error {
	m.object = &object{}
	id, known := uint32(0), false
	for _, a := range attributes {
		if a.Name.Space != "" {
			continue
		}
		switch a.Name.Local {
		case "id":
			n, err := strconv.ParseUint(a.Value, 10, 32)
			id, known = uint32(n), err == nil
		case "name":
			if m.src.Name == "" {
				m.src.Name = printable([]byte(a.Value))
			}
		case "type":
			m.object.support = a.Value == "support" || a.Value == "solidsupport" || a.Value == "other"
		}
	}
	if !known {
		return m.wrong("an object has no number")
	}
	at := objectID{m.name, id}
	if m.objects[at] != nil {
		return m.wrong("two objects have the number %d", id)
	}
	m.objects[at] = m.object
	return m.count()
}

// count counts objects, components and items.
func (m *modelReader) count() error {
	if m.parts++; m.parts > maxParts {
		return m.fail("export the shape alone", "describes more than %d parts", maxParts)
	}
	return nil
}

// vertexTag reads a point.
func (m *modelReader) vertexTag(attributes []xml.Attr) error {
	var p r3.Vec
	known := 0
	for _, a := range attributes {
		var to *float64
		switch {
		case a.Name.Space != "":
		case a.Name.Local == "x":
			to = &p.X
		case a.Name.Local == "y":
			to = &p.Y
		case a.Name.Local == "z":
			to = &p.Z
		}
		if to == nil {
			continue
		}
		x, err := parseCoordinate([]byte(a.Value))
		if err != nil || !fits32(x) {
			return m.wrong("%q is no coordinate that can be used", printable([]byte(a.Value)))
		}
		*to = x
		known++
	}
	if known != 3 {
		return m.wrong("a point has no x, y or z")
	}
	if len(m.object.points) == maxPoints {
		return m.fail("reduce the scan before planning", "has more than %d points", maxPoints)
	}
	m.object.points = append(m.object.points, p)
	return nil
}

// triangleTag reads a triangle, whose points come before it.
func (m *modelReader) triangleTag(attributes []xml.Attr) error {
	face := [3]int32{-1, -1, -1}
	for _, a := range attributes {
		n := a.Name.Local
		if a.Name.Space != "" || len(n) != 2 || n[0] != 'v' || n[1] < '1' || n[1] > '3' {
			continue
		}
		i, ok := parseInteger([]byte(a.Value))
		if !ok || i < 0 || i >= len(m.object.points) {
			return m.wrong("a triangle names point %q, but %d come before it, counted from 0", printable([]byte(a.Value)), len(m.object.points))
		}
		face[n[1]-'1'] = int32(i)
	}
	if slices.Contains(face[:], -1) {
		return m.wrong("a triangle has fewer than 3 points")
	}
	m.object.faces = append(m.object.faces, face)
	return nil
}

// component reads a component or an item: an object, the model that holds it,
// and its place.
func (m *modelReader) component(attributes []xml.Attr) (component, error) {
	c := component{objectID{path: m.name}, unmoved}
	known := false
	for _, a := range attributes {
		switch {
		case a.Name.Local == "path" && a.Name.Space != "":
			c.path = path.Join("/", a.Value)
			m.uses = append(m.uses, c.path)
		case a.Name.Space != "":
		case a.Name.Local == "objectid":
			n, err := strconv.ParseUint(a.Value, 10, 32)
			c.id, known = uint32(n), err == nil
		case a.Name.Local == "transform":
			var ok bool
			if c.at, ok = threeMFPlacement(a.Value); !ok {
				return c, m.wrong("%q is no place for a part", printable([]byte(a.Value)))
			}
		}
	}
	if !known {
		return c, m.wrong("a component or item names no object")
	}
	return c, m.count()
}

// threeMFPlacement reads a transform: the first three rows are where the unit
// vectors go, the fourth is the shift (core specification 1.3, section 3.3).
func threeMFPlacement(text string) (placement, bool) {
	words := strings.Fields(text)
	if len(words) != 12 {
		return placement{}, false
	}
	var n [12]float64
	for i, w := range words {
		var err error
		if n[i], err = parseCoordinate([]byte(w)); err != nil {
			return placement{}, false
		}
	}
	row := func(i int) r3.Vec { return r3.Vec{X: n[i], Y: n[i+1], Z: n[i+2]} }
	l := placement{row(0), row(3), row(6), row(9)}
	return l, l.sound()
}
