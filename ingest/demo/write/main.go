// Command write makes the invented records of package demo again. It is run by
// go generate in the folder above.
package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"

	"bloomtide/ingest/demo"
)

func main() {
	for _, c := range demo.Counties() {
		if err := write(c); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

func write(c demo.County) error {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return err
	}
	if err := demo.Generate(z, c); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	return os.WriteFile(c.ID+".csv.gz", b.Bytes(), 0o644)
}
