package main

import (
	"bufio"
	"encoding/csv"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// servedProgram is the program in a process of its own, to be killed.
type servedProgram struct {
	*exec.Cmd
	address string
}

// startProgram runs this test binary as the program: testscript.Main obeys the
// name that it is called by.
func startProgram(t *testing.T, data string) servedProgram {
	t.Helper()
	own, err := os.Executable()
	require.NoError(t, err)
	called := filepath.Join(t.TempDir(), "bloomtide")
	require.NoError(t, os.Symlink(own, called))
	p := servedProgram{Cmd: exec.Command(called, "serve", "--listen", "127.0.0.1:0", "--data", data)}
	p.Env = []string{"HOME=" + data}
	out, err := p.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, p.Start())
	t.Cleanup(func() { _ = p.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	p.address = strings.TrimSpace(line)
	return p
}

// write posts weights one after the other until the program is gone, and tells
// of each that was acknowledged.
func (p servedProgram) write(from int, kept chan<- int) {
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	defer close(kept)
	for i := from; ; i++ {
		form := url.Values{"kind": {"weighed"}, "kg": {strconv.FormatFloat(float64(i)/100, 'f', 2, 64)}, "back": {"place=sarnholt-county"}}
		answer, err := client.PostForm(p.address+"note", form)
		if err != nil {
			return
		}
		_ = answer.Body.Close()
		if answer.StatusCode == http.StatusSeeOther {
			kept <- i
		}
	}
}

// A kill without warning, at any moment, loses nothing that was acknowledged
// and tears no line; the next start goes on from there.
func TestKillLosesNothing(t *testing.T) {
	data := t.TempDir()
	want := map[string]bool{}
	for round := range 3 {
		p := startProgram(t, data)
		kept := make(chan int)
		go p.write(100+1000*round, kept)
		for i := range kept {
			want[strconv.FormatFloat(float64(i)/100, 'f', -1, 64)] = true
			if i%1000 == 100+2*round { // a later one each time
				time.AfterFunc(time.Duration(round)*time.Millisecond, func() { _ = p.Process.Kill() })
			}
		}
		_ = p.Wait() // it was killed
		rows, err := csv.NewReader(strings.NewReader(source(t, data, hiveFile))).ReadAll()
		require.NoError(t, err)
		found := map[string]bool{}
		for _, row := range rows[1:] {
			require.Len(t, row, len(rows[0]))
			found[row[3]] = true
		}
		for kg := range want {
			require.Contains(t, found, kg, "round %d", round)
		}
		require.LessOrEqual(t, len(found), len(want)+round+1, "at most the one under way at each kill was kept without an answer")
	}
	require.GreaterOrEqual(t, len(want), 3)
}
