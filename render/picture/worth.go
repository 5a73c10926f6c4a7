package picture

import (
	"context"
	"errors"
	"image"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/render/say"
)

// WorthInput is a scan as it arrived and what was found out about it.
type WorthInput struct {
	Mesh     *mesh.Mesh     // mm, scan frame, as read: it may be open, turned or broken
	Verdict  string         // what stands before its first colon becomes the heading
	Sound    bool           // nothing is wrong with it but what Problems lists
	Problems []mesh.Problem // numbered in this order
	Crossed  *mesh.Mesh     // the faces that cut through others, in the same frame; nil for none
	Patches  *mesh.Mesh     // the faces that mending added, in the same frame; nil for none
	Dropped  *mesh.Mesh     // the faces that mending left out, such as a table; nil for none
	Show     say.Style      // of quantities
}

// Worth draws a scan from two opposite corners with its problems marked. The
// same input gives the same pixels.
func Worth(ctx context.Context, in WorthInput) (*image.NRGBA, error) {
	d, err := drawWorth(ctx, in)
	if err != nil {
		return nil, err
	}
	return d.canvas.picture(), nil
}

// worth is a scan to be drawn. Its meshes are moved so that the middle of frame
// is the origin, and have nothing but faces with three places.
type worth struct {
	in      WorthInput
	words   wording
	scan    *mesh.Mesh
	crossed *mesh.Mesh
	patches *mesh.Mesh
	dropped *mesh.Mesh
	scraps  []scrap // of dropped, the largest first
	frame   r3.Box  // of what the picture is made to hold
	size    float64 // its diagonal; 0 when there is nothing to draw
	middle  r3.Vec  // of frame, in the scan frame
	seen    [2]rect // the room that it takes in each view at 1 px to the mm
	strays  strays
	rims    rims
}

// drawnWorth is a finished picture with where everything went.
type drawnWorth struct {
	canvas *canvas
	page   page
	views  [2]worthView
}

func drawWorth(ctx context.Context, in WorthInput) (*drawnWorth, error) {
	if in.Mesh == nil {
		return nil, errors.New("there is no scan to draw")
	}
	w := newWorth(in)
	c := newCanvas()
	d := &drawnWorth{canvas: c, page: w.page(c.letters)}
	c.drawVerdict(d.page)
	if w.size == 0 {
		c.drawNothing(d.page)
	} else if err := w.drawViews(ctx, d); err != nil {
		return nil, err
	}
	c.drawKey(d.page)
	c.drawProblems(d.page)
	return d, ctx.Err()
}

func newWorth(in WorthInput) *worth {
	w := &worth{in: in, words: wordedBy(in.Show), scan: drawable(in.Mesh)}
	w.frame, w.strays = framed(w.scan)
	w.size = r3.Norm(r3.Sub(w.frame.Max, w.frame.Min))
	if w.size == 0 {
		return w
	}
	w.middle = r3.Scale(0.5, r3.Add(w.frame.Min, w.frame.Max))
	w.scan = w.centred(w.scan)
	w.frame.Min, w.frame.Max = r3.Sub(w.frame.Min, w.middle), r3.Sub(w.frame.Max, w.middle)
	w.strays.farthest = r3.Sub(w.strays.farthest, w.middle)
	for i, cam := range corners() {
		w.seen[i] = w.seenIn(cam)
	}
	if in.Crossed != nil {
		w.crossed = w.centred(drawable(in.Crossed))
	}
	if in.Patches != nil {
		w.patches = w.centred(drawable(in.Patches))
	}
	if in.Dropped != nil {
		w.dropped = w.centred(drawable(in.Dropped))
		w.scraps = scrapsOf(w.dropped)
	}
	w.rims = newRims(w.scan.OpenRims(), len(w.scan.Faces))
	return w
}

// centred moves a mesh as the scan is moved.
func (w *worth) centred(m *mesh.Mesh) *mesh.Mesh {
	return m.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Scale(-1, w.middle)})
}

// farOff is the coordinate, in mm, from which on a number is no place: a
// million kilometres. Beyond it areas would overflow.
const farOff = 1e15

func isPlace(p r3.Vec) bool {
	return math.Abs(p.X) < farOff && math.Abs(p.Y) < farOff && math.Abs(p.Z) < farOff // false for NaN
}

// drawable returns the faces whose corners are three places, with only the
// vertices that they use.
func drawable(m *mesh.Mesh) *mesh.Mesh {
	to := make([]int32, len(m.Vertices)) // new number plus one
	out := &mesh.Mesh{Vertices: make([]r3.Vec, 0, min(len(m.Vertices), 3*len(m.Faces))), Faces: make([][3]int32, 0, len(m.Faces))}
	for f, t := range m.Faces {
		if a, b, c := m.Corners(f); !isPlace(a) || !isPlace(b) || !isPlace(c) {
			continue
		}
		for k, v := range t {
			if to[v] == 0 {
				out.Vertices = append(out.Vertices, m.Vertices[v])
				to[v] = int32(len(out.Vertices))
			}
			t[k] = to[v] - 1
		}
		out.Faces = append(out.Faces, t)
	}
	return out
}
