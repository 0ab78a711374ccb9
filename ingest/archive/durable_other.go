//go:build !linux

package archive

// durable makes the bytes of files in a folder durable.
func durable(_ string, paths []string) error { return durableEach(paths) }
