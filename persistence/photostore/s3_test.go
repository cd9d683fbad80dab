package photostore_test

import (
	"context"
	"encoding/xml"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/persistence/photostore"
)

// bucketServer speaks as much of the S3 object interface as the store needs:
// PUT, GET, HEAD and DELETE of an object and the second version of the listing,
// as the Amazon S3 API Reference has them. The client is minio-go; this server
// is ours, and it checks that a request is signed by our key, not the signature.
type bucketServer struct {
	t  *testing.T
	mu sync.Mutex
	in map[string]s3Object
}

type s3Object struct {
	data []byte
	put  time.Time
}

// signed is the head of a signature of version 4, as the API Reference has it.
var signed = regexp.MustCompile(
	`^AWS4-HMAC-SHA256 Credential=our-key/\d{8}/eu-west-9/s3/aws4_request, ?` +
		`SignedHeaders=[a-z0-9;-]+, ?Signature=[0-9a-f]{64}$`)

func (b *bucketServer) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if !signed.MatchString(r.Header.Get("Authorization")) {
		b.t.Errorf("%s %s is signed %q", r.Method, r.URL, r.Header.Get("Authorization"))
		w.WriteHeader(http.StatusForbidden)
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	name, inBucket := strings.CutPrefix(r.URL.Path, "/pictures/")
	if !inBucket {
		b.t.Errorf("it asks for %s", r.URL)
	}
	object, there := b.in[name]
	switch {
	case r.Method == http.MethodPut:
		b.put(w, r, name)
	case name == "" && r.URL.Query().Get("list-type") == "2":
		b.list(w)
	case r.Method == http.MethodDelete:
		delete(b.in, name)
		w.WriteHeader(http.StatusNoContent)
	case !there:
		w.Header().Set("Content-Type", "application/xml")
		w.WriteHeader(http.StatusNotFound)
		_, _ = io.WriteString(w, `<?xml version="1.0" encoding="UTF-8"?>`+
			`<Error><Code>NoSuchKey</Code><Message>no such key</Message></Error>`)
	default:
		w.Header().Set("ETag", `"0123"`)
		http.ServeContent(w, r, "", object.put, strings.NewReader(string(object.data)))
	}
}

func (b *bucketServer) put(w http.ResponseWriter, r *http.Request, name string) {
	data, err := io.ReadAll(r.Body)
	if err != nil {
		b.t.Error(err)
	}
	if r.Header.Get("X-Amz-Content-Sha256") == "STREAMING-AWS4-HMAC-SHA256-PAYLOAD" ||
		r.Header.Get("X-Amz-Content-Sha256") == "STREAMING-AWS4-HMAC-SHA256-PAYLOAD-TRAILER" {
		data = chunked(b.t, data)
	}
	b.in[name] = s3Object{data, time.Now()}
	w.Header().Set("ETag", `"0123"`)
}

// chunked decodes a body that is signed piece by piece: SIZE;signature, the
// piece, until one of size 0.
func chunked(t *testing.T, body []byte) (out []byte) {
	t.Helper()
	text := string(body)
	for {
		head, rest, ok := strings.Cut(text, "\r\n")
		size := 0
		for _, digit := range strings.ToLower(strings.SplitN(head, ";", 2)[0]) {
			size = size*16 + strings.IndexRune("0123456789abcdef", digit)
		}
		if !ok || size > len(rest) {
			t.Errorf("a piece has the head %q", head)
			return nil
		}
		if size == 0 {
			return out
		}
		out, text = append(out, rest[:size]...), strings.TrimPrefix(rest[size:], "\r\n")
	}
}

func (b *bucketServer) list(w http.ResponseWriter) {
	type content struct {
		Key, LastModified, ETag string
		Size                    int
	}
	out := struct {
		XMLName     xml.Name `xml:"ListBucketResult"`
		Name        string
		KeyCount    int
		IsTruncated bool
		Contents    []content
	}{Name: "pictures", KeyCount: len(b.in)}
	for name, o := range b.in {
		out.Contents = append(out.Contents, content{name, o.put.UTC().Format(time.RFC3339), `"0123"`, len(o.data)})
	}
	w.Header().Set("Content-Type", "application/xml")
	if err := xml.NewEncoder(w).Encode(out); err != nil {
		b.t.Error(err)
	}
}

func s3(t *testing.T) *photostore.S3 {
	t.Helper()
	at := httptest.NewServer(&bucketServer{t: t, in: map[string]s3Object{"not-ours.txt": {[]byte("x"), time.Now()}}})
	t.Cleanup(at.Close)
	s, err := photostore.NewS3(photostore.S3Options{Address: at.URL, Bucket: "pictures", Region: "eu-west-9",
		Key: "our-key", Secret: "our-secret"})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestS3Keeps(t *testing.T) { keeps(t, s3(t)) }

// A store that cannot be reached is an error, and not a missing picture.
func TestS3OutOfReach(t *testing.T) {
	at := httptest.NewServer(http.NotFoundHandler())
	at.Close()
	s, err := photostore.NewS3(photostore.S3Options{Address: at.URL, Bucket: "pictures", Region: "eu-west-9", Key: "k",
		Secret: "s"})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Second) // the client retries until then
	defer stop()
	if there, err := s.Has(ctx, keyOf(id.New[id.Firm](), "a", photo.Full)); there || err == nil {
		t.Errorf("%v, %v", there, err)
	}
}

func TestS3Address(t *testing.T) {
	for _, bad := range []string{"store.example", "ftp://store.example", "https://", "https://store.example/bucket"} {
		if _, err := photostore.NewS3(photostore.S3Options{Address: bad, Bucket: "b", Key: "k", Secret: "s"}); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}
