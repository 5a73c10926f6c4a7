package picture

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/render/say"
)

// heatScene is a pattern to be drawn in the colours of values at its vertices, moved
// so that the middle of its box is the origin.
type heatScene struct {
	worth     // the scale and the size
	plan      *analysis.Plan
	score     []float32 // 0 to 1; NaN has no colour
	pose      mesh.Pose // from the scan's frame
	spout     heatSpout
	marks     []ballMark
	cams      [2]camera
	names     [2]string
	caption   string
	views     rect    // room for the views, the scale below them
	sizeRight float64 // where the words below the views end at the latest
	border    float64 // px left around the pattern
	keyAt     point   // of the key's first row
	rows      []entry // of the key
}

// heatSpout is where the casting material will go in.
type heatSpout struct {
	middle r3.Vec  // on the pattern
	radius float64 // 0: none
	stem   float64 // down to the board
}

// drawnHeat is a finished picture with where everything went.
type drawnHeat struct {
	canvas *canvas
	page   page
	views  [2]worthView
}

// newHeatScene takes a pattern in the stand frame and the spout of its plan.
func newHeatScene(m *mesh.Mesh, p *analysis.Plan, score []float32, show say.Style) *heatScene {
	s := &heatScene{plan: p, score: score}
	s.words = wordedBy(show)
	s.frame = m.Bounds()
	s.size = across(s.frame)
	s.middle = r3.Scale(0.5, r3.Add(s.frame.Min, s.frame.Max))
	s.scan = s.centred(m)
	r := p.Stand.Rotation
	s.pose = mesh.Pose{Rows: [3]r3.Vec{vec(r[0]), vec(r[1]), vec(r[2])}, T: r3.Sub(vec(p.Stand.TranslationMM), s.middle)}
	s.setSpout(s.pose.Point(vec(p.Stand.SpoutMM)))
	s.frame.Min, s.frame.Max = r3.Sub(s.frame.Min, s.middle), r3.Sub(s.frame.Max, s.middle)
	return s
}

// lookAt chooses the views; weight says how much a place of some score is worth
// seeing.
func (s *heatScene) lookAt(weight func(score float64) float64) {
	s.cams, s.names = s.heatCorners(weight)
	for i, cam := range s.cams {
		s.seen[i] = s.seenIn(cam)
		for _, q := range s.spoutEnds() {
			at := cam.at(q)
			s.seen[i] = s.seen[i].with(rect{at.X, at.Y, at.X, at.Y})
		}
	}
}

// setSpout takes the middle of the spout on the pattern.
func (s *heatScene) setSpout(middle r3.Vec) {
	box := r3.Sub(s.frame.Max, s.frame.Min)
	radius := math.Min(s.plan.Stand.SpoutDiameterMM, math.Max(box.X, box.Y)) / 2
	if !(radius > 0) {
		return
	}
	s.spout = heatSpout{middle, radius, math.Max(s.plan.Stand.StemMM, 0)}
}

// spoutEnds are places of the spout and its stem that the views must hold.
func (s *heatScene) spoutEnds() (ends []r3.Vec) {
	if s.spout.radius > 0 {
		ends = append(circle(s.spout.middle, s.spout.radius), circle(r3.Sub(s.spout.middle, r3.Vec{Z: s.spout.stem}), s.spout.radius)...)
	}
	return ends
}

// title of the page.
func (s *heatScene) title() string {
	if name := strings.TrimSpace(readable(s.plan.Name)); name != "" {
		return name
	}
	return "Block mold"
}
