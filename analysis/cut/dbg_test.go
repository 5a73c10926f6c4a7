package cut
import ("testing";"fmt")
func TestDbg(t *testing.T) {
	for _, c := range linkShapes() {
		s := NewPlane(c.point, c.normal)
		g := about(t, c.m, still)
		fmt.Println(c.name, g.n, g.stepMM, c.want)
		for _, l := range g.find(&s) { fmt.Printf("   %d at %.1f wide %.1f\n", l.Side, l.At, l.WidthMM) }
	}
}
