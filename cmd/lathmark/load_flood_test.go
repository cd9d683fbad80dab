package main

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"mime/multipart"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/time/rate"

	"lathmark/domain/id"
	"lathmark/server/picture/picturetest"
	"lathmark/web"
)

// What is asked while a firm floods the server with the worst pictures that it takes: of
// another firm's photo, against its time alone, and of the server's memory.
const (
	floodTimes   = 2.0
	floodMemory  = 300 // MB
	floodClients = 12
	floodPhotos  = 4
)

// flood measures a firm's photo alone and while another sends the worst pictures, twelve at
// a time, as often as one session may. Both are measured in turns, and of each the best
// counts: a busy machine is busy for both.
func (l *load) flood(b *testing.B) {
	one := l.on.found(b, l.chance, "Marlow Ceilings", 1, 1)
	many := l.on.found(b, l.chance, "Tidewater Fitting", 1, 1)
	server := l.on.serve(b)
	photo := noisy(b, 4000, 3000, 75)
	times := func() (all []time.Duration) {
		for range floodPhotos {
			began := time.Now()
			if status, err := one.sendsPhoto(b.Context(), server.at, photo); err != nil || status != http.StatusSeeOther {
				b.Fatalf("the photo is answered %d, %v", status, err)
			}
			all = append(all, time.Since(began))
		}
		return all
	}
	for name, worst := range worstPictures(b) {
		alone := times()
		end := many.floods(b, server.at, worst)
		in := times()
		answers := end()
		alone = append(alone, times()...)
		slices.Sort(alone)
		slices.Sort(in)
		_, most := server.memory(b)
		ratio := float64(in[0]) / float64(alone[0])
		middle := float64(in[len(in)/2]) / float64(alone[len(alone)/2])
		l.table.say("flood, %s: a photo takes %.2f times as long (%v, alone %v; in the middle %.2f times), %.0f MB at "+
			"most; the flood is answered %v; asked for: under %.0f times, %d MB: %s", name, ratio,
			in[0].Round(time.Millisecond), alone[0].Round(time.Millisecond), middle, most, answers, floodTimes, floodMemory,
			yes(ratio < floodTimes && most < floodMemory))
	}
}

// floods sends a picture again and again until end is called, which returns how often each
// status was answered.
func (f *firmAtWork) floods(b *testing.B, at string, picture []byte) (end func() map[int]int) {
	ctx, stop := context.WithCancel(b.Context())
	var senders sync.WaitGroup
	var mu sync.Mutex
	answers := map[int]int{}
	limit := rate.NewLimiter(rate.Every(50*time.Millisecond), 300) // of a session: server.UsualRates
	for range floodClients {
		senders.Go(func() {
			for limit.Wait(ctx) == nil {
				status, err := f.sendsPhoto(ctx, at, picture)
				mu.Lock()
				if err == nil {
					answers[status]++
				}
				mu.Unlock()
			}
		})
	}
	return func() map[int]int { stop(); senders.Wait(); return answers }
}

// sendsPhoto sends a picture as a page without script does, and returns the answer's status.
func (f *firmAtWork) sendsPhoto(ctx context.Context, at string, picture []byte) (status int, err error) {
	var head bytes.Buffer
	w := multipart.NewWriter(&head)
	_ = w.WriteField("id", id.New[id.Photo]().String()) // writing to a buffer never fails
	_ = w.WriteField("on", "stage/first_fix")
	if _, err := w.CreateFormFile("picture", "IMG_0001.jpg"); err != nil {
		return 0, err
	}
	tail := "\r\n--" + w.Boundary() + "--\r\n"
	size := int64(head.Len() + len(picture) + len(tail))
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, at+web.Place{Room: f.rooms[0].id}.Photos(),
		io.MultiReader(&head, bytes.NewReader(picture), strings.NewReader(tail)))
	if err != nil {
		return 0, err
	}
	r.ContentLength = size
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Origin", at)
	r.Header.Set("Cookie", f.cookie)
	answer, err := once().http.Do(r)
	if err != nil {
		return 0, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err == nil && answer.StatusCode != http.StatusSeeOther && answer.StatusCode != http.StatusTooManyRequests {
		err = fmt.Errorf("the photo is answered %d: %.4000s", answer.StatusCode, text)
	}
	return answer.StatusCode, err
}

// worstPictures are the largest of each kind that is taken, and those that cost most.
func worstPictures(b *testing.B) map[string][]byte {
	deep := image.NewRGBA64(image.Rect(0, 0, 3100, 3100))
	flat := image.NewPaletted(image.Rect(0, 0, 7000, 7000), color.Palette{color.White, color.Black})
	return map[string][]byte{
		"grey of 49 million":        picturetest.Layered(7000, 7000, 1, false, 1),
		"progressive in 32 passes":  picturetest.Layered(3900, 3900, 1, true, 32),
		"a photo of 48 million":     noisy(b, 8000, 6000, 30),
		"PNG with 16 bits":          asPNG(b, deep),
		"PNG with a palette":        asPNG(b, flat),
		"photo with 14 MB about it": padded(noisy(b, 4000, 3000, 75)),
	}
}

// noisy returns a photo: no two blocks of it are alike.
func noisy(b *testing.B, w, h, quality int) []byte {
	raw := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	n := uint32(1)
	for _, plane := range [][]uint8{raw.Y, raw.Cb, raw.Cr} {
		for i := range plane {
			n = n*1664525 + 1013904223
			plane[i] = uint8(n>>28) + uint8(i/97)
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, raw, &jpeg.Options{Quality: quality}); err != nil {
		b.Fatal(err)
	}
	return out.Bytes()
}

func asPNG(b *testing.B, raw image.Image) []byte {
	var out bytes.Buffer
	if err := png.Encode(&out, raw); err != nil {
		b.Fatal(err)
	}
	return out.Bytes()
}

// padded puts as much about a picture into its file as is taken.
func padded(file []byte) []byte {
	segment := append([]byte{0xff, 0xe2, 0xff, 0xff}, make([]byte, 0xfffd)...)
	return slices.Concat(file[:2], bytes.Repeat(segment, (15<<20-len(file))/len(segment)), file[2:])
}
