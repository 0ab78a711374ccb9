package archive

import (
	"errors"
	"fmt"
	"os"
)

// Hold locks the file name against other holders, in this process and in others,
// until release is called or the process ends. The file is made where there is
// none, holds nothing and stays. The error wraps ErrLocked where another holds it.
func Hold(name string) (release func() error, err error) {
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return nil, fmt.Errorf("lock %s: %w", name, err)
	}
	if err := lock(f); err != nil {
		return nil, errors.Join(fmt.Errorf("lock %s: %w", name, err), f.Close())
	}
	return f.Close, nil
}
