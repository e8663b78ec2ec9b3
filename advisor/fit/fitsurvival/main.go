// Command fitsurvival fits the survival model to the evidence table of package
// advisor and writes the file that advisor embeds, and what became of its checks.
// It is run by go generate.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"deepward/advisor"
	"deepward/advisor/fit"
)

func main() {
	dir := flag.String("dir", "data", "the folder of advisor's data files")
	flag.Parse()
	if err := run(*dir); err != nil {
		fmt.Fprintln(os.Stderr, "fitsurvival:", err)
		os.Exit(1)
	}
}

func run(dir string) error {
	data, err := fit.Read(advisor.Findings(), fit.ByLift)
	if err != nil {
		return err
	}
	post, err := fit.Fit(data, fit.Start())
	if err != nil {
		return err
	}
	model, err := post.Export()
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "survival_model.json"), model, 0o644)
}
