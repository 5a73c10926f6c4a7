package planfolder

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var files = []File{
	{Plan, []byte(`{"pourwright": "1"}`)}, {Job, []byte("scan = 'a.stl'\n")}, {Preview, []byte("png")}, {Sheet, []byte("html")},
	{"templates/strip.svg", []byte("strip")}, {"templates/panel-side.svg", []byte("<!-- written by pourwright -->")},
}

// tree lists everything under a folder, with contents.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, _ := filepath.Rel(root, path)
		all[name] = "folder"
		if d.Type().IsRegular() {
			data, err := os.ReadFile(path)
			all[name] = "file " + string(data)
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func TestWriteAndReplace(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "pin-plan")
	if err := Write(context.Background(), dir, files, false); err != nil {
		t.Fatal(err)
	}
	first := tree(t, root)
	if len(first) != 9 { // the root, the folder, four files, the templates and two files
		t.Fatalf("wrote %v", first)
	}
	info, err := os.Stat(dir)
	if err != nil || info.Mode().Perm()&0o055 == 0 {
		t.Errorf("others cannot read the folder: %v, %v", info.Mode(), err)
	}
	again := append([]File{{"pin.stl", []byte("solid")}}, files...)
	if err := Write(context.Background(), dir, again, false); err == nil {
		t.Error("replaced without force")
	}
	if got := tree(t, root); len(got) != len(first) {
		t.Errorf("after a refusal: %v", got)
	}
	if err := Write(context.Background(), dir, again, true); err != nil {
		t.Error(err)
	}
	if got := tree(t, root); len(got) != 10 || got["pin-plan/pin.stl"] != "file solid" {
		t.Errorf("after a replacement: %v", got)
	}
}

// Each case is a folder that is not to be touched, even with force.
func TestLeavesOthersAlone(t *testing.T) {
	for name, c := range map[string]struct {
		make func(dir string)
		want string
	}{
		"hidden file":           {func(dir string) { put(t, filepath.Join(dir, ".keep"), "") }, "not a plan folder"},
		"file":                  {func(dir string) { put(t, dir, "mine") }, "not a folder"},
		"link":                  {func(dir string) { os.Symlink(t.TempDir(), dir) }, "not a folder"},
		"no plan.json":          {func(dir string) { put(t, filepath.Join(dir, "letter.txt"), "dear") }, "not a plan folder"},
		"plan.json of another":  {func(dir string) { put(t, filepath.Join(dir, Plan), `{"trip": "north"}`) }, "not a plan folder"},
		"plan.json not JSON":    {func(dir string) { put(t, filepath.Join(dir, Plan), `pourwright`) }, "not a plan folder"},
		"plan.json is a folder": {func(dir string) { os.MkdirAll(filepath.Join(dir, Plan), 0o777) }, "not a plan folder"},
		"foreign file in ours": {func(dir string) {
			Write(context.Background(), dir, files, false)
			put(t, filepath.Join(dir, "notes.txt"), "mine")
		}, "also holds notes.txt"},
		"foreign template in ours": {func(dir string) {
			Write(context.Background(), dir, files, false)
			put(t, filepath.Join(dir, Templates, "notes.txt"), "mine")
		}, "also holds " + filepath.Join(Templates, "notes.txt")},
		"template without our mark in ours": {func(dir string) {
			Write(context.Background(), dir, files, false)
			put(t, filepath.Join(dir, Templates, "panel-mine.svg"), "<svg/>")
		}, "also holds " + filepath.Join(Templates, "panel-mine.svg")},
		"folder among templates of ours": {func(dir string) {
			Write(context.Background(), dir, files[:4], false)
			put(t, filepath.Join(dir, Templates, "strip.svg", "x"), "mine")
		}, "also holds " + filepath.Join(Templates, "strip.svg")},
		"link for templates in ours": {func(dir string) {
			Write(context.Background(), dir, files[:4], false)
			os.Symlink(t.TempDir(), filepath.Join(dir, Templates))
		}, "also holds " + Templates},
		"folder in ours": {func(dir string) {
			Write(context.Background(), dir, files[:1], false)
			put(t, filepath.Join(dir, Sheet, "x"), "mine")
		}, "also holds sheet.html"},
	} {
		t.Run(name, func(t *testing.T) {
			root := t.TempDir()
			dir := filepath.Join(root, "pin-plan")
			c.make(dir)
			before := tree(t, root)
			for _, force := range []bool{false, true} {
				if !force && strings.Contains(name, "ours") {
					continue // refused as an existing plan
				}
				err := Write(context.Background(), dir, files, force)
				var e *Error
				if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) || e.Hint() == "" {
					t.Errorf("force %v: %v; want %q and a hint", force, err, c.want)
				}
			}
			after := tree(t, root)
			if len(before) != len(after) {
				t.Fatalf("before %v, after %v", before, after)
			}
			for path, was := range before {
				if after[path] != was {
					t.Errorf("%s was %q, is %q", path, was, after[path])
				}
			}
		})
	}
}

