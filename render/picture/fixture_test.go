package picture

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/analysis"
	"pourwright/mesh"
	"pourwright/mesh/meshtest"
	"pourwright/render/say"
)

// job is a made-up plan for a mesh that stands as it is given.
type job struct {
	name      string
	clearance float64
	stem      float64
	spout     float64
	turn      float64 // of the parting plane's normal from −y, degrees
	vents     int
}

// planned poses a mesh on the board in the middle of a box and makes a plan of
// it. Figures that the picture only prints are invented.
func planned(t testing.TB, m *mesh.Mesh, j job) (*mesh.Mesh, *analysis.Plan) {
	t.Helper()
	b := m.Bounds()
	mid := r3.Scale(0.5, r3.Add(b.Min, b.Max))
	m = m.Posed(mesh.Pose{Rows: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, T: r3.Vec{X: -mid.X, Y: -mid.Y, Z: j.stem - b.Min.Z}})
	size := r3.Sub(b.Max, b.Min)
	level := j.stem + size.Z + j.clearance*1.2
	p := &analysis.Plan{Name: j.name}
	p.Box = analysis.Box{
		Shape: "rectangle", InsideMM: [3]float64{size.X + 2*j.clearance, size.Y + 2*j.clearance, level},
		RubberLevelMM: level, WallHeightMM: level + 0.6*j.clearance,
	}
	p.Stand = analysis.Stand{
		SpoutDiameterMM: j.spout, StemMM: j.stem, HeightMM: size.Z,
		Rotation: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	}
	foot := footOf(m)
	p.Stand.SpoutMM = [3]float64{foot.X, foot.Y, j.stem}
	p.Rubber = analysis.Rubber{MaterialName: "tin-cure silicone, 30 A", MassG: size.X * size.Y * size.Z * 1.4e-3}
	sin, cos := math.Sincos((j.turn - 90) * math.Pi / 180)
	n := r3.Vec{X: cos, Y: sin}
	p.Cut = analysis.Cut{PointMM: [3]float64{foot.X, foot.Y, 0}, Normal: [3]float64{n.X, n.Y, 0}}
	for _, loop := range m.Section(foot, n) {
		var line [][3]float64
		for _, q := range loop.Points {
			line = append(line, [3]float64{q.X, q.Y, q.Z})
		}
		p.Cut.Outline = append(p.Cut.Outline, line)
	}
	p.CastTrap = trapsOn(m, j)
	return m, p
}

// footOf is the middle of what is near the board.
func footOf(m *mesh.Mesh) r3.Vec {
	b := m.Bounds()
	var sum r3.Vec
	var n float64
	for _, v := range m.Vertices {
		if v.Z < b.Min.Z+0.02*(b.Max.Z-b.Min.Z) {
			sum, n = r3.Add(sum, v), n+1
		}
	}
	foot := r3.Scale(1/n, sum)
	foot.Z = b.Min.Z
	return foot
}

// trapsOn puts posts under places of the surface that face the board, spread
// around the pattern.
func trapsOn(m *mesh.Mesh, j job) []analysis.Trap {
	var traps []analysis.Trap
	b := m.Bounds()
	for i := range j.vents {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(j.vents) + 0.3)
		best, most := r3.Vec{}, math.Inf(-1)
		for _, v := range m.Vertices {
			if v.Z < b.Min.Z+0.15*(b.Max.Z-b.Min.Z) {
				continue
			}
			if d := v.X*cos + v.Y*sin; d > most {
				best, most = v, d
			}
		}
		at := [3]float64{best.X, best.Y, best.Z}
		traps = append(traps, analysis.Trap{AtMM: at, Vent: &analysis.Vent{
			FromMM: at, ToMM: [3]float64{best.X, best.Y, 0}, DiameterMM: 0.015 * r3.Norm(r3.Sub(b.Max, b.Min)),
		}})
	}
	return traps
}

// vase is a turned shape with a foot, a belly, a neck and a lip, high and wide
// in mm, with sides facets.
func vase(wide, high float64, sides int) *mesh.Mesh {
	shape := []r2.Vec{{X: 0, Y: 0}, {X: 0.55, Y: 0}, {X: 0.5, Y: 0.06}, {X: 0.62, Y: 0.16}, {X: 0.9, Y: 0.32}, {X: 1, Y: 0.45},
		{X: 0.92, Y: 0.6}, {X: 0.6, Y: 0.74}, {X: 0.36, Y: 0.84}, {X: 0.4, Y: 0.93}, {X: 0.56, Y: 1}, {X: 0, Y: 1}}
	var profile []r2.Vec
	steps := max(sides/12, 1)
	for i := 1; i < len(shape); i++ {
		for k := range steps {
			a, b, t := shape[i-1], shape[i], float64(k)/float64(steps)
			profile = append(profile, r2.Vec{X: (a.X + t*(b.X-a.X)) * wide / 2, Y: (a.Y + t*(b.Y-a.Y)) * high})
		}
	}
	profile = append(profile, r2.Vec{Y: high})
	return meshtest.Lathe(profile, sides)
}

func worded() wording { return wordedBy(say.Both) }
