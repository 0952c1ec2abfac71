package main

import (
	"context"
	"errors"
	"fmt"
	"io"
)

// Rules of our messages: one sentence that says what is wrong and where (file
// and line where there is one), then what to do about it. Lower case after
// "cellwall:", no stack traces, no advice that was not tried.

// Exit statuses, as --help states them.
const (
	statusDone = iota
	statusNo   // the answer is "no": a check failed, an object was not located under --strict
	statusWrong
	statusInterrupted
)

// errNo ends a command whose result was printed and is "no".
var errNo = errors.New("the answer is no")

// status says the error on w, where there is one to say, and returns the exit
// status that it stands for.
func status(w io.Writer, err error) int {
	switch {
	case err == nil:
		return statusDone
	case errors.Is(err, errNo):
		return statusNo
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(w, "cellwall: interrupted; nothing was written, an earlier map is as it was")
		return statusInterrupted
	}
	fmt.Fprintln(w, "cellwall:", err)
	return statusWrong
}
