package fetch

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// attempt is one try to fetch one file.
type attempt struct {
	c    *Client
	it   item
	have *record // of the stored file, nil for none
	part record  // of what has come before
	from int64   // octets of the part
	got  int64   // octets of this try
}

// Reasons for which a try is broken off.
var (
	errStall = errors.New("no answer for too long")
	errLong  = errors.New("the download takes too long")
)

// run makes the try. The outcome's Bytes are true with an error too.
func (a *attempt) run(ctx context.Context) (Outcome, error) {
	a.part, a.from = a.c.part(a.it)
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	defer a.c.clock.AfterFunc(a.c.o.Longest, func() { cancel(errLong) })()
	out, err := a.ask(ctx, cancel)
	out.Bytes = a.got
	var e *Error
	if errors.As(err, &e) && e.afresh {
		err = errors.Join(err, a.c.drop(a.it))
	}
	return out, err
}

// ask sends the request and takes the answer.
func (a *attempt) ask(ctx context.Context, cancel context.CancelCauseFunc) (Outcome, error) {
	req, err := a.request(ctx)
	if err != nil {
		return Outcome{}, err
	}
	stop := a.c.clock.AfterFunc(a.c.o.Stall, func() { cancel(errStall) })
	resp, err := a.c.web.Do(req)
	stop()
	if err != nil {
		return Outcome{}, a.broken(ctx, err)
	}
	defer resp.Body.Close()
	switch {
	case resp.StatusCode == http.StatusNotModified && req.Header.Get("Range") == "" && a.have != nil && a.have.Address != "":
		return a.unchanged()
	case resp.StatusCode == http.StatusPartialContent && a.from > 0:
		if err := a.fits(resp); err != nil {
			return Outcome{}, err
		}
	case resp.StatusCode == http.StatusOK:
		a.from = 0
	default:
		return Outcome{}, a.refused(resp)
	}
	if err := a.take(ctx, cancel, resp); err != nil {
		return Outcome{}, err
	}
	return a.finish()
}

// request asks for the rest of a part, else for the file unless it is the one
// that is stored.
func (a *attempt) request(ctx context.Context) (*http.Request, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, a.it.address, nil)
	if err != nil {
		return nil, &AddressError{a.it.address, "not a web address", "correct it in the settings"}
	}
	h := req.Header
	h.Set("User-Agent", a.c.o.UserAgent)
	h.Set("Accept-Encoding", "identity") // so that octets can be counted and resumed
	switch {
	case a.from > 0:
		h.Set("Range", fmt.Sprintf("bytes=%d-", a.from))
		h.Set("If-Range", a.part.validator())
	case a.have != nil && a.have.ETag != "":
		h.Set("If-None-Match", a.have.ETag)
	case a.have != nil && a.have.Modified != "":
		h.Set("If-Modified-Since", a.have.Modified)
	}
	return req, nil
}

// fault is an error about this file.
func (a *attempt) fault(what, mend string) *Error {
	return &Error{Address: a.it.address, What: what, Mend: mend}
}

// broken words a failure of the network. What our own rules forbid stays so.
func (a *attempt) broken(ctx context.Context, err error) error {
	var forbidden *AddressError
	if errors.As(err, &forbidden) {
		return forbidden
	}
	e := a.fault("the connection failed", "try again later; what has come is kept")
	e.again, e.silent, e.Err = true, a.got == 0, plainly(err)
	switch cause := context.Cause(ctx); {
	case errors.Is(cause, errStall), errors.Is(cause, errLong):
		e.What, e.Err = cause.Error(), nil
	case cause != nil:
		return cause
	}
	return e
}

// plainly takes the request out of an error, which names it already.
func plainly(err error) error {
	for {
		next := errors.Unwrap(err)
		if next == nil || !strings.Contains(err.Error(), `"http`) {
			return err
		}
		err = next
	}
}

