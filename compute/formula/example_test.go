package formula_test

import (
	"fmt"
	"log"

	"seamtally/compute/formula"
	"seamtally/compute/units"
)

// gas knows two quantities, kept in the first two places of a frame.
type gas struct{}

func (gas) Name(table, key string) (formula.Ref, error) {
	of := map[string]string{"torch_flow": "ft³/h", "arc_time": "min"}
	unit, err := units.Parse(of[key])
	if of[key] == "" || err != nil {
		return formula.Ref{}, fmt.Errorf("%s is not known; name a flow or a time", key)
	}
	place := map[string]int{"torch_flow": 0, "arc_time": 1}[key]
	return formula.Ref{
		Type: formula.Type{Unit: unit},
		Num:  func(f *formula.Frame) float64 { return f.Num[place] },
	}, nil
}

func (gas) Func(string) (formula.Func, bool) { return formula.Func{}, false }

// One formula is worked out, written for a cell, and spelled out.
func Example() {
	src := formula.Source{File: "model.txt", Line: 12, Col: 3, Text: "torch_flow*arc_time"}
	tree, err := formula.Parse(src)
	if err != nil {
		log.Fatal(err)
	}
	cubicFeet, err := units.Parse("ft³")
	if err != nil {
		log.Fatal(err)
	}
	f, err := formula.Check(tree, src, formula.Type{Unit: cubicFeet}, gas{})
	if err != nil {
		log.Fatal(err)
	}
	code, err := f.Compile()
	if err != nil {
		log.Fatal(err)
	}
	cell, err := f.Print(func(_, key string) (string, error) {
		return map[string]string{"torch_flow": "F7", "arc_time": "G7"}[key], nil
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(code.Num(&formula.Frame{Num: []float64{40, 3}}))
	fmt.Println(cell)
	fmt.Println(f.Spell(formula.SpellOptions{}))
	// Output:
	// 2
	// F7*G7/60
	// torch flow × arc time ÷ 60
}

// Units that do not fit are refused, with the place.
func ExampleCheck() {
	src := formula.Source{File: "model.txt", Line: 13, Col: 3, Text: "arc_time + torch_flow"}
	tree, err := formula.Parse(src)
	if err != nil {
		log.Fatal(err)
	}
	_, err = formula.Check(tree, src, formula.Type{}, gas{})
	fmt.Println(err)
	// Output:
	// model.txt:13:12: cannot add min (time) and ft³/h (length³/time); give both in units of one dimension
	// arc_time + torch_flow
	//          ^
}
