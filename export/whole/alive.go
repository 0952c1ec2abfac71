package whole

import (
	"errors"
	"os"
	"runtime"
	"syscall"
)

// alive tells whether process pid runs. Finding it is proof on Windows;
// elsewhere finding always works and a null signal asks.
func alive(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	if runtime.GOOS == "windows" {
		return true
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, syscall.EPERM)
}
