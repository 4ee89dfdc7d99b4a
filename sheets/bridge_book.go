package sheets

func bridgeTarget(o CompareOptions) error      { return vacant(o.Out, o.Force) }
func writeBridge(string, *CompareReport) error { return nil }
