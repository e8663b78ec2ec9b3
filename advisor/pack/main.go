// Command pack writes the tables of the gazetteer as they are embedded, five times
// smaller: go generate runs it after a change of a table.
package main

import (
	"bytes"
	"compress/gzip"
	"log"
	"os"
)

func main() {
	for _, path := range []string{"data/gazetteer_names.csv", "data/gazetteer_taxa.csv"} {
		if err := pack(path); err != nil {
			log.Fatal(err)
		}
	}
}

func pack(path string) error {
	table, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write(table); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	return os.WriteFile(path+".gz", packed.Bytes(), 0o644)
}