// refused words an answer without the file.
func (a *attempt) refused(resp *http.Response) error {
	e := a.fault("the server answers "+resp.Status, "")
	e.Status = resp.StatusCode
	e.again = passing(resp.StatusCode)
	switch {
	case resp.StatusCode == http.StatusRequestedRangeNotSatisfiable || resp.StatusCode == http.StatusPartialContent:
		e.again, e.afresh = true, true
	case e.again:
		e.After = retryAfter(resp.Header, a.c.clock.Now())
		e.Mend = "the archive is busy: try again later"
	case resp.StatusCode == http.StatusNotFound || resp.StatusCode == http.StatusGone:
		e.Mend = "it has gone from there: correct the address in the settings"
	}
	return e
}

// fits refuses a rest that does not go on where the part ends.
func (a *attempt) fits(resp *http.Response) error {
	from, total, ok := contentRange(resp.Header.Get("Content-Range"))
	tag, modified := resp.Header.Get("ETag"), resp.Header.Get("Last-Modified")
	switch {
	case !ok, from != a.from, a.part.Total >= 0 && total >= 0 && total != a.part.Total,
		tag != "" && a.part.ETag != "" && tag != a.part.ETag,
		a.part.ETag == "" && modified != "" && modified != a.part.Modified,
		resp.Header.Get("Content-Encoding") != a.part.Encoding:
		e := a.fault("the rest that the server sends belongs to another file", "")
		e.again, e.afresh = true, true
		return e
	}
	if a.part.Total < 0 {
		a.part.Total = total
	}
	a.part.Asked = a.c.clock.Now().UTC()
	return nil
}

// contentRange reads "bytes FROM-TO/TOTAL" (RFC 9110 section 14.4); total is
// -1 where it is *.
func contentRange(s string) (from, total int64, ok bool) {
	s, isBytes := strings.CutPrefix(s, "bytes ")
	span, all, hasAll := strings.Cut(s, "/")
	first, last, hasLast := strings.Cut(span, "-")
	if !isBytes || !hasAll || !hasLast {
		return 0, 0, false
	}
	from, okFrom := digits(first)
	to, okTo := digits(last)
	total, okTotal := digits(all)
	if all == "*" {
		total, okTotal = -1, true
	}
	ok = okFrom && okTo && okTotal && from <= to && (total < 0 || to < total)
	return from, total, ok
}

// digits reads a number of bytes as HTTP writes it: digits and no sign (RFC
// 9110 §14.4, from memory).
func digits(s string) (int64, bool) {
	n, err := strconv.ParseUint(s, 10, 63)
	return int64(n), err == nil
}

// describe notes what a whole answer says of its file.
func (a *attempt) describe(resp *http.Response) {
	h := resp.Header
	a.part = record{
		Address: a.it.address, ETag: h.Get("ETag"), Modified: h.Get("Last-Modified"),
		Encoding: h.Get("Content-Encoding"), Total: resp.ContentLength,
		Asked: a.c.clock.Now().UTC(),
	}
	if a.part.Encoding == "identity" {
		a.part.Encoding = ""
	}
	modified, err := http.ParseTime(a.part.Modified)
	sent, err2 := http.ParseTime(h.Get("Date"))
	// A file that changed within the second before may change within it again.
	a.part.Firm = err == nil && err2 == nil && sent.Sub(modified) >= time.Minute
}

// take writes the body behind the part, or in its place.
func (a *attempt) take(ctx context.Context, cancel context.CancelCauseFunc, resp *http.Response) error {
	if a.from == 0 {
		a.describe(resp)
	}
	if a.part.Encoding != "" && a.part.Encoding != "gzip" {
		return a.fault(fmt.Sprintf("the server sends it packed as %q", clip([]byte(a.part.Encoding))), "only gzip can be unpacked")
	}
	body := bufio.NewReaderSize(&watched{a: a, ctx: ctx, cancel: cancel, from: resp.Body}, bodyBuffer)
	if err := a.look(body, resp); err != nil {
		return err
	}
	if a.part.Total > a.c.o.MaxBytes {
		return a.tooLong()
	}
	if err := a.open(); err != nil {
		return err
	}
	to, err := a.c.store.Append(beside(a.it.name, partEnding), a.from == 0)
	if err != nil {
		return err
	}
	err = a.copy(ctx, to, body)
	if closed := to.Close(); closed != nil {
		return closed
	}
	return err
}

