package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"

	"pourwright/mesh/large"
)

// Posed returns the tree of the moved mesh, in a fraction of the time that
// building it takes: the faces stay together as they were, and only their boxes
// are made anew. Turned far, boxes overlap somewhat more than in a tree that was
// built for the purpose.
func (t *Tree) Posed(pose Pose) *Tree {
	moved := &Tree{nodes: large.Make[treeNode](len(t.nodes)), faces: t.faces, corners: large.Make[[3]r3.Vec](len(t.corners))}
	inParts(len(t.corners), func(_, lo, hi int) {
		for i := lo; i < hi; i++ {
			for k, p := range t.corners[i] {
				moved.corners[i][k] = pose.Point(p)
			}
		}
	})
	// Children are behind their parent.
	for i := len(t.nodes) - 1; i >= 0; i-- {
		n := t.nodes[i]
		n.box = noBox()
		if n.count == 0 {
			n.box.widen(&moved.nodes[n.first].box)
			n.box.widen(&moved.nodes[n.first+1].box)
		}
		for _, c := range moved.corners[n.first:][:n.count] {
			b := boxAround(c[0], c[1], c[2])
			n.box.widen(&b)
		}
		moved.nodes[i] = n
	}
	return moved
}
