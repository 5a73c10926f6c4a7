package mesh

import (
	"errors"
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

// A modelTag is a tag of 3MF that is read.
type modelTag byte

const (
	noTag modelTag = iota // outside all tags
	otherTag
	modelRoot
	resourcesTag
	objectTag
	verticesTag
	vertexTag
	trianglesTag
	triangleTag
	componentsTag
	componentTag
	buildTag
	itemTag
)

// modelTagOf tells tags apart.
func modelTagOf(name xmlName) modelTag {
	if name.space != coreSpace {
		return otherTag
	}
	switch string(name.local) {
	case "triangle":
		return triangleTag
	case "vertex":
		return vertexTag
	case "model":
		return modelRoot
	case "resources":
		return resourcesTag
	case "object":
		return objectTag
	case "vertices":
		return verticesTag
	case "triangles":
		return trianglesTag
	case "components":
		return componentsTag
	case "component":
		return componentTag
	case "build":
		return buildTag
	case "item":
		return itemTag
	}
	return otherTag
}

// modelReader reads one model of a package.
type modelReader struct {
	*threeMF
	name   string
	isRoot bool
	xml    *xmlScanner
	inside []modelTag // the tags that are open
	object *object
	found  bool     // the tag of the model
	uses   []string // other models whose objects are used
}

// read reads the model.
func (m *modelReader) read() error {
	m.inside = append(m.inside, noTag)
	for {
		event, err := m.xml.next()
		if err != nil {
			return m.ended(err)
		}
		if event == xmlEnd {
			m.inside = m.inside[:len(m.inside)-1]
			continue
		}
		tag, parent := modelTagOf(m.xml.name), m.inside[len(m.inside)-1]
		m.inside = append(m.inside, tag)
		if err := m.open(parent, tag, m.xml.attributes); err != nil {
			return err
		}
	}
}

// ended returns the error, if any, with which a model has ended.
func (m *modelReader) ended(err error) error {
	var broken xmlError
	switch {
	case errors.As(err, &broken):
		return m.wrong("%s", broken)
	case err != io.EOF:
		return err
	case !m.found:
		return m.wrong("it holds no model")
	}
	return nil
}

func (m *modelReader) wrong(what string, args ...any) error {
	return m.fail(exportAgain3MF, "is damaged in line %d of %s: %s", m.xml.line(), printable([]byte(path.Base(m.name))), fmt.Sprintf(what, args...))
}

// open reads a tag.
func (m *modelReader) open(parent, tag modelTag, attributes []xmlAttribute) error {
	switch {
	case tag == triangleTag && parent == trianglesTag && m.object != nil:
		return m.triangle(attributes)
	case tag == vertexTag && parent == verticesTag && m.object != nil:
		return m.point(attributes)
	case tag == modelRoot && parent == noTag:
		m.found = true
		return m.header(attributes)
	case tag == objectTag && parent == resourcesTag:
		return m.newObject(attributes)
	case tag == componentTag && parent == componentsTag && m.object != nil:
		c, err := m.component(attributes)
		m.object.components = append(m.object.components, c)
		return err
	case tag == itemTag && parent == buildTag && m.isRoot:
		c, err := m.component(attributes)
		m.items = append(m.items, c)
		return err
	}
	return nil
}

// header reads the tag of the model.
func (m *modelReader) header(attributes []xmlAttribute) error {
	spaces := map[string]string{}
	for _, a := range attributes {
		if a.space == "xmlns" {
			spaces[string(a.local)] = string(a.value)
		}
	}
	for _, a := range attributes {
		switch {
		case a.space != "" || !m.isRoot:
		case string(a.local) == "unit":
			mm, known := threeMFUnits[string(a.value)]
			if !known {
				return m.wrong("%q is no unit of 3MF", printable(a.value))
			}
			m.src.UnitMM = mm
		case string(a.local) == "requiredextensions":
			for prefix := range strings.FieldsSeq(string(a.value)) {
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
func (m *modelReader) newObject(attributes []xmlAttribute) error {
	m.object = &object{}
	id, known := uint32(0), false
	for _, a := range attributes {
		if a.space != "" {
			continue
		}
		switch string(a.local) {
		case "id":
			n, err := strconv.ParseUint(string(a.value), 10, 32)
			id, known = uint32(n), err == nil
		case "name":
			if m.src.Name == "" {
				m.src.Name = printable(a.value)
			}
		case "type":
			kind := string(a.value)
			m.object.support = kind == "support" || kind == "solidsupport" || kind == "other"
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

// point reads a point.
func (m *modelReader) point(attributes []xmlAttribute) error {
	var p r3.Vec
	known := 0
	for _, a := range attributes {
		var to *float64
		switch {
		case a.space != "":
		case string(a.local) == "x":
			to = &p.X
		case string(a.local) == "y":
			to = &p.Y
		case string(a.local) == "z":
			to = &p.Z
		}
		if to == nil {
			continue
		}
		x, err := parseCoordinate(a.value)
		if err != nil || !fits32(x) {
			return m.wrong("%q is no coordinate that can be used", printable(a.value))
		}
		*to = x
		known++
	}
	if known != 3 {
		return m.wrong("a point has no x, y or z")
	}
	if m.object.points.len() == maxPoints {
		return m.fail("reduce the scan before planning", "has more than %d points", maxPoints)
	}
	m.object.points.add(p)
	return nil
}

// triangle reads a triangle, whose points come before it.
func (m *modelReader) triangle(attributes []xmlAttribute) error {
	face := [3]int32{-1, -1, -1}
	for _, a := range attributes {
		n := a.local
		if a.space != "" || len(n) != 2 || n[0] != 'v' || n[1] < '1' || n[1] > '3' {
			continue
		}
		i, ok := parseInteger(a.value)
		if !ok || i < 0 || i >= m.object.points.len() {
			return m.wrong("a triangle names point %q, but %d come before it, counted from 0", printable(a.value), m.object.points.len())
		}
		face[n[1]-'1'] = int32(i)
	}
	if slices.Contains(face[:], -1) {
		return m.wrong("a triangle has fewer than 3 points")
	}
	m.object.faces.add(face)
	return nil
}

// component reads a component or an item: an object, the model that holds it,
// and its place.
func (m *modelReader) component(attributes []xmlAttribute) (component, error) {
	c := component{objectID{path: m.name}, unmoved}
	known := false
	for _, a := range attributes {
		switch {
		case string(a.local) == "path" && a.space != "":
			c.path = path.Join("/", string(a.value))
			m.uses = append(m.uses, c.path)
		case a.space != "":
		case string(a.local) == "objectid":
			n, err := strconv.ParseUint(string(a.value), 10, 32)
			c.id, known = uint32(n), err == nil
		case string(a.local) == "transform":
			var ok bool
			if c.at, ok = threeMFPlacement(string(a.value)); !ok {
				return c, m.wrong("%q is no place for a part", printable(a.value))
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
