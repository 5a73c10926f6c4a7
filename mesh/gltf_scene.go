package mesh

import (
	"math"

	"github.com/qmuntal/gltf"
	"gonum.org/v1/gonum/spatial/r3"
)

// scene takes the shapes of the scene that the file shows first.
func (r *gltfReader) scene() error {
	type step struct {
		node int
		at   placement
	}
	roots, err := r.roots()
	if err != nil {
		return err
	}
	var todo []step
	seen := make([]bool, len(r.Nodes))
	push := func(nodes []int, at placement) error {
		for i := len(nodes) - 1; i >= 0; i-- {
			n := nodes[i]
			if n < 0 || n >= len(r.Nodes) || r.Nodes[n] == nil {
				return r.damagedGLTF("there is no node %d", n)
			}
			if seen[n] {
				return r.damagedGLTF("node %d has two parents, or holds itself", n)
			}
			seen[n] = true
			todo = append(todo, step{n, at})
		}
		return nil
	}
	err = push(roots, unmoved)
	for err == nil && len(todo) > 0 {
		next := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		n := r.Nodes[next.node]
		at := next.at.of(gltfPlacement(n))
		if err := r.node(next.node, n, at); err != nil {
			return err
		}
		err = push(n.Children, at)
	}
	return err
}

// node takes the shape of a node, if it has one.
func (r *gltfReader) node(i int, n *gltf.Node, at placement) error {
	if n.Mesh == nil {
		return nil
	}
	if err := r.shape(i, *n.Mesh, at); err != nil {
		return err
	}
	r.bones = r.bones || n.Skin != nil || len(n.Weights) > 0
	if r.src.Name == "" {
		r.src.Name = printable([]byte(n.Name))
	}
	return nil
}

// roots returns the nodes without a parent in the scene; of a file without
// scenes, all that have none.
func (r *gltfReader) roots() ([]int, error) {
	i := 0
	if r.Scene != nil {
		i = *r.Scene
	}
	if len(r.Scenes) > 0 || r.Scene != nil {
		if i < 0 || i >= len(r.Scenes) || r.Scenes[i] == nil {
			return nil, r.damagedGLTF("there is no scene %d", i)
		}
		return r.Scenes[i].Nodes, nil
	}
	hasParent := make([]bool, len(r.Nodes))
	for _, n := range r.Nodes {
		if n == nil {
			continue
		}
		for _, c := range n.Children {
			if c >= 0 && c < len(hasParent) {
				hasParent[c] = true
			}
		}
	}
	var roots []int
	for i, has := range hasParent {
		if !has {
			roots = append(roots, i)
		}
	}
	return roots, nil
}

// gltfPlacement returns where a node stands in its parent: a matrix in column
// order, or scale, then turn, then shift.
func gltfPlacement(n *gltf.Node) placement {
	if m := n.MatrixOrDefault(); m != gltf.DefaultMatrix {
		return placement{
			x:    r3.Vec{X: m[0], Y: m[1], Z: m[2]},
			y:    r3.Vec{X: m[4], Y: m[5], Z: m[6]},
			z:    r3.Vec{X: m[8], Y: m[9], Z: m[10]},
			move: r3.Vec{X: m[12], Y: m[13], Z: m[14]},
		}
	}
	s, q, t := n.ScaleOrDefault(), n.RotationOrDefault(), n.TranslationOrDefault()
	l := unmoved
	if q != gltf.DefaultRotation {
		turn := r3.Rotation{Real: q[3], Imag: q[0], Jmag: q[1], Kmag: q[2]}
		square := q[0]*q[0] + q[1]*q[1] + q[2]*q[2] + q[3]*q[3] // nearly 1, from rounded numbers
		s = [3]float64{s[0] / square, s[1] / square, s[2] / square}
		l = placement{x: turn.Rotate(l.x), y: turn.Rotate(l.y), z: turn.Rotate(l.z)}
	}
	l.x, l.y, l.z = r3.Scale(s[0], l.x), r3.Scale(s[1], l.y), r3.Scale(s[2], l.z)
	l.move = r3.Vec{X: t[0], Y: t[1], Z: t[2]}
	return l
}

