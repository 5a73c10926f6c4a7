// Package planfolder writes a plan folder so that it appears complete or not
// at all, and replaces only folders that an earlier plan wrote.
package planfolder

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
)

// The files of every plan folder.
const (
	Plan    = "plan.json"
	Job     = "job.toml"
	Preview = "preview.png"
	Sheet   = "sheet.html"
)

// File is one file to write; Name may lie in the folder of templates, after a slash.
type File struct {
	Name string
	Data []byte
}

// Error is one sentence on why a folder cannot be written.
type Error struct {
	what, try string
	cause     error
}

func (e *Error) Error() string { return e.what }

// Hint says what to do about it.
func (e *Error) Hint() string { return e.try }

// Unwrap returns the system's error behind this one, if any.
func (e *Error) Unwrap() error { return e.cause }

// Check tells whether dir may be written: it does not exist, or is empty, or it
// is an earlier plan's, holds nothing else and force is given. extra names files
// that the new plan has besides those of every plan folder.
func Check(dir string, force bool, extra ...string) error {
	parent := filepath.Dir(filepath.Clean(dir))
	if info, err := os.Stat(parent); err != nil || !info.IsDir() {
		return &Error{fmt.Sprintf("there is no folder %s to write %s in", parent, filepath.Base(dir)), "make that folder first, or name another with --out", err}
	}
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &Error{dir + " cannot be looked into", "name another folder with --out", err}
	case !info.IsDir():
		return &Error{dir + " exists and is not a folder", "name another folder with --out", nil}
	case isCurrent(info):
		return &Error{dir + " is the folder you are in, which cannot be replaced from within", "go to the folder above it, or name another folder with --out", nil}
	case isEmpty(dir):
		return nil
	case !Ours(dir):
		return &Error{dir + " exists and is not a plan folder, so it is left alone", "name another folder with --out", nil}
	case !force:
		return &Error{dir + " already holds a plan", "give --force to replace it, or another folder with --out", nil}
	}
	return onlyOurs(dir, extra)
}

// isCurrent tells whether a folder is the working folder: a shell that stands
// in it would be left in a folder that is gone.
func isCurrent(dir fs.FileInfo) bool {
	current, err := os.Stat(".")
	return err == nil && os.SameFile(current, dir)
}

func isEmpty(dir string) bool {
	entries, err := os.ReadDir(dir)
	return err == nil && len(entries) == 0
}

// Ours tells a plan folder by its plan.json.
func Ours(dir string) bool {
	path := filepath.Join(dir, Plan)
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return false
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return false
	}
	var plan struct {
		Pourwright *string `json:"pourwright"`
	}
	return json.Unmarshal(data, &plan) == nil && plan.Pourwright != nil
}

// onlyOurs refuses a plan folder in which someone keeps something else.
func onlyOurs(dir string, extra []string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return &Error{dir + " cannot be looked into", "name another folder with --out", err}
	}
	known := append([]string{Plan, Job, Preview, Sheet}, extra...)
	for _, e := range entries {
		if e.Name() == Templates && e.IsDir() {
			if err := onlyTemplates(dir); err != nil {
				return err
			}
			continue
		}
		if !slices.Contains(known, e.Name()) || !e.Type().IsRegular() {
			return notOurs(dir, e.Name())
		}
	}
	return nil
}

// Write writes dir with these files, or leaves everything as it was: they are
// written aside, in the same parent folder, and moved into place at the end.
// When ctx is done by then, its error is returned.
func Write(ctx context.Context, dir string, files []File, force bool) (err error) {
	dir = filepath.Clean(dir)
	aside, err := os.MkdirTemp(filepath.Dir(dir), ".pourwright-*")
	if err != nil {
		return &Error{"nothing can be written in " + filepath.Dir(dir), "name a folder of yours with --out", err}
	}
	fresh, old := filepath.Join(aside, "new"), filepath.Join(aside, "old")
	defer func() {
		// What was moved aside is removed only once its successor is in place.
		if left, _ := os.Lstat(old); err != nil && left != nil {
			err = &Error{fmt.Sprintf("%s; the earlier plan is now in %s", err, old), "move it back by hand", err}
			return
		}
		os.RemoveAll(aside)
	}()
	if err := writeAll(fresh, files); err != nil {
		return err
	}
	if err := Check(dir, force, names(files)...); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return swap(dir, fresh, old, force, names(files))
}

func names(files []File) []string {
	var all []string
	for _, f := range files {
		all = append(all, f.Name)
	}
	return all
}

func writeAll(dir string, files []File) error {
	// The temporary folder is private; what is in it has the usual permissions.
	if err := os.Mkdir(dir, 0o777); err != nil {
		return &Error{"the plan folder cannot be made", "is the disk full?", err}
	}
	inside := func(f File) bool { return path.Dir(f.Name) == Templates }
	if slices.ContainsFunc(files, inside) {
		if err := os.Mkdir(filepath.Join(dir, Templates), 0o777); err != nil {
			return &Error{"the folder of templates cannot be made", "is the disk full?", err}
		}
	}
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o666); err != nil {
			return &Error{f.Name + " cannot be written", "is the disk full?", err}
		}
	}
	return nil
}

// swap moves fresh to dir, which may be an empty folder. A plan folder at dir, if it may be replaced, is moved
// to old and stays there only if it cannot be moved back after a failure.
func swap(dir, fresh, old string, replace bool, known []string) error {
	if isEmpty(dir) {
		return swapEmpty(dir, fresh)
	}
	if replace {
		if err := os.Rename(dir, old); err == nil {
			// Nobody adds to it any more; look once more before it is removed.
			if err := onlyOurs(old, known); err != nil {
				return restore(err, old, dir)
			}
		} else if !errors.Is(err, fs.ErrNotExist) {
			return &Error{dir + " cannot be replaced", "is a file in it open in another program?", err}
		}
	}
	if err := os.Rename(fresh, dir); err != nil {
		return restore(&Error{dir + " cannot be written", "name another folder with --out", err}, old, dir)
	}
	return nil
}

// swapEmpty moves fresh to the place of an empty folder.
func swapEmpty(dir, fresh string) error {
	info, err := os.Lstat(dir)
	if err == nil {
		err = os.Remove(dir) // fails when it is not empty any more
	}
	if err != nil {
		return &Error{dir + " cannot be replaced", "name another folder with --out", err}
	}
	if err := os.Rename(fresh, dir); err != nil {
		_ = os.Mkdir(dir, info.Mode().Perm()) // what fails is told below
		return &Error{dir + " cannot be written", "name another folder with --out", err}
	}
	return nil
}

func restore(cause error, old, dir string) error {
	if err := os.Rename(old, dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w, nor be put back", cause)
	}
	return cause
}
