// Command fitsurvival fits the survival model to the evidence table of package
// advisor and writes the file that advisor embeds, and the page that says how well
// it does. go generate runs it in the folder of package advisor.
package main

import (
	"fmt"
	"os"

	"deepward/advisor/fit"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "fitsurvival:", err)
		os.Exit(1)
	}
}

func run() error {
	unfitted, err := os.Open("testdata/survival_heldout.csv")
	if err != nil {
		return fmt.Errorf("run this by go generate in package advisor: %w", err)
	}
	defer unfitted.Close()
	built, err := fit.Build(unfitted)
	if err != nil {
		return err
	}
	if err := os.WriteFile("data/survival_model.json", built.Model, 0o644); err != nil {
		return err
	}
	return os.WriteFile("data/SURVIVAL.md", built.Report, 0o644)
}
