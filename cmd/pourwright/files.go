package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// mayWrite refuses files that are not to be replaced; flag is how another file
// is named.
func mayWrite(path, flag string, force bool) error {
	another := "name another file with " + flag
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if parent, err := os.Stat(filepath.Dir(path)); err != nil || !parent.IsDir() {
			return &usageError{fmt.Sprintf("there is no folder %s to write %s in", filepath.Dir(path), filepath.Base(path)), "make that folder first, or " + another}
		}
		return nil
	case err != nil:
		return &usageError{path + " cannot be looked at", another}
	case !info.Mode().IsRegular():
		return &usageError{path + " exists and is not a plain file", another}
	case !force:
		return &usageError{path + " already exists", "give --force to replace it, or another file with " + flag}
	}
	return nil
}

// writeAside writes a file that appears complete or not at all.
func writeAside(ctx context.Context, path, flag string, force bool, write func(fresh string) error) error {
	cannot := &usageError{path + " cannot be written", "name a file in a folder of yours with " + flag}
	aside, err := os.MkdirTemp(filepath.Dir(path), ".pourwright-*")
	if err != nil {
		return cannot
	}
	defer os.RemoveAll(aside)
	fresh := filepath.Join(aside, "new")
	if err := write(fresh); err != nil {
		return cannot
	}
	if err := mayWrite(path, flag, force); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := os.Rename(fresh, path); err != nil {
		return cannot
	}
	return nil
}

// bytesTo returns a function that writes data to a file.
func bytesTo(data []byte) func(fresh string) error {
	return func(fresh string) error { return os.WriteFile(fresh, data, 0o666) }
}
