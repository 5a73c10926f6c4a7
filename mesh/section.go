package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Loop is one closed line where a plane cuts a mesh. Point i lies on the mesh
// edge Edges[i], at Vertices[e[0]] + T[i]·(Vertices[e[1]] − Vertices[e[0]]).
type Loop struct {
	Points []r3.Vec
	Edges  [][2]int32
	T      []float64
}

// Length returns the length of the loop, mm.
func (l Loop) Length() float64 {
	sum := 0.0
	for i, p := range l.Points {
		sum += r3.Norm(r3.Sub(l.Points[(i+1)%len(l.Points)], p))
	}
	return sum
}

// LoopsArea returns the area inside loops of a plane with that unit normal, mm²:
// holes, which run the other way, count negative.
func LoopsArea(loops []Loop, normal r3.Vec) float64 {
	sum := 0.0
	for _, l := range loops {
		for i, p := range l.Points {
			q := l.Points[(i+1)%len(l.Points)]
			sum += r3.Dot(normal, r3.Cross(r3.Sub(p, l.Points[0]), r3.Sub(q, l.Points[0])))
		}
	}
	return sum / 2
}

// Section returns the loops in which the plane through point, across the unit
// vector normal, cuts the mesh. Seen from the side normal points to, the solid
// is on the left of each loop: outer ones run counter-clockwise, holes
// clockwise. A vertex exactly in the plane counts as just above it, so the loops
// of a closed mesh always close; lines that end at a rim are left out. Loops
// come in the order of their first face.
func (m *Mesh) Section(point, normal r3.Vec) []Loop {
	height := large.Make[float64](len(m.Vertices))
	level := dot(normal, point)
	inParts(len(m.Vertices), func(_, lo, hi int) {
		for v := lo; v < hi; v++ {
			height[v] = dot(normal, m.Vertices[v]) - level
		}
	})
	cuts := m.cutFaces(height)
	// Each crossed edge is left once: by the face on one side of it.
	from := make(map[[2]int32]int32, len(cuts))
	for i, c := range cuts {
		if _, taken := from[c.enter]; !taken {
			from[c.enter] = int32(i)
		}
	}
	var loops []Loop
	used := make([]bool, len(cuts))
	for i := range cuts {
		if used[i] {
			continue
		}
		if l, closed := m.follow(cuts, from, used, int32(i), height); closed && len(l.Points) > 2 {
			loops = append(loops, l)
		}
	}
	return loops
}

// faceCut is one face that the plane crosses: the line goes in over one edge
// and out over another. Edges have the smaller vertex first.
type faceCut struct{ enter, leave [2]int32 }

func (m *Mesh) cutFaces(height []float64) []faceCut {
	parts := make([][]faceCut, partsFor(len(m.Faces)))
	inParts(len(m.Faces), func(part, lo, hi int) {
		for f := lo; f < hi; f++ {
			t := m.Faces[f]
			a, b, c := height[t[0]] >= 0, height[t[1]] >= 0, height[t[2]] >= 0
			if a == b && b == c {
				continue
			}
			var cut faceCut
			for i, up := range [3][2]bool{{a, b}, {b, c}, {c, a}} {
				switch edge := ordered(t[i], t[(i+1)%3]); {
				case up[0] && !up[1]:
					cut.enter = edge
				case up[1] && !up[0]:
					cut.leave = edge
				}
			}
			parts[part] = append(parts[part], cut)
		}
	})
	var all []faceCut
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

func ordered(a, b int32) [2]int32 {
	if a > b {
		a, b = b, a
	}
	return [2]int32{a, b}
}

// follow walks from cut to cut until it is back.
func (m *Mesh) follow(cuts []faceCut, from map[[2]int32]int32, used []bool, first int32, height []float64) (Loop, bool) {
	var l Loop
	for i := first; !used[i]; {
		used[i] = true
		e := cuts[i].enter
		t := height[e[0]] / (height[e[0]] - height[e[1]])
		a, b := m.Vertices[e[0]], m.Vertices[e[1]]
		l.Points = append(l.Points, r3.Add(a, r3.Scale(t, r3.Sub(b, a))))
		l.Edges = append(l.Edges, e)
		l.T = append(l.T, t)
		if cuts[i].leave == cuts[first].enter {
			return l, true
		}
		next, found := from[cuts[i].leave]
		if !found {
			return l, false
		}
		i = next
	}
	return l, false
}
