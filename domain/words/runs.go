package words

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// Runs joins names as List does, those that count on as one: "D1 to D7, F1 and P1".
func Runs(names []string) string {
	var out []string
	for i := 0; i < len(names); {
		k := i
		for k+1 < len(names) && follows(names[k], names[k+1]) {
			k++
		}
		if k-i < 2 { // two are named
			k = i
			out = append(out, names[i])
		} else {
			out = append(out, names[i]+" to "+names[k])
		}
		i = k + 1
	}
	return List(out)
}

// follows reports whether b is a with the next number.
func follows(a, b string) bool {
	head := strings.TrimRightFunc(a, unicode.IsDigit)
	n, err := strconv.Atoi(a[len(head):])
	return err == nil && b == fmt.Sprintf("%s%d", head, n+1)
}
