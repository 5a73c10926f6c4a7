package airtrap

import (
	"cmp"
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh"
	"pourwright/mesh/field"
)

// A slow second opinion, on the grid of distances instead of on the mesh: the
// liquid's space is cut into runs, the pieces of the grid's upright lines inside
// it; runs side by side join where both are, and the merge tree of the
// superlevel sets is built by joining from the top down. It shares nothing with
// Find but the definition: Edelsbrunner, Letscher & Zomorodian, 2002; Carr,
// Snoeyink & Axen, 2003 (both from memory).

// gridRun is one run, up being +z.
type gridRun struct {
	bottom, top float64
	parent      int32
	next, last  int32 // runs of the same component, as a list
	peak        float64
	open        bool
}

type gridTree struct {
	runs  []gridRun
	first []int32 // of each column, then the end
	f     *field.Field
	in    Input
	traps []Trap
}

// join is where two runs meet, or one (b < 0) an opening.
type join struct {
	a, b  int32
	level float64
}

// gridTraps finds the traps of m along +z on a grid, largest first.
func gridTraps(t testing.TB, m *mesh.Mesh, choice field.Choice, in Input) []Trap {
	t.Helper()
	f, err := field.New(context.Background(), m, choice, nil)
	if err != nil {
		t.Fatal(err)
	}
	g := &gridTree{f: f, in: in}
	g.cut()
	joins := append(g.sideways(), g.openings(m)...)
	slices.SortStableFunc(joins, func(p, q join) int { return cmp.Compare(q.level, p.level) })
	for _, j := range joins {
		g.join(j)
	}
	low := math.Inf(1)
	for _, r := range g.runs {
		low = min(low, r.bottom)
	}
	for i := range g.runs {
		if g.root(int32(i)) == int32(i) {
			g.end(int32(i), low)
		}
	}
	slices.SortFunc(g.traps, func(a, b Trap) int { return cmp.Compare(b.VolumeMM3, a.VolumeMM3) })
	return g.traps
}

// cut finds the runs of every column; ends are where the distance is zero.
func (g *gridTree) cut() {
	f := g.f
	sign := g.in.Domain.sign()
	plane := f.N[0] * f.N[1]
	for c := range plane {
		g.first = append(g.first, int32(len(g.runs)))
		inside, bottom := false, 0.0
		for z := range f.N[2] {
			d := sign * float64(f.Distance[z*plane+c])
			height := f.Origin.Z + float64(z)*f.VoxelMM
			if d < 0 == inside {
				continue
			}
			if z > 0 {
				before := sign * float64(f.Distance[(z-1)*plane+c])
				height -= f.VoxelMM * d / (d - before)
			}
			if inside {
				g.add(bottom, height)
			}
			inside, bottom = !inside, height
		}
		if inside {
			g.add(bottom, math.Inf(1)) // the free surface
		}
	}
	g.first = append(g.first, int32(len(g.runs)))
}

func (g *gridTree) add(bottom, top float64) {
	i := int32(len(g.runs))
	g.runs = append(g.runs, gridRun{bottom: bottom, top: top, parent: i, next: -1, last: i, peak: top, open: math.IsInf(top, 1)})
}

// sideways lists where runs of columns side by side meet.
func (g *gridTree) sideways() []join {
	var joins []join
	nx, ny := g.f.N[0], g.f.N[1]
	for y := range ny {
		for x := range nx {
			c := y*nx + x
			if x+1 < nx {
				joins = g.between(c, c+1, joins)
			}
			if y+1 < ny {
				joins = g.between(c, c+nx, joins)
			}
		}
	}
	return joins
}

func (g *gridTree) between(c, d int, joins []join) []join {
	for a := g.first[c]; a < g.first[c+1]; a++ {
		for b := g.first[d]; b < g.first[d+1]; b++ {
			p, q := g.runs[a], g.runs[b]
			if hi := min(p.top, q.top); hi > max(p.bottom, q.bottom) {
				joins = append(joins, join{a, b, hi})
			}
		}
	}
	return joins
}

// openings opens the run nearest to each open vertex, rather one that reaches as
// high as that.
func (g *gridTree) openings(m *mesh.Mesh) []join {
	var joins []join
	f := g.f
	for _, v := range g.in.Open {
		p := m.Vertices[v]
		x, y := int((p.X-f.Origin.X)/f.VoxelMM), int((p.Y-f.Origin.Y)/f.VoxelMM)
		best, least := int32(-1), math.Inf(1)
		for i := max(0, x-2); i <= min(f.N[0]-1, x+3); i++ {
			for j := max(0, y-2); j <= min(f.N[1]-1, y+3); j++ {
				side := math.Hypot(f.Origin.X+float64(i)*f.VoxelMM-p.X, f.Origin.Y+float64(j)*f.VoxelMM-p.Y)
				c := j*f.N[0] + i
				for r := g.first[c]; r < g.first[c+1]; r++ {
					off := max(0, p.Z-g.runs[r].top, g.runs[r].bottom-p.Z)
					if d := math.Hypot(side, 10*off); d < least {
						best, least = r, d
					}
				}
			}
		}
		if best >= 0 {
			joins = append(joins, join{best, -1, min(p.Z, g.runs[best].top)})
		}
	}
	return joins
}

func (g *gridTree) root(i int32) int32 {
	for g.runs[i].parent != i {
		g.runs[i].parent = g.runs[g.runs[i].parent].parent
		i = g.runs[i].parent
	}
	return i
}

// join joins two components at a level: of two without an opening the lower
// ends, else the one without.
func (g *gridTree) join(j join) {
	a := g.root(j.a)
	if j.b < 0 {
		g.end(a, j.level)
		g.runs[a].open = true
		return
	}
	b := g.root(j.b)
	if a == b {
		return
	}
	if p, q := g.runs[a], g.runs[b]; q.open && !p.open || q.open == p.open && q.peak > p.peak {
		a, b = b, a
	}
	g.end(b, j.level)
	g.runs[b].parent = a
	g.runs[g.runs[a].last].next, g.runs[a].last = b, g.runs[b].last
}

// end records the trap of a component that spills at a level.
func (g *gridTree) end(root int32, level float64) {
	r := g.runs[root]
	if r.open || r.peak-level < g.in.PersistenceMM {
		return
	}
	sum := 0.0
	for i := root; i >= 0; i = g.runs[i].next {
		sum += max(0, g.runs[i].top-max(level, g.runs[i].bottom))
	}
	if v := sum * g.f.VoxelMM * g.f.VoxelMM; v >= g.in.VolumeMM3 {
		g.traps = append(g.traps, Trap{Spill: level, PersistenceMM: r.peak - level, VolumeMM3: v})
	}
}

// turned turns a mesh so that dir points up, and then about the vertical.
func turned(m *mesh.Mesh, dir r3.Vec, angle float64) *mesh.Mesh {
	sin, cos := math.Sincos(angle)
	stand := mesh.PoseDown(r3.Scale(-1, dir))
	return m.Posed(stand.Then(mesh.Pose{Rows: [3]r3.Vec{{X: cos, Y: -sin}, {X: sin, Y: cos}, {Z: 1}}}))
}
