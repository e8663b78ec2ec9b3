package fit
import ("testing";"fmt";"deepward/advisor")
func TestT3(t *testing.T){
 d,_:=Read(advisor.Findings(),ByLift)
 s:=Spread{.68,1.243,.805,1.086,1.986,1.019}
 var m,f []Prediction
 for _,st:=range d.Studies {
  post,err:=Fit(d.Without(st),s)
  if err!=nil {fmt.Println(st,err); continue}
  for _,r:=range d.Rows { if r.Study==st { p:=post.Predict(r); if r.Proxy {f=append(f,p)} else {m=append(m,p)}}}
  fmt.Println(st,post.Spread)
 }
 fmt.Printf("mort %+v\nfloat %+v\n", ScoreOf(m), ScoreOf(f))
}
