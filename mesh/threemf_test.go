package mesh

import (
	"archive/zip"
	"bytes"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"github.com/hpinc/go3mf"
)

// threeMFByLibrary writes m as 3MF with the library's own writer.
func threeMFByLibrary(m *Mesh) []byte {
	o := &go3mf.Object{ID: 1, Mesh: &go3mf.Mesh{}}
	for _, p := range m.Vertices {
		o.Mesh.Vertices.Vertex = append(o.Mesh.Vertices.Vertex, go3mf.Point3D{float32(p.X), float32(p.Y), float32(p.Z)})
	}
	for _, f := range m.Faces {
		o.Mesh.Triangles.Triangle = append(o.Mesh.Triangles.Triangle, go3mf.Triangle{V1: uint32(f[0]), V2: uint32(f[1]), V3: uint32(f[2])})
	}
	model := &go3mf.Model{Resources: go3mf.Resources{Objects: []*go3mf.Object{o}}, Build: go3mf.Build{Items: []*go3mf.Item{{ObjectID: 1}}}}
	var b bytes.Buffer
	encoder := go3mf.NewEncoder(&b)
	encoder.FloatPrecision = 10
	if err := encoder.Encode(model); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// pack zips files, given as names and contents.
func pack(files ...string) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i+1 < len(files); i += 2 {
		w, err := z.Create(files[i])
		if err == nil {
			_, err = w.Write([]byte(files[i+1]))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}

const threeMFRelations = `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/gull.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`

const tetra3MF = `<mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/><vertex x="0" y="0" z="1"/></vertices>
<triangles><triangle v1="0" v2="2" v3="1" paint_color="4C"/><triangle v1="0" v2="1" v3="3" pid="7"/><triangle v1="0" v2="3" v3="2"/><triangle v1="1" v2="2" v3="3"/></triangles></mesh>`

const model3MF = `<?xml version="1.0" encoding="UTF-8"?>
<model unit="inch" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" xmlns:q="urn:harbour">
<metadata name="Title">Gull</metadata>
<resources><q:colours><q:colour value="1"/></q:colours><object id="3" name="gull">` + tetra3MF + `</object></resources>
<build><item objectid="3"/></build></model>`

// changed3MF is the tetrahedron with pairs of replacements in its model.
func changed3MF(pairs ...string) []byte {
	return pack("_rels/.rels", threeMFRelations, "3D/gull.model", strings.NewReplacer(pairs...).Replace(model3MF))
}

func TestReadGood3MF(t *testing.T) {
	placed := func(transform string) []byte {
		return changed3MF(`objectid="3"/>`, `objectid="3"/><item objectid="3" transform="`+transform+`"/>`)
	}
	other := `<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources><object id="3">` + tetra3MF + `</object></resources></model>`
	testGoodFiles(t, []goodFile{
		{"inches", changed3MF(), "3MF", "gull", 4, 4, 25.4, ""},
		{"microns", changed3MF("inch", "micron"), "3MF", "gull", 4, 4, 0.001, ""},
		{"feet", changed3MF("inch", "foot"), "3MF", "gull", 4, 4, 304.8, ""},
		{"no unit is millimetres", changed3MF(`unit="inch"`, ""), "3MF", "gull", 4, 4, 1, ""},
		{"two parts", placed("1 0 0 0 1 0 0 0 1 5 0 0"), "3MF", "gull", 8, 8, 25.4, "2 parts in one file were read as one scan"},
		{"nothing said of building", changed3MF(`<item objectid="3"/>`, ""), "3MF", "gull", 4, 4, 25.4, ""},
		{"a support beside", changed3MF(`<object id="3"`, `<object id="4" type="support"><mesh/></object><object id="3"`, `<item`, `<item objectid="4"/><item`),
			"3MF", "gull", 4, 4, 25.4, "2 parts in one file were read as one scan; supports for printing were left out: 1"},
		{"no relations", pack("3D/3DMODEL.MODEL", model3MF), "3MF", "gull", 4, 4, 25.4, ""},
		{"an object of another model", pack("_rels/.rels", threeMFRelations, "3D/Objects/gull_1.model", other, "3D/gull.model",
			strings.NewReplacer(tetra3MF, `<components><component p:path="/3D/Objects/gull_1.model" objectid="3"/></components>`).Replace(model3MF)), "3MF", "gull", 4, 4, 25.4, ""},
		{"materials required", changed3MF(`xmlns:q="urn:harbour"`, `xmlns:q="http://schemas.microsoft.com/3dmanufacturing/material/2015/02" requiredextensions="q p"`), "3MF", "gull", 4, 4, 25.4, ""},
	})
}

// Test3MFPlacements: turned, scaled and mirrored parts keep the outside
// outside; the tetrahedron's volume is 1/6.
func Test3MFPlacements(t *testing.T) {
	inner := `<object id="3" name="gull">` + tetra3MF + `</object><object id="4"><components><component objectid="3" transform="0 1 0 -1 0 0 0 0 2 1 2 3"/></components></object>`
	for _, c := range []struct {
		name, transform, far string
		volume               float64
	}{
		{"as it is", "1 0 0 0 1 0 0 0 1 0 0 0", "{1 2 5}", 1. / 3},
		{"mirrored", "1 0 0 0 1 0 0 0 -1 0 0 0", "{1 2 -5}", 1. / 3},
		{"scaled and shifted", "2 0 0 0 2 0 0 0 2 10 20 30", "{12 24 40}", 8. / 3},
		// x goes to z, y to x, z to y: (1, 2, 5) to (2, 5, 1).
		{"turned", "0 0 1 1 0 0 0 1 0 0 0 0", "{2 5 1}", 1. / 3},
	} {
		b := changed3MF(`<object id="3" name="gull">`+tetra3MF+`</object>`, inner, `<item objectid="3"/>`, `<item objectid="4" transform="`+c.transform+`"/>`)
		m, _, err := readWhole(b)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if v := signedVolume(m); math.Abs(v-c.volume) > 1e-12*c.volume*1000 {
			t.Errorf("%s: volume %v, want %v", c.name, v, c.volume)
		}
		if all := fmt.Sprint(m.Vertices); !strings.Contains(all, c.far) {
			t.Errorf("%s: no corner at %s: %s", c.name, c.far, all)
		}
	}
}

func TestReadBroken3MF(t *testing.T) {
	good := changed3MF()
	text := func(pairs ...string) []byte { return changed3MF(pairs...) }
	object := `<object id="3" name="gull">` + tetra3MF + `</object>`
	var rings, tower strings.Builder
	for i := range 60 {
		fmt.Fprintf(&tower, `<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, 4+i, 3+i, 3+i)
		fmt.Fprintf(&rings, `<object id="%d"><components><component objectid="%d"/></components></object>`, 4+i, 4+(i+1)%60)
	}
	testBrokenFiles(t, []brokenFile{
		{"cut off", good[:len(good)-30], "is a damaged or cut-off 3MF or ZIP file"},
		{"a ZIP of something else", pack("gull.txt", "gull"), "is a ZIP file without a 3MF model in it"},
		{"an empty ZIP", pack(), "is a ZIP file without a 3MF model in it"},
		{"no such model", pack("_rels/.rels", threeMFRelations), "its part /3D/gull.model is missing"},
		{"a damaged model", func() []byte {
			b := bytes.Clone(good)
			b[len(b)/2] ^= 0x55
			return b
		}(), "does not read"},
		{"cut-off XML", text(`</model>`, ""), "it is not whole, or no XML"},
		{"no XML", pack("_rels/.rels", threeMFRelations, "3D/gull.model", "gull"), "it holds no model"},
		{"XML of another kind", pack("_rels/.rels", threeMFRelations, "3D/gull.model", "<gull/>"), "it holds no model"},
		{"an unknown unit", text("inch", "fathom"), `in line 2 of gull.model: "fathom" is no unit of 3MF`},
		{"an extension required", text(`xmlns:q="urn:harbour"`, `xmlns:q="urn:harbour" requiredextensions="q"`), `needs the 3MF extension "urn:harbour"`},
		{"an extension that is not named", text(`xmlns:q="urn:harbour"`, `xmlns:q="urn:harbour" requiredextensions="b"`), `needs the 3MF extension "b"`},
		{"no number", text(`id="3" name`, `name`), "an object has no number"},
		{"a number twice", text(object, object+object), "two objects have the number 3"},
		{"a coordinate missing", text(`x="1" y="0" z="0"`, `x="1" y="0"`), "a point has no x, y or z"},
		{"a decimal comma", text(`x="1"`, `x="1,5"`), `"1,5" is no coordinate that can be used`},
		{"not a number", text(`x="1"`, `x="NaN"`), `"NaN" is no coordinate that can be used`},
		{"infinite", text(`x="1"`, `x="1e300"`), `"1e300" is no coordinate that can be used`},
		{"no such point", text(`v3="1"`, `v3="4"`), `a triangle names point "4", but 4 come before it`},
		{"a point below 0", text(`v3="1"`, `v3="-1"`), `a triangle names point "-1"`},
		{"two corners", text(`v3="1"`, ""), "a triangle has fewer than 3 points"},
		{"no such object", text(`objectid="3"`, `objectid="9"`), "there is no object 9"},
		{"an item without an object", text(`objectid="3"`, ``), "names no object"},
		{"a place of 11 numbers", text(`objectid="3"`, `objectid="3" transform="1 0 0 0 1 0 0 0 1 0 0"`), "is no place for a part"},
		{"a flat place", text(`objectid="3"`, `objectid="3" transform="1 0 0 0 1 0 0 0 0 0 0 0"`), "is no place for a part"},
		{"a place out of reach", text(`objectid="3"`, `objectid="3" transform="1 0 0 0 1 0 0 0 1 1e60 0 0"`), "object 3 is placed out of reach"},
		{"an object made of itself", text(tetra3MF, `<components><component objectid="3"/></components>`), "object 3 is made of itself"},
		{"objects in a ring", text(object, rings.String(), `objectid="3"`, `objectid="4"`), "object 4 is made of itself"},
		{"2 to the 60 copies", text(object, object+tower.String(), `<item objectid="3"/>`, `<item objectid="63"/>`), "repeats its parts without measure"},
		{"nothing", text(tetra3MF, ""), "holds no faces"},
		{"too deep", text("<build>", strings.Repeat("<q:in>", 100)+strings.Repeat("</q:in>", 100)+"<build>"), "tags are nested more than 64 deep"},
		{"too many parts", text(`<item objectid="3"/>`, strings.Repeat(`<item objectid="3"/>`, maxParts)), "describes more than 50000 parts"},
		{"text without end", text("Gull", strings.Repeat("gull ", maxLine/4)), "a tag or text in it has no end"},
		{"a bomb", text("<build>", strings.Repeat(" ", 100<<20)+"<build>"), "would unpack to 100 MB from"},
		{"a model missing", text(tetra3MF, `<components><component p:path="/3D/tern.model" objectid="3"/></components>`), "its part /3D/tern.model is missing"},
	})
}

// Test3MFBombTakesLittle: what is unpacked before a bomb is refused is small.
func Test3MFBombTakesLittle(t *testing.T) {
	bomb := changed3MF("<triangles>", "<triangles>"+strings.Repeat(`<triangle v1="0" v2="2" v3="1"/>`, 3<<20))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, _, err := readWhole(bomb)
	runtime.ReadMemStats(&after)
	wantMakerError(t, err, "would unpack to 9")
	if took := after.TotalAlloc - before.TotalAlloc; took > 8<<20 {
		t.Errorf("%d bytes taken", took)
	}
}

func FuzzRead3MF(f *testing.F) {
	fuzzRead(f, changed3MF(), threeMFByLibrary(tetra()), pack("3D/3dmodel.model", model3MF), pack("gull.txt", "gull"),
		changed3MF(tetra3MF, `<components><component objectid="3"/></components>`))
}

// FuzzRead3MFModel feeds the model alone, past the packing.
func FuzzRead3MFModel(f *testing.F) {
	f.Add(model3MF)
	f.Add(strings.Replace(model3MF, `objectid="3"`, `objectid="3" transform="1 0 0 0 1 0 0 0 -1 0 0 0"`, 1))
	f.Fuzz(func(t *testing.T, model string) {
		m, _, err := readWhole(pack("3D/3dmodel.model", model))
		if err != nil {
			wantMakerError(t, err, "part ")
			return
		}
		Check(m)
	})
}
