package main

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// point is a corner in file units, face a triangle.
type (
	point [3]float64
	face  [3]point
)

// makeSTL writes a scan: mkstl shape AxBxC file [scale]. Shapes are box, bar (a
// 60-sided prism), open (a box without a lid), stairs (three steps), pair (a box and another
// beside it), crossed (a box and another that overlaps it by half in each
// direction), hollow (a box in a box) and slab (a box fused to a plate 3 thick).
func makeSTL(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 || len(args) > 4 {
		ts.Fatalf("usage: mkstl shape AxBxC file [scale]")
	}
	var size point
	_, err := fmt.Sscanf(args[1], "%gx%gx%g", &size[0], &size[1], &size[2])
	ts.Check(err)
	if len(args) == 4 {
		scale, err := strconv.ParseFloat(args[3], 64)
		ts.Check(err)
		for i := range size {
			size[i] *= scale
		}
	}
	shapes := map[string]func(point) []face{
		"box": func(p point) []face { return prism(rectangle(p), p[2]) },
		"bar": func(p point) []face { return prism(ellipse(p, 60), p[2]) },
		"open": func(p point) []face {
			all := prism(rectangle(p), p[2])
			return all[:len(all)-2]
		},
		"pair": func(p point) []face {
			box := prism(rectangle(p), p[2])
			return append(box, moved(box, point{2 * p[0], 0, 0})...)
		},
		"crossed": func(p point) []face {
			box := prism(rectangle(p), p[2])
			return append(box, moved(box, point{p[0] / 2, p[1] / 2, p[2] / 2})...)
		},
		"slab": onSlab,
		"hollow": func(p point) []face {
			half := point{p[0] / 2, p[1] / 2, p[2] / 2}
			inner := moved(prism(rectangle(half), half[2]), point{p[0] / 4, p[1] / 4, p[2] / 4})
			for i, f := range inner {
				inner[i] = face{f[0], f[2], f[1]} // the void is outside
			}
			return append(prism(rectangle(p), p[2]), inner...)
		},
		"stairs": func(p point) []face { return prism(stairs(p), p[2]) },
	}
	make, ok := shapes[args[0]]
	if !ok {
		ts.Fatalf("no shape %q", args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), binarySTL(make(size)), 0o666))
}

func rectangle(p point) []point {
	return []point{{0, 0, 0}, {p[0], 0, 0}, {p[0], p[1], 0}, {0, p[1], 0}}
}

func ellipse(p point, n int) []point {
	var out []point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, point{p[0] / 2 * cos, p[1] / 2 * sin, 0})
	}
	return out
}

func stairs(p point) []point {
	x, y := p[0]/3, p[1]/3
	return []point{{0, 0, 0}, {3 * x, 0, 0}, {3 * x, y, 0}, {2 * x, y, 0}, {2 * x, 2 * y, 0}, {x, 2 * y, 0}, {x, 3 * y, 0}, {0, 3 * y, 0}}
}

// prism raises an outline that can be fanned out from its first corner; the lid
// comes last.
func prism(outline []point, height float64) []face {
	up := func(p point) point { return point{p[0], p[1], height} }
	var sides, floor, lid []face
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		sides = append(sides, face{a, b, up(b)}, face{a, up(b), up(a)})
		if i > 0 && i < len(outline)-1 {
			floor = append(floor, face{outline[0], b, a})
			lid = append(lid, face{up(outline[0]), up(a), up(b)})
		}
	}
	return append(append(sides, floor...), lid...)
}

// onSlab is a box that stands on a plate, off its middle.
func onSlab(p point) []face {
	const thick = 3
	x := []float64{-1.1 * p[0], 0, p[0], 3 * p[0]}
	y := []float64{-2 * p[1], 0, p[1], 2.2 * p[1]}
	var all []face
	quad := func(a, b, c, d point) { all = append(all, face{a, b, c}, face{a, c, d}) }
	for i := range 3 {
		for k := range 3 {
			top, floor := 0.0, -float64(thick)
			if i == 1 && k == 1 {
				top = p[2]
			}
			a, b, c, d := point{x[i], y[k], top}, point{x[i+1], y[k], top}, point{x[i+1], y[k+1], top}, point{x[i], y[k+1], top}
			quad(a, b, c, d)
			a[2], b[2], c[2], d[2] = floor, floor, floor, floor
			quad(d, c, b, a)
		}
	}
	wall := func(a, b point, floor, top float64) {
		quad(point{a[0], a[1], floor}, point{b[0], b[1], floor}, point{b[0], b[1], top}, point{a[0], a[1], top})
	}
	for i := range 3 {
		wall(point{x[i], y[0]}, point{x[i+1], y[0]}, -thick, 0)
		wall(point{x[3-i], y[3]}, point{x[2-i], y[3]}, -thick, 0)
		wall(point{x[3], y[i]}, point{x[3], y[i+1]}, -thick, 0)
		wall(point{x[0], y[3-i]}, point{x[0], y[2-i]}, -thick, 0)
	}
	corners := rectangle(p)
	for i, a := range corners {
		wall(a, corners[(i+1)%4], 0, p[2])
	}
	return all
}

