package mesh

import (
	"os"
	"syscall"
	"unsafe"
)

// hugePage is the size of the pages that populate asks for, that of x86-64 and
// of arm64 with small pages of 4 KiB. On others the system rounds or refuses.
const hugePage = 2 << 20

// populate makes the system provide the whole pages within b now, on all
// processors, huge ones if it has them. A huge page may reach beyond b, into memory that the Go heap has
// set aside anyhow and will hand out next. Failure (no huge pages, a kernel
// before 5.14) costs nothing but the time saved.
func populate(b []byte) {
	const populateWrite = 23 // MADV_POPULATE_WRITE, madvise(2)
	start := uintptr(unsafe.Pointer(unsafe.SliceData(b)))
	end := start + uintptr(len(b))
	advise(start&^(hugePage-1), (end+hugePage-1)&^(hugePage-1), syscall.MADV_HUGEPAGE)
	page := uintptr(os.Getpagesize())
	inParts(len(b), func(_, lo, hi int) {
		advise((start+uintptr(lo)+page-1)&^(page-1), (start+uintptr(hi))&^(page-1), populateWrite)
	})
}

// advise tells the system something about the pages from start to end.
func advise(start, end uintptr, advice int) {
	if start < end {
		_, _, _ = syscall.RawSyscall(syscall.SYS_MADVISE, start, end-start, uintptr(advice))
	}
}
