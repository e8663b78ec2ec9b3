package export

import (
	"context"
	"io"
	"testing"

	"deepward/store/catch"
)

// Writing alone: the reports are in memory already.
func benchmark(b *testing.B, f Format) {
	list := season(10_000)
	o := options(f)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(context.Background(), io.Discard, catch.Listed(list), o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N*len(list))/b.Elapsed().Seconds(), "rows/s")
}

func BenchmarkCSV(b *testing.B)     { benchmark(b, CSV) }
func BenchmarkTable(b *testing.B)   { benchmark(b, Table) }
func BenchmarkXLSX(b *testing.B)    { benchmark(b, XLSX) }
func BenchmarkGeoJSON(b *testing.B) { benchmark(b, GeoJSON) }
func BenchmarkDwCA(b *testing.B)    { benchmark(b, DwCA) }
func BenchmarkAll(b *testing.B)     { benchmark(b, All) }
