package analysis

import "pourwright/mesh"

func rows(p mesh.Pose) [3][3]float64 {
	return [3][3]float64{array(p.Rows[0]), array(p.Rows[1]), array(p.Rows[2])}
}
