package web

import (
	"embed"
	"io/fs"
)

// The folder holds what `make sums` has built, and is empty if it was not
// called.
//
//go:embed all:sums
var sumsFolder embed.FS

// Sums is the sums of a room for a phone without signal: a WebAssembly module,
// packed. Its path is "" if the program was built without; then the sums come
// with signal. It is loaded when it is first asked, and so is none of the
// Assets that a phone keeps at once.
var Sums = loadSums()

func loadSums() Asset {
	data, err := fs.ReadFile(sumsFolder, "sums/sums.wasm.gz")
	if err != nil {
		return Asset{}
	}
	return Asset{Path: "/static/sums." + hashOf(data) + ".wasm", Type: "application/wasm", Data: data, Packed: true}
}
