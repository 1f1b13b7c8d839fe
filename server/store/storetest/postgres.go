// Package storetest starts a PostgreSQL of their own for tests.
package storetest

import (
	"bytes"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// startTimeout is far more than the second that a start takes.
const startTimeout = 30 * time.Second

// Postgres is a cluster that lives as long as a test.
type Postgres struct {
	port int
	// run makes a command that runs one of PostgreSQL's programs as its user.
	run func(name string, arguments ...string) *exec.Cmd
	// data is the cluster's directory.
	data    string
	lasting bool
	log     bytes.Buffer
	server  *exec.Cmd
	// ended is closed when the server has.
	ended chan struct{}
}

// StartPostgres starts a cluster on the loopback. It does not wait for the disk
// unless lasting, which is slower.
func StartPostgres(t testing.TB, lasting bool) *Postgres {
	t.Helper()
	dir, err := os.MkdirTemp("", "slotcast-postgres-")
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	asUser := asPostgres(t, dir)
	p := &Postgres{port: freePort(t), data: filepath.Join(dir, "data"), lasting: lasting}
	p.run = func(name string, arguments ...string) *exec.Cmd {
		line := slices.Concat(asUser, []string{program(t, name)}, arguments)
		command := exec.Command(line[0], line[1:]...) // #nosec G204 -- the tests' own words
		// A directory that the user postgres may not enter is no place to start in.
		command.Dir = dir
		return command
	}
	out, err := p.run("initdb", "-D", p.data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N").CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Cleanup(func() { p.Stop(t) })
	p.Start(t)
	return p
}

// Start starts the server again after a [Postgres.Stop], at the same address.
func (p *Postgres) Start(t testing.TB) {
	t.Helper()
	p.server = p.run("postgres", "-D", p.data, "-p", strconv.Itoa(p.port), "-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories=", "-c", "fsync="+strconv.FormatBool(p.lasting))
	p.log.Reset()
	p.server.Stdout, p.server.Stderr = &p.log, &p.log
	require.NoError(t, p.server.Start())
	ended := make(chan struct{})
	p.ended = ended
	go func() {
		_ = p.server.Wait()
		close(ended)
	}()
	for deadline := time.Now().Add(startTimeout); ; time.Sleep(20 * time.Millisecond) {
		connection, err := pgx.Connect(t.Context(), p.address("postgres"))
		if err == nil {
			require.NoError(t, connection.Close(t.Context()))
			return
		}
		select {
		case <-ended:
			require.Fail(t, "PostgreSQL ended", "%s", p.log.String())
		default:
		}
		require.True(t, time.Now().Before(deadline), "PostgreSQL does not answer: %v", err)
	}
}

// Stop stops the server at once, if it runs; connections to it break.
func (p *Postgres) Stop(t testing.TB) {
	t.Helper()
	if p.ended == nil {
		return
	}
	select {
	case <-p.ended:
		return
	default:
	}
	stop, err := p.run("pg_ctl", "stop", "-D", p.data, "-m", "immediate").CombinedOutput()
	require.NoError(t, err, "%s", stop)
	<-p.ended
}

// NewDatabase makes an empty database and returns its address.
func (p *Postgres) NewDatabase(t testing.TB) string {
	t.Helper()
	return NewDatabaseBeside(t, p.address("postgres"))
}

// NewDatabaseBeside makes an empty database in the cluster of another.
func NewDatabaseBeside(t testing.TB, address string) string {
	t.Helper()
	name := fmt.Sprintf("test%d", databases.Add(1))
	connection, err := pgx.Connect(t.Context(), address)
	require.NoError(t, err)
	_, err = connection.Exec(t.Context(), "CREATE DATABASE "+name)
	require.NoError(t, err)
	require.NoError(t, connection.Close(t.Context()))
	beside, err := url.Parse(address)
	require.NoError(t, err)
	beside.Path = "/" + name
	return beside.String()
}

// databases counts those that were made, in whatever cluster.
var databases atomic.Int64

// Run runs one of PostgreSQL's programs and returns what it writes.
func Run(t testing.TB, input []byte, name string, arguments ...string) []byte {
	t.Helper()
	command := exec.CommandContext(t.Context(), program(t, name), arguments...) // #nosec G204 -- the tests' own words
	command.Stdin = bytes.NewReader(input)
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.Output()
	require.NoError(t, err, "%s", complaints.String())
	return out
}

func (p *Postgres) address(database string) string {
	return fmt.Sprintf("postgres://postgres@127.0.0.1:%d/%s?sslmode=disable", p.port, database)
}

// program finds one of PostgreSQL's. Debian keeps them out of the way of PATH.
func program(t testing.TB, name string) string {
	t.Helper()
	if path, err := exec.LookPath(name); err == nil {
		return path
	}
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	require.NoError(t, err)
	require.NotEmpty(t, found, "no %s here: apt-get install postgresql", name)
	return found[len(found)-1]
}

// asPostgres is what a command begins with so that it runs as the user postgres,
// to whom the directory is given: PostgreSQL does not run as root. For others
// that is nothing.
func asPostgres(t testing.TB, dir string) []string {
	t.Helper()
	if os.Geteuid() != 0 {
		return nil
	}
	account, err := user.Lookup("postgres")
	require.NoError(t, err, "no user postgres here: apt-get install postgresql")
	uid, err := strconv.Atoi(account.Uid)
	require.NoError(t, err)
	gid, err := strconv.Atoi(account.Gid)
	require.NoError(t, err)
	require.NoError(t, os.Chown(dir, uid, gid))
	return []string{"setpriv", "--reuid=" + account.Uid, "--regid=" + account.Gid, "--clear-groups", "--"}
}

func freePort(t testing.TB) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	require.NoError(t, l.Close())
	return l.Addr().(*net.TCPAddr).Port
}
