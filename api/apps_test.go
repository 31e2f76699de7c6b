package api

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/klauspost/compress/zstd"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/tanrad/tanrad/api/gate"
)

const quickly = "/v1/board?exposures=none&cracks=false&chance=false"

// Pages of origins that were named may ask, others may not, and nobody in the
// name of a user.
func TestOtherOrigins(t *testing.T) {
	const friend = "https://design.example"
	h := newHarness(t, Config{Origins: []string{friend}})
	preflight := func(h *harness, origin string) *httptest.ResponseRecorder {
		return h.fire(request{method: http.MethodOptions, path: "/v1/board", header: map[string]string{"Origin": origin,
			"Access-Control-Request-Method": "POST", "Access-Control-Request-Headers": "authorization,content-type"}})
	}
	w := preflight(h, friend)
	assert.Equal(t, http.StatusNoContent, w.Code)
	assert.Equal(t, friend, w.Header().Get("Access-Control-Allow-Origin"))
	assert.Empty(t, w.Header().Get("Access-Control-Allow-Credentials"))
	assert.Contains(t, strings.Join(w.Header().Values("Vary"), ","), "Origin")
	w = h.send(request{path: quickly, body: goodBoard, header: map[string]string{"Origin": friend}})
	assert.Equal(t, friend, w.Header().Get("Access-Control-Allow-Origin"))
	assert.Contains(t, strings.ToLower(w.Header().Get("Access-Control-Expose-Headers")), "retry-after")
	for _, stranger := range []string{"https://design.example.evil", "http://design.example", "null"} {
		w = preflight(h, stranger)
		assert.Empty(t, w.Header().Get("Access-Control-Allow-Origin"), stranger)
		w = h.send(request{path: "/v1/climates", header: map[string]string{"Origin": stranger}})
		assert.Empty(t, w.Header().Get("Access-Control-Allow-Origin"), stranger)
	}
	closed := newHarness(t, Config{})
	assert.Empty(t, preflight(closed, friend).Header().Get("Access-Control-Allow-Origin"), "off unless asked for")
	for _, bad := range []string{"design.example", "ftp://design.example", "https://design.example/path", ""} {
		_, err := New(Config{Origins: []string{bad}, Log: silent})
		assert.Error(t, err, bad)
	}
}

// Answers come packed as the client likes, and unpacked are the same bytes.
func TestAnswersArePacked(t *testing.T) {
	h := newHarness(t, Config{})
	plain := h.send(request{path: quickly, body: goodBoard})
	assert.Empty(t, plain.Header().Get("Content-Encoding"))
	unpack := map[string]func(io.Reader) (io.Reader, error){
		"gzip": func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
		"zstd": func(r io.Reader) (io.Reader, error) { return zstd.NewReader(r) },
	}
	for asked, want := range map[string]string{"gzip": "gzip", "zstd": "zstd", "gzip, zstd, br": "zstd", "gzip;q=0": "", "br": ""} {
		w := h.fire(request{path: quickly, body: goodBoard, header: map[string]string{"Accept-Encoding": asked}})
		require.Equal(t, want, w.Header().Get("Content-Encoding"), asked)
		assert.Contains(t, strings.Join(w.Header().Values("Vary"), ","), "Accept-Encoding")
		body := io.Reader(bytes.NewReader(w.Body.Bytes()))
		if want != "" {
			assert.Less(t, w.Body.Len(), plain.Body.Len()/2)
			var err error
			body, err = unpack[want](body)
			require.NoError(t, err)
		}
		got, err := io.ReadAll(body)
		require.NoError(t, err)
		assert.Equal(t, plain.Body.String(), string(got), asked)
	}
}

