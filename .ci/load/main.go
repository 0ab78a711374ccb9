// Command load reads plan and feed of a running page with many clients at once
// and prints how long they waited.
//
//	load ADDRESS SECONDS CLIENTS
package main

import (
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"strconv"
	"sync"
	"time"
)

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: load ADDRESS SECONDS CLIENTS")
		os.Exit(2)
	}
	seconds, errA := strconv.Atoi(os.Args[2])
	clients, errB := strconv.Atoi(os.Args[3])
	if errA != nil || errB != nil {
		fmt.Fprintln(os.Stderr, "load: seconds and clients are whole numbers")
		os.Exit(2)
	}
	waits, failed := run(os.Args[1], time.Duration(seconds)*time.Second, clients)
	if len(waits) == 0 || failed > 0 {
		fmt.Printf("%d answers, %d failed\n", len(waits), failed)
		os.Exit(1)
	}
	slices.Sort(waits)
	at := func(p float64) time.Duration { return waits[int(p*float64(len(waits)-1))].Round(time.Millisecond / 10) }
	fmt.Printf("%d clients, %d s: %d answers, none failed; wait p50 %v, p99 %v, longest %v\n",
		clients, seconds, len(waits), at(0.5), at(0.99), at(1))
}

// run lets each client read one page after the other until the time is over.
func run(address string, long time.Duration, clients int) (waits []time.Duration, failed int) {
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: clients}, Timeout: time.Minute}
	paths := []string{"?place=sarnholt-county", "feed/sarnholt-county/calendar.ics", "?place=quillmarsh-county", "feed/calendar.ics"}
	var mu sync.Mutex
	var all sync.WaitGroup
	end := time.Now().Add(long)
	for c := range clients {
		all.Go(func() {
			for i := c; time.Now().Before(end); i++ {
				began := time.Now()
				err := read(client, address+paths[i%len(paths)])
				mu.Lock()
				waits = append(waits, time.Since(began))
				if err != nil {
					fmt.Fprintln(os.Stderr, "load:", err)
					failed++
				}
				mu.Unlock()
			}
		})
	}
	all.Wait()
	return waits, failed
}

func read(client *http.Client, url string) error {
	answer, err := client.Get(url)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %s", url, answer.Status)
	}
	return nil
}
