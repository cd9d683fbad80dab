package sequence

import "math/bits"

// chance is a stream of random numbers that depends on its seed alone, with every
// release of Go: SplitMix64 (Steele, Lea, Flood 2014).
type chance uint64

func (c *chance) next() uint64 {
	*c += 0x9e3779b97f4a7c15
	z := uint64(*c)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below returns a number from 0 to n-1.
func (c *chance) below(n int) int {
	hi, _ := bits.Mul64(c.next(), uint64(n))
	return int(hi)
}

// unit returns a number from 0, below 1.
func (c *chance) unit() float64 { return float64(c.next()>>11) / (1 << 53) }
