package web

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"sync"
	"time"
)

// Limits say how long a client may take and how much it may send. Our own
// choices: a phone on a weak line gets through, a client that stalls does not
// hold a place for long.
type Limits struct {
	Header  time.Duration // until the head of a request is there; default 5 s
	Request time.Duration // until all of it is there; default 60 s, for an upload
	Answer  time.Duration // until the answer is taken; default 60 s
	Idle    time.Duration // between requests; default 60 s
	Clients int           // connections at once, more wait; default 256
}

func (l Limits) withDefaults() Limits {
	or := func(d *time.Duration, s time.Duration) {
		if *d == 0 {
			*d = s * time.Second
		}
	}
	or(&l.Header, 5)
	or(&l.Request, 60)
	or(&l.Answer, 60)
	or(&l.Idle, 60)
	if l.Clients == 0 {
		l.Clients = 256
	}
	return l
}

// largestHead bounds the head of a request, octets.
const largestHead = 16 << 10

// Serve serves the handler within limits until the context ends, which is no
// error.
func Serve(ctx context.Context, on net.Listener, h http.Handler, l Limits) error {
	l = l.withDefaults()
	server := &http.Server{
		Handler: h, MaxHeaderBytes: largestHead,
		ReadHeaderTimeout: l.Header, ReadTimeout: l.Request, WriteTimeout: l.Answer, IdleTimeout: l.Idle,
	}
	stop := context.AfterFunc(ctx, func() { _ = server.Close() })
	defer stop()
	err := server.Serve(&bounded{Listener: on, room: make(chan struct{}, l.Clients)})
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return fmt.Errorf("serve the page: %w", err)
}

// bounded takes no more connections at once than it has room for.
type bounded struct {
	net.Listener
	room chan struct{}
}

func (b *bounded) Accept() (net.Conn, error) {
	b.room <- struct{}{}
	c, err := b.Listener.Accept()
	if err != nil {
		<-b.room
		return nil, err
	}
	return &counted{Conn: c, leave: sync.OnceFunc(func() { <-b.room })}, nil
}

// counted gives its place back when it is closed.
type counted struct {
	net.Conn
	leave func()
}

func (c *counted) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
