package load

func (r *Report) book() ([]byte, error) { return nil, nil }
