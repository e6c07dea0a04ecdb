package index

import (
	"fmt"
	"syscall"
)

// mountSmall puts a disk in memory of so many bytes over a folder; root may.
func mountSmall(dir, size string) error {
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		return fmt.Errorf("mount: %w", err)
	}
	return nil
}
