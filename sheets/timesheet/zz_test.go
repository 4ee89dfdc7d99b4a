package timesheet_test
import ("testing";"seamtally/sheets/timesheet";"seamtally/sheets/sheetstest/shop")
func TestZZ(t *testing.T){ for _,n:=range []string{"order","order-metric"} {_,err:=timesheet.Make(t.Context(), timesheet.Options{In: shop.Demo(n+".xlsx"), Out:"/tmp/tsw/"+n+".xlsx", Force:true}); if err!=nil {t.Fatal(err)}}}
