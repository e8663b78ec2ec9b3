// Command pack packs the named files, each into one beside it, as they are compiled in.
// go generate runs it after a change of one of them. With -faces it packs the two faces
// that drawings are set in, into the folder where it runs.
package main

import (
	"flag"
	"log"
	"os"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"

	"deepward/advisor/packed"
)

func main() {
	faces := flag.Bool("faces", false, "pack the faces of the library of fonts")
	flag.Parse()
	if *faces {
		write("plain.ttf.gz", liberationsansregular.TTF)
		write("bold.ttf.gz", liberationsansbold.TTF)
	}
	for _, name := range flag.Args() {
		fail(packed.File(name))
	}
}

func write(name string, raw []byte) { fail(os.WriteFile(name, packed.Pack(raw), 0o644)) }

func fail(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
