//go:build wasip1

// Command sums is the sums of a room, for the browser on a phone without
// signal. It is built for WebAssembly and called through what it exports: the
// caller asks take for room for n bytes, writes what it asks there as JSON,
// calls work, and reads the answer where answer says that it is.
package main

import (
	"unsafe"

	"lathmark/domain/sums"
)

// asked and said hold what goes in and out, so that both stay where they are
// until the next call.
var asked, said []byte

// take makes room for n bytes and returns where it is.
//
//go:wasmexport take
func take(n int32) unsafe.Pointer {
	asked = make([]byte, n)
	return unsafe.Pointer(unsafe.SliceData(asked))
}

// work answers what was written there and returns the answer's length; below 0
// if there is none: then it is the length, less its sign, of the reason.
//
//go:wasmexport work
func work() int32 {
	out, err := sums.Work(asked)
	if asked = nil; err != nil {
		said = []byte(err.Error())
		return -int32(len(said))
	}
	said = out
	return int32(len(said))
}

// answer returns where the answer is.
//
//go:wasmexport answer
func answer() unsafe.Pointer { return unsafe.Pointer(unsafe.SliceData(said)) }

func main() {}
