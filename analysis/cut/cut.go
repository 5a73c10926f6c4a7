// Package cut answers "where to open the block?".
//
// Vertical planes through the spout's axis are tried all round. Each is judged
// by the detail its outline crosses, by the undercut it leaves on both sides,
// and by how near to the middle of the pattern it passes.
package cut

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
)

const (
	planes         = 60     // one every 3°
	screenVertices = 15_000 // of the coarse mesh that undercut is compared on
	screenLines    = 48     // per side of the picture that undercut is summed over
	fullLines      = 160
)

// Input is what the choice depends on; the pattern is in the stand frame.
type Input struct {
	Axis      r3.Vec    // a point of the spout's axis, which is vertical
	Centroid  r3.Vec    // of the pattern
	Detail    []float32 // score of each vertex, 0–1
	VolumeMM3 float64   // of the pattern
	AreaMM2   float64   // of the pattern
	Progress  func(done, total int64)
}

// Plane is one vertical plane through the spout's axis.
type Plane struct {
	Point         r3.Vec
	Normal        r3.Vec // unit, horizontal
	Outline       []mesh.Loop
	OutlineMM     float64    // length of all loops
	SectionMM2    float64    // area of the pattern in the plane
	DetailCrossed float64    // mean detail along the outline, 0–1
	UndercutMM3   [2]float64 // rubber behind the pattern on the −normal, +normal side
	Middle        float64    // 1 through the centroid, 0 where the pattern ends on that side
	Score         float64
}

// Result is the best plane and how it compares.
type Result struct {
	Plane
	Searched int
	Why      string
}

// Choose tries the planes and returns the best.
func Choose(ctx context.Context, s *mesh.Solid, in Input) (Result, error) {
	if len(in.Detail) != len(s.Vertices) {
		return Result{}, errors.New("detail and vertices do not match")
	}
	coarse := coarser(s.Mesh, in.AreaMM2)
	tried := make([]Plane, planes)
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				sin, cos := math.Sincos(math.Pi * float64(i) / planes)
				tried[i] = look(s.Mesh, in, r3.Vec{X: cos, Y: sin})
				tried[i].UndercutMM3 = Undercut(coarse, in.Axis, tried[i].Normal, screenLines)
			}
		})
	}
	for i := range tried {
		if ctx.Err() != nil {
			break
		}
		if in.Progress != nil {
			in.Progress(int64(i), planes)
		}
		next <- i
	}
	close(next)
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	best, worst := pick(tried, in.VolumeMM3)
	best.UndercutMM3 = Undercut(s.Mesh, in.Axis, best.Normal, fullLines)
	worst.UndercutMM3 = Undercut(s.Mesh, in.Axis, worst.Normal, fullLines)
	return Result{Plane: best, Searched: planes, Why: why(best, worst, in.VolumeMM3)}, nil
}

func coarser(m *mesh.Mesh, area float64) *mesh.Mesh {
	if len(m.Vertices) <= screenVertices {
		return m
	}
	coarse, _ := m.Clustered(math.Sqrt(area / screenVertices))
	return coarse
}

// look measures all of a plane but its undercut.
func look(m *mesh.Mesh, in Input, normal r3.Vec) Plane {
	p := Plane{Point: in.Axis, Normal: normal, Outline: m.Section(in.Axis, normal)}
	crossed := 0.0
	for _, l := range p.Outline {
		p.OutlineMM += l.Length()
		crossed += crossedDetail(l, in.Detail)
	}
	p.SectionMM2 = mesh.LoopsArea(p.Outline, normal)
	if p.OutlineMM > 0 {
		p.DetailCrossed = crossed / p.OutlineMM
	}
	p.Middle = middle(m, normal, in.Axis, in.Centroid)
	return p
}

// middle tells how near to the centroid the plane passes, as a share of the way
// from the centroid to the pattern's end on the plane's side.
func middle(m *mesh.Mesh, normal, point, centroid r3.Vec) float64 {
	off := r3.Dot(normal, r3.Sub(point, centroid))
	if off < 0 {
		normal, off = r3.Scale(-1, normal), -off
	}
	far := 0.0
	for _, p := range m.Vertices {
		far = max(far, r3.Dot(normal, r3.Sub(p, centroid)))
	}
	return max(0, 1-off/far)
}

// crossedDetail integrates the detail along a loop by its length.
func crossedDetail(l mesh.Loop, detail []float32) float64 {
	at := func(i int) float64 {
		e := l.Edges[i]
		return float64(detail[e[0]])*(1-l.T[i]) + float64(detail[e[1]])*l.T[i]
	}
	sum := 0.0
	for i := range l.Points {
		j := (i + 1) % len(l.Points)
		sum += r3.Norm(r3.Sub(l.Points[j], l.Points[i])) * (at(i) + at(j)) / 2
	}
	return sum
}

