package web

import (
	"embed"
	"io/fs"
)

// The folder contains what `make sums` has built, and is empty if that was not
// run.
//
//go:embed all:sums
var sumsFolder embed.FS

// Sums does the sums of a room for a phone without signal: a WebAssembly
// module, compressed. Its path is "" if the program was built without it; then
// the sums need signal. It is loaded when it is first needed, and so is not
// among the Assets that a phone stores at once.
var Sums = loadSums()

func loadSums() Asset {
	data, err := fs.ReadFile(sumsFolder, "sums/sums.wasm.gz")
	if err != nil {
		return Asset{}
	}
	return Asset{Path: "/static/sums." + hashOf(data) + ".wasm", Type: "application/wasm", Data: data, Packed: true}
}
