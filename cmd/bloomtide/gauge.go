package main

import (
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/term"
)

// gauge shows on a terminal how far long work is, at what rate, and how long it
// will take. Where nobody looks it only counts.
type gauge struct {
	read  atomic.Int64
	total int64 // bytes, or steps; 0 where unknown
	line  func(done, total int64, spent time.Duration) string
	to    io.Writer
	quit  chan struct{}
	done  chan struct{}
}

// gaugeEvery is how often it is drawn.
const gaugeEvery = 200 * time.Millisecond

// newGauge starts a gauge for files; standard input has no known length.
func (w world) newGauge(paths []string) *gauge {
	g := &gauge{line: gaugeLine}
	for _, p := range paths {
		if info, err := os.Stat(p); err == nil {
			g.total += info.Size()
		}
	}
	return w.start(g)
}

// newSteps starts a gauge for a number of steps, such as "fitting".
func (w world) newSteps(what string, total int) *gauge {
	return w.start(&gauge{total: int64(total), line: func(done, total int64, spent time.Duration) string {
		return stepsLine(what, done, total, spent)
	}})
}

// start draws a gauge where standard error is a terminal.
func (w world) start(g *gauge) *gauge {
	g.quit, g.done = make(chan struct{}), make(chan struct{})
	f, ok := w.stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		close(g.done)
		return g
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
			fmt.Fprintf(g.to, "\r%-78.78s", g.line(g.read.Load(), g.total, now().Sub(start)))
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

// stepsLine words how far work of a known number of steps is.
func stepsLine(what string, done, total int64, spent time.Duration) string {
	text := fmt.Sprintf("%s: %d of %d", what, done, total)
	if done <= 0 || spent <= 0 {
		return text
	}
	each := spent / time.Duration(done)
	rate := float64(done) / spent.Seconds()
	return fmt.Sprintf("%s, %.2g a second, %s left", text, rate, (each * time.Duration(total-done)).Round(time.Second))
}

// add counts bytes or steps.
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
