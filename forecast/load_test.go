package forecast
import ("testing";"fmt";"time")
func TestLoadProto(t *testing.T){
 st:=time.Now()
 b,err:=Load()
 fmt.Println(err,time.Since(st))
 if err!=nil {t.Fatal(err)}
 mn,mx:=1<<30,0
 for s:=range b.ways { for p:=range b.ways[s] { mn=min(mn,len(b.ways[s][p])); mx=max(mx,len(b.ways[s][p])) } }
 fmt.Println(mn,mx)
 for _,i:=range []int{0,50000,99999} {
 c:=CaseAt(i)
 st=time.Now()
 var o []Option
 for range 1000 {o=b.Forecast(Request{Case:c,Person:Anyone()})}
 fmt.Println(len(o),time.Since(st)/1000)
 for _,x:=range o[:6] { fmt.Println(c.Slot,x.Turns,"|",x.Leaves.Pattern(),x.Leaves.Facing(),x.Then,"|",x.Sequence,x.Seconds.Total()) }
 }
}
