package understand

import "testing"

func BenchmarkNameBook(b *testing.B) {
	names()
	regions()
	rows := mustRows(namesHeardCSV)
	for b.Loop() {
		newNameBook(rows)
	}
}

func BenchmarkResolve(b *testing.B) {
	s := Setting{Region: "US Gulf of Mexico", Language: "en"}
	for name, typed := range map[string]string{"exact": "red snapper", "misspelt": "yelowtale snaper", "unknown": "blorgfish xyz"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Resolve(typed, s)
			}
		})
	}
}
