package formula

import "math"

// all compiles every argument and tells whether all are constant.
func (c *Compiler) all(call *Call) (codes []Code, constant bool, err error) {
	constant = true
	for _, arg := range call.Args {
		code, err := c.Compile(arg)
		if err != nil {
			return nil, false, err
		}
		constant = constant && code.constant
		codes = append(codes, code)
	}
	return codes, constant, nil
}

// compileOne compiles a function of one number.
func compileOne(f func(float64) float64) func(*Compiler, *Call) (Code, error) {
	return func(c *Compiler, call *Call) (Code, error) {
		x, err := c.Compile(call.Args[0])
		return mapNum(x, f), err
	}
}

func compileFirst(c *Compiler, call *Call) (Code, error) { return c.Compile(call.Args[0]) }

func compilePi(*Compiler, *Call) (Code, error) { return constNum(math.Pi), nil }

func compilePower(c *Compiler, call *Call) (Code, error) {
	codes, _, err := c.all(call)
	if err != nil {
		return Code{}, err
	}
	return combine(codes[0], codes[1], power), nil
}

func compileRound(f func(float64, int) float64) func(*Compiler, *Call) (Code, error) {
	return func(c *Compiler, call *Call) (Code, error) {
		codes, _, err := c.all(call)
		if err != nil {
			return Code{}, err
		}
		return combine(codes[0], codes[1], func(x, places float64) float64 {
			if places != places {
				return places
			}
			return f(x, int(min(max(places, -farthestPlace), farthestPlace)))
		}), nil
	}
}

func compileAngle(f func(float64) float64) func(*Compiler, *Call) (Code, error) {
	return func(c *Compiler, call *Call) (Code, error) {
		x, err := c.Compile(call.Args[0])
		if err != nil {
			return x, err
		}
		if c.inDegrees(call.Args[0]) {
			return mapNum(x, func(v float64) float64 { return f(v * (math.Pi / 180)) }), nil
		}
		return mapNum(x, f), nil
	}
}

func (c *Compiler) inDegrees(n Node) bool { return !c.f.types[n].Unit.IsPlain() }

// compileChain compiles MIN and MAX from the choice between two.
func compileChain(f func(a, b float64) float64) func(*Compiler, *Call) (Code, error) {
	return func(c *Compiler, call *Call) (Code, error) {
		codes, _, err := c.all(call)
		if err != nil {
			return Code{}, err
		}
		code := codes[0]
		for _, next := range codes[1:] {
			code = combine(code, next, f)
		}
		return code, nil
	}
}

func least(a, b float64) float64 {
	if b < a || b != b {
		return b
	}
	return a
}

func greatest(a, b float64) float64 {
	if b > a || b != b {
		return b
	}
	return a
}

// compileIf compiles a lazy IF. An error in the condition is the result.
func compileIf(c *Compiler, call *Call) (Code, error) {
	codes, _, err := c.all(call)
	if err != nil {
		return Code{}, err
	}
	cond, a, b := codes[0], codes[1], codes[2]
	if c.f.types[call].Kind == KindText {
		return chooseText(cond, a, b), nil
	}
	a, b = orBlank(a), orBlank(b)
	if cond.constant {
		return choose(cond.num, a, b, constNum(math.NaN())), nil
	}
	test, yes, no := cond.Num, a.Num, b.Num
	return Code{Num: func(fr *Frame) float64 {
		switch test(fr) {
		case 1:
			return yes(fr)
		case 0:
			return no(fr)
		}
		return math.NaN()
	}}, nil
}

// orBlank takes the "" of an IF for a blank number.
func orBlank(x Code) Code {
	if x.Text != nil {
		return constNum(Blank())
	}
	return x
}

func choose(cond float64, a, b, failed Code) Code {
	switch cond {
	case 1:
		return a
	case 0:
		return b
	}
	return failed
}

func chooseText(cond, a, b Code) Code {
	if cond.constant {
		return choose(cond.num, a, b, constText(ErrorText))
	}
	test, yes, no := cond.Num, a.Text, b.Text
	return Code{Text: func(fr *Frame) string {
		switch test(fr) {
		case 1:
			return yes(fr)
		case 0:
			return no(fr)
		}
		return ErrorText
	}}
}

// compileAnd and compileOr look at every argument: in a spreadsheet an error
// in one is the result, whatever the others say.
func compileAnd(c *Compiler, call *Call) (Code, error) {
	return c.truths(call, func(a, b float64) float64 { return a * b })
}

func compileOr(c *Compiler, call *Call) (Code, error) {
	return c.truths(call, func(a, b float64) float64 { return a + b - a*b })
}

func (c *Compiler) truths(call *Call, f func(a, b float64) float64) (Code, error) {
	codes, _, err := c.all(call)
	if err != nil {
		return Code{}, err
	}
	code := codes[0]
	for _, next := range codes[1:] {
		code = combine(code, next, f)
	}
	return code, nil
}
