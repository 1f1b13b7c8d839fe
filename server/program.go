package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"sync/atomic"
	"time"

	"slotcast/forecast"
	"slotcast/forecast/atlas"
	"slotcast/server/store"
	"slotcast/web"
)

// Bounds of one request. A forecast takes less than a millisecond; what is
// longer is a slow line, and one that is slower than this holds nothing but a
// connection.
const (
	readHeaderTimeout = 10 * time.Second
	readTimeout       = 30 * time.Second
	writeTimeout      = 60 * time.Second
	idleTimeout       = 2 * time.Minute

	// maxHeaderBytes leaves room for sequences that are far too long, each
	// character percent-encoded in up to nine bytes, so that they get the answer
	// that says so.
	maxHeaderBytes = 1 << 20

	// stopTimeout is how long requests under way may take once the program is to
	// stop; who runs it in a container is given 30 seconds as a rule.
	stopTimeout = 20 * time.Second
	// lastCall is how long connections are still taken then, and kept: those that
	// were made before the signal may wait for it, and closing the address would
	// reset them; and on one that is in use the next request may be on its way.
	lastCall = 250 * time.Millisecond
	// arriveTimeout is how much of that is left to connections that were made but
	// have not asked yet. A browser may keep one in store and never ask.
	arriveTimeout = 3 * time.Second
)

// program is the service: ready to answer when it is opened.
type program struct {
	log      *slog.Logger
	store    *store.Store
	listener net.Listener
	server   *http.Server
	arriving arrivals
	// stopping says that each answer is the last on its connection.
	stopping atomic.Bool
}

// open loads the insertions, opens the database and takes the address, so that
// whatever cannot work is told before anything is answered.
func open(ctx context.Context, c config, log *slog.Logger) (*program, error) {
	return openWith(ctx, c, log, forecast.Load, atlas.Load)
}

func openWith(ctx context.Context, c config, log *slog.Logger, loadBook func() (*forecast.Book, error), loadAtlas func() (*atlas.Atlas, error)) (*program, error) {
	book, err := loadBook()
	if err != nil {
		return nil, fmt.Errorf("load the insertions: %w", err)
	}
	shortest, err := loadAtlas()
	if err != nil {
		return nil, fmt.Errorf("load the shortest insertions: %w", err)
	}
	data, err := store.Open(ctx, c.database)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	data.LogTo(log)
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", c.listen)
	if err != nil {
		return nil, errors.Join(err, data.Close())
	}
	p := &program{log: log, store: data, listener: listener}
	p.server = &http.Server{
		Handler:           p.parting(web.New(web.Config{Book: book, Atlas: shortest, PublicURL: c.publicURL, Rate: c.rate, Proxies: c.proxies, Log: log, Healthy: data.Ping, Store: data})),
		ReadHeaderTimeout: readHeaderTimeout,
		ReadTimeout:       readTimeout,
		WriteTimeout:      writeTimeout,
		IdleTimeout:       idleTimeout,
		MaxHeaderBytes:    maxHeaderBytes,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	p.server.ConnState = p.arriving.watch
	return p, nil
}

// URL is where the program answers.
func (p *program) URL() string { return "http://" + p.listener.Addr().String() }

// Run answers until ctx is done, then takes no more requests and finishes those
// under way.
func (p *program) Run(ctx context.Context) error {
	served := make(chan error, 1)
	go func() { served <- p.server.Serve(p.listener) }()
	aging, stopAging := context.WithCancel(ctx)
	var aged sync.WaitGroup
	aged.Go(func() { p.age(aging) })
	defer aged.Wait()
	defer stopAging()
	p.log.Info("listening on " + p.URL()) // #nosec G706 -- an address that the system gave
	select {
	case err := <-served:
		return err
	case <-ctx.Done():
	}
	p.log.Info("stopping: requests under way are finished")
	stopping, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
	defer cancel()
	p.stopping.Store(true)
	time.Sleep(lastCall)
	// Shutdown drops requests that it has not read to the end of their headers, so
	// first no more connections are taken and those that were are waited for.
	if err := p.listener.Close(); err != nil {
		return err
	}
	<-served // it always fails now, as its listener is closed
	p.arriving.wait(stopping)
	return p.server.Shutdown(stopping)
}

// age has the store forget what has no use any more, now and once a day.
func (p *program) age(ctx context.Context) {
	again := time.NewTicker(24 * time.Hour)
	defer again.Stop()
	for {
		if err := p.store.Age(ctx); err != nil && ctx.Err() == nil {
			p.log.Warn("what is too old is still kept", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-again.C:
		}
	}
}

// parting tells whoever asks while the program stops that the answer is the last
// on its connection. To close one without a word would reset a request that is on
// its way.
func (p *program) parting(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p.stopping.Load() {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}

// Close lets go of the address and the database.
func (p *program) Close() error {
	listening := p.listener.Close()
	if errors.Is(listening, net.ErrClosed) { // by Run
		listening = nil
	}
	return errors.Join(listening, p.server.Close(), p.store.Close())
}

// arrivals are the connections that were made and have not asked anything yet.
type arrivals struct{ connections sync.Map }

// watch is told by the server what becomes of each connection.
func (a *arrivals) watch(c net.Conn, state http.ConnState) {
	if state == http.StateNew {
		a.connections.Store(c, nil)
		return
	}
	a.connections.Delete(c)
}

// wait waits until all have asked or are gone, but not for long.
func (a *arrivals) wait(ctx context.Context) {
	ctx, cancel := context.WithTimeout(ctx, arriveTimeout)
	defer cancel()
	look := time.NewTicker(5 * time.Millisecond)
	defer look.Stop()
	for {
		waiting := false
		a.connections.Range(func(any, any) bool {
			waiting = true
			return false
		})
		if !waiting {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-look.C:
		}
	}
}
