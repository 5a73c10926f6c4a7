package field

import (
	"os"
	"syscall"
	"unsafe"
)

// inLargePages makes the system use large pages for the whole pages within b.
// Failure costs nothing but the time saved.
func inLargePages(b []byte) {
	page := uintptr(os.Getpagesize())
	skip := -uintptr(unsafe.Pointer(unsafe.SliceData(b))) & (page - 1)
	if whole := (uintptr(len(b)) - skip) &^ (page - 1); skip < uintptr(len(b)) && whole > 0 {
		_ = syscall.Madvise(b[skip:skip+whole], syscall.MADV_HUGEPAGE)
	}
}