// bodyBuffer is how much is read at once, octets. Our own choice.
const bodyBuffer = 64 << 10

// look knows a wrong file by its beginning, before anything is written. A
// beginning that does not come is left to copy.
func (a *attempt) look(body *bufio.Reader, resp *http.Response) error {
	if a.from > 0 {
		if webPage(resp.Header.Get("Content-Type"), nil) {
			return a.page()
		}
		return nil
	}
	head, err := body.Peek(headLength)
	switch {
	case webPage(resp.Header.Get("Content-Type"), head):
		return a.page()
	case a.part.Encoding != "" || err != nil && !errors.Is(err, io.EOF):
		return nil
	}
	return a.wrong(head)
}

func (a *attempt) page() error {
	return a.fault("a web page came in place of the data", "is there a login page of the network in between, as in a hotel or a school? open a browser and log in")
}

func (a *attempt) wrong(head []byte) error {
	if what := a.it.kind.check(head); what != "" {
		return a.fault("not the data asked for: "+what, "correct the address in the settings")
	}
	return nil
}

func (a *attempt) tooLong() error {
	e := a.fault(fmt.Sprintf("longer than %d MiB", a.c.o.MaxBytes>>20), "no file of this kind is so long: correct the address in the settings")
	e.afresh = true
	return e
}

// open makes the part ready: what is noted of it never speaks of older octets.
func (a *attempt) open() error {
	if a.from > 0 {
		return nil
	}
	if err := a.c.drop(a.it); err != nil {
		return err
	}
	return a.c.note(beside(a.it.name, aboutPartsName), a.part)
}

// copy moves the body into the part, within the limit, and knows an end that
// comes too soon.
func (a *attempt) copy(ctx context.Context, to io.Writer, body io.Reader) error {
	n, err := io.Copy(to, io.LimitReader(body, a.c.o.MaxBytes-a.from+1))
	at := a.from + n
	switch {
	case at > a.c.o.MaxBytes:
		return a.tooLong()
	case err != nil && ctx.Err() == nil && !fromNetwork(err):
		return err
	case err != nil:
		return a.broken(ctx, err)
	case a.part.Total >= 0 && at != a.part.Total:
		e := a.fault(fmt.Sprintf("%d octets came of %d", at, a.part.Total), "try again later; what has come is kept")
		e.again, e.afresh = true, at > a.part.Total
		return e
	}
	return nil
}

// fromNetwork reports whether an error came from there and not from the store.
func fromNetwork(err error) bool {
	var n *netError
	return errors.As(err, &n)
}

// netError marks what went wrong while reading from the network.
type netError struct{ error }

func (e *netError) Unwrap() error { return e.error }

// watched reads the body, ends a read that stalls and tells the progress.
type watched struct {
	a      *attempt
	ctx    context.Context
	cancel context.CancelCauseFunc
	from   io.Reader
}

// Read reads the next octets.
func (w *watched) Read(b []byte) (int, error) {
	stop := w.a.c.clock.AfterFunc(w.a.c.o.Stall, func() { w.cancel(errStall) })
	n, err := w.from.Read(b)
	stop()
	w.a.got += int64(n)
	w.a.c.o.Progress(Progress{Name: w.a.it.name, Done: w.a.from + w.a.got, Total: w.a.part.Total})
	if err != nil && !errors.Is(err, io.EOF) {
		err = &netError{err}
	}
	return n, err
}

// asError finds our own error in another.
func asError(err error) (*Error, bool) {
	var e *Error
	ok := errors.As(err, &e)
	return e, ok
}
