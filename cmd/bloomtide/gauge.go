package main

import (
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/term"
)

// gauge shows on a terminal how far the reading of files is, at what rate, and
// how long it will take. Where nobody looks it only counts.
type gauge struct {
	read  atomic.Int64
	total int64 // bytes; 0 where unknown
	to    io.Writer
	quit  chan struct{}
	done  chan struct{}
}

// gaugeEvery is how often it is drawn.
const gaugeEvery = 200 * time.Millisecond

// newGauge starts a gauge for files; standard input has no known length.
func (w world) newGauge(paths []string) *gauge {
	g := &gauge{quit: make(chan struct{}), done: make(chan struct{})}
	f, ok := w.stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		close(g.done)
		return g
	}
	for _, p := range paths {
		if info, err := os.Stat(p); err == nil {
			g.total += info.Size()
		}
	}
	g.to = f
	go g.run(w.now)
	return g
}

func (g *gauge) run(now func() time.Time) {
	defer close(g.done)
	start := now()
	tick := time.NewTicker(gaugeEvery)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
			fmt.Fprintf(g.to, "\r%-78.78s", gaugeLine(g.read.Load(), g.total, now().Sub(start)))
		case <-g.quit:
			fmt.Fprintf(g.to, "\r%78s\r", "")
			return
		}
	}
}

// gaugeLine words how far a reading is. What is read twice may pass the total.
func gaugeLine(read, total int64, spent time.Duration) string {
	rate := float64(read) / max(spent.Seconds(), 1e-3) // bytes/s
	text := fmt.Sprintf("reading: %s, %s/s", megabytes(read), megabytes(int64(rate)))
	if total > 0 && read <= total && rate > 0 {
		left := time.Duration(float64(total-read) / rate * float64(time.Second))
		text = fmt.Sprintf("reading: %d %% of %s, %s/s, %s left",
			100*read/total, megabytes(total), megabytes(int64(rate)), left.Round(time.Second))
	}
	return text
}

// add counts bytes.
func (g *gauge) add(n int64) { g.read.Add(n) }

// through counts what is read of r.
func (g *gauge) through(r io.Reader) io.Reader {
	if s, ok := r.(io.Seeker); ok {
		if at, ok := r.(io.ReaderAt); ok {
			return &countedFile{countedReader{r, g}, s, at}
		}
	}
	return &countedReader{r, g}
}

// stop ends the drawing and clears the line.
func (g *gauge) stop() {
	close(g.quit)
	<-g.done
}

type countedReader struct {
	r io.Reader
	g *gauge
}

// Read reads and counts.
func (c *countedReader) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.g.add(int64(n))
	return n, err
}

// countedFile stays a file to readers that look into the middle of it.
type countedFile struct {
	countedReader
	io.Seeker
	io.ReaderAt
}

// Close closes what is counted, where it can be.
func (c *countedReader) Close() error {
	if closer, ok := c.r.(io.Closer); ok {
		return closer.Close()
	}
	return nil
}
