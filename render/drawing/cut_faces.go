package drawing

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
)

// blockFace is one of the flat faces of the block, or the wall of a round one. Its own
// u runs to the right and v up, as it is seen from outside; the lower face is seen
// with the front above.
type blockFace struct {
	name    string
	foot    [2][2]float64 // of a wall: its lower edge, from left to right
	radius  float64       // of a round wall
	levelMM float64       // of the upper face; of a wall its height
	kind    faceKind
}

type faceKind int

const (
	flatWall faceKind = iota
	roundWall
	upperFace
	lowerFace
)

// facesOf lists the faces of the block, walls first.
func facesOf(p *analysis.Plan) []blockFace {
	level := p.Box.RubberLevelMM
	var all []blockFace
	if r := p.Box.RadiusMM; r != nil {
		all = append(all, blockFace{name: "wall", radius: *r, levelMM: level, kind: roundWall})
	} else {
		outline := p.Box.OutlineMM
		for i, a := range outline {
			b := outline[(i+1)%len(outline)]
			name := "facet " + strconv.Itoa(i+1)
			if p.Box.Shape != "faceted" {
				name = wallTitle(b[1]-a[1], a[0]-b[0])
			}
			all = append(all, blockFace{name: name, foot: [2][2]float64{a, b}, levelMM: level, kind: flatWall})
		}
	}
	return append(all, blockFace{name: "top", levelMM: level, kind: upperFace}, blockFace{name: "spout end", kind: lowerFace})
}

// wallTitle names a wall by which way it faces.
func wallTitle(x, y float64) string {
	switch {
	case math.Abs(x) > math.Abs(y) && x < 0:
		return "left end"
	case math.Abs(x) > math.Abs(y):
		return "right end"
	case y < 0:
		return "front side"
	}
	return "back side"
}

// title is the name with what the face was while the rubber was poured.
func (b blockFace) title() string {
	switch b.kind {
	case upperFace:
		return "top (as poured)"
	case lowerFace:
		return "spout end (on the board)"
	}
	return b.name
}

// off is how far a point is from a face.
func (b blockFace) off(p r3.Vec) float64 {
	switch b.kind {
	case roundWall:
		return math.Abs(math.Hypot(p.X, p.Y) - b.radius)
	case upperFace, lowerFace:
		return math.Abs(p.Z - b.levelMM)
	}
	dx, dy, long := b.run()
	if long == 0 {
		return math.Inf(1)
	}
	return math.Abs(dx*(p.Y-b.foot[0][1])-dy*(p.X-b.foot[0][0])) / long
}

// run is where the lower edge of a flat wall leads, and how long it is.
func (b blockFace) run() (dx, dy, long float64) {
	dx, dy = b.foot[1][0]-b.foot[0][0], b.foot[1][1]-b.foot[0][1]
	return dx, dy, math.Hypot(dx, dy)
}

// on is where a point lies on a face. Round a tube u runs from the middle of the
// front, over half the way round either side.
func (b blockFace) on(at [3]float64) Point {
	p := vec(at)
	switch b.kind {
	case roundWall:
		return Point{b.radius * math.Atan2(p.X, -p.Y), p.Z}
	case upperFace:
		return Point{p.X, p.Y}
	case lowerFace:
		return Point{p.X, -p.Y}
	}
	dx, dy, long := b.run()
	return Point{(dx*(p.X-b.foot[0][0]) + dy*(p.Y-b.foot[0][1])) / long, p.Z}
}

// entry is the line that the cut enters a face along.
type entry struct {
	face   int
	points [][3]float64
}

// entries parts a line on the outside of the block by the faces that it runs over, in
// its order, each part up to the edge that it shares with the next.
func entries(faces []blockFace, line [][3]float64, closed bool) []entry {
	if closed {
		line = startAtEdge(faces, line)
	}
	var all []entry
	for i := 1; i < len(line); i++ {
		on := faceOf(faces, vec(line[i-1]), vec(line[i]))
		if len(all) == 0 || all[len(all)-1].face != on {
			all = append(all, entry{on, [][3]float64{line[i-1]}})
		}
		e := &all[len(all)-1]
		e.points = append(e.points, line[i])
	}
	return all
}

// startAtEdge opens a closed line where it passes from one face to another; its last
// point is its first again.
func startAtEdge(faces []blockFace, line [][3]float64) [][3]float64 {
	n, first := len(line), 0
	on := func(i int) int { return faceOf(faces, vec(line[i%n]), vec(line[(i+1)%n])) }
	for first < n-1 && on(first) == on(first+n-1) {
		first++
	}
	all := slices.Concat(line[first:], line[:first])
	return append(all, all[0])
}

// faceOf is the face that a line from a to b runs over.
func faceOf(faces []blockFace, a, b r3.Vec) int {
	best, at := math.Inf(1), 0
	middle := r3.Scale(0.5, r3.Add(a, b)) // both ends of a line across the top lie on walls too
	for i, f := range faces {
		if off := max(f.off(a), f.off(b), f.off(middle)); off < best-1e-6 {
			best, at = off, i
		}
	}
	return at
}
