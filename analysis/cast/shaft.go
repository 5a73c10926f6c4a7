package cast

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

// surroundings is the part of a mesh around a place.
type surroundings struct {
	*mesh.Mesh
	tree   *mesh.Tree
	centre r3.Vec
	radius float64 // mm; the faces within it are all there
	whole  bool    // nothing was left out
}

// around returns what of m is within radius of a centre. longest is at least the
// length of m's longest edge.
func around(m *mesh.Mesh, centre r3.Vec, radius, longest float64) *surroundings {
	s := &surroundings{Mesh: &mesh.Mesh{}, centre: centre, radius: radius}
	number := make([]int32, len(m.Vertices)) // in s, from 1
	far := (radius + longest) * (radius + longest)
	for f := range m.Faces {
		if r3.Norm2(r3.Sub(m.Vertices[m.Faces[f][0]], centre)) > far {
			continue
		}
		a, b, c := m.Corners(f)
		box := mesh.BoundsOf([]r3.Vec{a, b, c})
		nearest := r3.Vec{X: within(centre.X, box.Min.X, box.Max.X), Y: within(centre.Y, box.Min.Y, box.Max.Y), Z: within(centre.Z, box.Min.Z, box.Max.Z)}
		if r3.Norm2(r3.Sub(nearest, centre)) > radius*radius {
			continue
		}
		var t [3]int32
		for i, v := range m.Faces[f] {
			if number[v] == 0 {
				s.Vertices = append(s.Vertices, m.Vertices[v])
				number[v] = int32(len(s.Vertices))
			}
			t[i] = number[v] - 1
		}
		s.Faces = append(s.Faces, t)
	}
	s.whole = len(s.Faces) == len(m.Faces)
	s.tree = mesh.NewTree(s.Mesh)
	return s
}

func within(x, lo, hi float64) float64 { return min(max(x, lo), hi) }

// clearance returns the distance of p from the surface, and whether it is known.
func (s *surroundings) clearance(p r3.Vec) (mm float64, known bool) {
	hit, ok := s.tree.Closest(p, math.Inf(1))
	return hit.Distance, ok && (s.whole || hit.Distance <= s.radius-r3.Norm(r3.Sub(p, s.centre)))
}

// shaft is the line of most clearance through a passage.
type shaft struct {
	points []r3.Vec
	radius []float64 // clearance at the points, mm
}

const (
	// narrowTo is how much wider than its narrowest place a passage gets before
	// it ends.
	narrowTo = 1.25
	// evenTo is how much wider its narrowest stretch may get: more than noise of
	// the scan and chords of the mesh make of an even one.
	evenTo = 1.03
	// strides is how many steps go into the clearance along a shaft.
	strides = 4
	// mostStrides is where a shaft is given up, either way.
	mostStrides = 2000
)

// dig follows a passage both ways from a place, starting along the unit vector
// axis, until it has widened. It fails where the surroundings end before.
func (s *surroundings) dig(from, axis r3.Vec) (shaft, bool) {
	start, r, ok := s.centred(from, axis, followEnd)
	if !ok {
		return shaft{}, false
	}
	least := r
	back, ok1 := s.follow(start, r3.Scale(-1, axis), r, &least)
	ahead, ok2 := s.follow(start, axis, r, &least)
	if !ok1 || !ok2 {
		return shaft{}, false
	}
	var all shaft
	for i := len(back.points) - 1; i >= 0; i-- {
		all.points, all.radius = append(all.points, back.points[i]), append(all.radius, back.radius[i])
	}
	all.points, all.radius = append(all.points, start), append(all.radius, r)
	all.points, all.radius = append(all.points, ahead.points...), append(all.radius, ahead.radius...)
	for i, r := range all.radius {
		if r <= evenTo*least {
			all.points[i], all.radius[i], _ = s.centred(all.points[i], all.axis(i), searchEnd)
		}
	}
	return all, true
}

