package drawing

import (
	"bytes"
	"fmt"
	"image/png"
	"regexp"
	"strings"
	"testing"

	qrcode "github.com/skip2/go-qrcode"
)

var (
	codeBox  = regexp.MustCompile(`viewBox="0 0 (\d+) (\d+)"`)
	codeRuns = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`)
)

// modules reads a code's drawing back: which of its modules are dark.
func modules(t *testing.T, svg string) [][]bool {
	t.Helper()
	number := func(s string) (n int) {
		if _, err := fmt.Sscan(s, &n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	box := codeBox.FindStringSubmatch(svg)
	if box == nil || box[1] != box[2] {
		t.Fatalf("no square drawing: %.200s", svg)
	}
	dark := make([][]bool, number(box[1]))
	for y := range dark {
		dark[y] = make([]bool, len(dark))
	}
	for _, run := range codeRuns.FindAllStringSubmatch(svg, -1) {
		x, y, w := number(run[1]), number(run[2]), number(run[3])
		if run[3] != run[4] || w < 1 {
			t.Errorf("a run does not close: %s", run[0])
		}
		for i := range w {
			if dark[y][x+i] {
				t.Errorf("module %d, %d is drawn twice", x+i, y)
			}
			dark[y][x+i] = true
		}
	}
	return dark
}

// finder is the corner pattern of a QR code with its light border (ISO/IEC
// 18004; from memory).
const finder = `
#######-
#-----#-
#-###-#-
#-###-#-
#-###-#-
#-----#-
#######-
--------`

// The drawing is a QR code: of a valid size, with its three corners, its timing
// lines and its quiet zone, dark where the library has it dark.
func TestCode(t *testing.T) {
	for _, text := range []string{"https://lathmark.example/invited/" + strings.Repeat("Ab-_", 16), "x",
		strings.Repeat("ü", 500)} {
		got, err := Code(text, "The <code>")
		if err != nil {
			t.Fatal(err)
		}
		svg := string(got)
		if !strings.Contains(svg, `aria-label="The &lt;code&gt;"`) || !strings.Contains(svg, `role="img"`) ||
			strings.Contains(svg, "style=") {
			t.Errorf("%.200s", svg)
		}
		dark := modules(t, svg)
		n := len(dark) - 2*quiet
		if n < 21 || n > 177 || (n-17)%4 != 0 { // versions 1 to 40: 17 + 4 v modules
			t.Fatalf("%d modules", n)
		}
		for y := range dark {
			for x := range dark {
				if in := min(x, y, len(dark)-1-x, len(dark)-1-y) >= quiet; dark[y][x] && !in {
					t.Fatalf("%d, %d in the quiet zone is dark", x, y)
				}
			}
		}
		for y, row := range strings.Split(finder[1:], "\n") {
			for x, c := range row {
				for _, at := range [][2]int{{x, y}, {n - 1 - x, y}, {x, n - 1 - y}} {
					if dark[quiet+at[1]][quiet+at[0]] != (c == '#') {
						t.Fatalf("the corner is wrong at %v", at)
					}
				}
			}
		}
		for i := 8; i < n-8; i++ {
			if dark[quiet+6][quiet+i] != (i%2 == 0) || dark[quiet+i][quiet+6] != (i%2 == 0) {
				t.Fatalf("a timing line is wrong at %d", i)
			}
		}
		same(t, text, dark)
	}
	if _, err := Code(strings.Repeat("x", 4000), ""); err == nil {
		t.Error("a text that is too long is drawn")
	}
}

// same compares with the library's own picture, one pixel a module.
func same(t *testing.T, text string, dark [][]bool) {
	t.Helper()
	data, err := qrcode.Encode(text, qrcode.Medium, -1) // less than 0: pixels a module
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil || picture.Bounds().Dx() != len(dark) {
		t.Fatalf("%v, %v against %d", err, picture.Bounds(), len(dark))
	}
	for y := range dark {
		for x := range dark {
			if r, _, _, _ := picture.At(x, y).RGBA(); (r == 0) != dark[y][x] {
				t.Fatalf("module %d, %d differs from the library's picture", x, y)
			}
		}
	}
}
