package main

import (
	"fmt"
	"io"
	"os"
	"strings"
)

// bar shows on a terminal how far a long work is. Elsewhere it shows nothing.
type bar struct {
	of   int64 // how many steps there are
	out  io.Writer
	done int64
	drew int64 // in hundredths
}

// start has the bar shown on w, if that is a terminal.
func (b *bar) start(w io.Writer) {
	if f, ok := w.(*os.File); ok {
		if at, err := f.Stat(); err == nil && at.Mode()&os.ModeCharDevice != 0 {
			b.out = w
		}
	}
	b.drew = -1
}

// width is how wide the bar is, in characters. With its figures it fits any terminal.
const width = 40

// step is one more.
func (b *bar) step() {
	if b.done++; b.out == nil {
		return
	}
	percent := min(100, b.done*100/max(b.of, 1))
	if percent == b.drew {
		return
	}
	b.drew = percent
	full := int(percent) * width / 100
	fmt.Fprintf(b.out, "\r%s%s %3d %% of %d entries", strings.Repeat("#", full), strings.Repeat(".", width-full), percent,
		b.of)
}

// clear makes room for a line; the next step draws the bar again.
func (b *bar) clear() {
	if b.out != nil && b.drew >= 0 {
		fmt.Fprint(b.out, "\r\033[K")
		b.drew = -1
	}
}

// end takes the bar away.
func (b *bar) end() {
	b.clear()
	b.out = nil
}
