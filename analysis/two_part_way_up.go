package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourwright/analysis/cut"
	"pourwright/analysis/moldbox"
	"pourwright/analysis/stand"
	"pourwright/mesh"
)

// A way up whose parts draw off freely may score so much less than another to be taken
// before it (common practice, no source), and undercut that hardly matters, as a share
// of the pattern's volume.
const (
	bedWorth  = 0.8
	bedSlack  = 0.05
	drawWorth = 0.3   // how shallow the parts of the mold are, likewise
	bedMesh   = 8_000 // corners that the ways are compared on
)

// preferBed puts the way up first that suits a mold in two parts best, by its score and
// by the rubber that its best bed leaves hooked, and says so where it changes the
// choice.
func (j *job) preferBed(ways []stand.Way) ([]stand.Way, string, error) {
	c := j.choices
	if asked := c.Down != nil || c.Spout != nil || j.rimDown != nil; !c.twoPart() || asked || len(ways) < 2 {
		return ways, "", nil
	}
	rough, detail := j.roughMesh()
	hooked, values := make([]float64, len(ways)), make([]float64, len(ways))
	best, longest := 0, j.plan.Scan.TightestBoxMM[0]
	for i, w := range ways {
		pose := standPose(w)
		r, err := cut.Choose(j.ctx, &mesh.Solid{Mesh: rough.Posed(pose)}, cut.Input{
			Axis: pose.Point(w.Spout), Centroid: pose.Point(j.measures.Centroid), Detail: detail, TwoPart: true, Rough: true,
			VolumeMM3: j.measures.VolumeMM3, AreaMM2: j.measures.AreaMM2, SpoutMM: w.SpoutDiameterMM,
			ClearanceMM: moldbox.DefaultClearanceMM(j.plan.Scan.TightestBoxMM[0]),
		})
		if err != nil {
			return nil, "", err
		}
		hooked[i] = (r.UndercutMM3[0] + r.UndercutMM3[1]) / j.measures.VolumeMM3
		values[i] = w.Score + bedWorth*bedSlack/(bedSlack+hooked[i]) - drawWorth*min(1, 2*r.DrawMM/longest)
		if values[i] > values[best]+1e-9 {
			best = i
		}
	}
	if best == 0 {
		return ways, "", nil
	}
	ways[best].Why = strings.ReplaceAll(ways[best].Why, "the choice", "the way of the highest score")
	ways = append([]stand.Way{ways[best]}, slices.Delete(slices.Clone(ways), best, best+1)...)
	return ways, fmt.Sprintf(" For a mold in two parts it was taken before the way of the highest score, since the parts of the mold draw off more easily: rubber hooked behind the part is %s its volume, with that one %s.",
		cut.Times(hooked[best]), cut.Times(hooked[0])), nil
}

// roughMesh is the solid with few corners, and the detail of each.
func (j *job) roughMesh() (*mesh.Mesh, []float32) {
	if len(j.solid.Vertices) <= bedMesh {
		return j.solid.Mesh, j.detail
	}
	m, to := j.solid.Clustered(math.Sqrt(j.measures.AreaMM2 / bedMesh))
	detail, count := make([]float32, len(m.Vertices)), make([]float32, len(m.Vertices))
	for v, d := range j.detail {
		detail[to[v]] += d
		count[to[v]]++
	}
	for v := range detail {
		detail[v] /= max(1, count[v])
	}
	return m, detail
}