// follow goes one way until the passage is narrowTo times wider than where it was
// least; that place is least's from then on.
func (s *surroundings) follow(at, axis r3.Vec, r float64, least *float64) (shaft, bool) {
	var line shaft
	for range mostStrides {
		next, wider, ok := s.centred(r3.Add(at, r3.Scale(r/strides, axis)), axis, followEnd)
		if !ok {
			return line, false
		}
		step := r3.Sub(next, at)
		if l := r3.Norm(step); l > 0 {
			axis = r3.Scale(1/l, step)
		}
		at, r = next, wider
		*least = min(*least, r)
		line.points, line.radius = append(line.points, at), append(line.radius, r)
		if r > narrowTo**least {
			return line, true
		}
	}
	return line, true
}

const (
	// searchStep is the first step of a search for the middle, as a share of the
	// clearance, searchEnd the last and followEnd that along the way.
	searchStep, searchEnd, followEnd = 0.2, 5e-4, 5e-3
	// leastGain is what a step must gain, as a share of it, so that the search
	// does not wander along where all places are equally good.
	leastGain = 0.02
	headings  = 8
)

// centred returns the place of most clearance near from in the plane across axis,
// to steps of a share end of it.
func (s *surroundings) centred(from, axis r3.Vec, end float64) (at r3.Vec, r float64, known bool) {
	return clearing(s.clearance).centred(from, axis, end)
}

// clearing is the clearance of places, and whether it is known.
type clearing func(p r3.Vec) (mm float64, known bool)

func (clearance clearing) centred(from, axis r3.Vec, end float64) (at r3.Vec, r float64, known bool) {
	x, y := mesh.Frame(axis)
	var ways [headings]r3.Vec
	for i := range ways {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / headings)
		ways[i] = r3.Add(r3.Scale(cos, x), r3.Scale(sin, y))
	}
	at = from
	r, known = clearance(at)
	wander := r
	for step := searchStep * r; step > end*r && known; {
		best, most := at, r
		for _, w := range ways {
			p := r3.Add(at, r3.Scale(step, w))
			c, ok := clearance(p)
			known = known && ok
			if c > most+leastGain*step && r3.Norm(r3.Sub(p, from)) <= wander {
				best, most = p, c
			}
		}
		if most == r {
			step /= 2
		}
		at, r = best, most
	}
	return at, r, known
}

// narrowest returns the middle of the narrowest stretch of a shaft, its direction,
// its radius and how long the shaft stays narrow around it.
func (l shaft) narrowest() (at, along r3.Vec, radius, length float64) {
	least := 0
	for i, r := range l.radius {
		if r < l.radius[least] {
			least = i
		}
	}
	radius = l.radius[least]
	arc := make([]float64, len(l.points))
	for i := 1; i < len(arc); i++ {
		arc[i] = arc[i-1] + r3.Norm(r3.Sub(l.points[i], l.points[i-1]))
	}
	from, to := l.stretch(arc, least, evenTo*radius)
	middle := (from + to) / 2
	from, to = l.stretch(arc, least, narrowTo*radius)
	half := min(radius, (to-from)/2)
	ahead, behind := l.place(arc, min(middle+half, to)), l.place(arc, max(middle-half, from))
	along = r3.Sub(ahead, behind)
	return l.place(arc, middle), r3.Scale(1/r3.Norm(along), along), radius, to - from
}

// stretch returns from where to where along the shaft, around one of its points,
// the radius is at most limit.
func (l shaft) stretch(arc []float64, around int, limit float64) (from, to float64) {
	end := func(step int) float64 {
		i := around
		for i+step >= 0 && i+step < len(arc) && l.radius[i+step] <= limit {
			i += step
		}
		if i+step < 0 || i+step == len(arc) {
			return arc[i]
		}
		t := (limit - l.radius[i]) / (l.radius[i+step] - l.radius[i])
		return arc[i] + t*(arc[i+step]-arc[i])
	}
	return end(-1), end(1)
}

// place returns the point of the shaft at an arc length.
func (l shaft) place(arc []float64, at float64) r3.Vec {
	i := 0
	for i+2 < len(arc) && arc[i+1] < at {
		i++
	}
	t := (at - arc[i]) / (arc[i+1] - arc[i])
	return r3.Add(l.points[i], r3.Scale(within(t, 0, 1), r3.Sub(l.points[i+1], l.points[i])))
}
