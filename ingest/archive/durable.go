package archive

import (
	"errors"
	"os"
	"sync"
)

// syncers is how many files a disk is asked to confirm at once, our choice.
const syncers = 32

// durableEach makes the bytes of files durable one by one, some at a time.
func durableEach(paths []string) error {
	var wg sync.WaitGroup
	errs := make([]error, min(syncers, len(paths)))
	for k := range errs {
		wg.Go(func() {
			for i := k; i < len(paths) && errs[k] == nil; i += len(errs) {
				errs[k] = syncFile(paths[i])
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

// syncFile makes the bytes of a file durable. Some systems want it open for
// writing.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
