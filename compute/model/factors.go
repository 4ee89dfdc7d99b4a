package model

// GasFactor is the shop's own factor on argon.
const GasFactor = "gas_factor"

// StageFactors are the shop's own factors on the hours of the stages, in their
// order: saw, bench, welding.
func StageFactors() [3]string { return [...]string{"saw_factor", "bench_factor", "weld_factor"} }
