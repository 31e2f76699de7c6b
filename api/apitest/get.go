// Package apitest asks a running service in tests.
package apitest

import (
	"io"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
)

// Get gives the status and the body of what stands at an address.
func Get(t testing.TB, url string) (status int, body string) {
	t.Helper()
	r, err := http.Get(url)
	require.NoError(t, err)
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return r.StatusCode, string(b)
}
