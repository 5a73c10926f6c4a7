package main

import (
	"bytes"
	"context"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/analysis/moldbox"
	thick "pourwright/analysis/wall"
	"pourwright/mesh"
	"pourwright/render/picture"
)

// drawThickness draws how thick the rubber is everywhere.
func (con *console) drawThickness(ctx context.Context, s *solved) ([]byte, error) {
	b := con.newBar()
	defer b.erase()
	b.tell("drawing the picture", 0, 1)
	posed := s.Posed(s.solid).Mesh
	fine, mm := posed, s.Thickness
	if finer := divided(posed, longestEdge(posed)); len(finer.Vertices) > len(posed.Vertices) {
		r, err := thick.Thickness(ctx, finer, rubberAround(s.Plan))
		if err != nil {
			return nil, err
		}
		fine, mm = finer, r.Vertex
	}
	img, err := picture.Thickness(ctx, fine, s.Plan, mm, picture.Options{Show: s.style})
	if err != nil {
		return nil, err
	}
	var png bytes.Buffer
	if err := picture.WritePNG(&png, img); err != nil {
		return nil, err
	}
	return png.Bytes(), nil
}

// rubberAround is where a plan's rubber ends.
func rubberAround(p *analysis.Plan) thick.Input {
	in := thick.Input{LevelMM: p.Box.RubberLevelMM, ClearanceMM: 2 * p.Wall.ThinMM}
	switch {
	case p.Box.Shape == moldbox.Tube && p.Box.RadiusMM != nil:
		in.Side = thick.Tube(2 * *p.Box.RadiusMM)
	case p.Box.Shape == moldbox.Faceted:
		var outline []r2.Vec
		for _, q := range p.Box.OutlineMM {
			outline = append(outline, r2.Vec{X: q[0], Y: q[1]})
		}
		in.Side = thick.Outline(outline)
	default:
		in.Side = thick.Rectangle(p.Box.InsideMM[0], p.Box.InsideMM[1])
	}
	in.Side = besideFillers(in.Side, p.Box.Fillers)
	if st := p.Stand; st.StemMM > 0 {
		spout := st.SpoutMM
		at := func(row int) float64 {
			r := st.Rotation[row]
			return r[0]*spout[0] + r[1]*spout[1] + r[2]*spout[2] + st.TranslationMM[row]
		}
		in.Stem = &thick.Stem{X: at(0), Y: at(1), DiameterMM: st.SpoutDiameterMM, LengthMM: st.StemMM}
	}
	return in
}

// besideFillers lets a distance to the walls end at fillers as well.
func besideFillers(side func(r3.Vec) float64, fillers []analysis.Filler) func(r3.Vec) float64 {
	var all []moldbox.Filler
	for _, f := range fillers {
		one := moldbox.Filler{Kind: f.Kind, HeightMM: f.HeightMM}
		for _, q := range f.FootMM {
			one.Foot = append(one.Foot, r2.Vec{X: q[0], Y: q[1]})
		}
		all = append(all, one)
	}
	return func(p r3.Vec) float64 {
		least := side(p)
		for _, f := range all {
			least = min(least, f.DistanceMM(p))
		}
		return least
	}
}

// longestEdge is how long the edges of a surface may be for values at its corners
// to tell of the places between, mm.
func longestEdge(m *mesh.Mesh) float64 {
	const across = 90 // edges
	b := m.Bounds()
	return r3.Norm(r3.Sub(b.Max, b.Min)) / across
}

// divided is the same surface with no edge longer than a length: longer ones are
// halved, time and again, and the faces beside them with them.
func divided(m *mesh.Mesh, longest float64) *mesh.Mesh {
	const mostVertices = 200_000
	for len(m.Vertices) < mostVertices {
		middle := map[[2]int32]int32{}
		out := &mesh.Mesh{Vertices: m.Vertices[:len(m.Vertices):len(m.Vertices)]}
		for _, t := range m.Faces {
			var mid [3]int32 // on the edge from corner k to the next, or −1
			for k := range t {
				mid[k] = halved(out, middle, t[k], t[(k+1)%3], longest)
			}
			out.Faces = append(out.Faces, piecesOf(t, mid, out)...)
		}
		if len(middle) == 0 {
			return m
		}
		m = out
	}
	return m
}

// halved is the vertex in the middle of an edge that is too long, −1 for one that
// is not.
func halved(m *mesh.Mesh, middle map[[2]int32]int32, a, b int32, longest float64) int32 {
	p, q := m.Vertices[a], m.Vertices[b]
	if r3.Norm(r3.Sub(q, p)) <= longest {
		return -1
	}
	key := [2]int32{min(a, b), max(a, b)}
	v, known := middle[key]
	if !known {
		v = int32(len(m.Vertices))
		middle[key] = v
		m.Vertices = append(m.Vertices, r3.Scale(0.5, r3.Add(p, q)))
	}
	return v
}

// piecesOf cuts a face at the middles of its edges.
func piecesOf(t, mid [3]int32, m *mesh.Mesh) [][3]int32 {
	n, k := 0, 0
	for i, v := range mid {
		if v >= 0 {
			n, k = n+1, i
		}
	}
	switch n {
	case 0:
		return [][3]int32{t}
	case 1:
		a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
		return [][3]int32{{a, mid[k], c}, {mid[k], b, c}}
	case 2:
		for mid[k] >= 0 { // the edge that stays whole leads from b to c
			k = (k + 1) % 3
		}
		b, c, a := t[k], t[(k+1)%3], t[(k+2)%3]
		ca, ab := mid[(k+1)%3], mid[(k+2)%3]
		if far := func(i, j int32) float64 { return r3.Norm(r3.Sub(m.Vertices[i], m.Vertices[j])) }; far(ab, c) < far(b, ca) {
			return [][3]int32{{a, ab, ca}, {ab, c, ca}, {ab, b, c}}
		}
		return [][3]int32{{a, ab, ca}, {ab, b, ca}, {b, c, ca}}
	}
	return [][3]int32{{t[0], mid[0], mid[2]}, {mid[0], t[1], mid[1]}, {mid[2], mid[1], t[2]}, {mid[0], mid[1], mid[2]}}
}
