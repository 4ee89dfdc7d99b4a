package formula

import "fmt"

// With is the same formula in a scope that knows the same names and functions, with
// other values behind them: units are not looked at again.
func (f *Formula) With(scope Scope) (*Formula, error) {
	out := *f
	out.refs, out.funcs = make(map[*Name]Ref, len(f.refs)), make(map[*Call]Func, len(f.funcs))
	for n, was := range f.refs {
		ref, err := scope.Name(n.Table, n.Key)
		if err != nil {
			return nil, err
		}
		if ref.Type.Kind != was.Type.Kind || ref.Type.Unit != was.Type.Unit {
			return nil, fmt.Errorf("%s is of another type here", n.ID())
		}
		ref.Type = was.Type
		out.refs[n] = ref
	}
	for n, was := range f.funcs {
		fn, ok := was, was.own
		if !ok {
			fn, ok = scope.Func(n.Name)
		}
		if !ok {
			return nil, fmt.Errorf("there is no function %s here", n.Name)
		}
		out.funcs[n] = fn
	}
	return &out, nil
}