// Whoever has an answer is told so: lists, files, pictures, boards, the last before
// any work is done.
func TestUnchangedAnswersAreNotSentAgain(t *testing.T) {
	h := newHarness(t, Config{Checks: 1, Quick: 1})
	for _, q := range []request{{path: "/v1/species?q=maple"}, {path: "/v1/climates"}, {path: "/v1/finishes"}, {path: "/v1/species/teak"}, {path: "/"}, {path: "/page/page.css"},
		{path: "/openapi.json"}, {path: "/v1/board/picture?view=layout&exposures=none", body: goodBoard}, {path: quickly, body: goodBoard}} {
		first := h.good(q)
		require.Equal(t, http.StatusOK, first.Code, q.path)
		tag := first.Header().Get("ETag")
		require.NotEmpty(t, tag, q.path)
		q.header = map[string]string{"If-None-Match": `"other", ` + tag}
		if q.body != "" { // no place is needed
			p, err := enter(t.Context(), h.server.quick, "another")
			require.NoError(t, err)
			o, err := enter(t.Context(), h.server.heavy, "another")
			require.NoError(t, err)
			defer p.Leave()
			defer o.Leave()
			again := h.good(q)
			p.Leave()
			o.Leave()
			assert.Equal(t, http.StatusNotModified, again.Code, q.path)
			continue
		}
		again := h.good(q)
		assert.Equal(t, http.StatusNotModified, again.Code, q.path)
		assert.Empty(t, again.Body.String())
		q.header = map[string]string{"If-None-Match": `"other"`}
		assert.Equal(t, http.StatusOK, h.good(q).Code, q.path)
	}
	for _, path := range []string{quickly, quickly + "&fields=verdict", "/v1/board/picture?view=layout&exposures=none"} {
		first := h.good(request{path: path, body: goodBoard})
		p, err := enter(t.Context(), h.server.quick, "another")
		require.NoError(t, err)
		o, err := enter(t.Context(), h.server.heavy, "another")
		require.NoError(t, err)
		again := h.good(request{path: path, body: goodBoard})
		p.Leave()
		o.Leave()
		assert.Equal(t, first.Body.String(), again.Body.String(), "kept, so that it needs no place: %s", path)
		for _, key := range []string{"Content-Type", "Content-Length", "Content-Security-Policy", "ETag"} {
			assert.Equal(t, first.Header().Get(key), again.Header().Get(key), "%s of %s", key, path)
		}
	}
	tag := func(path, body string) string {
		return h.send(request{path: path, body: body}).Header().Get("ETag")
	}
	assert.NotEqual(t, tag(quickly, goodBoard), tag(quickly, strings.Replace(goodBoard, "38", "39", 1)))
	assert.NotEqual(t, tag(quickly, goodBoard), tag(quickly+"&mc=9", goodBoard))
	assert.NotEqual(t, tag(quickly, goodBoard), tag(quickly+"&fields=verdict", goodBoard))
	svg := h.send(request{path: quickly, body: goodBoard, header: map[string]string{"Accept": typeSVG}})
	assert.NotEqual(t, tag(quickly, goodBoard), svg.Header().Get("ETag"))
	assert.Equal(t, gate.State{}, h.server.quick.State())
}

// Only the keys that were asked for come, as they stand in the whole answer.
func TestFields(t *testing.T) {
	h := newHarness(t, Config{})
	var whole, part map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(h.good(request{path: quickly, body: goodBoard}).Body.Bytes(), &whole))
	w := h.good(request{path: quickly + "&fields=verdict,made&fields=joints.id,joints.utilisation,size.width_max", body: goodBoard})
	require.Equal(t, http.StatusOK, w.Code, short(w))
	assert.Equal(t, typePart, w.Header().Get("Content-Type"))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &part))
	require.Len(t, part, 4)
	assert.JSONEq(t, string(whole["verdict"]), string(part["verdict"]))
	assert.JSONEq(t, string(whole["made"]), string(part["made"]))
	var all, few []map[string]any
	require.NoError(t, json.Unmarshal(whole["joints"], &all))
	require.NoError(t, json.Unmarshal(part["joints"], &few))
	require.Len(t, few, len(all))
	for i := range few {
		assert.Equal(t, map[string]any{"id": all[i]["id"], "utilisation": all[i]["utilisation"]}, few[i])
	}
	w = h.send(request{path: quickly + "&fields=verdict,jonts.id,joints.u", body: goodBoard})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	p := problem(t, w)
	require.Len(t, p.Errors, 2)
	assert.Equal(t, "fields", p.Errors[0].Parameter)
	assert.Equal(t, http.StatusOK, h.good(request{path: quickly + "&fields=chance,worst", body: goodBoard}).Code, "a key that this answer happens not to have")
}

// Every answer tells what it was made with.
func TestAnswersTellTheirVersions(t *testing.T) {
	h := newHarness(t, Config{})
	w := h.send(request{path: quickly, body: goodBoard})
	var r struct {
		Made struct{ Program, Data string }
	}
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &r))
	assert.NotEmpty(t, r.Made.Program)
	assert.Len(t, r.Made.Data, 12)
	for _, path := range []string{"/v1/climates", "/v1/species/teak", "/healthz"} {
		w := h.send(request{path: path})
		assert.Equal(t, r.Made.Program, w.Header().Get(programHeader))
		assert.Equal(t, r.Made.Data, w.Header().Get(dataHeader))
	}
}

