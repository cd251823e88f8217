package cli

import "syscall"

// adviseLargePages asks the kernel for large pages in a block that was not touched.
func adviseLargePages(block []byte) {
	_ = syscall.Madvise(block, syscall.MADV_HUGEPAGE) // a kernel without them is slower, no more
}
