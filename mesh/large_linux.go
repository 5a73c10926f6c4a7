package mesh

import (
	"os"
	"syscall"
	"unsafe"
)

// populate makes the system provide the whole pages within b now. Failure (a
// kernel before 5.14) costs nothing but the time saved.
func populate(b []byte) {
	const populateWrite = 23 // MADV_POPULATE_WRITE, madvise(2)
	page := uintptr(os.Getpagesize())
	skip := -uintptr(unsafe.Pointer(unsafe.SliceData(b))) & (page - 1)
	if whole := (uintptr(len(b)) - skip) &^ (page - 1); skip < uintptr(len(b)) && whole > 0 {
		_ = syscall.Madvise(b[skip:skip+whole], populateWrite)
	}
}