// With keys, whoever asks must send one; pages and probes ask for none. Neither
// the file nor the log holds a secret.
func TestKeys(t *testing.T) {
	key, secret, err := NewKey("shop")
	require.NoError(t, err)
	other, _, err := NewKey("other")
	require.NoError(t, err)
	file := "# keys\n\n" + other.String() + "\n" + key.String() + "\n"
	assert.NotContains(t, file, secret)
	keys, err := ReadKeys([]byte(file))
	require.NoError(t, err)
	require.Len(t, keys, 2)
	var log bytes.Buffer
	h := newHarness(t, Config{Keys: keys, Log: debugLog(&log)})
	for _, path := range []string{"/v1/climates", "/v1/species/teak", quickly} {
		q := request{path: path}
		if path == quickly {
			q.body = goodBoard
		}
		for _, with := range []map[string]string{nil, {"X-Api-Key": secret[:len(secret)-1]}, {"Authorization": "Bearer " + secret + "x"}, {"Authorization": "Basic " + secret}, {"X-Api-Key": ""}} {
			q.header = with
			w := h.send(q)
			assert.Equal(t, http.StatusUnauthorized, w.Code, path)
			assert.Contains(t, w.Header().Get("WWW-Authenticate"), "Bearer")
		}
		for _, with := range []map[string]string{{"X-Api-Key": secret}, {"Authorization": "Bearer " + secret}, {"Authorization": "bearer " + secret}} {
			q.header = with
			w := h.send(q)
			assert.Equal(t, http.StatusOK, w.Code, path)
			assert.Equal(t, "private", w.Header().Get("Cache-Control"), path)
		}
	}
	for _, path := range []string{"/healthz", "/readyz", "/", "/openapi.yaml"} {
		assert.Equal(t, http.StatusOK, h.send(request{path: path}).Code, path)
	}
	assert.NotContains(t, log.String(), secret)
	assert.Contains(t, log.String(), "key shop")
	for _, bad := range []string{"", "# none", "shop", "shop 12", key.String() + "\n" + key.String(), "a b " + strings.Repeat("0", 64)} {
		_, err := ReadKeys([]byte(bad))
		assert.Error(t, err, bad)
	}
	_, _, err = NewKey("two words")
	assert.Error(t, err)
}

// Every answer, also a refusal, says that it is what it says, that it is for no other
// origin, and that whoever follows a link from it tells nothing.
func TestSecurityHeaders(t *testing.T) {
	h := newHarness(t, Config{})
	for _, q := range []request{{path: "/"}, {path: "/v1/climates"}, {path: quickly, body: goodBoard}, {path: "/v1/board", body: "{"}, {path: "/nowhere"}, {method: http.MethodPut, path: "/v1/climates"}} {
		w := h.fire(q)
		assert.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"), q.path)
		assert.Equal(t, "no-referrer", w.Header().Get("Referrer-Policy"), q.path)
		assert.Equal(t, "same-origin", w.Header().Get("Cross-Origin-Resource-Policy"), q.path)
		if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			assert.Contains(t, w.Header().Get("Content-Security-Policy"), "frame-ancestors 'none'", q.path)
		}
	}
}

// An address that others can reach asks for keys, unless told otherwise.
func TestOpenAddressesAskForKeys(t *testing.T) {
	key, _, err := NewKey("x")
	require.NoError(t, err)
	for _, addr := range []string{":8080", "0.0.0.0:8080", "192.0.2.1:80", "[::]:80", "example.org:80"} {
		_, err := New(Config{Addr: addr, Log: silent})
		assert.Error(t, err, addr)
		_, err = New(Config{Addr: addr, Open: true, Log: silent})
		assert.NoError(t, err, addr)
		_, err = New(Config{Addr: addr, Keys: []Key{key}, Log: silent})
		assert.NoError(t, err, addr)
	}
	for _, addr := range []string{"", "127.0.0.1:0", "localhost:8080", "[::1]:1"} {
		_, err := New(Config{Addr: addr, Log: silent})
		assert.NoError(t, err, addr)
	}
}

// A text of a hundred thousand faults is refused without a search for each.
func TestManyFaultsAreCheap(t *testing.T) {
	h := newHarness(t, Config{})
	var b, q strings.Builder
	b.WriteString("{")
	for i := range 150_000 {
		if i > 0 {
			b.WriteString(",")
		}
		b.WriteString(`"a":1`)
	}
	b.WriteString("}")
	w := h.send(request{path: "/v1/board", body: b.String()})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.LessOrEqual(t, len(problem(t, w).Errors), 110)
	for i := range 5000 {
		q.WriteString("&p" + itoa(i) + "=1")
	}
	w = h.send(request{path: "/v1/board?" + q.String()[1:], body: goodBoard})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.LessOrEqual(t, len(problem(t, w).Errors), mostFaults+1)
	assert.Less(t, w.Body.Len(), 64<<10)
}

// What an exported file would be too long for is told before it is written.
func TestExportIsBounded(t *testing.T) {
	row := strings.Repeat("MW", 30)
	rows := `"` + strings.Repeat(row+`","`, 39) + row + `"`
	body := `{"tanrad":1,"units":"mm","thickness":38,"stock":{"M":{"species":"sugar-maple","ring_angle":0,"moisture":8},"W":{"species":"black-walnut","ring_angle":90,"moisture":8}},"field":{"grid":{"block":[30,30],"rows":[` + rows + `]}}}`
	h := newHarness(t, Config{})
	w := h.send(request{path: "/v1/board/export?format=mtx", body: body})
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code, short(w))
	assert.Contains(t, w.Body.String(), "64 MB")
}
