package trial
import ("testing";"fmt";"time")
func TestStat(t *testing.T){
 for s:=uint64(0);s<12;s++{ j:=Large(s);b:=time.Now();x,y,z:=j.Problem.Explore(2000);fmt.Println(j.Name,x,y,z,time.Since(b)) }
}
func TestSm(t *testing.T){
 for s:=uint64(0);s<50;s++{ j:=Small(s);b:=time.Now();x,y,z:=j.Problem.Explore(2000);
 d:=time.Since(b); b=time.Now();l,sp:=j.Problem.All(5000);fmt.Println(j.Name,x,y,z,d, l,sp,time.Since(b)) }
}