func moved(faces []face, by point) []face {
	var out []face
	for _, f := range faces {
		for i := range f {
			f[i] = point{f[i][0] + by[0], f[i][1] + by[1], f[i][2] + by[2]}
		}
		out = append(out, f)
	}
	return out
}

func binarySTL(faces []face) []byte {
	var b bytes.Buffer
	b.Write(make([]byte, 80))
	write := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) } // to memory
	write(uint32(len(faces)))
	for _, f := range faces {
		write([3]float32{})
		for _, p := range f {
			write([3]float32{float32(p[0]), float32(p[1]), float32(p[2])})
		}
		write(uint16(0))
	}
	return b.Bytes()
}

// patch overwrites bytes: patch file offset hex.
func patch(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: patch file offset hex")
	}
	data := []byte(ts.ReadFile(args[0]))
	at, err := strconv.Atoi(args[1])
	ts.Check(err)
	bytes, err := hex.DecodeString(args[2])
	ts.Check(err)
	copy(data[at:], bytes)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o666))
}

// cutFile keeps the first bytes of a file: cut file length.
func cutFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: cut file length")
	}
	n, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), n))
}

// exitCode runs a program and checks its exit code, and that a refusal is one
// sentence with a hint: code N program args...
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N program [args...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	out, errs := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if got != want {
		ts.Fatalf("exit code %d, want %d\n%s%s", got, want, out, errs)
	}
	// Only scan tells more of a scan that cannot be used.
	told := out != "" && !strings.HasPrefix(out, "Not usable as it is: ")
	if want == exitCannot && (!refusal.MatchString(errs) || told) {
		ts.Fatalf("not one sentence and a hint:\n%s%s", out, errs)
	}
}

var refusal = regexp.MustCompile(`^pourwright: [^\n]+[^.\n]\n  try: [^\n]+[^.\n]\n$`)

// jsonHas checks a value in the JSON of the last command's stdout or of a file:
// json source path value, where path is dotted and value JSON, "~" before a
// number for within a millionth, or "*" for anything but null.
func jsonHas(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: json source path value")
	}
	var doc any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc))
	for _, step := range strings.Split(args[1], ".") {
		switch at := doc.(type) {
		case map[string]any:
			v, ok := at[step]
			if !ok {
				ts.Fatalf("no %q in %s", step, args[1])
			}
			doc = v
		case []any:
			i, err := strconv.Atoi(step)
			ts.Check(err)
			if i >= len(at) {
				ts.Fatalf("only %d items in %s", len(at), args[1])
			}
			doc = at[i]
		default:
			ts.Fatalf("%s stops before %q", args[1], step)
		}
	}
	if !matches(ts, doc, args[2]) {
		ts.Fatalf("%s is %v, want %s", args[1], doc, args[2])
	}
}

func matches(ts *testscript.TestScript, have any, want string) bool {
	if want == "*" {
		return have != nil
	}
	if number, ok := strings.CutPrefix(want, "~"); ok {
		x, err := strconv.ParseFloat(number, 64)
		ts.Check(err)
		y, ok := have.(float64)
		return ok && math.Abs(x-y) <= 1e-6*math.Abs(x)
	}
	var v any
	ts.Check(json.Unmarshal([]byte(want), &v))
	return reflect.DeepEqual(have, v)
}

// sameKeys checks that an object in two JSON files has the same keys and, but
// for those named, the same values: samekeys file file object [key...]
func sameKeys(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: samekeys file file object [key...]")
	}
	var objects [2]map[string]json.RawMessage
	for i := range objects {
		var file map[string]json.RawMessage
		ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[i])), &file))
		ts.Check(json.Unmarshal(file[args[2]], &objects[i]))
		for _, key := range args[3:] {
			if _, ok := objects[i][key]; !ok {
				ts.Fatalf("no %s in %s", key, args[i])
			}
			objects[i][key] = nil
		}
	}
	if !reflect.DeepEqual(objects[0], objects[1]) {
		ts.Fatalf("%s differs:\n%s\n%s", args[2], objects[0], objects[1])
	}
}