// Walls of an earlier plan that the new one has not are gone.
func TestReplacesTemplates(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "pin-plan")
	if err := Write(context.Background(), dir, files, false); err != nil {
		t.Fatal(err)
	}
	fresh := append(files[:5:5], File{"templates/panel-wrap.svg", []byte("<!-- written by pourwright -->")})
	if err := Write(context.Background(), dir, fresh, true); err != nil {
		t.Fatal(err)
	}
	got := tree(t, filepath.Join(dir, Templates))
	if len(got) != 3 || got["panel-wrap.svg"] == "" || got["strip.svg"] != "file strip" {
		t.Errorf("templates are now %v", got)
	}
}

// An empty folder is as good as none.
func TestEmptyFolder(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "pin-plan")
	if err := os.Mkdir(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := swap(dir, filepath.Join(root, "missing"), filepath.Join(root, "old"), false, nil); err == nil {
		t.Error("moved a folder that does not exist")
	}
	if got := tree(t, root); len(got) != 2 || got["pin-plan"] != "folder" {
		t.Errorf("after a failure: %v", got)
	}
	if err := Write(context.Background(), dir, files, false); err != nil {
		t.Fatal(err)
	}
	if got := tree(t, root); len(got) != 9 {
		t.Errorf("wrote %v", got)
	}
}

// The folder a shell stands in is not pulled away from under it.
func TestWorkingFolder(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "pin-plan")
	if err := Write(context.Background(), dir, files, false); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	for _, name := range []string{".", dir, filepath.Join("..", "pin-plan")} {
		if err := Write(context.Background(), name, files, true); err == nil || !strings.Contains(err.Error(), "folder you are in") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if got := tree(t, root); len(got) != 9 {
		t.Errorf("left %v", got)
	}
}

func TestFailuresLeaveNothing(t *testing.T) {
	root := t.TempDir()
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if err := Write(stopped, filepath.Join(root, "a"), files, false); !errors.Is(err, context.Canceled) {
		t.Errorf("called off: %v", err)
	}
	if err := Write(context.Background(), filepath.Join(root, "a"), []File{{"no/such/folder", nil}}, false); err == nil {
		t.Error("wrote into a folder that does not exist")
	}
	if err := Write(context.Background(), filepath.Join(root, "none", "a"), files, false); err == nil {
		t.Error("made the parent folder")
	}
	if got := tree(t, root); len(got) != 1 {
		t.Errorf("left behind: %v", got)
	}
}

// An earlier plan is put back when its successor cannot take its place.
func TestRestores(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "pin-plan")
	if err := Write(context.Background(), dir, files, false); err != nil {
		t.Fatal(err)
	}
	before := tree(t, root)
	if err := swap(dir, filepath.Join(root, "missing"), filepath.Join(root, "old"), true, nil); err == nil {
		t.Error("moved a folder that does not exist")
	}
	after := tree(t, root)
	if len(after) != len(before) || after["pin-plan/plan.json"] != before["pin-plan/plan.json"] {
		t.Errorf("before %v, after %v", before, after)
	}
}