// Undercut returns the volume (mm³) of rubber that lies behind some of the
// pattern when each half of the block is drawn straight off the plane: the −
// and the + side. Along a line across the plane it is the length from the plane
// to the last exit, less what is inside the pattern. Lines are laid on a grid of
// n to the longer side.
func Undercut(m *mesh.Mesh, point, normal r3.Vec, n int) [2]float64 {
	lines := mesh.NewLines(m, normal)
	x, y := mesh.Frame(normal)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range m.Vertices {
		u, v := r3.Dot(x, p), r3.Dot(y, p)
		lo[0], hi[0] = min(lo[0], u), max(hi[0], u)
		lo[1], hi[1] = min(lo[1], v), max(hi[1], v)
	}
	step := max(hi[0]-lo[0], hi[1]-lo[1]) / float64(n)
	var sum [2]float64
	var crossings []mesh.Crossing
	plane := r3.Dot(normal, point)
	for v := lo[1] + step/2; v < hi[1]; v += step {
		for u := lo[0] + step/2; u < hi[0]; u += step {
			crossings = lines.Through(r3.Add(r3.Scale(u, x), r3.Scale(v, y)), crossings[:0])
			below, above := behind(crossings, plane)
			sum[0] += below
			sum[1] += above
		}
	}
	cell := step * step
	return [2]float64{sum[0] * cell, sum[1] * cell}
}

// behind returns the length of rubber behind the pattern below and above the
// plane along one line.
func behind(crossings []mesh.Crossing, plane float64) (below, above float64) {
	if len(crossings) == 0 {
		return 0, 0
	}
	below = max(0, plane-crossings[0].Height)
	above = max(0, crossings[len(crossings)-1].Height-plane)
	for i := 0; i+1 < len(crossings); i++ {
		a, b := crossings[i], crossings[i+1]
		if a.Leaves || !b.Leaves {
			continue
		}
		below -= max(0, min(b.Height, plane)-a.Height)
		above -= max(0, b.Height-max(a.Height, plane))
	}
	return max(0, below), max(0, above)
}

// Weights of the criteria (common practice, no source).
const detailWeight, undercutWeight, middleWeight = 3, 2, 2

// pick scores the planes and returns the best and the worst. Undercut counts
// against the least that any plane leaves.
func pick(tried []Plane, volume float64) (best, worst Plane) {
	least := math.Inf(1)
	for _, p := range tried {
		least = min(least, p.undercut())
	}
	slack := 0.05 * volume // undercut that does not matter
	bi, wi := 0, 0
	for i := range tried {
		p := &tried[i]
		undercut := (least + slack) / (p.undercut() + slack)
		p.Score = (detailWeight*(1-p.DetailCrossed) + undercutWeight*undercut + middleWeight*p.Middle) /
			(detailWeight + undercutWeight + middleWeight)
		if p.Score > tried[bi].Score+1e-9 {
			bi = i
		}
		if p.Score < tried[wi].Score {
			wi = i
		}
	}
	return tried[bi], tried[wi]
}

func (p Plane) undercut() float64 { return p.UndercutMM3[0] + p.UndercutMM3[1] }

// why compares the best plane with the worst, in plain words without lengths.
func why(best, worst Plane, volume float64) string {
	share := func(p Plane) float64 { return 100 * p.undercut() / volume }
	text := fmt.Sprintf("Of %d planes through the spout, this outline crosses %s",
		planes, detailWords(best.DetailCrossed))
	if worst.DetailCrossed > best.DetailCrossed+0.02 {
		text += fmt.Sprintf(" (mean detail %.0f of 100 along it; the worst plane has %.0f)",
			100*best.DetailCrossed, 100*worst.DetailCrossed)
	}
	text += " and leaves " + undercutWords(share(best))
	if share(worst) > share(best)+5 {
		text += fmt.Sprintf(" (rubber that hooks behind the pattern: %s its volume; the worst plane has %s)",
			times(share(best)/100), times(share(worst)/100))
	}
	return text + "."
}

// times writes how many times the pattern's volume something is.
func times(x float64) string {
	if x < 0.01 {
		return "under 0.01 times"
	}
	return fmt.Sprintf("%.2g times", x)
}

func detailWords(d float64) string {
	switch {
	case d < 0.08:
		return "hardly any detail"
	case d < 0.25:
		return "little detail"
	default:
		return "detail that no better plane avoids"
	}
}

func undercutWords(percent float64) string {
	switch {
	case percent < 5:
		return "hardly any undercut"
	case percent < 40:
		return "some undercut, which the rubber can give way to"
	default:
		return "deep undercut: expect to flex the rubber well open"
	}
}
