package large

import (
	"os"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"
	"unsafe"
)

// heapPiece is by how much the Go heap grows at a time. It holds whole huge pages
// (2 MiB on x86-64, and on arm64 with small pages of 4 KiB).
const heapPiece = 4 << 20

// fewBytes is how much memory is asked for as huge pages: a small scan's. A run that has
// asked for more asks for no more huge ones.
const fewBytes = 2 * heapPiece

// asked is how much memory was asked for so far.
var asked atomic.Int64

// populate makes the system provide the whole pages within b now, on all
// processors: huge ones, if it has them, while they are few. (They may reach beyond b,
// into memory that the Go heap has set aside anyhow and will hand out next.) Many do
// not pay on a virtual machine, which has few that were in use before and has to get
// others from its host: on one of 25 GB under KVM that took 3.2 ms a megabyte instead of
// 0.11, and fields of a million faces were made 25 % faster without. Failure (a kernel before
// 5.14) costs nothing but the time saved.
func populate(b []byte) {
	const populateWrite = 23 // MADV_POPULATE_WRITE, madvise(2)
	start := uintptr(unsafe.Pointer(unsafe.SliceData(b)))
	end := start + uintptr(len(b))
	if asked.Add(int64(len(b))) <= fewBytes {
		advise(start&^(heapPiece-1), (end+heapPiece-1)&^(heapPiece-1), syscall.MADV_HUGEPAGE)
	}
	page := uintptr(os.Getpagesize())
	parts := uintptr(runtime.GOMAXPROCS(0))
	step := (uintptr(len(b)) + parts - 1) / parts
	var wg sync.WaitGroup
	for from := start; from < end; from += step {
		wg.Go(func() { advise((from+page-1)&^(page-1), min(from+step, end)&^(page-1), populateWrite) })
	}
	wg.Wait()
}

// advise tells the system something about the pages from start to end.
func advise(start, end uintptr, advice int) {
	if start < end {
		_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, start, end-start, uintptr(advice))
	}
}
