package fit

import (
	"fmt"
	"testing"
	"time"

	"deepward/advisor"
)

func TestProto(t *testing.T) {
	for _, by := range []Covariate{ByLift, ByDepth} {
		d, err := Read(advisor.Findings(), by)
		if err != nil { t.Fatal(err) }
		t0 := time.Now()
		post, err := Fit(d, Start())
		if err != nil { t.Fatal(err) }
		fmt.Println("by", by, len(d.Rows), post.layout.size, time.Since(t0), post.Spread, post.LogEvidence)
		t0 = time.Now()
		list, err := LeaveOneOut(d, post.Spread)
		if err != nil { t.Fatal(err) }
		fmt.Println(time.Since(t0))
		var m, f []Prediction
		for _, p := range list { if p.Row.Proxy { f = append(f,p)} else {m=append(m,p)}
		lo,hi:=p.Range()
		fmt.Printf("%-8s %-30s d %4.0f n %4.0f obs %.2f pred %.2f (%.2f-%.2f) %v %v %.2f\n", p.Row.ID,p.Row.Study,p.Row.DepthM,p.Row.N,p.Row.Dead/p.Row.N,p.P(),lo,hi,p.Holds(),p.HoldsCounting(),p.LogScore())
		}
		fmt.Printf("mort %+v\nfloat %+v\n", ScoreOf(m), ScoreOf(f))
	}
}
