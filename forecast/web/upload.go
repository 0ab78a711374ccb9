package web

import (
	"errors"
	"net/http"
	"net/url"
)

// largestFile bounds an uploaded weather file, octets: a century of one
// station is some 10 MB in the widest of the layouts that are read.
const (
	largestFile     = 64 << 20
	largestFileText = "64 MB"
	inMemory        = 1 << 20 // octets of a form kept in memory; the rest waits in a temporary file
)

// uploadPage says what was read of a weather file.
type uploadPage struct {
	common
	Place   Place
	Remarks []string
}

// weather takes a file of daily temperatures, checks it as the command line
// does, and shows the plan of the place that it was measured at. A body that
// says it is too large is refused before it is read.
func (s *site) weather(w http.ResponseWriter, r *http.Request) {
	if r.ContentLength > largestFile {
		w.Header().Set("Connection", "close")
		s.refuse(w, r, &http.MaxBytesError{Limit: largestFile})
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, largestFile)
	if err := r.ParseMultipartForm(inMemory); err != nil {
		s.refuse(w, r, err)
		return
	}
	defer func() { _ = r.MultipartForm.RemoveAll() }()
	file, head, err := r.FormFile("file")
	if err != nil {
		s.refuse(w, r, errors.New("no file was chosen; choose one or drop it on the page"))
		return
	}
	defer file.Close()
	a := Ask{}
	where := url.Values{"lat": {line(r.FormValue("lat"))}, "lon": {line(r.FormValue("lon"))}}
	if err := readPoint(where, &a); err != nil {
		s.refuse(w, r, err)
		return
	}
	name := line(r.FormValue("name"))
	if len(name) > mostName {
		s.refuse(w, r, &badQuery{"name", name, "write a shorter one"})
		return
	}
	select { // one at a time: reading a file takes memory and a processor
	case s.reading <- struct{}{}:
		defer func() { <-s.reading }()
	case <-r.Context().Done():
		s.refuse(w, r, errBusy)
		return
	}
	p, remarks, err := s.Accept(Upload{FileName: line(head.Filename), Content: file, Place: name, Point: a.Point})
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	s.cache.forget()
	if len(remarks) == 0 {
		http.Redirect(w, r, s.Base+"/?"+Ask{Place: p.ID}.query(), http.StatusSeeOther)
		return
	}
	s.show(w, r, "upload.html", uploadPage{common{Base: s.Base, Title: p.Name, Query: Ask{Place: p.ID}.query()}, p, remarks})
}
