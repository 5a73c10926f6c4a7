package mesh

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Tree finds faces of a mesh by place: a hierarchy of boxes around them. It
// holds about 95 bytes a face, 150 once Winding was called, keeps working on
// meshes with any fault, and may be used by many goroutines at a time. The same
// mesh gives the same tree whatever the number of processors.
//
// Boxes are split where the sum of area times faces is least, judged at a few
// places along the longest side. Source: Wald, "On fast construction of
// SAH-based bounding volume hierarchies", IEEE Symposium on Interactive Ray
// Tracing, 2007 (from memory).
type Tree struct {
	nodes   []treeNode
	faces   []int32     // in the order of the leaves
	corners [][3]r3.Vec // of those faces

	momentsOnce sync.Once
	moments     []moment // of the nodes, see Winding
}

// Hit is a place on the surface.
type Hit struct {
	Face     int32
	Point    r3.Vec
	Distance float64 // mm from the point asked for, or along the ray
}

// treeNode is a leaf with the faces first..first+count of Tree.faces or, with
// count 0, an inner node with the children first and first+1, behind it.
type treeNode struct {
	box          box32
	first, count int32
}

// box32 is an axis-aligned box, rounded outward.
type box32 struct{ min, max [3]float32 }

const (
	// leafFaces is the most faces of a leaf.
	leafFaces = 4
	// maxSlices is into how many slices a box is cut, one of whose sides is then
	// where it is split.
	maxSlices = 16
	// forkFaces is how many faces are worth a goroutine of their own.
	forkFaces = 1 << 13
	// evenDepth is the depth from which boxes are split in halves, so that
	// treeDepth is never passed: no mesh has more than 2³¹ faces.
	evenDepth = 32
	treeDepth = evenDepth + 32
)

// NewTree returns the tree of the faces of m, which must not be changed
// afterwards. A mesh without faces has a tree where nothing is found.
func NewTree(m *Mesh) *Tree {
	n := len(m.Faces)
	if n == 0 {
		return &Tree{}
	}
	items := large.Make[treeItem](n)
	inParts(n, func(_, lo, hi int) {
		for f := lo; f < hi; f++ {
			items[f] = treeItem{boxAround(m.Corners(f)), int32(f)}
		}
	})
	t := &Tree{nodes: nodesOver(items), faces: large.Make[int32](n), corners: large.Make[[3]r3.Vec](n)}
	inParts(n, func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			t.faces[i] = items[i].face
			t.corners[i][0], t.corners[i][1], t.corners[i][2] = m.Corners(int(items[i].face))
		}
	})
	return t
}

// nodesOver returns the nodes of a tree over items, of which there is at least one;
// it puts them into the order of the leaves.
func nodesOver(items []treeItem) []treeNode {
	root := grow(items, 0, 0)
	t := &Tree{nodes: large.Make[treeNode](root.size)[:1]}
	t.place(root, 0)
	return t.nodes
}

// treeItem is a face while the tree grows.
type treeItem struct {
	box  box32
	face int32
}

func boxAround(a, b, c r3.Vec) box32 {
	return box32{
		[3]float32{below32(min(a.X, b.X, c.X)), below32(min(a.Y, b.Y, c.Y)), below32(min(a.Z, b.Z, c.Z))},
		[3]float32{above32(max(a.X, b.X, c.X)), above32(max(a.Y, b.Y, c.Y)), above32(max(a.Z, b.Z, c.Z))},
	}
}

// below32 returns the largest float32 that is not above x.
func below32(x float64) float32 {
	y := float32(x)
	if float64(y) > x {
		y = math.Nextafter32(y, float32(math.Inf(-1)))
	}
	return y
}

func above32(x float64) float32 { return -below32(-x) }

// noBox is a box of nothing, to be widened.
func noBox() box32 {
	inf := float32(math.Inf(1))
	return box32{[3]float32{inf, inf, inf}, [3]float32{-inf, -inf, -inf}}
}

func (b *box32) widen(o *box32) {
	b.min = [3]float32{min(b.min[0], o.min[0]), min(b.min[1], o.min[1]), min(b.min[2], o.min[2])}
	b.max = [3]float32{max(b.max[0], o.max[0]), max(b.max[1], o.max[1]), max(b.max[2], o.max[2])}
}

// halfArea returns half of the area of the box's sides.
func (b *box32) halfArea() float32 {
	x, y, z := b.max[0]-b.min[0], b.max[1]-b.min[1], b.max[2]-b.min[2]
	return x*y + y*z + z*x
}

// branch is a part of the tree while it grows: either all nodes below, whose
// children are counted from its first, or two branches.
type branch struct {
	nodes []treeNode
	box   box32
	sides [2]*branch
	size  int // nodes of all
}