// shape takes a mesh of the file.
func (r *gltfReader) shape(node, mesh int, at placement) error {
	if mesh < 0 || mesh >= len(r.Meshes) || r.Meshes[mesh] == nil {
		return r.damagedGLTF("there is no mesh %d", mesh)
	}
	if !at.sound() {
		return r.damagedGLTF("node %d makes its shape flat or endless", node)
	}
	for _, p := range r.Meshes[mesh].Primitives {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		if p == nil {
			return r.damagedGLTF("mesh %d has an empty part", mesh)
		}
		switch p.Mode {
		case gltf.PrimitiveTriangles, gltf.PrimitiveTriangleStrip, gltf.PrimitiveTriangleFan:
		default:
			r.lines = true
			continue
		}
		r.bones = r.bones || len(p.Targets) > 0
		if err := r.part(mesh, p, at); err != nil {
			return err
		}
	}
	return nil
}

// part takes triangles of one mesh.
func (r *gltfReader) part(mesh int, p *gltf.Primitive, at placement) error {
	position, ok := p.Attributes[gltf.POSITION]
	if !ok {
		return r.damagedGLTF("mesh %d has no points", mesh)
	}
	if err := r.pointsOf(position, at); err != nil {
		return err
	}
	corners, err := r.cornersOf(p.Indices)
	if err != nil {
		return err
	}
	if problem := r.triangles(p.Mode, corners); problem != "" {
		return r.damagedGLTF("in mesh %d %s", mesh, problem)
	}
	return nil
}

// triangles takes the triangles that corners stand for.
func (r *gltfReader) triangles(mode gltf.PrimitiveMode, corners []int32) (problem string) {
	switch mode {
	case gltf.PrimitiveTriangleStrip:
		return r.addStrips(corners)
	case gltf.PrimitiveTriangleFan:
		for i := 2; i < len(corners) && problem == ""; i++ {
			problem = r.addFace([]int32{corners[0], corners[i-1], corners[i]})
		}
	default:
		for i := 0; i+2 < len(corners) && problem == ""; i += 3 {
			problem = r.addFace(corners[i : i+3])
		}
	}
	return problem
}

// pointsOf takes the points of an accessor to where they belong.
func (r *gltfReader) pointsOf(accessor int, at placement) error {
	a, b, err := r.table(accessor, gltf.AccessorVec3)
	if err != nil {
		return err
	}
	if err := r.spend(int64(a.Count)); err != nil {
		return err
	}
	r.startPart(at.volume() < 0)
	size := a.ComponentType.ByteSize()
	for i := range a.Count {
		p := b.at(i)
		v := r3.Vec{X: gltfNumber(a, p), Y: gltfNumber(a, p[size:]), Z: gltfNumber(a, p[2*size:])}
		if !r.addPoint(at.point(v)) {
			return r.damagedGLTF("point %d of accessor %d is no number that can be used", i, accessor)
		}
	}
	return nil
}

// cornersOf returns the points of the corners, which are all points in turn
// when there is no accessor of numbers.
func (r *gltfReader) cornersOf(accessor *int) ([]int32, error) {
	if accessor == nil {
		corners := make([]int32, r.points.len())
		for i := range corners {
			corners[i] = int32(i)
		}
		return corners, r.spend(int64(len(corners)))
	}
	a, b, err := r.table(*accessor, gltf.AccessorScalar)
	if err != nil {
		return nil, err
	}
	if err := r.spend(int64(a.Count)); err != nil {
		return nil, err
	}
	corners := make([]int32, a.Count)
	for i := range corners {
		x := gltfNumber(a, b.at(i))
		if x < 0 || x >= float64(r.points.len()) || x != math.Trunc(x) {
			return nil, r.damagedGLTF("a corner names point %v of %d", x, r.points.len())
		}
		corners[i] = int32(x)
	}
	return corners, nil
}

// spend counts points and corners that are placed: parts that are used many
// times could make a small file endless.
func (r *gltfReader) spend(n int64) error {
	if r.budget -= n; r.budget < 0 {
		return r.fail("export the shape once, or a part of the scene", "repeats its parts without measure")
	}
	return nil
}
