package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"slotcast/forecast"
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
)

// program is the service: ready to answer when it is opened.
type program struct {
	log      *slog.Logger
	store    *store.Store
	listener net.Listener
	server   *http.Server
}

// open loads the insertions, opens the database and takes the address, so that
// whatever cannot work is told before anything is answered.
func open(ctx context.Context, c config, log *slog.Logger) (*program, error) {
	book, err := forecast.Load()
	if err != nil {
		return nil, fmt.Errorf("load the insertions: %w", err)
	}
	data, err := store.Open(ctx, c.database)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", err)
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", c.listen)
	if err != nil {
		return nil, errors.Join(err, data.Close())
	}
	return &program{
		log:      log,
		store:    data,
		listener: listener,
		server: &http.Server{
			Handler:           web.New(web.Config{Book: book, PublicURL: c.publicURL, Log: log, Healthy: data.Ping}),
			ReadHeaderTimeout: readHeaderTimeout,
			ReadTimeout:       readTimeout,
			WriteTimeout:      writeTimeout,
			IdleTimeout:       idleTimeout,
			MaxHeaderBytes:    maxHeaderBytes,
			ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		},
	}, nil
}

// URL is where the program answers.
func (p *program) URL() string { return "http://" + p.listener.Addr().String() }

// Run answers until ctx is done, then takes no more requests and finishes those
// under way.
func (p *program) Run(ctx context.Context) error {
	served := make(chan error, 1)
	go func() { served <- p.server.Serve(p.listener) }()
	p.log.Info("listening on " + p.URL())
	select {
	case err := <-served:
		return err
	case <-ctx.Done():
	}
	p.log.Info("stopping: requests under way are finished")
	stopping, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
	defer cancel()
	return p.server.Shutdown(stopping)
}

// Close lets go of the address and the database.
func (p *program) Close() error {
	return errors.Join(p.server.Close(), p.store.Close())
}
