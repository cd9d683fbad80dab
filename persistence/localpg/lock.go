package localpg

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// ErrInUse says that another launcher has a server on the folder.
var ErrInUse = errors.New("the folder is in use")

// lock reserves the folder for this process until the file is closed or the
// process ends. It fails at once with ErrInUse if another has it.
func lock(folder string) (*os.File, error) {
	path := filepath.Join(folder, "lock")
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	err = syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		owner, _ := os.ReadFile(path)
		err = fmt.Errorf("%w: process %s runs a server on %s", ErrInUse, strings.TrimSpace(string(owner)), folder)
	}
	if err == nil {
		err = errors.Join(file.Truncate(0), write(file, fmt.Sprintln(os.Getpid())))
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

func write(file *os.File, text string) error {
	_, err := file.WriteAt([]byte(text), 0)
	return err
}
