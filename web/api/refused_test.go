package api_test

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"slotcast/web/webtest/site"
)

// Who sends a whole file without a key reads why it is refused: the answer is not
// lost with the rest of the file.
func TestAnImportWithoutAKeyIsRefusedReadably(t *testing.T) {
	t.Parallel()
	server := httptest.NewServer(site.New(t))
	defer server.Close()
	c, err := net.Dial("tcp", strings.TrimPrefix(server.URL, "http://"))
	require.NoError(t, err)
	defer func() { assert.NoError(t, c.Close()) }()
	file := strings.Repeat(" ", 6<<20)
	_, err = fmt.Fprintf(c, "POST /api/v1/import HTTP/1.1\r\nHost: here\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n", len(file))
	require.NoError(t, err)
	for part := 0; part < len(file); part += 1 << 20 {
		_, err = c.Write([]byte(file[part : part+1<<20]))
		require.NoError(t, err, "it is read to its end")
	}
	got, err := http.ReadResponse(bufio.NewReader(c), nil)
	require.NoError(t, err)
	assert.Equal(t, http.StatusUnauthorized, got.StatusCode)
	require.NoError(t, got.Body.Close())
}