// grow makes a branch of items, the first of which is face number first in the
// order of the leaves. Large branches grow at the same time.
func grow(items []treeItem, first, depth int) *branch {
	if len(items) <= forkFaces {
		b := &branch{nodes: make([]treeNode, 1, len(items))}
		b.fill(0, items, first, depth)
		b.size = len(b.nodes)
		return b
	}
	middle := split(items, depth)
	var b branch
	var wg sync.WaitGroup
	wg.Go(func() { b.sides[0] = grow(items[:middle], first, depth+1) })
	b.sides[1] = grow(items[middle:], first+middle, depth+1)
	wg.Wait()
	b.size = 1 + b.sides[0].size + b.sides[1].size
	b.box = b.sides[0].bounds()
	other := b.sides[1].bounds()
	b.box.widen(&other)
	return &b
}

func (b *branch) bounds() box32 {
	if b.nodes != nil {
		return b.nodes[0].box
	}
	return b.box
}

// fill makes node at of the branch, and all below it, of items.
func (b *branch) fill(at int, items []treeItem, first, depth int) {
	if len(items) <= leafFaces {
		box := items[0].box
		for i := range items[1:] {
			box.widen(&items[i+1].box)
		}
		b.nodes[at] = treeNode{box, int32(first), int32(len(items))}
		return
	}
	middle, child := split(items, depth), len(b.nodes)
	b.nodes = append(b.nodes, treeNode{}, treeNode{})
	b.fill(child, items[:middle], first, depth+1)
	b.fill(child+1, items[middle:], first+middle, depth+1)
	box := b.nodes[child].box
	box.widen(&b.nodes[child+1].box)
	b.nodes[at] = treeNode{box: box, first: int32(child)}
}

// place puts a branch into the tree, its first node at a given place, the
// others behind all that are there.
func (t *Tree) place(b *branch, at int) {
	behind := len(t.nodes)
	if b.nodes == nil {
		t.nodes[at] = treeNode{box: b.box, first: int32(behind)}
		t.nodes = append(t.nodes, treeNode{}, treeNode{})
		t.place(b.sides[0], behind)
		t.place(b.sides[1], behind+1)
		return
	}
	t.nodes = append(t.nodes, b.nodes[1:]...)
	t.nodes[at] = b.nodes[0]
	t.shift(at, behind-1)
	for i := behind; i < len(t.nodes); i++ {
		t.shift(i, behind-1)
	}
}

func (t *Tree) shift(node, by int) {
	if n := &t.nodes[node]; n.count == 0 {
		n.first += int32(by)
	}
}

// split sorts items into two lots that are apart, and returns where the second
// begins.
func split(items []treeItem, depth int) int {
	centres := noBox() // twice the middles of the boxes
	for i := range items {
		b := &items[i].box
		c := [3]float32{b.min[0] + b.max[0], b.min[1] + b.max[1], b.min[2] + b.max[2]}
		centres.widen(&box32{c, c})
	}
	axis, extent := 0, centres.max[0]-centres.min[0]
	for k := 1; k < 3; k++ {
		if e := centres.max[k] - centres.min[k]; e > extent {
			axis, extent = k, e
		}
	}
	count := min(maxSlices, len(items))
	if scale := float32(count) / extent; depth < evenDepth && scale > 0 && scale <= math.MaxFloat32 {
		return splitByArea(items, slicing{axis, count, centres.min[axis], scale})
	}
	return len(items) / 2
}

// slicing cuts space into slices across an axis.
type slicing struct {
	axis, count  int
	start, scale float32 // of twice the middles of boxes
}

func (s slicing) of(b *box32) int {
	return max(0, min(s.count-1, int((b.min[s.axis]+b.max[s.axis]-s.start)*s.scale)))
}

// splitByArea splits items between the two slices where the box areas left and
// right, each times its faces, add up to least. Neither side is empty: the
// first and the last slice hold the outermost items.
func splitByArea(items []treeItem, s slicing) int {
	type slice struct {
		box   box32
		count int
	}
	var all [maxSlices]slice
	slices := all[:s.count]
	for k := range slices {
		slices[k].box = noBox()
	}
	for i := range items {
		x := &slices[s.of(&items[i].box)]
		x.count++
		x.box.widen(&items[i].box)
	}
	var right [maxSlices]float32 // cost of the slices from k on
	box, count := noBox(), 0
	for k := s.count - 1; k > 0; k-- {
		box.widen(&slices[k].box)
		count += slices[k].count
		right[k] = box.halfArea() * float32(count)
	}
	box, count = noBox(), 0
	best, cost := 1, float32(math.Inf(1))
	for k := 1; k < s.count; k++ {
		box.widen(&slices[k-1].box)
		count += slices[k-1].count
		if c := box.halfArea()*float32(count) + right[k]; c < cost {
			best, cost = k, c
		}
	}
	lo, hi := 0, len(items)
	for lo < hi {
		if s.of(&items[lo].box) < best {
			lo++
		} else {
			hi--
			items[lo], items[hi] = items[hi], items[lo]
		}
	}
	return lo
}
